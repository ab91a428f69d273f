"""What changes between two knowledge bases: rules by what they decide, rulings on the same jobs."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_engine.comparing import Comparison, Sheets, compare, count_cases
from sideplate_engine.standings import standing_of
from support.small_knowledge import VOCABULARY, Files, JudgeWith, given, judge_with, load_with, rule

LONG = rule(
    "long",
    title="Long bolts",
    when="bolt.length: {above: 20 mm}",
    ruling="must not",
    says="Do not use {bolt.length}.",
    examples="[{name: long, given: {bolt.length: 25 mm}, expect: fires}]",
)
GREASE = rule(
    "grease", when="bolt.greased: no", examples="[{name: dry, given: {bolt.greased: no}, expect: fires}]"
)

Bases = Callable[..., Comparison]


@pytest.fixture
def compared(tmp_path: Path) -> Bases:
    """The comparison of two sets of rules, with job sheets in one line each."""

    def make(old: tuple[Files, ...], new: tuple[Files, ...], *jobs: str) -> Comparison:
        one, other = judge_with(tmp_path / "old", *old), judge_with(tmp_path / "new", *new)
        sheets: Sheets = [(job, given(one, job)) for job in jobs]
        also: Sheets = [(job, given(other, job)) for job in jobs]
        return compare(one.knowledge, other.knowledge, sheets, also)

    return make


def test_the_same_knowledge_is_the_same(compared: Bases) -> None:
    found = compared((LONG, GREASE), (LONG, GREASE), "bolt.length: 30 mm")
    assert found.is_same
    assert found.judged == {"sheet": 1, "example": 2, "limit": 3}


def test_other_words_are_no_change_of_the_rule_but_of_the_ruling(compared: Bases) -> None:
    words = rule("grease", when="bolt.greased: no", says="Grease it.",
                 examples="[{name: dry, given: {bolt.greased: no}, expect: fires}]")  # fmt: skip
    found = compared((GREASE,), (words,))
    assert found.rules == ()
    (ruling,) = found.rulings
    assert [(each.old, each.new) for each in ruling.reworded] == [
        ("SHOULD: Look at it.", "SHOULD: Grease it.")
    ]
    assert found.standings == ()


def test_a_limit_that_moves_changes_the_rule_and_the_jobs_between(compared: Bases) -> None:
    moved = {name: text.replace("20 mm", "30 mm").replace("25 mm", "35 mm") for name, text in LONG.items()}
    found = compared((LONG,), (moved,), "bolt.length: 28 mm", "bolt.length: 40 mm")
    assert [(change.rule, change.change) for change in found.rules] == [("long", "changed")]
    (ruling,) = found.rulings
    assert ruling.comes == []
    assert [case.name for case in ruling.goes] == [
        "bolt.length: 28 mm",
        "long: bolt.length at 29.9 mm",
        "long: bolt.length at 30.0 mm",
        "long: long",
        "long: bolt.length at 20.1 mm",
    ]
    assert [(standing.old, standing.new) for standing in found.standings] == [("stop", "clear")] * 5


def test_rules_come_go_are_retired_and_are_replaced(compared: Bases) -> None:
    retired = rule("long", topic="retired", when="bolt.size: M4", status="retired")
    replacing = rule("greasy", when="bolt.greased: no", replaces="grease")
    found = compared((LONG, GREASE, rule("gone", when="bolt.size: M4")), (retired, GREASE, replacing))
    assert [(change.rule, change.change, change.by) for change in found.rules] == [
        ("gone", "removed", ""),
        ("grease", "replaced", "greasy"),
        ("greasy", "added", ""),
        ("long", "retired", ""),
    ]
    assert {ruling.rule for ruling in found.rulings} == {"gone", "grease", "greasy", "long"}


def test_a_change_below_shows_in_the_rulings_that_rest_on_it(compared: Bases) -> None:
    limit = rule("limit", when="bolt.size: M4", derive="bolt.travel: 10 mm")
    moved = rule("limit", when="bolt.size: M4", derive="bolt.travel: 15 mm")
    over = rule(
        "over", when="bolt.length: {above fact: bolt.travel}", says="More than {bolt.travel}.", ruling="must"
    )
    found = compared(
        (limit, over), (moved, over), "bolt.size: M4, bolt.length: 12 mm", "bolt.size: M4, bolt.length: 20 mm"
    )
    assert [change.rule for change in found.rules] == ["limit"]
    (ruling,) = found.rulings
    assert (ruling.rule, len(ruling.goes)) == ("over", 1)
    assert [(each.old, each.new) for each in ruling.reworded] == [
        ("MUST: More than 10.0 mm.", "MUST: More than 15.0 mm.")
    ]


def test_a_job_that_only_one_base_knows_is_judged_by_both(tmp_path: Path) -> None:
    old = judge_with(tmp_path / "old", LONG).knowledge
    more = (
        VOCABULARY
        + "bolt.head: {kind: flag, means: A head., ask: A head?, says: {yes: A head., no: No head.}}\n"
    )
    headless = rule("headless", when="bolt.head: no\nbolt.length: {above: 20 mm}")
    new_judge = judge_with(tmp_path / "new", LONG, headless, {"vocabulary/bolt.yaml": more})
    sheet = given(new_judge, "bolt.head: no, bolt.length: 30 mm")
    found = compare(old, new_judge.knowledge, [], [("sheet", sheet)])
    (ruling,) = found.rulings
    assert (ruling.rule, [case.name for case in ruling.comes]) == ("headless", ["sheet"])


def test_a_unit_that_changes_in_the_vocabulary_changes_no_ruling(tmp_path: Path) -> None:
    inches = VOCABULARY.replace(
        "bolt.length:\n  kind: quantity\n  unit: mm", "bolt.length:\n  kind: quantity\n  unit: in"
    )
    assert inches != VOCABULARY
    plain = {name: text.replace("{bolt.length}", "it") for name, text in LONG.items()}
    old = load_with(tmp_path / "old", plain).sound()
    new = load_with(tmp_path / "new", plain, {"vocabulary/bolt.yaml": inches}).sound()
    found = compare(old, new, [], [])
    assert found.rulings == ()


def test_every_job_is_counted_beforehand(tmp_path: Path) -> None:
    old = load_with(tmp_path / "old", LONG).sound()
    new = load_with(tmp_path / "new", LONG, GREASE).sound()
    steps: list[None] = []
    found = compare(old, new, [], [], after=lambda: steps.append(None))
    assert len(steps) == count_cases(old, new, [], []) == sum(found.judged.values()) == 5


@pytest.mark.parametrize(
    ("facts", "standing"),
    [
        ("bolt.length: 25 mm", "stop"),
        ("bolt.greased: no", "take care"),
        ("bolt.finish: plated", "put right"),
        ("bolt.finish: plated, bolt.code: VX", "stop"),  # opposed rulings about one thing
        ("bolt.code: VX, bolt.finish: bare", "put right"),
        ("bolt.size: M4", "clear"),
        ("", "clear"),
    ],
)
def test_the_standing_of_an_outcome_is_that_of_its_judgement(
    judge_of: JudgeWith, facts: str, standing: str
) -> None:
    judge = judge_of(
        LONG,
        GREASE,
        rule("plated", when="bolt.finish: plated", ruling="must", about="use-the-bolt"),
        rule("bare", when="bolt.finish: bare\nbolt.code: VX", ruling="should", about="use-the-bolt"),
        rule("code", when="bolt.code: VX", ruling="should not", about="use-the-bolt"),
        rule("not", when="bolt.code: VX\nbolt.finish: plated", ruling="must not", about="use-the-bolt"),
    )
    stated = given(judge, facts)
    assert standing_of(judge.knowledge, judge.outcome(stated)) == standing
    assert judge.judge(stated).standing == standing


def test_the_base_knowledge_is_the_same_as_itself(bolts: KnowledgeBase) -> None:
    assert compare(bolts, bolts, [], []).is_same
