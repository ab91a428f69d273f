"""Judgements: standing, order, texts, exceptions still open, cautions, warnings, conflicts."""

from __future__ import annotations

import pytest

from sideplate_engine import Judge, Judgement
from sideplate_engine.judgement import DEFER
from sideplate_engine.vocabulary import System
from support.small_knowledge import JudgeWith, given, rule

SIZE = "bolt.size: M4"


def judged(judge: Judge, facts: str, system: System = "metric") -> Judgement:
    return judge.judge(given(judge, facts), system=system)


@pytest.mark.parametrize(
    ("forces", "standing"),
    [
        ([], "clear"),
        (["may"], "clear"),
        (["should"], "take care"),
        (["should not"], "take care"),
        (["must", "should"], "put right"),
        (["must not", "must", "should", "may"], "stop"),
    ],
)
def test_the_standing_is_the_gravest_of_what_stands(
    judge_of: JudgeWith, forces: list[str], standing: str
) -> None:
    rules = [rule(f"r{number}", when=SIZE, ruling=force) for number, force in enumerate(forces)]
    judge = judge_of(*rules, rule("quiet", when="bolt.size: M6", ruling="must not"))
    assert judged(judge, SIZE).standing == standing


def test_a_ruling_set_aside_does_not_count_for_the_standing(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("grave", when=SIZE, ruling="must not", says="Never."),
        rule("mild", when=SIZE, ruling="may", overrides="[grave]", because="{kind: practice, text: Known.}"),
    )
    result = judged(judge, SIZE)
    assert result.standing == "clear"
    (aside,) = result.overridden
    assert (aside.rule, aside.says, aside.by, aside.because, aside.differs) == (
        "grave",
        "Never.",
        ("mild",),
        "Known.",
        True,
    )
    assert result.rulings[0].overrides == ("grave",)


@pytest.mark.parametrize(("guess", "differs"), [("0.7 mm", False), ("0.74 mm", False), ("2 mm", True)])
def test_what_was_set_aside_tells_its_own_value_and_whether_it_matters(
    judge_of: JudgeWith, guess: str, differs: bool
) -> None:
    judge = judge_of(
        rule("guess", when=SIZE, derive=f"bolt.pitch: {guess}", says="The pitch is {bolt.pitch}."),
        rule(
            "table",
            derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}",
            overrides="[guess]",
            says="The table says {bolt.pitch}.",
        ),
    )
    (aside,) = judged(judge, SIZE).overridden
    assert (aside.says, aside.differs) == (f"The pitch is {float(guess.split()[0]):.2f} mm.", differs)


def test_rulings_come_by_force_then_by_topic_then_by_name(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("a", when=SIZE, ruling="may"),
        rule("b", "checking", when=SIZE, ruling="must"),
        rule("d", when=SIZE, ruling="must"),
        rule("c", when=SIZE, ruling="must"),
        rule("e", when=SIZE, ruling="should not"),
        rule("f", when=SIZE, ruling="must not"),
        rule("g", when=SIZE, ruling="should"),
    )
    assert [ruling.rule for ruling in judged(judge, SIZE).rulings] == list("fcdbega")


def test_texts_are_filled_in_the_readers_units(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule(
            "it",
            when="bolt.length: {above: 5 mm}",
            ruling="must not",
            says="{bolt.length} is more than {5 mm}.",
            instead="Take one of {5 mm}.",
            if_ignored="It stands out by {2 mm}.",
            because="{kind: cause, text: 'At {bolt.length} it bends.'}",
        )
    )
    (ruling,) = judged(judge, "bolt.length: 1 in").rulings
    assert (ruling.says, ruling.instead) == ("25.4 mm is more than 5 mm.", "Take one of 5 mm.")
    assert (ruling.because, ruling.if_ignored) == ("At 25.4 mm it bends.", "It stands out by 2 mm.")
    (ruling,) = judged(judge, "bolt.length: 1 in", "us").rulings
    assert (ruling.says, ruling.because) == ("1.000 in is more than 0.197 in.", "At 1.000 in it bends.")


@pytest.mark.parametrize(
    ("facts", "lifted_by"),
    [
        (SIZE, ("bolt.greased", "bolt.turns")),
        (f"{SIZE}, bolt.greased: yes", ("bolt.turns",)),
        (f"{SIZE}, bolt.greased: no", ()),
        (f"{SIZE}, bolt.turns: 4", ()),
    ],
)
def test_a_ruling_names_what_could_still_lift_it(
    judge_of: JudgeWith, facts: str, lifted_by: tuple[str, ...]
) -> None:
    judge = judge_of(rule("it", when=SIZE, unless="bolt.greased: yes\nbolt.turns: 3"))
    (ruling,) = judged(judge, facts).rulings
    assert ruling.lifted_by == lifted_by


def test_cautions_are_those_of_the_rulings_that_stand_once_each(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("a", when=SIZE, caution="sharp-edges"),
        rule("b", when=SIZE, caution="sharp-edges"),
        rule("c", when="bolt.size: M6", caution="sharp-edges"),
    )
    result = judged(judge, SIZE)
    assert {id_: caution.do for id_, caution in result.cautions.items()} == {"sharp-edges": "Wear gloves."}
    assert judged(judge, "bolt.size: M8").cautions == {}


def test_every_judgement_defers_to_the_manual_the_law_and_the_mechanic(judge_of: JudgeWith) -> None:
    assert judged(judge_of(), "").defer == DEFER
    assert all(word in DEFER for word in ("manual", "law", "mechanic"))


def test_warnings_are_the_sheets_and_doubts_about_the_facts_once_each(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("pitch", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}"),
        rule("strength", derive="bolt.strength: {lookup: threads, by: bolt.size, take: strength}"),
    )
    result = judge.judge({"bolt.size": "M99"}, warnings=["Look at the length."])
    assert result.warnings == ("Look at the length.", "The table threads has no row for bolt.size M99.")
    assert judge.judge({"bolt.size": "M8"}).warnings == (), "a gap in a table is no fault of the sheet"


# conflicts


def test_rules_that_differ_about_a_fact_are_told_with_both_proofs_and_places(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("one", when=SIZE, derive="bolt.pitch: 1 mm"),
        rule("two", when="bolt.turns: 3", derive="bolt.pitch: 2 mm"),
    )
    result = judged(judge, f"{SIZE}, bolt.turns: 3")
    (conflict,) = result.conflicts
    assert (conflict.about, conflict.message) == (
        "bolt.pitch",
        "Rules give bolt.pitch different values; none of them is used.",
    )
    assert [(side.by, side.says) for side in conflict.sides] == [
        ("one", "bolt.pitch is 1.00 mm"),
        ("two", "bolt.pitch is 2.00 mm"),
    ]
    assert [[step.fact for step in side.from_facts] for side in conflict.sides] == [
        ["bolt.size"],
        ["bolt.turns"],
    ]
    assert [side.at and side.at.path.rsplit("/", 1)[1] for side in conflict.sides] == ["one.yaml", "two.yaml"]
    assert result.standing == "put right"


def test_a_sheet_that_contradicts_a_rule_is_told(judge_of: JudgeWith) -> None:
    judge = judge_of(rule("one", when=SIZE, derive="bolt.pitch: 1 mm"))
    (conflict,) = judged(judge, f"{SIZE}, bolt.pitch: 2 mm").conflicts
    assert (
        conflict.message
        == "The sheet's bolt.pitch and what the rules make of the other facts disagree; check both."
    )
    assert [(side.by, side.at is None) for side in conflict.sides] == [("given", True), ("one", False)]


OPPOSED = [
    ("must", "must not"),
    ("must", "should not"),
    ("should", "must not"),
    ("should", "should not"),
    ("may", "must not"),
]
FORCES = ["must", "must not", "should", "should not", "may"]


@pytest.mark.parametrize("one", FORCES)
@pytest.mark.parametrize("other", FORCES)
def test_opposed_rulings_about_one_subject_contradict(judge_of: JudgeWith, one: str, other: str) -> None:
    judge = judge_of(
        rule("one", when=SIZE, ruling=one, about="use-the-bolt"),
        rule("other", when=SIZE, ruling=other, about="use-the-bolt"),
    )
    result = judged(judge, SIZE)
    opposed = (one, other) in OPPOSED or (other, one) in OPPOSED
    assert [conflict.message for conflict in result.conflicts] == (
        ["Two rules give opposed rulings about one thing: Using the bolt that is at hand."] if opposed else []
    )
    if opposed:
        assert {side.by for side in result.conflicts[0].sides} == {"one", "other"}
        assert result.standing in ("put right", "stop")


def test_opposed_rulings_are_no_conflict_without_a_common_subject_or_when_one_is_set_aside(
    judge_of: JudgeWith,
) -> None:
    judge = judge_of(rule("a", when=SIZE, ruling="must"), rule("b", when=SIZE, ruling="must not"))
    assert judged(judge, SIZE).conflicts == ()
    judge = judge_of(
        rule("a", when=SIZE, ruling="must", about="use-the-bolt"),
        rule("b", when=SIZE, ruling="must not", about="use-the-bolt", overrides="[a]"),
    )
    assert judged(judge, SIZE).conflicts == ()


def test_the_judgement_and_the_outcome_alone_come_to_the_same(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("pitch", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}"),
        rule("it", when="bolt.pitch: {outside: [1 mm, 2 mm]}\nbolt.marks: {none of: [rust]}"),
    )
    for facts in ("", SIZE, f"{SIZE}, bolt.marks: []", f"{SIZE}, bolt.marks: [rust]"):
        assert judged(judge, facts).chained == judge.outcome(given(judge, facts))
