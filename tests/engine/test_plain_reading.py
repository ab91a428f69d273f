from __future__ import annotations

import math
from itertools import product

import pytest

from sideplate_engine.conditions import Condition, Conjunction, Relation, Scalar
from sideplate_engine.plain_reading import Truth, compile_conjunctions, holds, read, read_all

T, F, U = Truth.TRUE, Truth.FALSE, Truth.UNKNOWN

AS_CONDITION = {
    T: Condition("there", Relation.EQUALS, "x"),
    F: Condition("there", Relation.EQUALS, "y"),
    U: Condition("not.there", Relation.EQUALS, "x"),
}
SHEET: dict[str, Scalar] = {"there": "x"}


@pytest.mark.parametrize(("expected", "condition"), AS_CONDITION.items())
def test_a_condition_is_true_false_or_unknown(expected: Truth, condition: Condition) -> None:
    assert read(condition, SHEET) is expected


# Kleene, Introduction to Metamathematics (1952), section 64: the strong table of "and".
KLEENE_AND = {
    (T, T): T, (T, F): F, (T, U): U,
    (F, T): F, (F, F): F, (F, U): F,
    (U, T): U, (U, F): F, (U, U): U,
}  # fmt: skip


@pytest.mark.parametrize(("pair", "expected"), KLEENE_AND.items())
def test_two_conditions_are_joined_as_in_kleenes_table(pair: tuple[Truth, Truth], expected: Truth) -> None:
    assert read_all([AS_CONDITION[truth] for truth in pair], SHEET) is expected


def test_several_conditions_are_joined_pair_by_pair() -> None:
    for three in product(Truth, repeat=3):
        expected = KLEENE_AND[KLEENE_AND[three[0], three[1]], three[2]]
        assert read_all([AS_CONDITION[truth] for truth in three], SHEET) is expected


def test_no_conditions_at_all_are_true() -> None:
    assert read_all((), {}) is T


@pytest.mark.parametrize(
    ("relation", "when_there", "when_not"), [(Relation.KNOWN, T, F), (Relation.UNKNOWN, F, T)]
)
def test_whether_a_fact_is_known_is_itself_always_known(
    relation: Relation, when_there: Truth, when_not: Truth
) -> None:
    assert read(Condition("a", relation), {"a": False}) is when_there
    assert read(Condition("a", relation), {}) is when_not


@pytest.mark.parametrize(
    ("relation", "value", "true_of", "false_of"),
    [
        (Relation.EQUALS, "x", ["x"], ["", "X", "xx"]),
        (Relation.EQUALS, False, [False], [True]),
        (Relation.EQUALS, 5, [5, 5.0], [4, 5.5]),
        (Relation.ONE_OF, ("x", "y"), ["x", "y"], ["z"]),
        (Relation.ONE_OF, (), [], ["x", 1.0, True]),
        (Relation.NONE_OF, ("x", "y"), ["z"], ["x", "y"]),
        (Relation.NONE_OF, (), ["x", 1.0, True], []),
        (Relation.ABOVE, 2, [math.nextafter(2, 3)], [2.0, 1]),
        (Relation.AT_LEAST, 2, [2.0, 3], [math.nextafter(2, 1)]),
        (Relation.BELOW, 2, [math.nextafter(2, 1)], [2.0, 3]),
        (Relation.AT_MOST, 2, [2.0, 1], [math.nextafter(2, 3)]),
        (Relation.EQUALS, 0.0, [-0.0, 0], [5e-324]),
    ],
)
def test_every_relation_is_true_of_some_values_false_of_others_and_unknown_of_none(
    relation: Relation, value: Scalar | tuple[Scalar, ...], true_of: list[Scalar], false_of: list[Scalar]
) -> None:
    condition = Condition("a", relation, value)
    compiled = compile_conjunctions([Conjunction("it", 0, (condition,))])
    assert read(condition, {}) is U
    assert compiled(0, {}) == frozenset()
    for values, truth in ((true_of, T), (false_of, F)):
        for one in values:
            assert read(condition, {"a": one}) is truth
            assert (compiled(0, {"a": one}) == {"it"}) is (truth is T)


def test_a_conjunction_holds_only_when_it_is_true() -> None:
    for pair, truth in KLEENE_AND.items():
        conjunction = Conjunction("it", 0, tuple(AS_CONDITION[one] for one in pair))
        assert holds(conjunction, SHEET) is (truth is T)
        assert (compile_conjunctions([conjunction])(0, SHEET) == {"it"}) is (truth is T)


def test_the_compiled_form_answers_for_one_stratum_at_a_time() -> None:
    compiled = compile_conjunctions(
        [
            Conjunction("low", 0, (Condition("a", Relation.UNKNOWN),)),
            Conjunction("high", 1, (Condition("a", Relation.EQUALS, 5.0),)),
        ]
    )
    assert compiled(0, {}) == {"low"}
    assert compiled(1, {"a": 5.0}) == {"high"}
    assert compiled(2, {"a": 5.0}) == frozenset()


@pytest.mark.parametrize(("asked", "given"), [("5", 5), (5.0, "5"), (True, 1), (1.0, True), (True, "true")])
def test_a_value_of_another_kind_is_refused(asked: Scalar, given: Scalar) -> None:
    condition = Condition("a", Relation.EQUALS, asked)
    with pytest.raises(ValueError, match=r"^a takes "):
        read(condition, {"a": given})
    with pytest.raises(ValueError, match=r"^a takes "):
        compile_conjunctions([Conjunction("it", 0, (condition,))])(0, {"a": given})


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_number_that_is_not_finite_is_refused(value: float) -> None:
    condition = Condition("a", Relation.ABOVE, 1.0)
    with pytest.raises(ValueError, match="not a number that can be compared"):
        read(condition, {"a": value})
    with pytest.raises(ValueError, match="not a number that can be compared"):
        compile_conjunctions([Conjunction("it", 0, (condition,))])(0, {"a": value})
    with pytest.raises(ValueError, match="not a number that can be compared"):
        read(Condition("a", Relation.ABOVE, value), {})


def test_conditions_that_disagree_about_a_kind_are_refused() -> None:
    with pytest.raises(ValueError, match="a is a word in k and a number in j"):
        compile_conjunctions(
            [
                Conjunction("k", 0, (Condition("a", Relation.EQUALS, "5"),)),
                Conjunction("j", 0, (Condition("a", Relation.EQUALS, 5),)),
            ]
        )
