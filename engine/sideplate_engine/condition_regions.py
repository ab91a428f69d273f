"""What conditions admit, as boxes: for each fact the states it may be in. Boxes meet, contain and cover exactly.

A comparison of two facts is a dimension of its own, whose states are "less", "same" and "more". It is held to be
independent of the values themselves, so that what is found impossible or covered is so beyond doubt; what follows
from an order through several facts is worked out in `fact_order`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass, field
from typing import TypeAlias

from sideplate_engine.authored_conditions import AllOf, FactTest, Test, Vocabulary
from sideplate_engine.authored_reading import truth_of
from sideplate_engine.plain_reading import Truth
from sideplate_engine.value_states import State, states_of

Dimension: TypeAlias = tuple[str, ...]
"""One fact, or two facts compared, in the order of their names."""

Box: TypeAlias = MappingABC[Dimension, int]
"""For each dimension the states it may be in, one bit a state; what is not named may be in any."""

MOST_STEPS = 20_000
"""Splits tried before a cover is given up; conditions that people write take a few dozen."""

NOT_KNOWN = 1
"""The bit of the state "not known", in every dimension."""

_LESS, _SAME, _MORE = 2, 4, 8
_HOLDS_FOR = {
    Test.SAME_AS: _SAME,
    Test.DIFFERS_FROM: _LESS | _MORE,
    Test.ABOVE_FACT: _MORE,
    Test.BELOW_FACT: _LESS,
    Test.AT_LEAST_FACT: _SAME | _MORE,
    Test.AT_MOST_FACT: _SAME | _LESS,
}
_COMPARISON = NOT_KNOWN | _LESS | _SAME | _MORE


@dataclass(frozen=True, slots=True)
class Regions:
    """The states that some conditions tell apart, and what conditions admit of them."""

    vocabulary: Vocabulary
    states: MappingABC[str, tuple[State, ...]]
    _admitted: dict[FactTest, tuple[Dimension, int]] = field(default_factory=dict, repr=False, compare=False)

    def every(self, dimension: Dimension) -> int:
        """The bits of all states of a dimension."""
        return _COMPARISON if len(dimension) == 2 else (1 << len(self.states[dimension[0]])) - 1

    def known(self, dimension: Dimension) -> int:
        """The bits of all states but "not known"."""
        return self.every(dimension) & ~NOT_KNOWN

    def admits(self, test: FactTest) -> tuple[Dimension, int]:
        """The dimension a test looks at, and the states for which it holds."""
        if test.other is not None:
            return _comparison(test)
        if test not in self._admitted:
            bits = 0
            for number, state in enumerate(self.states[test.fact]):
                facts = {} if state is None else {test.fact: state}
                if truth_of(test, facts, self.vocabulary) is Truth.TRUE:
                    bits |= 1 << number
            self._admitted[test] = ((test.fact,), bits)
        return self._admitted[test]

    def box(self, tests: Iterable[FactTest]) -> Box | None:
        """What tests that must all hold admit; None when that is nothing."""
        box: dict[Dimension, int] = {}
        for test in tests:
            dimension, bits = self.admits(test)
            box[dimension] = box.get(dimension, self.every(dimension)) & bits
            if test.other is not None:
                for name in (test.fact, test.other):
                    box[(name,)] = box.get((name,), self.every((name,))) & ~NOT_KNOWN
        return box if all(box.values()) else None

    def boxes(self, conditions: AllOf) -> list[Box]:
        """What conditions admit, a box for each alternative that can hold."""
        return [box for tests in conditions.spread() if (box := self.box(tests)) is not None]

    def meet(self, one: Box, other: Box) -> Box | None:
        """What both boxes admit; None when that is nothing."""
        box = dict(one)
        for dimension, bits in other.items():
            box[dimension] = box.get(dimension, self.every(dimension)) & bits
        return box if all(box.values()) else None

    def contains(self, outer: Box, inner: Box) -> bool:
        """Whether all that the inner box admits is in the outer."""
        return all(
            inner.get(dimension, self.every(dimension)) & ~bits == 0 for dimension, bits in outer.items()
        )

    def covers(self, boxes: Sequence[Box], box: Box) -> bool:
        """Whether all that a box admits is in one or another of the boxes. Exact, or no where it takes too long."""
        return _Cover(self).covers(boxes, box)

    def values(self, name: str, bits: int) -> list[State]:
        """The states of a fact that bits stand for."""
        return [state for number, state in enumerate(self.states[name]) if bits >> number & 1]


def regions_of(vocabulary: Vocabulary, *conditions: AllOf | None) -> Regions:
    """The regions that these conditions, taken together, tell apart. Raises TooManyStates."""
    tests: dict[str, list[FactTest]] = {}
    for each in conditions:
        for test in each.tests() if each is not None else ():
            for name in test.facts():
                tests.setdefault(name, []).append(test)
    states = {
        name: states_of(vocabulary[name], [test for test in found if test.other is None])
        for name, found in tests.items()
    }
    return Regions(vocabulary, states)


def _comparison(test: FactTest) -> tuple[Dimension, int]:
    assert test.other is not None
    bits = _HOLDS_FOR[test.test]
    if test.fact < test.other:
        return (test.fact, test.other), bits
    mirrored = bits & _SAME | (_MORE if bits & _LESS else 0) | (_LESS if bits & _MORE else 0)
    return (test.other, test.fact), mirrored


class _Cover:
    """Splits a box along one dimension after another until each piece lies in one of the boxes; one use."""

    def __init__(self, regions: Regions) -> None:
        self.regions = regions
        self.steps = 0

    def covers(self, boxes: Sequence[Box], box: Box) -> bool:
        self.steps += 1
        if self.steps > MOST_STEPS:
            return False
        near = [other for other in boxes if self.regions.meet(box, other) is not None]
        if any(self.regions.contains(other, box) for other in near):
            return True
        dimension = self._dividing(near, box)
        if dimension is None:
            return False
        return all(self.covers(near, {**box, dimension: bits}) for bits in self._pieces(dimension, near, box))

    def _dividing(self, boxes: Sequence[Box], box: Box) -> Dimension | None:
        """A dimension in which one of the boxes holds part of the box; None when there is none."""
        for other in boxes:
            for dimension, bits in other.items():
                if box.get(dimension, self.regions.every(dimension)) & ~bits:
                    return dimension
        return None

    def _pieces(self, dimension: Dimension, boxes: Sequence[Box], box: Box) -> list[int]:
        """The box's states in a dimension, those together that every one of the boxes treats alike."""
        every = self.regions.every(dimension)
        pieces: dict[tuple[bool, ...], int] = {}
        left = box.get(dimension, every)
        while left:
            bit = left & -left
            left ^= bit
            treated = tuple(bool(other.get(dimension, every) & bit) for other in boxes)
            pieces[treated] = pieces.get(treated, 0) | bit
        return list(pieces.values())
