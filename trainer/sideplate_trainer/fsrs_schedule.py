"""The adaptive schedule: the FSRS model of memory, by rule, as an optional extra. The only module that imports it.

The library's own words for answers and states stay in here: no screen, file or table has them. It is driven so that
none of its traps is met (each is pinned by a test): whole days, noon in UTC, a number for an id, no steps within a day,
no chance, a day never before the last.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time

from sideplate_trainer.answers import Grade, LoggedAnswer
from sideplate_trainer.gap_ladder import CHECK_INTERVALS
from sideplate_trainer.scheduler import Check, ScheduleMissing

try:
    from fsrs import Card, Rating, Scheduler
except ModuleNotFoundError as problem:
    if problem.name != "fsrs":
        raise
    raise ScheduleMissing(
        "The adaptive schedule needs an extra that is not installed. Install it with\n"
        "  pip install 'sideplate[fsrs]'\n"
        "or practise with --schedule ladder, which needs nothing more."
    ) from problem

WANTED_RECALL = 0.80
LONGEST_INTERVAL = 90
"""Days: nothing that can hurt somebody goes unchecked for longer than a season."""

_RATING = {Grade.SOUND: Rating.Good, Grade.SHAKY: Rating.Hard}
"""A wrong answer has the lowest rating; the highest is never given, since nothing here tells how easy it was."""


def _model() -> Scheduler:
    return Scheduler(
        desired_retention=WANTED_RECALL,
        learning_steps=(),
        relearning_steps=(),
        maximum_interval=LONGEST_INTERVAL,
        enable_fuzzing=False,
    )


@dataclass(frozen=True, slots=True)
class AdaptiveSchedule:
    """The library's scheduler behind our protocol."""

    _scheduler: Scheduler = field(default_factory=_model, compare=False, repr=False)

    def next(self, state: Check | None, answer: LoggedAnswer, day: date) -> Check:
        """When the model expects recall to have fallen to what is wanted.

        A second right answer of a day changes nothing.
        """
        before: Card | None = None
        if state is not None:
            assert isinstance(state.memory, Card)
            before = state.memory
            day = max(day, state.last)
            if day == state.last and answer.grade.is_right:
                return state
        # With an id of its own the library would wait a millisecond for the next.
        card, _ = self._scheduler.review_card(
            before or Card(card_id=1), _RATING.get(answer.grade, Rating.Again), _noon(day)
        )
        due = card.due.date()
        return Check(_rung((due - day).days), day, due, card)


def _rung(interval: int) -> int:
    """The rung of the ladder with the same interval, or the last shorter one."""
    return max(0, bisect_right(CHECK_INTERVALS, interval) - 1)


def _noon(day: date) -> datetime:
    return datetime.combine(day, time(12), UTC)
