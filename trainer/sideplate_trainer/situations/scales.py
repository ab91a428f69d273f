"""The values of a number fact that a person can write down, and which of them satisfy tests.

A value is a whole count of steps; a step is the last place in which the fact is shown. So what a story prints is
exactly what the engine judges, and a limit is passed by whole graduations.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from sideplate_engine.authored_conditions import FactTest, Test
from sideplate_engine.vocabulary import Fact
from sideplate_trainer.situations.draws import Draws

_NEVER_MORE_THAN = 1_000_000.0
_FINE_PLACES = 6
_EDGE_SHARE = 0.2
_SIZES_OF_STEP = (1, 2, 5)


@dataclass(frozen=True, slots=True)
class Span:
    """Steps from first to last, both included; `first_is_limit` says that a test, not the range, sets that end."""

    first: int
    last: int
    first_is_limit: bool = False
    last_is_limit: bool = False


@dataclass(frozen=True, slots=True)
class Scale:
    """How a number fact is read off: `places` after the point, and `hand` steps to a person's graduation."""

    fact: Fact
    places: int
    hand: int

    def value(self, step: int) -> int | float:
        """The value of a step, exactly as its figures read."""
        return step if self.fact.kind == "count" else float(f"{step}e-{self.places}")

    def nearest(self, value: float) -> int:
        """The step next to a value."""
        return round(value * 10.0**self.places)

    def is_on(self, value: float) -> bool:
        """Whether a value can be written down exactly in the places shown."""
        return self.value(self.nearest(value)) == value

    def first_above(self, limit: float, *, itself: bool) -> int:
        """The lowest step above a limit, or at it when `itself` is among them."""
        step = self.nearest(limit) - 1
        while self.value(step) < limit or (not itself and self.value(step) == limit):
            step += 1
        return step

    def last_below(self, limit: float, *, itself: bool) -> int:
        """The highest step below a limit, or at it when `itself` is among them."""
        step = self.nearest(limit) + 1
        while self.value(step) > limit or (not itself and self.value(step) == limit):
            step -= 1
        return step


def scale_of(fact: Fact) -> Scale:
    """The scale of a quantity or a count."""
    if fact.kind == "count":
        return Scale(fact, 0, 1)
    places = fact.decimals
    if places is None:
        low, high = fact.usual or fact.possible or (0.0, 1.0)
        places = max(0, min(3, 3 - math.floor(math.log10(high - low))))
    if fact.unit == "mm" and places in (1, 2):
        return Scale(fact, places, 5)
    return Scale(fact, places, 10 if fact.unit == "km" and places == 0 else 1)


def fine_scale_of(fact: Fact) -> Scale:
    """A scale so fine that it can stand for every value, such as a formula gives."""
    return scale_of(fact) if fact.kind == "count" else Scale(fact, _FINE_PLACES, 1)


def _range(fact: Fact, *, usual: bool) -> tuple[float, float]:
    whole = fact.possible or (0.0, _NEVER_MORE_THAN)
    if not usual or fact.usual is None:
        return whole
    return max(whole[0], fact.usual[0]), min(whole[1], fact.usual[1])


def spans_of(scale: Scale, tests: Iterable[FactTest], *, usual: bool) -> list[Span]:
    """The steps that satisfy tests against limits, in the usual range or in all that is possible."""
    low, high = _range(scale.fact, usual=usual)
    spans = [Span(scale.first_above(low, itself=True), scale.last_below(high, itself=True))]
    for test in tests:
        spans = [kept for span in spans for kept in _narrowed(span, test, scale) if kept.first <= kept.last]
    return spans


def _narrowed(span: Span, test: FactTest, scale: Scale) -> list[Span]:
    limits = [float(value) for value in test.values] if scale.fact.is_number else []
    match test.test:
        case Test.ABOVE | Test.AT_LEAST:
            return [_from(span, scale.first_above(limits[0], itself=test.test is Test.AT_LEAST))]
        case Test.BELOW | Test.AT_MOST:
            return [_up_to(span, scale.last_below(limits[0], itself=test.test is Test.AT_MOST))]
        case Test.WITHIN:
            narrowed = _from(span, scale.first_above(limits[0], itself=True))
            return [_up_to(narrowed, scale.last_below(limits[1], itself=True))]
        case Test.OUTSIDE:
            return [
                _up_to(span, scale.last_below(limits[0], itself=False)),
                _from(span, scale.first_above(limits[1], itself=False)),
            ]
        case Test.NONE_OF:
            spans = [span]
            for limit in limits:
                spans = [
                    part
                    for whole in spans
                    for part in (
                        _up_to(whole, scale.last_below(limit, itself=False)),
                        _from(whole, scale.first_above(limit, itself=False)),
                    )
                ] if scale.is_on(limit) else spans  # fmt: skip
            return spans
        case _:
            return [span]


def _from(span: Span, first: int) -> Span:
    if first <= span.first:
        return span
    return Span(first, span.last, True, span.last_is_limit)


def _up_to(span: Span, last: int) -> Span:
    if last >= span.last:
        return span
    return Span(span.first, last, span.first_is_limit, True)


def draw_step(span: Span, scale: Scale, draws: Draws) -> int:
    """A step of the span as a person would report it: mostly a round figure, sometimes the limit itself."""
    edges = [
        edge
        for edge, is_limit in ((span.first, span.first_is_limit), (span.last, span.last_is_limit))
        if is_limit
    ]
    if edges and draws.chance(_EDGE_SHARE):
        return _on_hand(draws.pick(edges), span, scale)
    first, last = _sensible(span, scale)
    size = _round_size(last - first, scale)
    lowest, highest = -(-first // size), last // size
    if lowest > highest:
        return draws.whole(first, last)
    return draws.whole(lowest, highest) * size


def _on_hand(edge: int, span: Span, scale: Scale) -> int:
    """The graduation nearest to an end of the span, inside it; the end itself where there is none."""
    inward = -(-edge // scale.hand) if edge == span.first else edge // scale.hand
    step = inward * scale.hand
    return step if span.first <= step <= span.last else edge


def _sensible(span: Span, scale: Scale) -> tuple[int, int]:
    """Not too far beyond a limit: nobody brings in a chain ten times over its limit."""
    if span.first_is_limit == span.last_is_limit:
        return span.first, span.last
    limit = span.first if span.first_is_limit else span.last
    reach = max(10 * scale.hand, round(0.5 * abs(limit)))
    if span.first_is_limit:
        return span.first, min(span.last, span.first + reach)
    return max(span.first, span.last - reach), span.last


def _round_size(width: int, scale: Scale) -> int:
    """The coarsest round size of which a width holds some eight, never finer than a person reads off."""
    size = scale.hand if width >= scale.hand else 1
    for ten in range(7):
        for factor in _SIZES_OF_STEP:
            larger = factor * 10**ten
            if larger % scale.hand == 0 and larger * 8 <= width:
                size = max(size, larger)
    return size
