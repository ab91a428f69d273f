"""How far a learner's certainty can be trusted: the answers given as sure and as unsure, against what was right."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sideplate_trainer.answers import LoggedAnswer

ENOUGH = 10
"""With fewer answers of a kind nothing is said of it but the count."""

TRUSTED, DOUBTED = 0.85, 0.80
"""From these shares on, sure answers can be trusted, and unsure ones are doubted without need: *common practice* has
no figure for it, these are ours."""


@dataclass(frozen=True, slots=True)
class Tally:
    """Some answers, and how many of them were right."""

    answers: int
    right: int

    @property
    def share(self) -> float | None:
        """The share that was right; None of no answers."""
        return self.right / self.answers if self.answers else None

    @property
    def in_words(self) -> str:
        """`right in 40 of 45, 89 %`."""
        if self.share is None:
            return "none yet"
        return f"right in {self.right} of {self.answers}, {100 * self.share:.0f} %"


@dataclass(frozen=True, slots=True)
class Calibration:
    """What was answered as sure, and what as unsure."""

    sure: Tally
    unsure: Tally

    def lines(self) -> Iterator[str]:
        """Both tallies, and what they mean where there are enough answers."""
        yield f"When you were sure: {self.sure.in_words}."
        yield f"When you were unsure: {self.unsure.in_words}."
        share = self.sure.share
        if share is not None and self.sure.answers >= ENOUGH and share < TRUSTED:
            yield "You are sure more often than you are right: press u where you would look it up at the bench."
        share = self.unsure.share
        if share is not None and self.unsure.answers >= ENOUGH and share >= DOUBTED:
            yield "You doubt more than you need: most of what you were unsure of was right."


def calibration(answers: Iterable[LoggedAnswer]) -> Calibration:
    """The tallies over a log; answers to which the way was told say nothing about it."""
    sure = [answer.grade.is_right for answer in answers if not answer.guided and not answer.unsure]
    unsure = [answer.grade.is_right for answer in answers if not answer.guided and answer.unsure]
    return Calibration(Tally(len(sure), sum(sure)), Tally(len(unsure), sum(unsure)))
