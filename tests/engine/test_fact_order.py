"""Whether comparisons and limits can hold together, checked against a linear-programming solver."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog  # type: ignore[import-untyped]  # SciPy ships no types

from sideplate_engine.authored_conditions import FactTest, Test
from sideplate_engine.fact_order import can_be_ordered
from sideplate_engine.findings import Position
from sideplate_engine.vocabulary import Fact

AT = Position("here")
NAMES = ("a.a", "a.b", "a.c", "a.d")
UNITS = {"a.a": "mm", "a.b": "in", "a.c": "mm", "a.d": "cm"}
IN_MM = {"mm": 1.0, "in": 25.4, "cm": 10.0}
VOCABULARY = {
    name: Fact(name, "quantity", "It.", AT, UNITS[name], possible=(0.0, 1000.0 / IN_MM[UNITS[name]]))
    for name in NAMES
}


def limit(name: str, test: Test, *values: float) -> FactTest:
    return FactTest(name, test, AT, values)


def compared(name: str, test: Test, other: str) -> FactTest:
    return FactTest(name, test, AT, other=other)


def test_a_round_of_more_than_cannot_be() -> None:
    circle = [
        compared("a.a", Test.ABOVE_FACT, "a.b"),
        compared("a.b", Test.ABOVE_FACT, "a.c"),
        compared("a.c", Test.AT_LEAST_FACT, "a.a"),
    ]
    assert not can_be_ordered(circle, VOCABULARY)
    assert can_be_ordered(circle[:2], VOCABULARY)


def test_a_round_of_at_least_means_that_all_are_the_same() -> None:
    circle = [compared("a.a", Test.AT_LEAST_FACT, "a.b"), compared("a.b", Test.AT_LEAST_FACT, "a.a")]
    assert can_be_ordered(circle, VOCABULARY)
    assert not can_be_ordered(
        [*circle, limit("a.a", Test.BELOW, 25.4), limit("a.b", Test.AT_LEAST, 1.0)], VOCABULARY
    )


def test_limits_are_compared_across_units() -> None:
    above = compared("a.a", Test.ABOVE_FACT, "a.b")
    assert not can_be_ordered(
        [above, limit("a.a", Test.AT_MOST, 25.4), limit("a.b", Test.AT_LEAST, 1.0)], VOCABULARY
    )
    assert can_be_ordered(
        [above, limit("a.a", Test.AT_MOST, 25.5), limit("a.b", Test.AT_LEAST, 1.0)], VOCABULARY
    )


@pytest.mark.parametrize("unit", ["°C", "°F"])
def test_temperatures_compare_though_they_do_not_multiply(unit: str) -> None:
    facts = {name: Fact(name, "quantity", "It.", AT, unit) for name in ("a.a", "a.b")}
    warmer = compared("a.a", Test.ABOVE_FACT, "a.b")
    assert can_be_ordered([warmer, limit("a.a", Test.BELOW, 20.0), limit("a.b", Test.ABOVE, 10.0)], facts)
    assert not can_be_ordered([warmer, limit("a.a", Test.BELOW, 20.0), limit("a.b", Test.ABOVE, 20.0)], facts)


def test_what_is_possible_is_a_limit_too() -> None:
    assert not can_be_ordered(
        [compared("a.a", Test.ABOVE_FACT, "a.b"), limit("a.b", Test.AT_LEAST, 1000.0 / 25.4)], VOCABULARY
    )


def test_words_are_not_ordered() -> None:
    codes = {name: Fact(name, "code", "It.", AT) for name in ("a.a", "a.b")}
    assert can_be_ordered([compared("a.a", Test.SAME_AS, "a.b")], codes)


between = st.builds(
    lambda names, test: compared(names[0], test, names[1]),
    st.permutations(NAMES),
    st.sampled_from([Test.ABOVE_FACT, Test.BELOW_FACT, Test.AT_LEAST_FACT, Test.AT_MOST_FACT, Test.SAME_AS]),
)
limits = st.builds(
    lambda name, test, value: limit(name, test, value / IN_MM[UNITS[name]]),
    st.sampled_from(NAMES),
    st.sampled_from([Test.ABOVE, Test.BELOW, Test.AT_LEAST, Test.AT_MOST, Test.EQUALS]),
    st.integers(0, 8).map(lambda n: n * 100.0),
)


@settings(max_examples=120, deadline=None)
@given(st.lists(st.one_of(between, limits), min_size=1, max_size=7))
def test_a_solver_of_linear_programs_agrees(tests: Sequence[FactTest]) -> None:
    """scipy.optimize.linprog maximises the room that every strict comparison can be given."""
    names = {name for test in tests if test.other is not None for name in test.facts()}
    tests = [test for test in tests if test.fact in names]  # the limits of other numbers are left aside
    assume(tests)
    rows: list[list[float]] = []
    bounds: list[float] = []

    def at_most(one: str | None, other: str | None, most: float, *, strict: bool) -> None:
        row = [0.0] * 5
        if one is not None:
            row[NAMES.index(one)] += 1.0
        if other is not None:
            row[NAMES.index(other)] -= 1.0
        row[4] = 1.0 if strict else 0.0
        rows.append(row)
        bounds.append(most)

    for test in tests:
        value = float(test.values[0]) * IN_MM[UNITS[test.fact]] if test.values else 0.0
        if test.test in (Test.ABOVE, Test.AT_LEAST, Test.EQUALS):
            at_most(None, test.fact, -value, strict=test.test is Test.ABOVE)
        if test.test in (Test.BELOW, Test.AT_MOST, Test.EQUALS):
            at_most(test.fact, None, value, strict=test.test is Test.BELOW)
        if test.test in (Test.ABOVE_FACT, Test.AT_LEAST_FACT, Test.SAME_AS):
            at_most(test.other, test.fact, 0.0, strict=test.test is Test.ABOVE_FACT)
        if test.test in (Test.BELOW_FACT, Test.AT_MOST_FACT, Test.SAME_AS):
            at_most(test.fact, test.other, 0.0, strict=test.test is Test.BELOW_FACT)
    solved = linprog(
        c=np.array([0.0, 0.0, 0.0, 0.0, -1.0]),
        A_ub=np.array(rows),
        b_ub=np.array(bounds),
        bounds=[(0.0, 1000.0)] * 4 + [(0.0, 1.0)],
    )
    any_strict = any(row[4] for row in rows)
    feasible = solved.status == 0 and (not any_strict or -solved.fun > 1e-6)
    assert can_be_ordered(tests, VOCABULARY) is feasible
