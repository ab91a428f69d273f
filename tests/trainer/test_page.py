"""Blocks and questions as lines: headings, wrapping, and choices that stand under their number where it is narrow."""

from __future__ import annotations

import pytest

from sideplate_trainer.blocks import Block
from sideplate_trainer.front.page import block_lines, option_lines, page_width, question_lines
from sideplate_trainer.questions import Option, Question

LONG = "Width over the plates varies between chains that share a size number, so the pin can be too short."
QUESTION = Question(
    "a-rule", "is_this_allowed", 1, "as told", {}, {}, (LONG, "It is dry."), ("What?",), "must",
    (Option("must", "it has to be done"), Option("must not", LONG)),
)  # fmt: skip


def test_a_page_is_as_wide_as_the_screen_but_never_wider_than_reads_well() -> None:
    assert [page_width(columns) for columns in (10, 40, 80, 88, 200)] == [20, 40, 80, 88, 88]


@pytest.mark.parametrize("width", [20, 24, 40, 50, 60, 80, 88])
def test_no_line_is_wider_than_the_page(width: int) -> None:
    lines = [line for _, line in question_lines(QUESTION, "Question 1 of 2", width)]
    assert max(map(len, lines)) <= width


def test_a_block_has_a_blank_line_before_it_and_its_heading_on_a_line_of_its_own() -> None:
    lines = list(block_lines((Block("Because", ("One.", "Two.")), Block("", ("Three.",))), 80))
    assert lines == [
        (False, ""),
        (True, "Because"),
        (False, "One."),
        (False, "Two."),
        (False, ""),
        (False, "Three."),
    ]


def test_a_long_sentence_hangs_under_its_first_line() -> None:
    lines = [line for _, line in block_lines((Block("", (LONG,)),), 60)]
    assert lines[2].startswith("  ")


def test_choices_carry_their_number_and_stand_beside_their_meaning_where_there_is_room() -> None:
    assert list(option_lines(1, Option("must", "it has to be done"), 60)) == ["1  must: it has to be done"]


def test_below_fifty_columns_the_meaning_stands_under_the_number() -> None:
    assert list(option_lines(1, Option("must", "it has to be done"), 49)) == [
        "1  must",
        "   it has to be done",
    ]


@pytest.mark.parametrize("width", [40, 60])
def test_a_choice_that_is_a_line_of_a_sheet_is_numbered_once(width: int) -> None:
    assert list(option_lines(2, Option("line 2", "The pin is bent."), width)) == ["2  The pin is bent."]


def test_a_page_has_no_boxes_no_tabs_and_no_escapes() -> None:
    text = "\n".join(line for _, line in question_lines(QUESTION, "Question 1 of 2", 60))
    assert all(sign.isprintable() or sign == "\n" for sign in text)
    assert not set(text) & set("│─┌┐└┘|+*_")


@pytest.mark.parametrize("width", [24, 40, 60])
def test_a_choice_that_says_all_itself_has_nothing_after_it_and_is_wrapped_anywhere(width: int) -> None:
    lines = list(option_lines(2, Option(LONG), width))
    assert lines[0].startswith("2  Width over")
    assert " ".join(" ".join(lines).split()) == f"2 {LONG}"
    assert max(map(len, lines)) <= width
