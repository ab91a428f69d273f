"""The prompt: a line with completion on Tab, a check on Enter, history, and a bar that says where the round stands.

Of the modules here only this one imports prompt_toolkit. It is not for pipes and dumb terminals, where that library
writes escape codes and swallows lines; the plain front end serves those.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from prompt_toolkit import PromptSession
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.formatted_text import FormattedText
from prompt_toolkit.history import InMemoryHistory
from prompt_toolkit.input import Input
from prompt_toolkit.output import Output
from prompt_toolkit.shortcuts import print_formatted_text
from prompt_toolkit.styles import Style
from prompt_toolkit.validation import ValidationError, Validator

from sideplate_trainer.blocks import Block
from sideplate_trainer.front.face import Asking
from sideplate_trainer.front.page import block_lines, page_width, question_lines
from sideplate_trainer.questions import Question
from sideplate_trainer.telling import wrapped

STYLE = Style.from_dict({"bottom-toolbar": "noreverse", "heading": "bold"})


WIDEST_IN_MENU = 50
"""Columns of a choice in the menu that Tab opens; the whole of it is put on the line."""


class EntryCompleter(Completer):
    """Offers the words of the choices, and units once a number is typed."""

    def __init__(self, words: Sequence[str], units: Sequence[str]) -> None:
        self.words = words
        self.units = units

    def get_completions(self, document: Document, complete_event: CompleteEvent) -> Iterator[Completion]:
        """The completions of what stands before the cursor."""
        typed = document.text_before_cursor.lstrip()
        for word in self.words:
            if word.lower().startswith(typed.lower()):
                yield Completion(word, start_position=-len(typed), display=_cut(word))
        number = typed.rstrip("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ·°%³²/\"'")
        begun = typed[len(number) :]
        if number.strip()[-1:].isdigit():
            for unit in self.units:
                if unit.startswith(begun):
                    space = "" if number.endswith(" ") else " "
                    yield Completion(space + unit, start_position=-len(begun), display=unit)


def _cut(word: str) -> str:
    """As much of a long choice as a menu has room for."""
    return word if len(word) <= WIDEST_IN_MENU else f"{word[: WIDEST_IN_MENU - 3].rstrip()}..."


class EntryValidator(Validator):
    """Refuses a line with its reason, the cursor left at the end so that the line can be cleared from there."""

    def __init__(self, asking: Asking) -> None:
        self.asking = asking

    def validate(self, document: Document) -> None:
        """Raises ValidationError for a line that cannot be used."""
        problem = self.asking.refused(document.text)
        if problem is not None:
            raise ValidationError(cursor_position=len(document.text), message=problem)


class PromptedFace:
    """A front end on a terminal, or on the input and output handed in."""

    def __init__(self, source: Input | None = None, sink: Output | None = None) -> None:
        # Answers are remembered for the sitting only: a file of them would be no use, and is nobody's business.
        self._session: PromptSession[str] = PromptSession(
            history=InMemoryHistory(), style=STYLE, input=source, output=sink, complete_while_typing=False
        )

    @property
    def width(self) -> int:
        """The columns to wrap at."""
        return page_width(self._session.output.get_size().columns)

    def tell(self, blocks: Sequence[Block]) -> None:
        """Prints blocks of text, their headings bold."""
        self._print(block_lines(blocks, self.width))

    def tell_lines(self, lines: Iterable[str]) -> None:
        """Prints lines."""
        self._print((False, line) for line in lines)

    def show(self, question: Question, heading: str) -> None:
        """Prints a question with its choices."""
        self._print(question_lines(question, heading, self.width))

    def ask(self, asking: Asking) -> str:
        """A line that can be used."""
        self.tell_lines([""])
        return self._session.prompt(
            f"{asking.label}: ",
            completer=EntryCompleter(asking.words, asking.units),
            validator=EntryValidator(asking),
            validate_while_typing=False,
            bottom_toolbar=lambda: FormattedText([("", self._toolbar(asking))]),
        )

    def _toolbar(self, asking: Asking) -> str:
        """Where the round stands and what the keys are: on one line where they fit, else wrapped."""
        columns = self._session.output.get_size().columns
        line = f"{asking.stands}   {asking.keys}"
        if len(line) < columns:
            return line
        return "\n".join(line for part in (asking.stands, asking.keys) for line in wrapped(part, columns - 1))

    def _print(self, lines: Iterable[tuple[bool, str]]) -> None:
        for is_heading, line in lines:
            text = FormattedText([("class:heading" if is_heading else "", line)])
            print_formatted_text(text, output=self._session.output, style=STYLE)
