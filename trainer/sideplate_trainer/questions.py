"""Questions, their keys, and what an answer is marked as. Keys are worked out by the engine, never written down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sideplate_engine.vocabulary import Fact, Value


class NoQuestion(Exception):
    """A way of asking finds nothing to ask in a situation; the message says why."""


class AnswerRefused(ValueError):
    """What was typed is no answer to this question; the message says what to write instead. It is not marked."""


@dataclass(frozen=True, slots=True)
class Option:
    """A choice: the word that stands for it, and what it means."""

    word: str
    means: str


@dataclass(frozen=True, slots=True)
class Slip:
    """A number that a known mistake leads to, and the sentence that names the mistake."""

    value: float
    says: str


@dataclass(frozen=True, slots=True)
class NumberKey:
    """A right number in the fact's stored unit, how far off an answer may be, and the known mistakes."""

    fact: Fact
    value: float
    within: float
    slips: tuple[Slip, ...] = ()


@dataclass(frozen=True, slots=True)
class Twin:
    """The same case with one fact changed: the change in words, its facts, and what the engine makes of them."""

    change: str
    facts: Mapping[str, Value]
    outcome: str


@dataclass(frozen=True, slots=True)
class Question:
    """One question on one rule. `key` is an option's word, or the right number as it is shown.

    `facts` are what the learner is told; `fires_on` are facts on which the rule fires, so that its texts can be
    filled in when it is silent here. `fact` is what a number is asked of. `hints` lead to the key step by step.
    """

    rule: str
    way: str
    seed: int
    case: str
    facts: Mapping[str, Value]
    fires_on: Mapping[str, Value]
    story: tuple[str, ...]
    asks: tuple[str, ...]
    key: str
    options: tuple[Option, ...] = ()
    number: NumberKey | None = None
    subject: str | None = None
    twins: tuple[Twin, ...] = ()
    hints: tuple[str, ...] = ()

    @property
    def text(self) -> tuple[str, ...]:
        """All that the learner reads before answering, but for the options."""
        return (*self.story, *self.asks)


@dataclass(frozen=True, slots=True)
class Marked:
    """An answer, read and marked. `again` gives it back: the number is right, but what it is written in is not.

    `helped` says that something was told on the way that makes a later right answer a helped one.
    """

    answer: str
    right: bool
    said: tuple[str, ...] = ()
    again: bool = False
    helped: bool = False


def chosen_option(question: Question, text: str) -> Option:
    """The option meant by a number, by its word or by the start of its word. Raises AnswerRefused."""
    typed = " ".join(text.lower().split())
    options = question.options
    if typed.isdigit():
        if 1 <= int(typed) <= len(options):
            return options[int(typed) - 1]
        raise AnswerRefused(f"There is no choice {typed}; the choices are 1 to {len(options)}.")
    for option in options:
        if option.word == typed:
            return option
    begun = [option for option in options if typed and option.word.startswith(typed)]
    if len(begun) == 1:
        return begun[0]
    if begun:
        raise AnswerRefused(
            f"{typed} could be {' or '.join(option.word for option in begun)}; type more of it."
        )
    raise AnswerRefused(f"Type the number of a choice, 1 to {len(options)}.")
