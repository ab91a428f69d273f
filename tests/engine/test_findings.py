"""How what is wrong is told: one line with its place, the source line, a caret; the nearest name only when near."""

from __future__ import annotations

import pytest

from sideplate_engine.findings import (
    LONGEST_NAME,
    Finding,
    Position,
    Severity,
    cut,
    did_you_mean,
    in_order,
    listed,
    with_source_line,
)

KNOWN = ("chain.sealing", "chain.size", "Chain.Code", "key")


def test_a_finding_is_one_line_that_editors_recognise() -> None:
    finding = Finding("unknown-fact", "no fact is called x", Position("a.yaml", 3, 5))
    assert finding.line() == "a.yaml:3:5: error[unknown-fact]: no fact is called x"
    warning = Finding("draft", "it is a draft", Position("a.yaml"), Severity.WARNING)
    assert warning.line() == "a.yaml:1:1: warning[draft]: it is a draft"


def test_findings_come_in_the_order_of_their_places_and_once_each() -> None:
    late = Finding("b", "x", Position("a.yaml", 10))
    early = Finding("c", "x", Position("a.yaml", 9, 2))
    first = Finding("a", "x", Position("a.yaml", 9, 1))
    assert in_order([late, early, late, first]) == (first, early, late)


def test_the_caret_stands_below_the_column_that_is_meant() -> None:
    finding = Finding("code", "message", Position("a.yaml", 2, 7))
    assert with_source_line(finding, "one\ntwo:\t\x07three\n").splitlines()[1:] == [
        "  2 | two:  three",
        "    |       ^",
    ]


@pytest.mark.parametrize("text", [None, "", "one\n", "\n" + "x" * 201])
def test_a_source_line_that_is_not_to_be_had_is_left_out(text: str | None) -> None:
    finding = Finding("code", "message", Position("a.yaml", 2))
    assert with_source_line(finding, text) == finding.line()


@pytest.mark.parametrize(
    ("word", "hint"),
    [
        ("chain.seal", "; did you mean chain.sealing?"),
        ("CHAIN.SIZE", "; did you mean chain.size?"),
        ("chain.code", "; did you mean Chain.Code?"),
        ("rear.tyre", ""),
        ("kye", "; did you mean key?"),
        ("chain.siz" * 7, ""),
    ],
)
def test_a_name_is_suggested_only_when_it_is_near(word: str, hint: str) -> None:
    assert did_you_mean(word, KNOWN) == hint


@pytest.mark.parametrize(
    ("words", "text"),
    [((), ""), (("a",), "a"), (("a", "b"), "a or b"), (("a", "b", "c"), "a, b or c")],
)
def test_words_are_listed_as_in_a_sentence(words: tuple[str, ...], text: str) -> None:
    assert listed(words) == text


def test_a_long_list_says_how_many_more_there_are() -> None:
    assert listed([str(n) for n in range(15)], limit=3) == "0, 1, 2 and 12 more"


def test_a_word_too_long_for_a_name_only_begins_in_a_message() -> None:
    assert cut("x" * LONGEST_NAME) == "x" * LONGEST_NAME
    assert cut("x" * 1000) == "x" * LONGEST_NAME + "..."
