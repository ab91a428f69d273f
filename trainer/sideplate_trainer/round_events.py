"""What can happen in a round, and what a round wants done: the events that go in, and the effects that come out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from sideplate_trainer.answers import Answer, Draft, Grade
from sideplate_trainer.blocks import Block
from sideplate_trainer.questions import Marked, Question


@dataclass(frozen=True, slots=True)
class Planned:
    """A question that has not been built yet."""

    rule: str
    way: str
    seed: int


@dataclass(frozen=True, slots=True)
class Posed:
    """The question that was to be built is here."""

    question: Question


@dataclass(frozen=True, slots=True)
class NotPosed:
    """The question that was to be built cannot be: its rule is passed over."""

    reason: str


@dataclass(frozen=True, slots=True)
class NoPair:
    """There is no solved pair of cases to introduce a rule with: its question comes at once."""


@dataclass(frozen=True, slots=True)
class Entered:
    """A line was typed."""

    line: str


@dataclass(frozen=True, slots=True)
class TimeUp:
    """The minutes of the round are over: no further question begins."""


Event: TypeAlias = Posed | NotPosed | NoPair | Entered | TimeUp


@dataclass(frozen=True, slots=True)
class Pose:
    """Build this question, and come back with Posed or NotPosed."""

    planned: Planned


@dataclass(frozen=True, slots=True)
class Introduce:
    """Show a solved pair of cases on the rule of this question, or come back with NoPair."""

    question: Question


@dataclass(frozen=True, slots=True)
class Show:
    """Show this question."""

    question: Question


@dataclass(frozen=True, slots=True)
class Tell:
    """Show this block."""

    block: Block


@dataclass(frozen=True, slots=True)
class Keep:
    """Write down the help taken on the question at hand, before what follows is shown."""

    draft: Draft


@dataclass(frozen=True, slots=True)
class Record:
    """Write this answer down, and let nothing that follows happen before it is on disk."""

    answer: Answer


@dataclass(frozen=True, slots=True)
class Explain:
    """Show the ruling, the reason and the proof."""

    question: Question
    marked: Marked
    grade: Grade


@dataclass(frozen=True, slots=True)
class ExplainAtLength:
    """Show the whole proof."""

    question: Question


@dataclass(frozen=True, slots=True)
class NameSources:
    """Show the sources alone."""

    question: Question


@dataclass(frozen=True, slots=True)
class End:
    """The round is over for good; sum it up."""


Effect: TypeAlias = (
    Pose | Introduce | Show | Tell | Keep | Record | Explain | ExplainAtLength | NameSources | End
)
