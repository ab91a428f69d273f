"""Mutation: which small changes of a rule are made, and which of them its examples catch."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from sideplate_engine import Judge, load
from sideplate_engine.condition_algebra import OPPOSITE
from sideplate_engine.condition_mutants import SLIP, other_unit
from sideplate_engine.findings import Position
from sideplate_engine.graduations import graduation
from sideplate_engine.mutation import Strength, Survivor, strength_of
from sideplate_engine.rule_mutants import mutants_of
from sideplate_engine.vocabulary import Fact
from support.small_knowledge import JudgeWith, rule

LONG = "bolt.length: {above: 50 mm}"


def changes(judge: Judge, id_: str) -> list[str]:
    return [mutant.what for mutant in mutants_of(judge.knowledge, judge.knowledge.rules[id_])]


def survivors(judge: Judge, id_: str) -> list[str]:
    ((_, strength),) = strength_of(judge.knowledge, [id_])
    return [survivor.what for survivor in strength.survivors]


def examples(*written: str) -> str:
    return "[" + ", ".join(f"{{name: e{number}, {text}}}" for number, text in enumerate(written)) + "]"


def test_a_limit_is_nudged_inverted_loosened_misread_and_dropped(judge_of: JudgeWith) -> None:
    judge = judge_of(rule("it", when=LONG))
    assert changes(judge, "it") == [
        "without: bolt.length is above 50.0 mm",
        "becomes: bolt.length is at most 50.0 mm",
        "becomes: bolt.length is at least 50.0 mm",
        "becomes: bolt.length is above 50.1 mm",
        "becomes: bolt.length is above 49.9 mm",
        "becomes: bolt.length is above 500.0 mm",
        "becomes: should not",
    ]


def test_members_of_a_list_are_dropped_one_by_one(judge_of: JudgeWith) -> None:
    judge = judge_of(rule("it", when="bolt.size: {one of: [M4, M6]}"))
    assert {"becomes: bolt.size is M4", "becomes: bolt.size is M6"} <= set(changes(judge, "it"))


def test_alternatives_are_dropped_and_joined(judge_of: JudgeWith) -> None:
    judge = judge_of(rule("it", when="bolt.size: M4\nany:\n  - bolt.greased: yes\n  - bolt.marks: rust"))
    made = changes(judge, "it")
    assert made.count("without this alternative") == 2
    assert "every alternative must hold" in made
    assert "one condition is enough" in made


def test_exceptions_forces_values_columns_and_overrides_are_changed(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("low", when=LONG),
        rule(
            "it",
            when="bolt.length: {above: 60 mm}",
            unless="bolt.greased: yes",
            overrides="[low]",
            ruling="must",
        ),
        rule("pitch", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}"),
        rule("state", when="bolt.marks: rust", derive="bolt.verdict: worn"),
        rule("ready", when="bolt.marks: bent", derive="bolt.ready: no"),
    )
    assert {
        "without its exception",
        "in the exception, becomes: bolt.greased is none of yes",
        "becomes: must not",
        "does not override low",
    } <= set(changes(judge, "it"))
    assert changes(judge, "pitch") == []  # no other column holds millimetres
    assert "derives good" in changes(judge, "state")
    assert "derives yes" in changes(judge, "ready")


def test_a_change_that_changes_nothing_is_not_made(judge_of: JudgeWith) -> None:
    judge = judge_of(rule("it", when="bolt.length: {at least: 1 mm}"))
    assert "becomes: bolt.length is at least 0.9 mm" not in changes(judge, "it")
    assert "becomes: bolt.length is at least 1.1 mm" in changes(judge, "it")


def test_examples_at_the_limit_and_one_graduation_beyond_catch_every_nudge(judge_of: JudgeWith) -> None:
    beside = examples(
        "given: {bolt.length: 50 mm}, expect: quiet", "given: {bolt.length: 50.1 mm}, expect: fires"
    )
    assert survivors(judge_of(rule("it", when=LONG, examples=beside)), "it") == []


def test_examples_far_from_the_limit_let_nudges_through(judge_of: JudgeWith) -> None:
    far = examples("given: {bolt.length: 20 mm}, expect: quiet", "given: {bolt.length: 90 mm}, expect: fires")
    assert set(survivors(judge_of(rule("it", when=LONG, examples=far)), "it")) == {
        "becomes: bolt.length is above 49.9 mm",
        "becomes: bolt.length is above 50.1 mm",
        "becomes: bolt.length is at least 50.0 mm",
    }


def test_a_force_is_noticed_only_where_the_ruling_is_given(judge_of: JudgeWith) -> None:
    quiet = rule("it", when="bolt.size: M4", examples=examples("given: {bolt.size: M6}, expect: quiet"))
    assert "becomes: should not" in survivors(judge_of(quiet), "it")
    fires = rule("it", when="bolt.size: M4", examples=examples("given: {bolt.size: M4}, expect: fires"))
    assert "becomes: should not" not in survivors(judge_of(fires), "it")


def test_a_reader_of_a_derived_fact_catches_what_its_deriver_does_wrong(judge_of: JudgeWith) -> None:
    state = rule("state", when="bolt.marks: rust", derive="bolt.verdict: done",
                 examples=examples("given: {bolt.marks: [rust]}, expect: fires"))  # fmt: skip
    assert "derives good" in survivors(judge_of(state), "state")
    renew = rule("renew", when="bolt.verdict: done",
                 examples=examples("given: {bolt.marks: [rust]}, expect: fires"))  # fmt: skip
    assert "derives good" not in survivors(judge_of(state, renew), "state")


def test_an_override_is_noticed_by_an_example_of_the_rule_set_aside(judge_of: JudgeWith) -> None:
    over = rule("over", when="bolt.marks: rust", overrides="[it]",
                examples=examples("given: {bolt.marks: [rust]}, expect: fires"))  # fmt: skip
    alone = rule("it", when="bolt.size: M4", examples=examples("given: {bolt.size: M4}, expect: fires"))
    assert "does not override it" in survivors(judge_of(over, alone), "over")
    shown = rule("it", when="bolt.size: M4",
                 examples=examples("given: {bolt.size: M4, bolt.marks: [rust]}, expect: overridden"))  # fmt: skip
    assert "does not override it" not in survivors(judge_of(over, shown), "over")


def test_examples_that_fail_already_catch_nothing(judge_of: JudgeWith) -> None:
    wrong = examples("given: {bolt.length: 20 mm}, expect: fires")
    judge = judge_of(rule("it", when=LONG, examples=wrong))
    ((_, strength),) = strength_of(judge.knowledge, ["it"])
    assert (strength.made, strength.caught) == (7, 0)


def test_strengths_add_up_and_survivors_stay_in_the_order_of_their_places() -> None:
    one = Strength(
        3, 1, (Survivor("b", "x", Position("b.yaml", 2)), Survivor("b", "y", Position("b.yaml", 1)))
    )
    both = one + Strength(1, 0, (Survivor("a", "z", Position("a.yaml", 9)),))
    assert (both.made, both.caught, both.score) == (4, 1, 0.25)
    assert [survivor.what for survivor in both.survivors] == ["z", "y", "x"]
    assert Strength().score == 1.0


def test_every_test_that_can_be_written_has_its_opposite() -> None:
    assert all(OPPOSITE[OPPOSITE[test]] in (test, *_both_lists()) for test in OPPOSITE)


def _both_lists() -> Iterable[object]:
    return [test for test in OPPOSITE if test.value in ("one of", "equals")]


@pytest.mark.parametrize(
    ("kind", "unit", "decimals", "value", "step"),
    [
        ("count", "1", None, 40.0, 1.0),
        ("quantity", "mm", 1, 40.0, 0.1),
        ("quantity", "mm", 0, 40.0, 1.0),
        ("quantity", "mm", None, 620.0, 10.0),
        ("quantity", "mm", None, 0.75, 0.01),
        ("quantity", "mm", None, 0.0, 0.01),
    ],
)
def test_a_graduation_is_the_last_figure_that_is_read(
    kind: str, unit: str, decimals: int | None, value: float, step: float
) -> None:
    fact = Fact("bolt.it", kind, "It.", Position("here"), unit, decimals=decimals)  # type: ignore[arg-type]  # a plain kind
    assert graduation(fact, value, SLIP) == pytest.approx(step)


def test_a_misread_unit_is_of_the_same_dimension() -> None:
    assert other_unit("mm") == "cm"
    assert other_unit("°C") == "°F"
    assert other_unit("rpm") is None


@pytest.mark.slow
def test_the_examples_of_the_built_in_base_catch_nine_of_ten_changes() -> None:
    total = Strength()
    for _, strength in strength_of(load().sound()):
        total += strength
    assert total.made > 2000
    assert total.score >= 0.9
