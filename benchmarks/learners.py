"""Three models of a learner's memory, for comparing schedules. Nobody's memory was measured to make them.

They disagree on purpose about what makes a memory last, so that a schedule that does well with all of them does not
owe it to one theory. Constants are our own, set so that random order ends near 50 % in the first course and leaves room
both ways; where a form is known from the literature it is named, recalled and not re-checked.
"""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta
from typing import Protocol

from fsrs import Card, Rating, Scheduler

FIRST_DAY = datetime(2026, 1, 5, 12, tzinfo=UTC)


class Learner(Protocol):
    """A memory of many rules. Days count from 0; a rule never met has recall 0."""

    def recall(self, rule: int, day: int) -> float:
        """The chance of recalling the rule on that day."""

    def study(self, rule: int, day: int, recalled: bool) -> None:
        """One question on the rule, answered and explained."""


class PowerLawLearner:
    """Every question leaves a trace that fades by a power of time; traces laid while memory is fresh fade faster.

    The form of Pavlik and Anderson's spacing model (2005), recalled.
    """

    fade, freshness, threshold, noise = 0.22, 0.35, -0.15, 0.25

    def __init__(self) -> None:
        self._traces: dict[int, list[tuple[int, float]]] = {}

    def _activation(self, rule: int, day: float) -> float | None:
        traces = self._traces.get(rule)
        if not traces:
            return None
        return math.log(sum(max(day - laid, 0.04) ** -decay for laid, decay in traces))

    def recall(self, rule: int, day: int) -> float:
        """The chance of recalling the rule on that day."""
        activation = self._activation(rule, day)
        if activation is None:
            return 0.0
        return 1 / (1 + math.exp((self.threshold - activation) / self.noise))

    def study(self, rule: int, day: int, recalled: bool) -> None:
        """One more trace, whatever the answer."""
        activation = self._activation(rule, day)
        fresh = 0.0 if activation is None else math.exp(activation)
        self._traces.setdefault(rule, []).append((day, self.fade + self.freshness * min(fresh, 2.0)))


class HalfLifeLearner:
    """Memory halves after a time that grows with each success, the more the nearer it was to being forgotten."""

    first, gain, after_miss = 9.0, 4.0, 0.5

    def __init__(self) -> None:
        self._half_life: dict[int, float] = {}
        self._last: dict[int, int] = {}

    def recall(self, rule: int, day: int) -> float:
        """The chance of recalling the rule on that day."""
        if rule not in self._last:
            return 0.0
        return float(2 ** (-(day - self._last[rule]) / self._half_life[rule]))

    def study(self, rule: int, day: int, recalled: bool) -> None:
        """A success stretches the half-life; a miss shortens it, but not below what a first meeting gives."""
        before = self._half_life.get(rule)
        if before is None:
            self._half_life[rule] = self.first
        elif recalled:
            self._half_life[rule] = before * (1 + self.gain * (1 - self.recall(rule, day)))
        else:
            self._half_life[rule] = max(self.first, before * self.after_miss)
        self._last[rule] = day


class FsrsLearner:
    """Memory as the FSRS-6 equations have it, with their default weights: the best case for the adapter."""

    _equations = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)

    def __init__(self) -> None:
        self._cards: dict[int, Card] = {}

    def recall(self, rule: int, day: int) -> float:
        """The chance of recalling the rule on that day."""
        card = self._cards.get(rule)
        return 0.0 if card is None else self._equations.get_card_retrievability(card, on(day))

    def study(self, rule: int, day: int, recalled: bool) -> None:
        """A success or a miss, as the equations take it."""
        card = self._cards.get(rule) or Card(card_id=rule + 1)
        rating = Rating.Good if recalled else Rating.Again
        self._cards[rule], _ = self._equations.review_card(card, rating, on(day))


def on(day: int) -> datetime:
    """Noon of a day of the simulation."""
    return FIRST_DAY + timedelta(days=day)


LEARNERS: dict[str, type[Learner]] = {
    "power law": PowerLawLearner,
    "half-life": HalfLifeLearner,
    "FSRS equations": FsrsLearner,
}
