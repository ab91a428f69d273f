"""What is kept of an answer, and the grade it gets."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class Grade(StrEnum):
    """How good an answer was: only one that is right, unaided and sure shows that the rule is known."""

    SOUND = "sound"
    SHAKY = "shaky"
    MISSED = "missed"
    BLIND_SPOT = "blind spot"

    @property
    def is_right(self) -> bool:
        """Whether the answer was right, helped or not."""
        return self in (Grade.SOUND, Grade.SHAKY)


class Purpose(StrEnum):
    """What a round is for: to learn, to find out what is known already, or to be examined."""

    PRACTICE = "practice"
    PLACEMENT = "placement"
    EXAM = "exam"


def grade_of(right: bool, helped: bool, unsure: bool) -> Grade:
    """The grade of an answer. A wrong one given as sure is a blind spot: the learner has no reason to look again."""
    if right:
        return Grade.SHAKY if helped or unsure else Grade.SOUND
    return Grade.MISSED if helped or unsure else Grade.BLIND_SPOT


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer as a round gives it: about a rule, in a way of asking, on the situation of a seed.

    `guided` says that the way to the answer was told with the question, as it is at the first meeting of a rule.
    """

    rule: str
    way: str
    seed: int
    response: str
    key: str
    right: bool
    grade: Grade
    blamed_rule: str | None
    hints: int
    unsure: bool
    guided: bool = False
    purpose: Purpose = Purpose.PRACTICE


@dataclass(frozen=True, slots=True)
class Draft:
    """The help taken, and the doubt told, on a question that is not answered yet: kept so that none of it gets lost."""

    rule: str
    hints: int
    helped: bool
    unsure: bool


@dataclass(frozen=True, slots=True)
class LoggedAnswer:
    """An answer as the log gives it back: what scheduling is derived from. `fingerprint` is the rule's at the time."""

    rule: str
    fingerprint: str
    way: str
    grade: Grade
    blamed_rule: str | None
    day: date
    unsure: bool = False
    guided: bool = False
    purpose: Purpose = Purpose.PRACTICE
    response: str = ""
    key: str = ""
    seed: int = 0

    @property
    def misses(self) -> str | None:
        """The rule that a wrong answer is charged to: the one it misapplied. None for a right one."""
        return None if self.grade.is_right else self.blamed_rule or self.rule
