"""The prompt: what the keys give, and what the screen shows at several widths."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Timer

import pyte
import pytest
from prompt_toolkit.application import create_app_session
from prompt_toolkit.completion import CompleteEvent
from prompt_toolkit.data_structures import Size
from prompt_toolkit.document import Document
from prompt_toolkit.input import PipeInput, create_pipe_input
from prompt_toolkit.output import ColorDepth, DummyOutput, Output
from prompt_toolkit.output.vt100 import Vt100_Output

from sideplate_trainer.blocks import Block
from sideplate_trainer.front.face import Asking
from sideplate_trainer.front.prompted import EntryCompleter, PromptedFace
from sideplate_trainer.questions import Option, Question

WORDS = ("must", "must not", "nothing against it")
CTRL_C, CTRL_D, CTRL_U, UP, TAB = "\x03", "\x04", "\x15", "\x1b[A", "\t"
CURSOR_IS_AT_ROW_20 = "\x1b[20;1R"
QUESTION = Question(
    "a-rule", "is_this_allowed", 1, "as told", {}, {},
    ("The chain's code is VX3.", "The connecting link carries the code VX2.", "The chain is sealed."),
    ("In question: Fitting the connecting link that is at hand.", "Which ruling stands on it?"),
    "must not",
    (Option("must", "it has to be done"), Option("must not", "it is forbidden")),
)  # fmt: skip


def only_words(line: str) -> str | None:
    return None if line in WORDS else "That is none of the choices."


def asking(units: tuple[str, ...] = ()) -> Asking:
    stands = "Connecting links: question 3 of 10, 4 due"
    return Asking("Answer", "digits answer   ? help   q leave", stands, WORDS, units, only_words)


@contextmanager
def face(output: Output | None = None) -> Iterator[tuple[PromptedFace, PipeInput]]:
    with create_pipe_input() as keys, create_app_session(input=keys, output=output or DummyOutput()):
        yield PromptedFace(keys, output or DummyOutput()), keys


def typed(*lines: str) -> list[str]:
    with face() as (prompted, keys):
        answers = []
        for line in lines:
            keys.send_text(line)
            answers.append(prompted.ask(asking()))
        return answers


def test_enter_gives_the_line() -> None:
    assert typed("must not\r") == ["must not"]


def test_a_refused_line_stays_to_be_cleared_and_typed_anew() -> None:
    assert typed(f"perhaps\r{CTRL_U}must\r") == ["must"]


def test_tab_completes_a_word_of_the_choices() -> None:
    with face() as (prompted, keys):
        # Completing takes a moment, as a person does before Enter.
        enter = Timer(0.3, keys.send_text, ["\r"])
        enter.start()
        keys.send_text(f"no{TAB}")
        assert prompted.ask(asking()) == "nothing against it"
        enter.join()


def completions(words: tuple[str, ...], text: str) -> list[tuple[str, str]]:
    found = EntryCompleter(words, ()).get_completions(Document(text), CompleteEvent())
    return [(each.text, each.display_text) for each in found]


def test_a_choice_is_completed_however_its_capitals_are_typed_and_a_long_one_is_cut_in_the_menu_only() -> (
    None
):
    long = "The drive is to be changed to a size whose number nobody here has ever seen."
    words = (long, "The chain is size 520.")
    assert completions(words, "the chain") == [(words[1], words[1])]
    assert completions(words, "The d") == [(long, "The drive is to be changed to a size whose numb...")]


def test_the_arrow_brings_back_an_earlier_answer_of_the_sitting() -> None:
    assert typed("must not\r", f"{UP}\r") == ["must not", "must not"]


@pytest.mark.parametrize(("key", "error"), [(CTRL_C, KeyboardInterrupt), (CTRL_D, EOFError)])
def test_ctrl_c_and_ctrl_d_come_through(key: str, error: type[BaseException]) -> None:
    with face() as (prompted, keys):
        keys.send_text(key)
        with pytest.raises(error):
            prompted.ask(asking())


@pytest.mark.parametrize(
    ("text", "offered"),
    [
        ("15.9", [" mm", " in"]),
        ("15.9 ", ["mm", "in"]),
        ("5/8 i", ["in"]),
        ("12m", [" mm"]),
        ("", []),
        ("mm", []),
    ],
)
def test_units_are_offered_after_a_number(text: str, offered: list[str]) -> None:
    completions = EntryCompleter((), ("mm", "in")).get_completions(Document(text), CompleteEvent())
    assert [completion.text for completion in completions] == offered


class Terminal(io.StringIO):
    """Text that passes for a terminal, so that the cursor's place is asked for; the bar is drawn once it is known."""

    def isatty(self) -> bool:
        return True


def drawn(columns: int) -> tuple[list[str], str]:
    """The screen after a question was shown and a wrong line refused, and the bytes it was drawn with."""
    raw = Terminal()
    # What the library itself makes of the environment when it opens a terminal.
    depth = ColorDepth.from_env()
    size = Size(rows=40, columns=columns)
    output = Vt100_Output(raw, lambda: size, term="xterm", default_color_depth=depth)
    seen = ""

    def look_and_leave() -> None:
        nonlocal seen
        seen = raw.getvalue()
        keys.send_text(f"{CTRL_U}{CTRL_D}")

    with face(output) as (prompted, keys):
        prompted.show(QUESTION, "Question 3 of 10")
        prompted.tell((Block("Because", ("Pins differ in length.",)),))
        leaving = Timer(0.4, look_and_leave)
        leaving.start()
        keys.send_text(f"{CURSOR_IS_AT_ROW_20}perhaps\r")
        with pytest.raises(EOFError):
            prompted.ask(asking())
        leaving.join()
    screen = pyte.Screen(columns, 40)
    pyte.Stream(screen).feed(seen)
    return [line.rstrip() for line in screen.display], seen


@pytest.mark.parametrize("columns", [40, 60, 80])
def test_the_screen_holds_question_prompt_and_bar_at_any_width(
    columns: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("PROMPT_TOOLKIT_NO_CPR", raising=False)
    lines, _ = drawn(columns)
    text = " ".join(" ".join(lines).split())
    for part in (
        "Question 3 of 10",
        "The connecting link carries the code VX2.",
        "it is forbidden",
        "Answer: perhaps",
        "That is none of the choices.",
        "Connecting links: question 3 of 10, 4 due",
        "q leave",
    ):
        assert part in text
    assert "2  must not" in "\n".join(lines)


def test_on_a_narrow_screen_the_meaning_of_a_choice_stands_under_it() -> None:
    lines, _ = drawn(40)
    assert lines[lines.index("2  must not") + 1] == "   it is forbidden"


def test_no_color_takes_all_colour_away_and_leaves_the_words(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    lines, raw = drawn(80)
    styles = {part for style in re.findall(r"\x1b\[([0-9;]*)m", raw) for part in style.split(";")}
    # 0 resets, 1 is bold, 7 is reversed; colours are 30 and up (ECMA-48, select graphic rendition).
    assert styles <= {"", "0", "1", "7"}
    assert "That is none of the choices." in "\n".join(lines)
