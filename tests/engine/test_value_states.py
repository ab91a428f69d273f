"""The states that tests tell apart decide what a test admits: checked against values drawn at random."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideplate_engine.authored_conditions import FactTest, Test
from sideplate_engine.authored_reading import truth_of
from sideplate_engine.findings import Position
from sideplate_engine.value_states import MOST_GROUPS, TooManyStates, states_of
from sideplate_engine.vocabulary import Element, Fact, Value

AT = Position("here")


def fact(kind: str, **more: object) -> Fact:
    return Fact("bolt.it", kind, "It.", AT, **more)  # type: ignore[arg-type]  # kinds and keys are plain here


def a_test(test: Test, *values: Element) -> FactTest:
    return FactTest("bolt.it", test, AT, values)


def test_a_number_has_each_value_written_and_one_in_each_gap() -> None:
    length = fact("quantity", unit="mm", possible=(0.0, 100.0))
    assert states_of(length, [a_test(Test.ABOVE, 20.0), a_test(Test.AT_MOST, 50.0)]) == (
        None, 10.0, 20.0, 35.0, 50.0, 75.0
    )  # fmt: skip


def test_no_gap_is_left_beyond_an_end_of_what_is_possible() -> None:
    length = fact("quantity", unit="mm", possible=(20.0, 50.0))
    assert states_of(length, [a_test(Test.WITHIN, 20.0, 50.0)]) == (None, 20.0, 35.0, 50.0)


def test_a_number_without_limits_goes_on_at_both_ends() -> None:
    states = states_of(fact("quantity", unit="mm"), [a_test(Test.ABOVE, 5.0)])
    assert states == (None, 0.0, 5.0, 10.0)


def test_a_number_that_no_test_names_has_one_state() -> None:
    assert len(states_of(fact("quantity", unit="mm"), [])) == 2


def test_counts_have_no_value_between_neighbours() -> None:
    assert states_of(fact("count"), [a_test(Test.ABOVE, 3), a_test(Test.BELOW, 4)]) == (None, 0, 3, 4, 5)
    assert states_of(fact("count", possible=(1.0, 4.0)), [a_test(Test.ABOVE, 3)]) == (None, 1, 3, 4)


def test_a_choice_has_all_its_words_and_a_code_one_that_is_not_written() -> None:
    assert states_of(fact("choice", choices={"a": "A.", "b": "B."}), []) == (None, "a", "b")
    states = states_of(fact("code"), [a_test(Test.ONE_OF, "M6", "M4")])
    assert states[:3] == (None, "M4", "M6")
    assert states[3] not in ("M4", "M6")


def test_elements_that_tests_treat_alike_stand_for_each_other() -> None:
    marks = fact("choice", many=True, choices={str(n): "x" for n in range(40)})
    many = tuple(str(n) for n in range(30))
    assert len(states_of(marks, [a_test(Test.ONE_OF, *many)])) == 3  # unknown, none of them, one of them
    assert len(states_of(marks, [a_test(Test.ONE_OF, "1", "2"), a_test(Test.NONE_OF, "2", "3")])) == 1 + 8


def test_too_many_elements_told_apart_are_not_looked_at() -> None:
    tags = fact("code", many=True)
    apart = [a_test(Test.EQUALS, f"T{n}") for n in range(MOST_GROUPS + 1)]
    with pytest.raises(TooManyStates):
        states_of(tags, apart)


numbers = st.integers(-3, 12).map(float)


@st.composite
def number_tests(draw: st.DrawFn) -> FactTest:
    test = draw(
        st.sampled_from([Test.ABOVE, Test.BELOW, Test.AT_LEAST, Test.AT_MOST, Test.EQUALS, Test.WITHIN])
    )
    low = draw(st.integers(0, 9).map(float))
    return a_test(test, low, low + draw(st.integers(1, 3))) if test is Test.WITHIN else a_test(test, low)


@given(st.lists(number_tests(), min_size=1, max_size=4), st.floats(0, 10))
def test_every_possible_number_is_read_like_one_of_the_states(
    tests: Sequence[FactTest], value: float
) -> None:
    length = fact("quantity", unit="mm", possible=(0.0, 10.0))
    assert _readings(length, tests, value) in [
        _readings(length, tests, state) for state in states_of(length, tests) if state is not None
    ]


@given(
    st.lists(
        st.builds(
            lambda test, words: a_test(test, *words),
            st.sampled_from([Test.ONE_OF, Test.NONE_OF]),
            st.lists(st.sampled_from("abcdef"), min_size=1, max_size=4, unique=True),
        ),
        min_size=1,
        max_size=4,
    ),
    st.frozensets(st.sampled_from("abcdefgh")),
)
def test_every_set_is_read_like_one_of_the_states(tests: Sequence[FactTest], value: frozenset[str]) -> None:
    marks = fact("choice", many=True, choices=dict.fromkeys("abcdefgh", "x"))
    assert _readings(marks, tests, value) in [
        _readings(marks, tests, state) for state in states_of(marks, tests) if state is not None
    ]


def _readings(of: Fact, tests: Sequence[FactTest], value: Value) -> list[object]:
    return [truth_of(test, {of.name: value}, {of.name: of}) for test in tests]
