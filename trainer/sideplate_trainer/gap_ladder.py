"""The ladder of check intervals: the schedule in use unless another is asked for.

Whole days, no chance, nothing stored. Right, unaided and sure moves a rule up one interval; right but unsure or helped
leaves it where it is; wrong moves it down two. Of the schedules compared in `benchmarks/scheduling_simulation.py`, this
one with a last full pass before the assessment has the smallest worst loss.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from sideplate_trainer.answers import Grade, LoggedAnswer, Purpose
from sideplate_trainer.scheduler import Check

CHECK_INTERVALS = (2, 5, 12, 30, 60)
"""Days until the next check, by rung."""

DOWN_WHEN_WRONG = 2
PLACED = 2
"""The rung of a rule that is known at its first meeting, in a placement round or an exam."""


def rung_after(rung: int | None, grade: Grade) -> int:
    """The rung after an answer; None is a rule not met before, which begins on the first whatever the answer."""
    if rung is None:
        return 0
    if grade is Grade.SOUND:
        return min(rung + 1, len(CHECK_INTERVALS) - 1)
    return rung if grade is Grade.SHAKY else max(rung - DOWN_WHEN_WRONG, 0)


@dataclass(frozen=True, slots=True)
class GapLadder:
    """The ladder as a scheduler."""

    def next(self, state: Check | None, answer: LoggedAnswer, day: date) -> Check:
        """One rung up, none, or two down. Nothing climbs twice on one day: no time has passed to forget it in."""
        if state is None:
            known = answer.purpose is not Purpose.PRACTICE and answer.grade is Grade.SOUND
            return _on(PLACED if known else rung_after(None, answer.grade), day)
        day = max(day, state.last)  # A clock that was set back makes nothing due earlier.
        if day == state.last and answer.grade is Grade.SOUND:
            return _on(state.rung, day)
        return _on(rung_after(state.rung, answer.grade), day)


def _on(rung: int, day: date) -> Check:
    return Check(rung, day, day + timedelta(days=CHECK_INTERVALS[rung]))
