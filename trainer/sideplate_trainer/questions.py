"""Questions, their keys, and what an answer is marked as. Keys are worked out by the engine, never written down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from sideplate_engine.vocabulary import Fact, Value

LONGEST_TOLD = 40
"""How much of a choice's word is told when it is asked for more of it."""


class NoQuestion(Exception):
    """A way of asking finds nothing to ask in a situation; the message says why."""


class AnswerRefused(ValueError):
    """What was typed is no answer to this question; the message says what to write instead. It is not marked."""


@dataclass(frozen=True, slots=True)
class Option:
    """A choice: the word that stands for it, and what it means where the word does not say it all.

    A wrong one names the `rule` that makes it wrong, to which a miss is charged, and what is `told` of it when it was
    chosen. `facts` is the sheet that choosing it comes to, where the engine can judge the choice by one.
    """

    word: str
    means: str = ""
    rule: str | None = None
    told: tuple[str, ...] = ()
    facts: Mapping[str, Value] | None = None

    @property
    def text(self) -> str:
        """All that stands on its line."""
        return f"{self.word}: {self.means}" if self.means else self.word

    def beside(self, number: int) -> Option:
        """The choice as it stands beside its number on a list: a word that only says the number again is left out."""
        return replace(self, word=self.means, means="") if self.word == f"line {number}" else self


@dataclass(frozen=True, slots=True)
class Slip:
    """A number that a known mistake leads to, and the sentence that names the mistake."""

    value: float
    says: str


@dataclass(frozen=True, slots=True)
class NumberKey:
    """A right number in the fact's stored unit, how far off an answer may be, and the known mistakes.

    `by` is the rule that the number comes from, to which a wrong one is charged.
    """

    fact: Fact
    value: float
    within: float
    slips: tuple[Slip, ...] = ()
    by: str | None = None


@dataclass(frozen=True, slots=True)
class OrderedStep:
    """A step to be put in order, and the places (in the order shown, from 0) of the steps that come before it."""

    do: str
    because: str
    after: frozenset[int]


@dataclass(frozen=True, slots=True)
class Twin:
    """The same case with one fact changed: the change in words, its facts, and what the engine makes of them."""

    change: str
    facts: Mapping[str, Value]
    outcome: str


@dataclass(frozen=True, slots=True)
class Question:
    """One question on one rule. `key` is an option's word, or the right number as it is shown.

    `rule` is the id of a rule, or of a procedure as `asked_about` writes it. `facts` are what the learner is told;
    `fires_on` are facts on which the rule fires, so that its texts can be filled in when it is silent here. `order`
    holds steps to be put in order, as the options show them. `hints` lead to the key step by step.
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
    order: tuple[OrderedStep, ...] = ()
    subject: str | None = None
    twins: tuple[Twin, ...] = ()
    hints: tuple[str, ...] = ()

    @property
    def text(self) -> tuple[str, ...]:
        """All that the learner reads before answering, but for the options."""
        return (*self.story, *self.asks)

    @property
    def look(self) -> tuple[str, ...]:
        """All that the learner sees: two questions with one look are one question."""
        return (*self.text, *(option.text for option in self.options))


@dataclass(frozen=True, slots=True)
class Marked:
    """An answer, read and marked. `again` gives it back: the number is right, but what it is written in is not.

    `helped` says that something was told on the way that makes a later right answer a helped one. `blames` is the
    rule that a wrong answer misapplies, where that is another than the one asked about.
    """

    answer: str
    right: bool
    said: tuple[str, ...] = ()
    again: bool = False
    helped: bool = False
    blames: str | None = None


def chosen_option(question: Question, text: str) -> Option:
    """The option meant by a number, by its word or by the start of its word. Raises AnswerRefused.

    A number of a choice is always that, even where another choice is that number's word.
    """
    typed = _plain(text)
    options = question.options
    if typed.isdigit() and 1 <= int(typed) <= len(options):
        return options[int(typed) - 1]
    for option in options:
        if _plain(option.word) == typed:
            return option
    begun = [option for option in options if typed and _plain(option.word).startswith(typed)]
    if len(begun) == 1:
        return begun[0]
    if begun:
        raise AnswerRefused(
            f"{typed} could be {' or '.join(_cut(option.word) for option in begun)}; type more of it."
        )
    if typed.isdigit():
        raise AnswerRefused(f"There is no choice {typed}; the choices are 1 to {len(options)}.")
    raise AnswerRefused(f"Type the number of a choice, 1 to {len(options)}.")


def mark_choice(question: Question, text: str) -> Marked:
    """A choice marked by the key; of a wrong one, what is told of it and the rule it is charged to.

    Raises AnswerRefused for what is none of the choices.
    """
    option = chosen_option(question, text)
    if option.word == question.key:
        return Marked(option.word, True)
    return Marked(option.word, False, option.told, blames=option.rule)


def _plain(text: str) -> str:
    return " ".join(text.lower().split())


def _cut(word: str) -> str:
    return word if len(word) <= LONGEST_TOLD else f"{word[: LONGEST_TOLD - 3].rstrip()}..."
