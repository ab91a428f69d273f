"""What a round is asked for: the words of the command line, put into one value."""

from __future__ import annotations

from dataclasses import dataclass

from sideplate_trainer.answers import Purpose

QUESTIONS = {Purpose.PRACTICE: 10, Purpose.PLACEMENT: 36, Purpose.EXAM: 20}
"""How many questions a round has when nothing is said of it: at most so many, in a placement round."""

MOST_QUESTIONS = 200
"""How many questions a round with a time of its own has at most."""


@dataclass(frozen=True, slots=True)
class Request:
    """A round as it was asked for. No topics are all; `rule` is a single one, asked about whether it is due or not."""

    topics: tuple[str, ...] = ()
    rule: str | None = None
    questions: int | None = None
    minutes: int | None = None
    seed: int | None = None
    purpose: Purpose = Purpose.PRACTICE

    @property
    def wanted(self) -> int:
        """How many questions the round is to have."""
        if self.rule is not None:
            return 1
        if self.questions is not None:
            return self.questions
        return MOST_QUESTIONS if self.minutes is not None else QUESTIONS[self.purpose]

    def as_data(self) -> dict[str, object]:
        """What a broken-off round is found again by: the same command."""
        return {
            "topics": sorted(self.topics),
            "rule": self.rule,
            "questions": self.questions,
            "minutes": self.minutes,
            "seed": self.seed,
            "purpose": self.purpose.value,
        }
