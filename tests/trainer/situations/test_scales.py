"""Number facts read off in steps: what a story prints is what the engine judges."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideplate_engine import KnowledgeBase
from sideplate_engine.authored_conditions import FactTest, Test
from sideplate_engine.condition_algebra import allows
from sideplate_engine.findings import Position
from sideplate_engine.vocabulary import Fact
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.scales import Span, draw_step, scale_of, spans_of

HERE = Position("test")
LENGTH = Fact(
    "bolt.length", "quantity", "", HERE, "mm", possible=(0.0, 200.0), usual=(10.0, 90.0), decimals=1
)
TURNS = Fact("bolt.turns", "count", "", HERE, possible=(0.0, 100.0))
LIMITS = (Test.ABOVE, Test.BELOW, Test.AT_LEAST, Test.AT_MOST)


def limit(word: Test, *values: float) -> FactTest:
    return FactTest(LENGTH.name, word, HERE, values)


tenths = st.integers(0, 2000).map(lambda step: step / 10)
limits = st.one_of(
    st.builds(limit, st.sampled_from(LIMITS), st.floats(0, 200)),
    st.builds(limit, st.sampled_from(LIMITS), tenths),
    st.tuples(st.sampled_from((Test.WITHIN, Test.OUTSIDE)), tenths, tenths)
    .filter(lambda ends: ends[1] < ends[2])
    .map(lambda ends: limit(*ends)),
    st.builds(limit, st.just(Test.NONE_OF), tenths),
)


@given(st.integers(0, 2000))
def test_a_step_is_shown_exactly_as_it_is_judged(step: int) -> None:
    value = scale_of(LENGTH).value(step)
    assert LENGTH.read_limit(LENGTH.show(value)) == value


def test_every_number_of_the_vocabulary_is_shown_exactly_as_it_is_judged(knowledge: KnowledgeBase) -> None:
    for fact in knowledge.facts.values():
        if fact.is_number and fact.given:
            scale = scale_of(fact)
            (span,) = spans_of(scale, (), usual=True)
            for step in (span.first, (span.first + span.last) // 2, span.last):
                value = scale.value(step)
                assert fact.read_limit(fact.show(value)) == value, fact.name


@given(st.lists(limits, max_size=3), st.booleans(), st.integers())
def test_a_drawn_step_satisfies_the_tests(tests: list[FactTest], usual: bool, seed: int) -> None:
    scale, draws = scale_of(LENGTH), Draws(seed)
    for span in spans_of(scale, tests, usual=usual):
        step = draw_step(span, scale, draws)
        assert span.first <= step <= span.last
        assert allows(tests, LENGTH.name, scale.value(step), {LENGTH.name: LENGTH})


@given(st.lists(limits, max_size=3))
def test_no_step_that_satisfies_the_tests_is_left_out(tests: list[FactTest]) -> None:
    scale = scale_of(LENGTH)
    spans = spans_of(scale, tests, usual=False)
    for step in range(0, 2001, 7):
        inside = any(span.first <= step <= span.last for span in spans)
        assert inside == allows(tests, LENGTH.name, scale.value(step), {LENGTH.name: LENGTH})


def test_most_lengths_are_read_off_to_half_a_millimetre() -> None:
    scale, draws = scale_of(LENGTH), Draws("graduations")
    steps = [draw_step(Span(100, 900), scale, draws) for _ in range(100)]
    assert all(step % scale.hand == 0 for step in steps)
    assert scale.value(scale.hand) == 0.5


def test_the_limit_itself_is_drawn_now_and_then() -> None:
    scale, draws = scale_of(TURNS), Draws("edges")
    steps = [draw_step(Span(20, 100, first_is_limit=True), scale, draws) for _ in range(200)]
    assert 20 <= steps.count(20) <= 80


def test_values_keep_near_the_limit_they_pass() -> None:
    scale, draws = scale_of(TURNS), Draws("near")
    steps = [draw_step(Span(20, 100, first_is_limit=True), scale, draws) for _ in range(200)]
    assert max(steps) <= 30


def test_tests_that_contradict_leave_no_span() -> None:
    assert spans_of(scale_of(LENGTH), [limit(Test.ABOVE, 50), limit(Test.BELOW, 50)], usual=False) == []


@pytest.mark.parametrize(("unit", "value"), [("mm", 12.25), ("km", 100.5)])
def test_what_is_finer_than_the_places_shown_is_not_on_the_scale(unit: str, value: float) -> None:
    fact = Fact(
        "bolt.length", "quantity", "", HERE, unit, possible=(0.0, 2000.0), decimals=1 if unit == "mm" else 0
    )
    assert not scale_of(fact).is_on(value)
    assert scale_of(fact).is_on(100)
