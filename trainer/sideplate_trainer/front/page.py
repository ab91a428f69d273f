"""Blocks and questions as lines of at most a width, the same for both front ends.

Each block has its heading on a line of its own and a blank line before it, which is what a screen reader steps by. No
boxes, no columns, and nothing that only a colour would say.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sideplate_trainer.blocks import Block
from sideplate_trainer.questions import Option, Question
from sideplate_trainer.telling import wrapped

NARROW = 50
"""Below this width an option's text stands under its number."""

WIDEST = 88
NARROWEST = 20


def page_width(columns: int) -> int:
    """The width to wrap at on a screen of so many columns: never wider than reads well."""
    return max(NARROWEST, min(columns, WIDEST))


def block_lines(blocks: Sequence[Block], width: int) -> Iterator[tuple[bool, str]]:
    """The lines of blocks, each with whether it is a heading."""
    for block in blocks:
        yield False, ""
        if block.heading:
            for line in wrapped(block.heading, width):
                yield True, line
        for sentence in block.sentences:
            for line in wrapped(sentence, width, subsequent_indent="  "):
                yield False, line


def question_lines(question: Question, heading: str, width: int) -> Iterator[tuple[bool, str]]:
    """The lines of a question: heading, story, what is asked, and the choices by number."""
    yield from block_lines((Block(heading, question.story), Block("", question.asks)), width)
    if question.options:
        yield False, ""
    for number, option in enumerate(question.options, 1):
        for line in option_lines(number, option, width):
            yield False, line


def option_lines(number: int, option: Option, width: int) -> Iterator[str]:
    """One choice: its number, its word, and what that means where the word does not say it all."""
    option = option.beside(number)
    if width < NARROW and option.means:
        yield from wrapped(f"{number}  {option.word}", width, subsequent_indent="   ")
        yield from wrapped(option.means, width, initial_indent="   ", subsequent_indent="   ")
    else:
        yield from wrapped(f"{number}  {option.text}", width, subsequent_indent="   ")
