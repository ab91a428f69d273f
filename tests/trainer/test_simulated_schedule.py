"""The schedule that the simulation compares is the one that is shipped: the same choices on the same answers."""

from __future__ import annotations

import math
import random
from datetime import date, timedelta
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

from sideplate_trainer.answers import Grade, LoggedAnswer
from sideplate_trainer.assessment import Assessment, outlook
from sideplate_trainer.companions import beside_new
from sideplate_trainer.schedule import order_of_asking, order_of_full_pass, replay
from sideplate_trainer.scheduler import ADAPTIVE, LADDER, scheduler_named

BENCHMARKS = Path(__file__).parents[2] / "benchmarks"
DAY = date(2026, 1, 5)
RULES, A_SESSION, SESSIONS = 40, 6, 30
NAMES = tuple(f"rule-{number:02}" for number in range(RULES))


@pytest.fixture
def schedules(monkeypatch: pytest.MonkeyPatch) -> Any:
    monkeypatch.syspath_prepend(str(BENCHMARKS))
    return import_module("schedules")


class Named:
    """The simulated look-alikes, by the names of the rules."""

    def __init__(self, schedule: Any) -> None:
        self.schedule = schedule

    def of(self, id_: str) -> tuple[str, ...]:
        return tuple(NAMES[int(other)] for other in self.schedule.of(str(NAMES.index(id_))))


def shipped(log: list[LoggedAnswer], scheduler: str, session: int, companions: Named | None) -> list[int]:
    """What practice asks on a day."""
    today = DAY + timedelta(days=session)
    standings = replay(log, scheduler_named(scheduler))
    ahead = outlook(Assessment(DAY + timedelta(days=SESSIONS), (), 7), NAMES, (), today, A_SESSION)
    if ahead.in_full_pass:
        order = order_of_full_pass(NAMES, standings, today)
    else:
        order = order_of_asking(NAMES, standings, dict.fromkeys(NAMES, "f1"), today)
        if companions is not None:
            met = frozenset(standings)
            order = beside_new(order, frozenset(order) - met, met, companions, A_SESSION)
    return [NAMES.index(name) for name in order[:A_SESSION]]


@pytest.mark.parametrize(
    ("simulated", "scheduler", "beside"),
    [
        ("ladder 2-5-12-30-60 and full pass", LADDER, False),
        ("the same, look-alikes together", LADDER, True),
        ("FSRS at 0.80 and full pass", ADAPTIVE, False),
    ],
)
def test_the_simulation_asks_what_practice_asks(
    schedules: Any, simulated: str, scheduler: str, beside: bool
) -> None:
    chance = random.Random(4)
    schedule = schedules.SCHEDULES[simulated](RULES, 0)
    companions = Named(schedule) if beside else None
    log: list[LoggedAnswer] = []
    in_pass = 0
    for session in range(SESSIONS):
        chosen = schedule.choose(session, A_SESSION, SESSIONS - session)
        assert chosen == shipped(log, scheduler, session, companions), f"session {session}"
        in_pass += SESSIONS - session <= math.ceil(RULES / A_SESSION)
        for rule in chosen:
            grade = chance.choices(list(Grade), (6, 2, 1, 1))[0]
            schedule.hear(rule, session, grade)
            blamed = None if grade.is_right else NAMES[rule]
            log.append(LoggedAnswer(NAMES[rule], "f1", "w", grade, blamed, DAY + timedelta(days=session)))
    assert in_pass == 7


def test_the_schedule_that_is_shipped_is_the_one_the_simulation_calls_so(schedules: Any) -> None:
    assert schedules.SHIPPED in schedules.SCHEDULES
    assert isinstance(schedules.SCHEDULES[schedules.SHIPPED](10, 0), schedules.Ladder)
