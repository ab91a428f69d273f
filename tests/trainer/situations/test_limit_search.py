"""Searching the reading at which something worked out passes its limit."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from sideplate_engine.findings import Position
from sideplate_engine.vocabulary import Fact
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.limit_search import Side, first_past, last_holding, step_where_it_holds
from sideplate_trainer.situations.scales import Span, scale_of

FACT = Fact("bolt.length", "quantity", "", Position("test"), "mm", possible=(0.0, 5000.0), decimals=1)
SCALE = scale_of(FACT)
ALL = Span(0, 50_000)


def band(low: int, high: int) -> Side:
    """A test that holds from low to high."""
    return lambda step: -1 if step < low else 1 if step > high else 0


@given(st.integers(0, 50_000), st.integers(0, 40), st.integers(0, 50_000), st.integers())
def test_a_band_however_narrow_is_found(low: int, width: int, now: int, seed: int) -> None:
    high = min(low + width, ALL.last)
    step = step_where_it_holds(band(low, high), SCALE, ALL, now, Draws(seed))
    assert step is not None
    assert low <= step <= high


@given(st.integers(0, 50_000), st.integers())
def test_where_nothing_holds_nothing_is_found(now: int, seed: int) -> None:
    assert step_where_it_holds(lambda _: -1, SCALE, ALL, now, Draws(seed)) is None


@given(st.integers(100, 40_000), st.integers(0, 9_000), st.data())
def test_the_first_step_past_a_limit_is_the_nearest_graduation(
    low: int, width: int, data: st.DataObject
) -> None:
    high = low + width
    start = data.draw(st.integers(low, high))
    upwards = first_past(band(low, high), SCALE, start, ALL.last)
    downwards = first_past(band(low, high), SCALE, start, ALL.first)
    assert upwards == (high // SCALE.hand + 1) * SCALE.hand
    assert downwards == -(-low // SCALE.hand) * SCALE.hand - SCALE.hand


def test_where_it_holds_to_the_end_nothing_is_past_it() -> None:
    assert first_past(band(100, ALL.last), SCALE, 200, ALL.last) is None


@given(st.integers(10, 1000), st.integers(1, 1000))
def test_the_last_step_that_holds_is_found_by_halving(edge: int, beyond: int) -> None:
    assert last_holding(band(0, edge), 0, edge + beyond) == edge
