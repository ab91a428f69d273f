"""Chaining: what fires, what is set aside, what contradicts, and what stays unknown because of it."""

from __future__ import annotations

import pytest

from sideplate_engine.chaining import Chained
from support.small_knowledge import Files, JudgeWith, given, rule

SIZE = "bolt.size: M4"


def test_derived_facts_feed_the_strata_above(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("pitch", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}"),
        rule("travel", derive="bolt.travel: {formula: travel}"),
        rule("far", when="bolt.travel: {above: 5 mm}"),
    )
    outcome = judge.outcome(given(judge, "bolt.size: m4, bolt.turns: 10"))
    assert outcome.facts == {"bolt.size": "M4", "bolt.turns": 10, "bolt.pitch": 0.7, "bolt.travel": 7.0}
    assert outcome.fired == {"pitch", "travel", "far"}
    assert outcome.given == {"bolt.size": "M4", "bolt.turns": 10}


def test_a_rule_without_conditions_derives_on_every_job(judge_of: JudgeWith) -> None:
    judge = judge_of(rule("it", derive="bolt.verdict: good"))
    assert judge.outcome({}).facts == {"bolt.verdict": "good"}


# exceptions


@pytest.mark.parametrize(
    ("facts", "fired", "excepted"),
    [
        ("bolt.size: M4", {"it"}, set()),
        ("bolt.size: M4, bolt.greased: yes", set(), {"it"}),
        ("bolt.size: M4, bolt.greased: no", {"it"}, set()),
        ("bolt.greased: yes", set(), set()),
    ],
)
def test_only_an_exception_that_holds_silences_a_rule(
    judge_of: JudgeWith, facts: str, fired: set[str], excepted: set[str]
) -> None:
    judge = judge_of(rule("it", when=SIZE, unless="bolt.greased: yes"))
    outcome = judge.outcome(given(judge, facts))
    assert (set(outcome.fired), set(outcome.excepted)) == (fired, excepted)


# overrides


def overridden(outcome: Chained) -> dict[str, tuple[str, ...]]:
    return dict(outcome.overridden)


LOW = rule("low", when=SIZE)
MIDDLE = rule("middle", when="bolt.turns: known", overrides="[low]")
HIGH = rule("high", when="bolt.nuts: known", unless="bolt.greased: yes", overrides="[middle]")


@pytest.mark.parametrize(
    ("facts", "set_aside"),
    [
        (SIZE, {}),  # an override that does not fire sets nothing aside
        (f"{SIZE}, bolt.turns: 3", {"low": ("middle",)}),
        (f"{SIZE}, bolt.nuts: 1", {}),
        # a rule set aside sets nothing aside itself
        (f"{SIZE}, bolt.turns: 3, bolt.nuts: 1", {"middle": ("high",)}),
        # one that is excepted does not either
        (f"{SIZE}, bolt.turns: 3, bolt.nuts: 1, bolt.greased: yes", {"low": ("middle",)}),
    ],
)
def test_an_override_works_only_through_a_rule_that_stands(
    judge_of: JudgeWith, facts: str, set_aside: dict[str, tuple[str, ...]]
) -> None:
    judge = judge_of(LOW, MIDDLE, HIGH)
    outcome = judge.outcome(given(judge, facts))
    assert overridden(outcome) == set_aside
    assert outcome.live == outcome.fired - set_aside.keys()


def test_a_rule_without_a_value_overrides_nothing(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("guess", when=SIZE, derive="bolt.strength: 3 kN"),
        rule(
            "table",
            derive="bolt.strength: {lookup: threads, by: bolt.code, take: strength}",
            overrides="[guess]",
        ),
    )
    assert judge.outcome(given(judge, f"{SIZE}, bolt.code: M8")).facts["bolt.strength"] == 3.0
    outcome = judge.outcome(given(judge, f"{SIZE}, bolt.code: M6"))
    assert outcome.facts["bolt.strength"] == 9.0
    assert overridden(outcome) == {"guess": ("table",)}
    assert not outcome.conflicts
    assert outcome.results["guess"][0].value == 3.0, "what was overridden is part of the outcome"


def test_several_rules_may_set_one_aside(judge_of: JudgeWith) -> None:
    judge = judge_of(
        LOW, rule("b", when=SIZE, overrides="[low]"), rule("a", when="bolt.nuts: 1", overrides="[low]")
    )
    assert overridden(judge.outcome(given(judge, f"{SIZE}, bolt.nuts: 1"))) == {"low": ("a", "b")}


# conflicts

TWO_PITCHES = (
    rule("one", when="bolt.size: known", derive="bolt.pitch: 1 mm"),
    rule("two", when="bolt.turns: known", derive="bolt.pitch: 2 mm"),
)


def test_rules_that_differ_leave_the_fact_unknown_above(judge_of: JudgeWith) -> None:
    judge = judge_of(
        *TWO_PITCHES,
        rule("same", when="bolt.nuts: known", derive="bolt.pitch: 1 mm"),
        rule("travel", derive="bolt.travel: {formula: travel}"),
        rule("lacking", when="bolt.pitch: unknown"),
    )
    outcome = judge.outcome(given(judge, f"{SIZE}, bolt.turns: 3, bolt.nuts: 1"))
    assert outcome.fired == {"one", "two", "same", "lacking"}
    assert "bolt.pitch" not in outcome.facts
    assert "bolt.pitch" not in outcome.derived
    (conflict,) = outcome.conflicts
    assert (conflict.fact, conflict.values) == ("bolt.pitch", ((1.0, ("one", "same")), (2.0, ("two",))))
    assert not conflict.has_given


def test_rules_that_agree_derive_together(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("one", when="bolt.size: known", derive="bolt.pitch: 1 mm"),
        rule("two", when="bolt.turns: known", derive="bolt.pitch: 1.0 mm"),
    )
    outcome = judge.outcome(given(judge, f"{SIZE}, bolt.turns: 3"))
    assert outcome.derived["bolt.pitch"].by == ("one", "two")
    assert not outcome.conflicts


def test_a_conflict_among_the_set_aside_is_none(judge_of: JudgeWith) -> None:
    judge = judge_of(*TWO_PITCHES, rule("own", derive="bolt.pitch: 3 mm", overrides="[one, two]"))
    outcome = judge.outcome(given(judge, f"{SIZE}, bolt.turns: 3"))
    assert outcome.facts["bolt.pitch"] == 3.0
    assert not outcome.conflicts


@pytest.mark.parametrize(
    ("stated", "conflicting"),
    [("1 mm", False), ("1.05 mm", False), ("0.95 mm", False), ("1.06 mm", True), ("0.94 mm", True)],
)
def test_a_stated_value_is_held_to_the_derived_one_within_agree(
    judge_of: JudgeWith, stated: str, conflicting: bool
) -> None:
    judge = judge_of(rule("one", when="bolt.size: known", derive="bolt.pitch: 1 mm"))
    facts = given(judge, f"{SIZE}, bolt.pitch: {stated}")
    outcome = judge.outcome(facts)
    assert [conflict.values for conflict in outcome.conflicts] == (
        [((facts["bolt.pitch"], ("given",)), (1.0, ("one",)))] if conflicting else []
    )
    assert all(conflict.has_given for conflict in outcome.conflicts)
    assert outcome.facts == facts, "what the sheet states stays what it was"
    assert not outcome.derived


def test_a_stated_value_is_held_to_every_rule_that_derives_it(judge_of: JudgeWith) -> None:
    judge = judge_of(*TWO_PITCHES)
    (conflict,) = judge.outcome(given(judge, f"{SIZE}, bolt.turns: 3, bolt.pitch: 1 mm")).conflicts
    assert conflict.values == ((1.0, ("given",)), (1.0, ("one",)), (2.0, ("two",)))


def test_conflicts_come_in_the_order_of_their_facts(judge_of: JudgeWith) -> None:
    both: list[Files] = [
        rule(f"{who}-{which}", when=SIZE, derive=f"bolt.{which}: {value}")
        for which, values in (("verdict", ("good", "done")), ("pitch", ("1 mm", "2 mm")))
        for who, value in zip(("a", "b"), values, strict=True)
    ]
    judge = judge_of(*both)
    assert [conflict.fact for conflict in judge.outcome({"bolt.size": "M4"}).conflicts] == [
        "bolt.pitch",
        "bolt.verdict",
    ]


# sets


@pytest.mark.parametrize(
    ("facts", "marks", "by"),
    [
        (SIZE, {"rust"}, ("dry",)),
        (f"{SIZE}, bolt.turns: 3", {"rust", "bent", "stretched"}, ("dry", "turned")),
        (f"{SIZE}, bolt.marks: [bent]", {"rust", "bent"}, ("dry",)),
        (f"{SIZE}, bolt.marks: []", {"rust"}, ("dry",)),
        ("bolt.marks: [bent]", {"bent"}, None),
        ("bolt.nuts: 1", None, None),
    ],
)
def test_a_set_is_what_the_sheet_and_all_rules_put_into_it(
    judge_of: JudgeWith, facts: str, marks: set[str] | None, by: tuple[str, ...] | None
) -> None:
    judge = judge_of(
        rule("dry", when=SIZE, derive="bolt.marks: rust"),
        rule("turned", when="bolt.turns: {above: 2}", derive="bolt.marks: [bent, stretched]"),
        rule("bent", when="bolt.marks: bent"),
    )
    outcome = judge.outcome(given(judge, facts))
    assert outcome.facts.get("bolt.marks") == (None if marks is None else frozenset(marks))
    assert (outcome.derived["bolt.marks"].by if by else None) == by
    assert ("bent" in outcome.fired) == (marks is not None and "bent" in marks)
    assert not outcome.conflicts


def test_a_rule_set_aside_puts_nothing_into_a_set(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("dry", when=SIZE, derive="bolt.marks: rust"),
        rule("over", when=SIZE, derive="bolt.marks: bent", overrides="[dry]"),
    )
    assert judge.outcome({"bolt.size": "M4"}).facts["bolt.marks"] == frozenset({"bent"})
