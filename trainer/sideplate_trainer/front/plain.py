"""The plain front end: print a line, read a line. For pipes, dumb terminals and screen readers.

Append-only: nothing is drawn over, nothing moves, no menu, no bar at the bottom. Every state is told in words.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterable, Sequence
from io import TextIOWrapper
from typing import TextIO

from sideplate_trainer.blocks import Block
from sideplate_trainer.front.face import Asking
from sideplate_trainer.front.page import WIDEST, block_lines, page_width, question_lines
from sideplate_trainer.questions import Question
from sideplate_trainer.telling import wrapped


class PlainFace:
    """Writes to one stream and reads lines from another: standard output and standard input if none are named."""

    def __init__(self, source: TextIO | None = None, sink: TextIO | None = None) -> None:
        self._source = source or sys.stdin
        self._sink = sink or sys.stdout
        self._told: set[str] = set()
        for stream in (self._source, self._sink):
            if isinstance(stream, TextIOWrapper):
                # What an encoding cannot hold becomes a question mark, and no error.
                stream.reconfigure(errors="replace")

    @property
    def width(self) -> int:
        """The columns to wrap at."""
        return page_width(shutil.get_terminal_size((WIDEST, 24)).columns)

    def tell(self, blocks: Sequence[Block]) -> None:
        """Prints blocks of text."""
        self.tell_lines(line for _, line in block_lines(blocks, self.width))

    def tell_lines(self, lines: Iterable[str]) -> None:
        """Prints lines."""
        for line in lines:
            print(line, file=self._sink)
        self._sink.flush()

    def show(self, question: Question, heading: str) -> None:
        """Prints a question with its choices."""
        self.tell_lines(line for _, line in question_lines(question, heading, self.width))

    def ask(self, asking: Asking) -> str:
        """A line that can be used; of one that cannot, it says why and reads the next."""
        self.tell_lines([""])
        if asking.keys not in self._told:
            # Once is enough for an ear; ? tells them again.
            self._told.add(asking.keys)
            self.tell_lines(wrapped(f"({asking.keys})", self.width))
        while True:
            print(f"{asking.label}: ", end="", file=self._sink, flush=True)
            line = self._source.readline()
            if not line:
                self.tell_lines([""])
                raise EOFError
            line = "".join(sign for sign in line if sign.isprintable())
            if not self._source.isatty():
                # Without a terminal nobody sees what was typed, or the line end after it.
                self.tell_lines([line])
            problem = asking.refused(line)
            if problem is None:
                return line
            self.tell_lines(wrapped(problem, self.width))
