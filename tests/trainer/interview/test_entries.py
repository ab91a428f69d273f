"""What a typed line means in an interview, and what is said to a line that means nothing."""

from __future__ import annotations

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_engine.interview_questions import (
    Claim,
    ClaimsQuestion,
    DoubtsQuestion,
    FactQuestion,
    PartsQuestion,
    Question,
)
from sideplate_engine.job_parts import Part
from sideplate_trainer.interview.entries import Command, Entry, EntryRefused, Picked, Stated, entry_in


def about(fact: str) -> FactQuestion:
    return FactQuestion(fact, (), contradicts=False, decides=1.0)


PARTS = PartsQuestion((Part("a", "A", ()), Part("b", "B", ()), Part("c", "C", ())), ("b",))
CLAIMS = ClaimsQuestion(
    (Claim("bolt.finish", "bare", ()), Claim("bolt.finish", "plated", ()), Claim("bolt.greased", False, ())),
    decides=1.0,
)
DOUBTS = DoubtsQuestion({"bolt.pitch": 0.7, "bolt.strength": 4.0})


@pytest.mark.parametrize(
    ("typed", "command"),
    [("?", Command.HELP), ("W", Command.WHY), (" d ", Command.UNKNOWN), ("b", Command.BACK), ("s", Command.SO_FAR),
     ("e", Command.FINISH), ("q", Command.LEAVE)],
)  # fmt: skip
def test_a_letter_is_a_command_at_every_question(bolts: KnowledgeBase, typed: str, command: Command) -> None:
    for question in (about("bolt.size"), PARTS, CLAIMS, DOUBTS):
        assert entry_in(typed, question, bolts) is command


@pytest.mark.parametrize(
    ("fact", "typed", "value"),
    [
        ("bolt.size", "m4", "M4"),
        ("bolt.size", "= d", "D"),
        ("bolt.length", "1 3/8 in", 34.925),
        ("bolt.length", "35 mm", 35.0),
        ("bolt.turns", "12", 12),
        ("bolt.finish", "2", "plated"),
        ("bolt.finish", "Painted", "painted"),
        ("bolt.marks", "1, 3", frozenset({"rust", "stretched"})),
        ("bolt.marks", "rust, 2", frozenset({"rust", "bent"})),
        ("bolt.marks", "[rust]", frozenset({"rust"})),
        ("bolt.marks", "none", frozenset()),
        ("bolt.tags", "a, b", frozenset({"A", "B"})),
        ("bolt.greased", "y", True),
        ("bolt.greased", "No", False),
    ],
)
def test_an_answer_is_read_as_its_fact_takes_it(
    bolts: KnowledgeBase, fact: str, typed: str, value: object
) -> None:
    assert entry_in(typed, about(fact), bolts) == Stated({fact: value})  # type: ignore[dict-item]  # any value here


@pytest.mark.parametrize(
    "typed", ["bolt.length 35 mm", "bolt.length = 35 mm", "bolt.length: 35mm", "Bolt.Length 3.5 cm"]
)
def test_a_fact_with_its_name_is_volunteered_at_any_question(bolts: KnowledgeBase, typed: str) -> None:
    for question in (about("bolt.size"), PARTS, CLAIMS, DOUBTS):
        assert entry_in(typed, question, bolts) == Stated({"bolt.length": 35.0}, volunteered=True)


@pytest.mark.parametrize(
    ("question", "typed", "numbers"),
    [
        (PARTS, "1, 3", (0, 2)),
        (PARTS, "3 1 3", (2, 0)),
        (PARTS, "", (1,)),
        (PartsQuestion(PARTS.offered, ()), "", (0, 1, 2)),
        (PARTS, "none", ()),
        (CLAIMS, "", ()),
        (CLAIMS, "1,3", (0, 2)),
        (DOUBTS, "", ()),
        (DOUBTS, "2", (1,)),
    ],
)
def test_numbers_pick_from_a_list(
    bolts: KnowledgeBase, question: Question, typed: str, numbers: tuple[int, ...]
) -> None:
    assert entry_in(typed, question, bolts) == Picked(numbers)


@pytest.mark.parametrize(
    ("question", "typed", "message"),
    [
        (about("bolt.size"), "", "Type an answer, or d if nobody can say."),
        (about("bolt.length"), "35", 'bolt.length: "35" has no unit; write it as 35 mm or'),
        (about("bolt.length"), "3 kg", 'bolt.length: "3 kg" is a mass; a length is wanted'),
        (
            about("bolt.length"),
            "3 m",
            "bolt.length: 3 m cannot be: bolt.length lies between 1.0 mm and 500.0 mm.",
        ),
        (
            about("bolt.finish"),
            "platet",
            "bolt.finish: 'platet' is not bare, plated or painted; did you mean plated?",
        ),
        (about("bolt.finish"), "7", "Type a number from 1 to 3, or the words of a choice."),
        (about("bolt.turns"), "a few", "bolt.turns: write a whole number, not 'a few'."),
        (about("bolt.greased"), "maybe", "bolt.greased: write yes or no, not 'maybe'."),
        (about("bolt.size"), "bolt.lenght 3 mm", "No fact is called bolt.lenght; did you mean bolt.length?"),
        (about("bolt.size"), "bolt.length 3", 'bolt.length: "3" has no unit; write it as 3 mm'),
        (PARTS, "4", "Type numbers from 1 to 3, such as 1, 2, or none."),
        (PARTS, "head", "Type numbers from 1 to 3, such as 1, 2, or none."),
        (CLAIMS, "1 2", "Only one of these can be so of bolt.finish; leave the others out."),
        (DOUBTS, "0", "Type numbers from 1 to 2, such as 1, 2, or none."),
    ],
)
def test_a_line_that_cannot_be_used_is_told_what_to_write(
    bolts: KnowledgeBase, question: Question, typed: str, message: str
) -> None:
    with pytest.raises(EntryRefused) as refused:
        entry_in(typed, question, bolts)
    assert str(refused.value).startswith(message)


def test_every_line_is_an_entry_or_refused(bolts: KnowledgeBase) -> None:
    for typed in (
        "=",
        "==",
        "= ",
        ".",
        "bolt.size",
        "bolt.size =",
        "1 1/",
        "ª",
        "½",
        "²",
        "\t",
        "none,",
        ",",
        "[,]",
        "٣",
    ):
        for question in (
            about("bolt.size"),
            about("bolt.marks"),
            about("bolt.length"),
            PARTS,
            CLAIMS,
            DOUBTS,
        ):
            assert read_or_refused(typed, question, bolts)


def read_or_refused(typed: str, question: Question, bolts: KnowledgeBase) -> Entry | str:
    try:
        return entry_in(typed, question, bolts)
    except EntryRefused as refused:
        return str(refused)
