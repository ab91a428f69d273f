"""Where a round is, what it is for, and what has come of it so far."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

from sideplate_trainer.answers import Draft, Grade, Purpose
from sideplate_trainer.questions import Marked, Question
from sideplate_trainer.round_events import Planned


class Phase(Enum):
    """Where a round is: waiting for a question, for a pair to be read, for an answer, its confirmation, the next."""

    POSING = "posing"
    MEETING = "meeting"
    ASKING = "asking"
    ANSWERED = "answered"
    EXPLAINED = "explained"
    FINISHED = "finished"


@dataclass(frozen=True, slots=True)
class Result:
    """A rule that was asked, and the grade of the answer."""

    rule: str
    grade: Grade


@dataclass(frozen=True, slots=True)
class Terms:
    """What a round is for, and what follows from it.

    `new` are the rules to be introduced: a solved pair of cases is shown first, and the way to the answer is told with
    the question. `topics` are those of the rules of a placement round, which closes a topic that is not known. `draft`
    is the help that was taken on the question at which the round was broken off.
    """

    purpose: Purpose = Purpose.PRACTICE
    new: frozenset[str] = frozenset()
    topics: Mapping[str, str] = field(default_factory=dict)
    draft: Draft | None = None


@dataclass(frozen=True, slots=True)
class Round:
    """The state. `planned` may hold more than `wanted`, in case some cannot be posed; `place` is the one at hand.

    `hints` counts those told, `told` those of them that came with the question. `leaving` says that the learner asked
    once to hand an exam in, `left` that it was ended early. What `begin` takes is all that is needed to go on later.
    """

    planned: tuple[Planned, ...]
    wanted: int
    place: int = 0
    phase: Phase = Phase.POSING
    question: Question | None = None
    held: Marked | None = None
    hints: int = 0
    told: int = 0
    helped: bool = False
    unsure: bool = False
    results: tuple[Result, ...] = ()
    left: bool = False
    leaving: bool = False
    time_up: bool = False
    terms: Terms = field(default_factory=Terms)

    @property
    def number(self) -> int:
        """The number of the question at hand, from 1."""
        return len(self.results) + (0 if self.phase in (Phase.EXPLAINED, Phase.FINISHED) else 1)

    @property
    def is_exam(self) -> bool:
        """Whether nothing is told before the end."""
        return self.terms.purpose is Purpose.EXAM

    @property
    def is_guided(self) -> bool:
        """Whether the rule at hand is met for the first time, so that the way to its answer is told."""
        return self.question is not None and self.question.rule in self.terms.new
