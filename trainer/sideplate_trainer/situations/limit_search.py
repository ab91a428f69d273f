"""Finds the reading of one measured fact at which a test on a worked-out fact holds, or stops holding."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from collections.abc import Mapping as MappingABC

from sideplate_engine.authored_conditions import FactTest
from sideplate_engine.vocabulary import Fact, Value, in_unit_of
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.scales import Scale, Span, draw_step

_GRID = 10

Side = Callable[[int], int | None]
"""From a step of the fact that is varied: 0 where the test holds; -1 below it, 1 above; None where nobody can say."""


def side_of(test: FactTest, known: MappingABC[str, Value], vocabulary: MappingABC[str, Fact]) -> int | None:
    """On which side of a test that does not hold its fact lies; None where it has no side, or is not known."""
    value = known.get(test.fact)
    limits: Sequence[object] = test.values
    if test.other is not None:
        other = known.get(test.other)
        if isinstance(other, (int, float)):
            limits = (in_unit_of(other, vocabulary[test.other], vocabulary[test.fact]),)
    numbers = [limit for limit in limits if isinstance(limit, (int, float))]
    if not isinstance(value, (int, float)) or not numbers:
        return None
    if value < min(numbers):
        return -1
    return 1 if value > max(numbers) else None


def step_where_it_holds(side: Side, scale: Scale, span: Span, now: int, draws: Draws) -> int | None:
    """A step of the span at which the test holds: sought on a grid, then by halving between two opposite sides.

    The grid is even over the span, and grows dense around the step taken now.
    """
    grid = _grid(scale, span, now)
    sides = [side(step) for step in grid]
    holding = [number for number, found in enumerate(sides) if found == 0]
    if holding:
        number = draws.pick(holding)
        first = grid[number] if number == 0 else last_holding(side, grid[number], grid[number - 1])
        last = grid[number] if number + 1 == len(grid) else last_holding(side, grid[number], grid[number + 1])
        return _reported(side, scale, Span(first, last, True, True), grid[number], draws)
    for low, high, low_side, high_side in zip(grid, grid[1:], sides, sides[1:], strict=False):
        if low_side and high_side and low_side != high_side:
            middle = _between(side, low, high, low_side)
            if middle is not None:
                ends = Span(last_holding(side, middle, low), last_holding(side, middle, high), True, True)
                return _reported(side, scale, ends, middle, draws)
    return None


def _grid(scale: Scale, span: Span, now: int) -> list[int]:
    width = span.last - span.first
    steps = {span.first + width * part // _GRID for part in range(_GRID + 1)}
    stride = scale.hand
    while stride < width // _GRID:
        steps |= {now - stride, now + stride}
        stride *= 2
    return sorted(step for step in steps if span.first <= step <= span.last)


def last_holding(side: Side, inside: int, outside: int) -> int:
    """Going from a step at which the test holds towards another, the last at which it still does, by halving."""
    if side(outside) == 0:
        return outside
    while abs(outside - inside) > 1:
        middle = (outside + inside) // 2
        if side(middle) == 0:
            inside = middle
        else:
            outside = middle
    return inside


def _between(side: Side, low: int, high: int, low_side: int) -> int | None:
    """A step at which the test holds, between two that miss it on opposite sides."""
    while high - low > 1:
        middle = (low + high) // 2
        found = side(middle)
        if found == 0 or found is None:
            return middle if found == 0 else None
        low, high = (middle, high) if found == low_side else (low, middle)
    return None


def _reported(side: Side, scale: Scale, span: Span, sure: int, draws: Draws) -> int:
    """A step of the span as a person would report it; the sure one where the test does not hold after all."""
    step = draw_step(span, scale, draws)
    return step if side(step) == 0 else sure


def first_past(side: Side, scale: Scale, start: int, end: int) -> int | None:
    """From a step at which the test holds towards an end: the nearest graduation at which it no longer does.

    None where it holds all the way. Steps out in doubling strides, so that the nearest limit is the one found.
    """
    direction = 1 if end >= start else -1
    inside, stride = start, scale.hand
    while True:
        outside = start + direction * stride
        if (outside - end) * direction > 0:
            outside = end
        if side(outside) != 0:
            break
        if outside == end:
            return None
        inside, stride = outside, stride * 2
    edge = last_holding(side, inside, outside) + direction
    graduation = (-(-edge // scale.hand) if direction > 0 else edge // scale.hand) * scale.hand
    in_range = (end - graduation) * direction >= 0
    return graduation if in_range and side(graduation) != 0 else edge
