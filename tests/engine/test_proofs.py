"""Proof trees: from a ruling down to what the sheet states, with the arithmetic and the sources."""

from __future__ import annotations

from sideplate_engine import Judge
from sideplate_engine.proofs import Proofs, Step
from sideplate_engine.vocabulary import System
from support.small_knowledge import JudgeWith, given, rule

CHAIN = (
    rule("pitch", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}"),
    rule("travel", derive="bolt.travel: {formula: travel}"),
    rule("far", when="bolt.travel: {above: 5 mm}\nbolt.greased: unknown"),
)


def proofs(judge: Judge, facts: str, system: System = "metric") -> Proofs:
    return Proofs(judge.knowledge, judge.outcome(given(judge, facts)), system)


def test_a_proof_goes_down_to_what_the_sheet_states(judge_of: JudgeWith) -> None:
    judge = judge_of(*CHAIN)
    found = proofs(judge, "bolt.size: m4, bolt.turns: 10")
    size = Step("bolt.size", "M4", "given")
    turns = Step("bolt.turns", 10, "given")
    pitch = Step(
        "bolt.pitch", 0.7, "pitch", "table threads, row M4, column pitch",
        ("The book of threads, page 4", "The book of threads"), False, (size,),
    )  # fmt: skip
    travel = Step(
        "bolt.travel", 7.0, "travel", "10×(0.70 mm)",
        ("The book of threads, page 9", "The book of threads"), False, (turns, pitch),
    )  # fmt: skip
    assert found.of_rule(judge.knowledge.rules["far"]) == (travel,), "what is unknown proves nothing"
    assert found.of_fact("bolt.pitch") is travel.because_of[1] or found.of_fact("bolt.pitch") == pitch


def test_a_proof_is_told_in_the_readers_units(judge_of: JudgeWith) -> None:
    found = proofs(judge_of(*CHAIN), "bolt.size: m4, bolt.turns: 10", "us")
    assert found.of_fact("bolt.travel").how == "10×(0.028 in)"
    assert found.of_fact("bolt.travel").value == 7.0


def test_a_stated_fact_is_given_even_where_rules_derive_it_too(judge_of: JudgeWith) -> None:
    found = proofs(judge_of(*CHAIN), "bolt.size: m4, bolt.pitch: 0.72 mm, bolt.turns: 10")
    assert found.of_fact("bolt.pitch") == Step("bolt.pitch", 0.72, "given")


def test_a_recalled_figure_is_marked(judge_of: JudgeWith) -> None:
    found = proofs(judge_of(*CHAIN), "bolt.size: M8")
    assert found.of_fact("bolt.pitch").from_memory


def test_a_recalled_cell_does_not_cite_the_works_that_the_rest_of_its_row_was_read_in(
    judge_of: JudgeWith,
) -> None:
    judge = judge_of(
        {
            "sources.yaml": "thread-book: {title: The book of threads, kind: handbook, verified: all of it}\n"
            "custom: {title: Custom, kind: practice, verified: seen}\n"
        },
        rule(
            "strong",
            derive="bolt.strength: {lookup: threads, by: bolt.size, take: strength}",
            sources="[{work: custom}]",
        ),
        rule(
            "steep",
            derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}",
            sources="[{work: custom}]",
        ),
    )
    found = proofs(judge, "bolt.size: M6")
    assert found.of_fact("bolt.strength").sources == ("Custom",)
    assert found.of_fact("bolt.pitch").sources == ("The book of threads", "Custom")


def test_a_copy_names_what_it_copies_and_a_plain_value_needs_no_working(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("copy", derive="nut.size: {fact: bolt.size}"),
        rule("plain", when="bolt.size: M4", derive="bolt.verdict: good"),
    )
    found = proofs(judge, "bolt.size: M4")
    assert found.of_fact("nut.size").how == "the same as bolt.size"
    assert found.of_fact("bolt.verdict").how == ""
    assert found.of_fact("bolt.verdict").because_of == (Step("bolt.size", "M4", "given"),)


def test_only_the_branch_that_holds_is_in_the_proof(judge_of: JudgeWith) -> None:
    judge = judge_of(rule("it", when="any: [{bolt.turns: 3}, {bolt.size: M4}]"))
    found = proofs(judge, "bolt.size: M4, bolt.turns: 4")
    assert [step.fact for step in found.of_rule(judge.knowledge.rules["it"])] == ["bolt.size"]


def test_a_set_from_the_sheet_and_several_rules_names_them_all(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("dry", when="bolt.size: M4", derive="bolt.marks: rust"),
        rule("turned", when="bolt.turns: 3\nbolt.size: M4", derive="bolt.marks: bent"),
    )
    facts = "bolt.size: M4, bolt.turns: 3"
    alone = proofs(judge, facts).of_fact("bolt.marks")
    assert (alone.by, [step.fact for step in alone.because_of]) == (
        "dry, turned",
        ["bolt.size", "bolt.turns"],
    )
    with_sheet = proofs(judge, f"{facts}, bolt.marks: stretched").of_fact("bolt.marks")
    assert with_sheet.by == "given, dry, turned"


def test_what_was_set_aside_can_be_proved_too(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("guess", when="bolt.turns: 3", derive="bolt.pitch: 2 mm"),
        rule("own", when="bolt.nuts: 1", derive="bolt.pitch: 1 mm", overrides="[guess]"),
    )
    found = proofs(judge, "bolt.turns: 3, bolt.nuts: 1")
    assert found.of_fact("bolt.pitch").by == "own"
    aside = found.of_derivation(judge.knowledge.rules["guess"], "bolt.pitch", 2.0)
    assert (aside.value, [step.fact for step in aside.because_of]) == (2.0, ["bolt.turns"])


def test_a_value_that_two_rules_agree_on_is_proved_by_one_of_them(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("one", when="bolt.size: M4", derive="bolt.pitch: 1 mm"),
        rule("two", when="bolt.turns: 3", derive="bolt.pitch: 1 mm"),
    )
    step = proofs(judge, "bolt.size: M4, bolt.turns: 3").of_fact("bolt.pitch")
    assert (step.by, [below.fact for below in step.because_of]) == ("one", ["bolt.size"])
