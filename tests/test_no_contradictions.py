"""No two rules contradict each other on any sheet that thousands of seeded draws come up with.

Sheets are made in three ways: the examples of two or three rules put together; the examples of every two rules that
could oppose each other; and the workshop's sheets with a few facts changed, numbers to just beside the limits that
rules draw. A sheet that contradicts itself, a stated fact against what follows from the others, is passed over.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from itertools import combinations
from random import Random

import pytest

from sideplate_engine import Judge, built_in_folder, read_sheet_file
from sideplate_engine.chaining import Chained
from sideplate_engine.rules import Rule
from sideplate_engine.standings import are_opposed
from sideplate_engine.vocabulary import Fact, Value
from support.built_in import judge, knowledge
from support.small_knowledge import JudgeWith, given, rule

Facts = Mapping[str, Value]
SEED = 20
MERGED = 12000
MUTANTS_OF_A_SHEET = 40
BESIDE = (0.99, 1.0, 1.01)


def contradictions(base: Judge, outcome: Chained) -> Iterator[str]:
    """What two rules say that cannot both hold."""
    for conflict in outcome.conflicts:
        if not conflict.has_given:
            by = sorted(who for _, whose in conflict.values for who in whose)
            yield f"{' and '.join(by)} give {conflict.fact} different values"
    about: dict[str, list[Rule]] = {}
    for id_ in sorted(outcome.live):
        found = base.knowledge.rules[id_]
        if found.about is not None:
            about.setdefault(found.about, []).append(found)
    for subject, rules in about.items():
        for one, other in combinations(rules, 2):
            if are_opposed(str(one.force), str(other.force)):
                yield f"{one.id} says {one.force} and {other.id} says {other.force} about {subject}"


def contradicts_itself(outcome: Chained) -> bool:
    """Whether a fact on the sheet is denied by what the rules make of the others."""
    return any(conflict.has_given for conflict in outcome.conflicts)


def swept(base: Judge, sheets: Iterator[Facts]) -> tuple[dict[str, Facts], int, int]:
    """Each contradiction found with the first sheet that shows it, how many were judged, how many passed over."""
    found: dict[str, Facts] = {}
    judged = passed_over = 0
    for facts in sheets:
        judged += 1
        outcome = base.outcome(facts)
        if contradicts_itself(outcome):
            passed_over += 1
            continue
        for contradiction in contradictions(base, outcome):
            found.setdefault(contradiction, facts)
    return found, judged, passed_over


def together(*sheets: Facts) -> Facts:
    """Sheets put together: of a fact that several state the first counts, sets are joined."""
    facts: dict[str, Value] = {}
    for sheet in sheets:
        for name, value in sheet.items():
            before = facts.get(name)
            if isinstance(before, frozenset) and isinstance(value, frozenset):
                facts[name] = before | value
            else:
                facts.setdefault(name, value)
    return facts


@cache
def examples() -> dict[str, list[Facts]]:
    """The facts of all rules' examples, by topic."""
    found: dict[str, list[Facts]] = {}
    for each in knowledge().rules.values():
        found.setdefault(each.topic, []).extend(example.given for example in each.examples)
    return found


def merged_examples(draws: Random) -> Iterator[Facts]:
    """Two or three examples put together, half of them of one topic."""
    everywhere = [facts for sheets in examples().values() for facts in sheets]
    topics = list(examples())
    for _ in range(MERGED):
        topic = draws.choice(topics)
        others = draws.choice((1, 1, 2))
        pool = examples()[topic] if draws.random() < 0.5 else everywhere
        yield together(draws.choice(examples()[topic]), *(draws.choice(pool) for _ in range(others)))


def examples_of_opposed_rules() -> Iterator[Facts]:
    """Every example of one rule with every example of another that could oppose it, either first."""
    about: dict[str, list[Rule]] = {}
    for each in knowledge().rules.values():
        if each.about is not None:
            about.setdefault(each.about, []).append(each)
    for rules in about.values():
        for one, other in combinations(rules, 2):
            if are_opposed(str(one.force), str(other.force)):
                for first in one.examples:
                    for second in other.examples:
                        yield together(first.given, second.given)
                        yield together(second.given, first.given)


@cache
def limits() -> dict[str, list[float]]:
    """The numbers that rules compare each fact with."""
    found: dict[str, set[float]] = {}
    for each in knowledge().rules.values():
        tests = [*each.requirement.tests(), *(each.unless.tests() if each.unless else ())]
        for test in tests:
            numbers = {float(value) for value in test.values if knowledge().facts[test.fact].is_number}
            found.setdefault(test.fact, set()).update(numbers)
    return {name: sorted(numbers) for name, numbers in found.items()}


def changed(fact: Fact, value: Value, draws: Random) -> Value:
    """Another value of a fact: beside a limit or beside what it was, another choice, one element more or less."""
    choices = sorted(fact.choices or ())
    if isinstance(value, bool):
        return not value
    if isinstance(value, frozenset):
        return value.symmetric_difference([draws.choice(choices)]) if choices else value
    if isinstance(value, str):
        return draws.choice(choices) if choices else value
    drawn: float = draws.choice((float(value), *limits().get(fact.name, ()))) * draws.choice(BESIDE)
    if fact.possible is not None:
        drawn = min(max(drawn, fact.possible[0]), fact.possible[1])
    return round(drawn) if fact.kind == "count" else drawn


def mutated_sheets(draws: Random) -> Iterator[Facts]:
    """The workshop's sheets as they are, and with one to three facts changed."""
    for path in sorted((built_in_folder() / "workshop" / "jobs").glob("*.yaml")):
        sheet = read_sheet_file(path, knowledge().facts).facts
        yield sheet
        for _ in range(MUTANTS_OF_A_SHEET):
            facts = dict(sheet)
            for name in draws.sample(sorted(facts), draws.choice((1, 2, 3))):
                facts[name] = changed(knowledge().facts[name], facts[name], draws)
            yield facts


@pytest.mark.slow
def test_no_two_rules_contradict_each_other_on_examples_put_together() -> None:
    found, judged, passed_over = swept(judge(), merged_examples(Random(SEED)))
    assert found == {}
    assert judged == MERGED
    assert passed_over < judged / 10


@pytest.mark.slow
def test_no_two_rules_about_one_subject_contradict_each_other_on_their_own_examples() -> None:
    found, judged, _ = swept(judge(), examples_of_opposed_rules())
    assert found == {}
    assert judged > 1000


@pytest.mark.slow
def test_no_two_rules_contradict_each_other_on_workshop_sheets_with_a_few_facts_changed() -> None:
    found, judged, passed_over = swept(judge(), mutated_sheets(Random(SEED)))
    assert found == {}
    assert judged > 4000
    assert passed_over < judged / 10


def test_the_sweep_finds_opposed_rulings_and_values_that_differ(judge_of: JudgeWith) -> None:
    base = judge_of(
        rule("use-it", when="bolt.size: M4", ruling="must", about="use-the-bolt"),
        rule("leave-it", when="bolt.greased: no", ruling="must not", about="use-the-bolt"),
        rule("fine", when="bolt.size: M4", derive="bolt.verdict: good"),
        rule("worn", when="bolt.turns: {above: 5}", derive="bolt.verdict: worn"),
    )
    sheets = [
        given(base, "bolt.size: M4"),
        given(base, "bolt.size: M4, bolt.greased: no"),
        given(base, "bolt.size: M4, bolt.turns: 9"),
    ]
    found, judged, passed_over = swept(base, iter(sheets))
    assert list(found) == [
        "leave-it says must not and use-it says must about use-the-bolt",
        "fine and worn give bolt.verdict different values",
    ]
    assert (judged, passed_over) == (3, 0)


def test_the_sweep_passes_over_a_sheet_that_contradicts_itself(judge_of: JudgeWith) -> None:
    base = judge_of(rule("fine", when="bolt.size: M4", derive="bolt.verdict: good"))
    assert swept(base, iter([given(base, "bolt.size: M4, bolt.verdict: worn")])) == ({}, 1, 1)
