"""What a typed line means in an interview: a letter is a command, a fact's name volunteers it, the rest answers."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from typing import TypeAlias

from sideplate_engine import KnowledgeBase
from sideplate_engine.findings import did_you_mean
from sideplate_engine.interview_questions import (
    ClaimsQuestion,
    DoubtsQuestion,
    FactQuestion,
    PartsQuestion,
    Question,
)
from sideplate_engine.vocabulary import Fact, Value, ValueRefused


class Command(Enum):
    """The letters of an interview."""

    HELP = "?"
    WHY = "w"
    UNKNOWN = "d"
    BACK = "b"
    SO_FAR = "s"
    FINISH = "e"
    LEAVE = "q"


KEYS = "d don't know   w why   b back   e end and judge   ? help"

HELP = (
    "Answer with a value, a word, or the numbers before the choices: 1 or 1, 3. Any unit will do.",
    "none answers a question with several choices when none of them is so.",
    "chain.size 520 or slack.measured = 35 mm states a fact at any time, asked for or not.",
    "= before a line takes it as an answer, even where it looks like a command: = d.",
    "d: nobody can say; it is not asked again.",
    "w: why this is asked, and what it could decide.",
    "b: back to the question before.",
    "s: what was said so far, and the rulings that stand on it.",
    "e: end here, judge what was said, and print the job card.",
    "q: leave without a judgement.",
)


class EntryRefused(ValueError):
    """A line that cannot be used; the message says what to write instead."""


@dataclass(frozen=True, slots=True)
class Stated:
    """Facts with their values; `volunteered` when they were not asked for."""

    facts: Mapping[str, Value]
    volunteered: bool = False


@dataclass(frozen=True, slots=True)
class Picked:
    """The numbers, from 0, of what was picked from a question's list."""

    numbers: tuple[int, ...]


Entry: TypeAlias = Command | Stated | Picked

_VOLUNTEERED = re.compile(r"([A-Za-z][A-Za-z0-9_]*(?:\.[A-Za-z][A-Za-z0-9_]*)+)(?:\s*[=:]\s*|\s+)(\S.*)")


def entry_in(line: str, question: Question, knowledge: KnowledgeBase) -> Entry:
    """What a line means. Raises EntryRefused."""
    typed = line.strip()
    if typed.startswith("="):
        return _answer(typed[1:].strip(), question, knowledge)
    command = next((command for command in Command if command.value == typed.lower()), None)
    if command is not None:
        return command
    volunteered = _VOLUNTEERED.fullmatch(typed)
    if volunteered is not None:
        name, text = volunteered.group(1).lower(), volunteered.group(2)
        fact = knowledge.facts.get(name)
        if fact is None:
            raise EntryRefused(f"No fact is called {name}{did_you_mean(name, knowledge.facts)}.")
        return Stated({name: value_in(text, fact)}, volunteered=True)
    return _answer(typed, question, knowledge)


def _answer(typed: str, question: Question, knowledge: KnowledgeBase) -> Entry:
    match question:
        case FactQuestion(fact=name):
            if not typed:
                raise EntryRefused("Type an answer, or d if nobody can say.")
            fact = knowledge.facts[name]
            return Stated({name: value_in(typed, fact, tuple(fact.choices or ()))})
        case PartsQuestion(offered=offered, suggested=suggested):
            if not typed:
                usual = suggested or tuple(part.id for part in offered)
                return Picked(tuple(number for number, part in enumerate(offered) if part.id in usual))
            return Picked(numbers_in(typed, len(offered)))
        case ClaimsQuestion(claims=claims):
            numbers = numbers_in(typed, len(claims))
            facts = [claims[number].fact for number in numbers]
            twice = next((name for name in facts if facts.count(name) > 1), None)
            if twice is not None:
                raise EntryRefused(f"Only one of these can be so of {twice}; leave the others out.")
            return Picked(numbers)
        case DoubtsQuestion(values=values):
            return Picked(numbers_in(typed, len(values)))


def numbers_in(typed: str, count: int) -> tuple[int, ...]:
    """The numbers in a line, counted from 0; none for an empty line and for `none`. Raises EntryRefused."""
    if typed.lower() in ("", "none"):
        return ()
    numbers: dict[int, None] = {}
    for part in re.split(r"[,\s]+", typed.strip(" ,")):
        if not part.isdecimal() or not 1 <= int(part) <= count:
            raise EntryRefused(f"Type numbers from 1 to {count}, such as 1, {min(2, count)}, or none.")
        numbers[int(part) - 1] = None
    return tuple(numbers)


def value_in(text: str, fact: Fact, numbered: tuple[str, ...] = ()) -> Value:
    """A fact's value as typed; `numbered` choices may be named by number. Raises EntryRefused."""
    try:
        if not fact.many:
            return fact.read_element(_word(text, fact, numbered))
        parts = [part.strip() for part in text.strip().removeprefix("[").removesuffix("]").split(",")]
        if parts in ([""], ["none"]) and "none" not in (fact.choices or ()):
            return frozenset()
        return frozenset(str(fact.read_element(_word(part, fact, numbered))) for part in parts)
    except ValueRefused as problem:
        raise EntryRefused(f"{fact.name}: {problem}.") from None


def _word(text: str, fact: Fact, numbered: tuple[str, ...]) -> str:
    if fact.kind == "flag" and text.strip().lower() in ("y", "n"):
        return "yes" if text.strip().lower() == "y" else "no"
    if numbered and text.strip().isdecimal() and text.strip() not in numbered:
        number = int(text)
        if not 1 <= number <= len(numbered):
            raise EntryRefused(f"Type a number from 1 to {len(numbered)}, or the words of a choice.")
        return numbered[number - 1]
    return text
