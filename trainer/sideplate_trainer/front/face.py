"""What a round needs of a front end, and what it hands to one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from sideplate_trainer.blocks import Block
from sideplate_trainer.questions import Question


@dataclass(frozen=True, slots=True)
class Asking:
    """How to ask for a line: what to put before it, the keys to remind of, where the round stands, what Tab offers.

    `refused` says why a line cannot be used, or None; it is asked on Enter, never while typing. `units` are offered
    after a number, `words` from the start of the line.
    """

    label: str
    keys: str
    stands: str
    words: tuple[str, ...] = ()
    units: tuple[str, ...] = ()
    refused: Callable[[str], str | None] = lambda line: None


class Face(Protocol):
    """A front end."""

    def tell(self, blocks: Sequence[Block]) -> None:
        """Shows blocks of text."""

    def tell_lines(self, lines: Iterable[str]) -> None:
        """Shows lines that are wrapped already."""

    def show(self, question: Question, heading: str) -> None:
        """Shows a question with its choices."""

    @property
    def width(self) -> int:
        """The columns to wrap at."""

    def ask(self, asking: Asking) -> str:
        """A line from the learner. Raises EOFError when there are no more, KeyboardInterrupt on Ctrl-C."""
