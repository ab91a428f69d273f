"""The schedules that the simulation compares: each chooses the day's rules and hears how they were answered."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from typing import Protocol

from fsrs import Card, Rating, Scheduler
from learners import on

from sideplate_trainer.answers import Grade
from sideplate_trainer.companions import beside_new
from sideplate_trainer.gap_ladder import CHECK_INTERVALS, rung_after


class Schedule(Protocol):
    """Chooses what to ask."""

    def choose(self, day: int, number: int, days_left: int) -> list[int]:
        """The rules to ask on this day, in order. `days_left` counts the sessions still to come, this one too."""

    def hear(self, rule: int, day: int, grade: Grade) -> None:
        """How a question on a rule was answered."""


class RandomOrder:
    """Any rules, each at most once a day."""

    def __init__(self, rules: int, seed: int) -> None:
        self._rules = range(rules)
        self._random = random.Random(seed)

    def choose(self, day: int, number: int, days_left: int) -> list[int]:
        """A random choice."""
        return self._random.sample(self._rules, min(number, len(self._rules)))

    def hear(self, rule: int, day: int, grade: Grade) -> None:
        """It does not listen."""


class Rotation:
    """One rule after the other, round and round, each so many times in a row."""

    def __init__(self, rules: int, in_a_row: int = 1) -> None:
        self._rules = rules
        self._in_a_row = in_a_row
        self._asked = 0

    def choose(self, day: int, number: int, days_left: int) -> list[int]:
        """The next ones."""
        chosen = [((self._asked + k) // self._in_a_row) % self._rules for k in range(number)]
        self._asked += number
        return chosen

    def hear(self, rule: int, day: int, grade: Grade) -> None:
        """It does not listen."""


class Spaced:
    """Due rules first, the longest overdue ahead; then new ones; then what falls due soonest.

    With `final_pass`, the last sessions ask every rule once, the longest unasked first.
    """

    def __init__(self, rules: int, final_pass: bool) -> None:
        self._rules = rules
        self._final_pass = final_pass
        self._due: dict[int, float] = {}
        self._last: dict[int, int] = {}

    def choose(self, day: int, number: int, days_left: int) -> list[int]:
        """The day's rules."""
        if self._final_pass and days_left <= math.ceil(self._rules / number):
            return sorted(range(self._rules), key=lambda rule: (self._last.get(rule, -1), rule))[:number]
        due = sorted((at, rule) for rule, at in self._due.items() if at <= day)
        new = [rule for rule in range(self._rules) if rule not in self._due]
        early = sorted((at, rule) for rule, at in self._due.items() if at > day)
        return self.arranged([*(rule for _, rule in due), *new, *(rule for _, rule in early)], new, number)

    def arranged(self, order: list[int], new: list[int], number: int) -> list[int]:
        """The first of the order; a schedule that puts what looks alike together says otherwise."""
        return order[:number]

    def hear(self, rule: int, day: int, grade: Grade) -> None:
        """Moves the rule's next check."""
        self._last[rule] = day
        self._due[rule] = day + self.interval(rule, day, grade)

    def interval(self, rule: int, day: int, grade: Grade) -> float:
        """The days until the rule's next check."""
        raise AssertionError


class Ladder(Spaced):
    """The shipped ladder, or one with other intervals."""

    def __init__(
        self, rules: int, final_pass: bool = False, intervals: tuple[int, ...] = CHECK_INTERVALS
    ) -> None:
        super().__init__(rules, final_pass)
        self._intervals = intervals
        self._rungs: dict[int, int] = {}

    def interval(self, rule: int, day: int, grade: Grade) -> float:
        """By the rung that the shipped scheduler gives."""
        self._rungs[rule] = rung_after(self._rungs.get(rule), grade)
        return self._intervals[self._rungs[rule]]


class BesideLookAlikes(Ladder):
    """The ladder with a known look-alike beside each new rule, as it is shipped.

    Four in five rules have look-alikes, three each, spread over the order of teaching as families are. None of the
    learners takes one rule for another, so this shows what putting them together costs, and not what it is good for.
    """

    def of(self, id_: str) -> tuple[str, ...]:
        """The look-alikes of a rule: those with the same remainder by a quarter of all."""
        rule, step = int(id_), max(1, self._rules // 4)
        if rule % 5 == 0:
            return ()
        return tuple(str(other) for other in range(rule % step, self._rules, step) if other != rule)

    def arranged(self, order: list[int], new: list[int], number: int) -> list[int]:
        """The first of the order, look-alikes brought up."""
        names = [str(rule) for rule in order]
        unmet = frozenset(str(rule) for rule in new)
        return [
            int(name) for name in beside_new(names, unmet, frozenset(names) - unmet, self, number)[:number]
        ]


class Fsrs(Spaced):
    """The library's scheduler by rule, at a target for recall."""

    def __init__(self, rules: int, target: float, final_pass: bool = False) -> None:
        super().__init__(rules, final_pass)
        self._scheduler = Scheduler(
            desired_retention=target,
            learning_steps=(),
            relearning_steps=(),
            maximum_interval=90,
            enable_fuzzing=False,
        )
        self._cards: dict[int, Card] = {}

    def interval(self, rule: int, day: int, grade: Grade) -> float:
        """By the library: wrong is its lowest rating, right but unsure the next, right and sure the third."""
        rating = {Grade.SOUND: Rating.Good, Grade.SHAKY: Rating.Hard}.get(grade, Rating.Again)
        card = self._cards.get(rule) or Card(card_id=rule + 1)
        self._cards[rule], _ = self._scheduler.review_card(card, rating, on(day))
        return (self._cards[rule].due - on(day)).total_seconds() / 86400


SCHEDULES: dict[str, Callable[[int, int], Schedule]] = {
    "random order": RandomOrder,
    "rotation": lambda rules, seed: Rotation(rules),
    "blocked, three in a row": lambda rules, seed: Rotation(rules, in_a_row=3),
    "ladder 1-3-7-14-30": lambda rules, seed: Ladder(rules, intervals=(1, 3, 7, 14, 30)),
    "ladder 2-5-12-30-60": lambda rules, seed: Ladder(rules),
    "ladder 2-5-12-30-60 and full pass": lambda rules, seed: Ladder(rules, final_pass=True),
    "the same, look-alikes together": lambda rules, seed: BesideLookAlikes(rules, final_pass=True),
    "FSRS at 0.70": lambda rules, seed: Fsrs(rules, 0.70),
    "FSRS at 0.80": lambda rules, seed: Fsrs(rules, 0.80),
    "FSRS at 0.80 and full pass": lambda rules, seed: Fsrs(rules, 0.80, final_pass=True),
    "FSRS at 0.90": lambda rules, seed: Fsrs(rules, 0.90),
}
SHIPPED = "the same, look-alikes together"
TWIN = "ladder 2-5-12-30-60 and full pass"
"""What is shipped, but for the look-alikes: no learner here can gain by them."""
