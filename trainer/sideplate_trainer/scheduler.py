"""What decides when a rule is checked again: a small protocol, and the two schedules there are, by name.

A scheduler is pure. It is told an answer and says when the next check is due; it knows no clock, draws no lots and
stores nothing. So what it says can be had again at any time by replaying the log of answers, with this scheduler or
the other.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Protocol

from sideplate_trainer.answers import LoggedAnswer

LADDER, ADAPTIVE = "ladder", "adaptive"
SCHEDULES = (LADDER, ADAPTIVE)
"""The names of the schedules, the one in use unless another is asked for first."""


class ScheduleMissing(Exception):
    """A schedule cannot be used here; the message says what to install."""


@dataclass(frozen=True, slots=True)
class Check:
    """Where a rule stands with a scheduler.

    `rung` says how far along it is, from 0, whoever schedules: harder ways of asking begin further along. `memory` is
    what the scheduler remembers besides, and nobody else looks at.
    """

    rung: int
    last: date
    due: date
    memory: object = None


class Scheduler(Protocol):
    """Decides when a rule is checked again."""

    def next(self, state: Check | None, answer: LoggedAnswer, day: date) -> Check:
        """Where a rule stands after an answer given on a day; None is a rule that was not asked before."""


@cache
def scheduler_named(name: str) -> Scheduler:
    """The scheduler of a name in SCHEDULES. Raises ScheduleMissing where it needs what is not installed."""
    if name == ADAPTIVE:
        # Imported only when chosen: it is an extra.
        from sideplate_trainer.fsrs_schedule import AdaptiveSchedule

        return AdaptiveSchedule()
    if name == LADDER:
        from sideplate_trainer.gap_ladder import GapLadder

        return GapLadder()
    raise ScheduleMissing(f"No schedule is called {name}; there are {' and '.join(SCHEDULES)}.")
