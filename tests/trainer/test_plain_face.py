"""The plain front end: lines out, lines in, nothing drawn over."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest

from sideplate_trainer.blocks import Block
from sideplate_trainer.front.face import Asking
from sideplate_trainer.front.plain import PlainFace


def only_digits(line: str) -> str | None:
    return None if line.isdigit() else "Type a digit."


def ask(typed: str, refused: Callable[[str], str | None] = only_digits) -> tuple[str, str]:
    sink = io.StringIO()
    face = PlainFace(io.StringIO(typed), sink)
    return face.ask(
        Asking("Answer", "? help   q leave", "slack: question 1", refused=refused)
    ), sink.getvalue()


def test_a_line_is_read_without_its_end() -> None:
    assert ask("2\r\n")[0] == "2"
    assert ask("2")[0] == "2"


def test_a_line_that_cannot_be_used_is_told_why_and_asked_for_again() -> None:
    line, shown = ask("two\n2\n")
    assert line == "2"
    assert "Answer: two\nType a digit.\nAnswer: 2\n" in shown


def test_the_end_of_the_input_is_an_end_and_no_answer() -> None:
    with pytest.raises(EOFError):
        ask("two\n")


def test_the_keys_are_told_once_for_each_kind_of_question() -> None:
    sink = io.StringIO()
    face = PlainFace(io.StringIO("1\n2\n3\n"), sink)
    for keys in ("q leave", "q leave", "b take back"):
        face.ask(Asking("Answer", keys, ""))
    assert (sink.getvalue().count("(q leave)"), sink.getvalue().count("(b take back)")) == (1, 1)


def test_control_characters_in_the_input_are_dropped() -> None:
    assert ask("\x1b[A2\x07\n", lambda line: None)[0] == "[A2"


def test_what_the_encoding_cannot_hold_is_written_as_a_question_mark() -> None:
    raw = io.BytesIO()
    sink = io.TextIOWrapper(raw, encoding="ascii")
    PlainFace(io.StringIO(), sink).tell((Block("", ("96 N·m",)),))
    assert raw.getvalue() == b"\n96 N?m\n"


def test_bytes_that_are_no_text_are_an_answer_that_is_refused() -> None:
    source = io.TextIOWrapper(io.BytesIO(b"\xff\xfe\n2\n"), encoding="utf-8")
    assert PlainFace(source, io.StringIO()).ask(Asking("Answer", "", "", refused=only_digits)) == "2"


def test_the_width_follows_the_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    sink = io.StringIO()
    PlainFace(io.StringIO(), sink).tell((Block("Because", ("word " * 40,)),))
    assert max(map(len, sink.getvalue().splitlines())) <= 40
