"""Every rule that comes with Sideplate, over several seeds: the promises of a situation, held to the engine."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
import time
from collections.abc import Iterator
from itertools import combinations

import pytest

from sideplate_engine import Judge
from sideplate_engine.standings import are_opposed
from sideplate_trainer.situations import Situation, build, builder_of
from sideplate_trainer.situations.consistency import is_absurd, writable

SEEDS = 4
MANY_SEEDS = 20
ONE_RULE_IN = 12
SLOWEST_OF_TWENTY = 0.1

PRINT_DIGESTS = """
import sys
from sideplate_engine import Judge, load
sys.path.insert(0, {folder!r})
from test_whole_base import digest
judge = Judge(load().knowledge)
for name in {names!r}:
    print(name, digest(judge, name))
"""


@pytest.fixture(scope="module")
def every(chain_judge: Judge) -> dict[tuple[str, int], tuple[Situation, float]]:
    """Every rule's situations, and the processor seconds each took once its rule had been met."""
    found: dict[tuple[str, int], tuple[Situation, float]] = {}
    for id_ in sorted(chain_judge.knowledge.rules):
        builder_of(chain_judge).quick_judge([id_])
        for seed in range(SEEDS):
            started = time.process_time()
            situation = build(chain_judge, id_, seed)
            found[id_, seed] = situation, time.process_time() - started
    return found


def situations(every: dict[tuple[str, int], tuple[Situation, float]]) -> Iterator[Situation]:
    return (situation for situation, _ in every.values())


def digest(judge: Judge, id_: str) -> str:
    """A short print of all that two situations of a rule hold."""
    told = [
        (
            sorted(
                (name, str(value if not isinstance(value, frozenset) else sorted(value)))
                for name, value in facts
            ),
            story,
            changes,
        )
        for situation in (build(judge, id_, 1), build(judge, id_, 2))
        for facts, story, changes in [
            (
                situation.facts.items(),
                situation.story,
                [(miss.changed, miss.status, miss.test.fact) for miss in situation.near_misses],
            )
        ]
    ]
    return hashlib.sha256(repr(told).encode()).hexdigest()[:16]


@pytest.mark.slow
def test_the_rule_fires_stands_and_nothing_contradicts(
    chain_judge: Judge, every: dict[tuple[str, int], tuple[Situation, float]]
) -> None:
    rules = chain_judge.knowledge.rules
    for situation in situations(every):
        chained = chain_judge.outcome(situation.facts)
        assert situation.rule in chained.live, situation
        assert chained.conflicts == (), situation
        about = [rules[id_] for id_ in chained.live if rules[id_].about is not None]
        for one, other in combinations(about, 2):
            assert one.about != other.about or not are_opposed(str(one.force), str(other.force)), situation


@pytest.mark.slow
def test_every_sheet_can_be_written_down_and_told(
    chain_judge: Judge, every: dict[tuple[str, int], tuple[Situation, float]]
) -> None:
    vocabulary = chain_judge.knowledge.facts
    for situation in situations(every):
        assert writable(chain_judge.knowledge, situation.facts), situation
        assert all(vocabulary[name].given for name in situation.facts), situation
        assert len(situation.story) == 1 + len(situation.facts), situation
        for sentence in situation.story:
            assert sentence.strip() == sentence
            assert sentence[-1:] == "."
            assert not set("{}[]") & set(sentence), sentence


@pytest.mark.slow
def test_hardly_a_sheet_is_unusual_or_absurd(
    chain_judge: Judge, every: dict[tuple[str, int], tuple[Situation, float]]
) -> None:
    knowledge, workshop = chain_judge.knowledge, builder_of(chain_judge).workshop
    absurd, unusual = [], []
    for situation in situations(every):
        chained = chain_judge.outcome(situation.facts)
        if is_absurd(knowledge, workshop, chained.facts):
            absurd.append((situation.rule, situation.seed))
        if any(knowledge.facts[name].is_unusual(value) for name, value in situation.facts.items()):
            unusual.append((situation.rule, situation.seed))
    print(
        f"\n{len(every)} situations: {len(absurd)} absurd {absurd[:5]}, {len(unusual)} unusual {unusual[:5]}"
    )
    assert len(absurd) <= 0.01 * len(every)
    assert len(unusual) <= 0.05 * len(every)


@pytest.mark.slow
def test_a_near_miss_silences_the_rule_by_one_fact_alone(
    chain_judge: Judge, every: dict[tuple[str, int], tuple[Situation, float]]
) -> None:
    for situation in situations(every):
        assert situation.near_misses, situation
        for miss in situation.near_misses:
            names = {*situation.facts, *miss.facts}
            different = {name for name in names if situation.facts.get(name) != miss.facts.get(name)}
            assert different == {miss.changed}, situation
            chained = chain_judge.outcome(miss.facts)
            assert situation.rule not in chained.live, situation
            assert chained.conflicts == (), situation
            assert writable(chain_judge.knowledge, miss.facts), situation


@pytest.mark.slow
def test_rulings_can_mostly_be_silenced_by_a_change_that_settles_them(
    chain_judge: Judge, every: dict[tuple[str, int], tuple[Situation, float]]
) -> None:
    rules = chain_judge.knowledge.rules
    settled = {
        situation.rule
        for situation in situations(every)
        if any(miss.status != "open" for miss in situation.near_misses)
    }
    rulings = {id_ for id_, rule in rules.items() if rule.is_ruling}
    print(f"\nrulings without a change that settles them: {sorted(rulings - settled)}")
    assert len(rulings - settled) <= 0.02 * len(rulings)


@pytest.mark.slow
def test_nineteen_situations_in_twenty_take_less_than_a_tenth_of_a_second(
    every: dict[tuple[str, int], tuple[Situation, float]],
) -> None:
    taken = sorted(seconds for _, seconds in every.values())
    median, most = taken[len(taken) // 2], taken[int(0.95 * len(taken))]
    print(f"\n{len(taken)} situations: median {median * 1e3:.1f} ms, 95th percentile {most * 1e3:.1f} ms")
    assert most < SLOWEST_OF_TWENTY


@pytest.mark.slow
def test_many_seeds_make_many_sheets(chain_judge: Judge) -> None:
    ids = sorted(chain_judge.knowledge.rules)[::ONE_RULE_IN]
    distinct = [
        len({frozenset(build(chain_judge, id_, seed).facts.items()) for seed in range(MANY_SEEDS)})
        for id_ in ids
    ]
    print(
        f"\ndistinct sheets over {MANY_SEEDS} seeds: mean {sum(distinct) / len(ids):.1f}, least {min(distinct)}"
    )
    assert sum(distinct) / len(ids) > 0.9 * MANY_SEEDS
    assert min(distinct) >= 0.5 * MANY_SEEDS


@pytest.mark.slow
def test_the_same_situation_comes_out_whatever_the_hash_seed(chain_judge: Judge) -> None:
    names = sorted(chain_judge.knowledge.rules)[5::60]
    here = "".join(f"{name} {digest(chain_judge, name)}\n" for name in names)
    code = PRINT_DIGESTS.format(folder=os.path.dirname(__file__), names=names)  # noqa: PTH120
    for hash_seed in ("1", "4711"):
        ran = subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": hash_seed},
            capture_output=True,
            text=True,
            check=True,
            timeout=60,
        )
        assert ran.stdout == here
