"""Formula expressions: what is arithmetic and what is not, its value, its dimensions, its look with numbers."""

from __future__ import annotations

import math
import operator
import threading
import time
from collections.abc import Callable

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from sideplate_engine.expressions import (
    FUNCTIONS,
    DimensionError,
    ExpressionError,
    NotComputable,
    dimension_check,
    evaluate,
    parse,
    put_in,
)

LENGTH = "2*C/p + (N1 + N2)/2 + ((N2 - N1)/(2*pi))**2 * p/C"


def value_of(text: str, **values: float) -> float:
    return evaluate(parse(text), values)


def test_the_symbols_of_an_expression_are_its_names_without_pi() -> None:
    assert parse(LENGTH).names == {"C", "p", "N1", "N2"}
    assert parse("2*pi").names == frozenset()


@pytest.mark.parametrize(
    ("centre_inches", "pitch_inches", "front", "rear", "pitches", "within"),
    [
        # Shigley's Mechanical Engineering Design, solutions manual, problem 17-26: No. 40, C = 20 in.
        (20.0, 0.5, 21, 84, 135.0, 0.05),
        # Mott, Machine Elements in Mechanical Design, example 7-3: No. 40, C = 30 pitches.
        (15.0, 0.5, 17, 65, 102.9, 0.05),
    ],
)
def test_a_textbook_chain_length_comes_out(
    centre_inches: float, pitch_inches: float, front: int, rear: int, pitches: float, within: float
) -> None:
    found = value_of(LENGTH, C=centre_inches, p=pitch_inches, N1=front, N2=rear)
    assert found == pytest.approx(pitches, abs=within)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1 + 2*3", 7),
        ("(1 + 2)*3", 9),
        ("2**3**2", 512),
        ("-2**2", -4),
        ("2**-1", 0.5),
        ("7/2", 3.5),
        ("10 - 4 - 3", 3),
        ("1.5e3 + .5 + 2.", 1502.5),
        ("sqrt(9) + abs(-4)", 7),
        ("min(3, 1, 2) + max(4, 6)", 7),
        ("sin(pi/2) + cos(0) + atan(0)", 2),
        ("asin(1) + acos(0)", math.pi),
        ("tan(pi/4)", math.tan(math.pi / 4)),
        ("ceil(2.1) + floor(2.9)", 5),
        ("  1\n +\t2 ", 3),
    ],
)
def test_arithmetic_means_what_it_means_on_paper(text: str, value: float) -> None:
    assert value_of(text) == pytest.approx(value, rel=1e-15)


@pytest.mark.parametrize(("x", "rounded"), [(2.5, 3), (3.5, 4), (-2.5, -3), (2.4, 2), (0.49, 0), (-0.2, 0)])
def test_a_half_is_rounded_away_from_zero(x: float, rounded: float) -> None:
    assert value_of("round(x)", x=x) == rounded


def test_rounding_noise_does_not_add_a_link() -> None:
    noisy = math.nextafter(76.0, math.inf)
    assert value_of("2*ceil(x/2)", x=noisy) == 76
    assert value_of("ceil(x)", x=76.001) == 77
    assert value_of("floor(x)", x=75.99999999999999) == 76


def test_a_ratio_a_hair_above_one_still_has_an_angle() -> None:
    assert value_of("acos(x)", x=1.0000000000000002) == 0


@pytest.mark.parametrize(
    ("text", "column"),
    [
        ("", 1),
        ("   ", 1),
        ("a.b", 2),
        ("a + drive.ratio", 10),
        ("__import__('os')", 1),
        ("a + _b", 5),
        ("x[0]", 2),
        ("'text'", 1),
        ("1 + [x for x in y]", 5),
        ("a + lambda", 5),
        ("(x for x in y)", 4),
        ("{1: 2}", 1),
        ("a < b", 3),
        ("a == b", 3),
        ("a and b", 3),
        ("not a", 5),
        ("1 if a else 2", 3),
        ("lambda: 3", 7),
        ("a := 1", 3),
        ("a, b", 1),
        ("()", 1),
        ("sqrt(x=1)", 7),
        ("sqrt(*a)", 6),
        ("2 + eval(1)", 5),
        ("1 + (2)(3)", 8),
        ("sqrt", 1),
        ("2*max", 3),
        ("sqrt()", 1),
        ("sqrt(1, 2)", 1),
        ("max(1)", 1),
        ("x // 2", 4),
        ("a * / b", 5),
        ("(a +)", 5),
        ("(2 +, a)", 5),
        ("x % 2", 3),
        ("a ^ 2", 3),
        ("+a", 1),
        ("~a", 1),
        ("a @ b", 3),
        ("2x", 1),
        ("0x10", 1),
        ("1_000", 1),
        ("2j", 1),
        ("True", 1),
        ("None", 1),
        ("1e400", 1),
        ("a + ½", 5),
        ("é", 1),
        ("a; b", 2),
        ("a # b", 3),
        ("a b", 3),
        ("a +", 4),
        ("(a", 3),
        ("a)(b", 2),
    ],
)
def test_anything_but_arithmetic_is_refused_with_its_place(text: str, column: int) -> None:
    with pytest.raises(ExpressionError) as refused:
        parse(text)
    assert refused.value.column == column
    assert refused.value.message


def test_a_likely_slip_is_answered_with_what_to_write() -> None:
    for text, hint in [("a^2", "write **"), ("2C", "a product needs its *"), ("drive.ratio", "no dots")]:
        with pytest.raises(ExpressionError, match=hint.replace("*", r"\*")):
            parse(text)


@pytest.mark.parametrize("text", ["1/0", "a + 1/(2 - 2)", "sqrt(-1)", "0**-1", "(-8)**(1/3)", "asin(2)"])
def test_a_part_without_symbols_and_without_a_value_is_refused_when_read(text: str) -> None:
    with pytest.raises(ExpressionError):
        parse(text)


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("1" * 501, "500 characters"),
        ("+".join("ab" * 21), "40 levels"),
        ("-" * 200 + "a", "40 levels"),
        ("(" * 41 + "a" + ")" * 41, "40 brackets"),
        (f"max({','.join('a' * 200)})", "200 parts"),
    ],
)
def test_an_expression_over_the_limits_is_refused(text: str, hint: str) -> None:
    with pytest.raises(ExpressionError, match=hint):
        parse(text)


def test_expressions_at_the_limits_are_read() -> None:
    assert value_of("(" * 40 + "a" + ")" * 40, a=2) == 2
    assert value_of(f"max({','.join('a' * 199)})", a=2) == 2


@pytest.mark.parametrize("text", ["9**9**9", "9**9**9**9 + a", "9.9**999"])
def test_a_tower_of_powers_is_refused_at_once(text: str) -> None:
    start = time.perf_counter()
    with pytest.raises(ExpressionError, match="too large"):
        parse(text)
    assert time.perf_counter() - start < 1


@pytest.mark.parametrize(
    ("text", "values", "sentence"),
    [
        ("a/b", {"a": 1, "b": 0}, "It divides by zero."),
        ("a**-2", {"a": 0}, "It divides by zero: zero has no negative power."),
        ("sqrt(a)", {"a": -3}, "It takes the square root of the negative number -3."),
        ("a**0.5", {"a": -3}, "The negative number -3 has no power 0.5."),
        ("acos(a)", {"a": 1.5}, "It takes acos of 1.5, which is not between -1 and 1."),
        ("a**a**a", {"a": 9}, "The power 9 ** 3.8742e+08 is too large."),
        ("a*a", {"a": 1e200}, "The result is too large."),
        ("ceil(a*a)", {"a": 1e200}, "A number in it is too large."),
        ("sin(a*a)", {"a": 1e200}, "A number in it is too large."),
        ("a + b", {"a": 1}, "The symbol b has no value."),
        ("a + 1", {"a": math.nan}, "One of its numbers is not finite."),
        ("1/a", {"a": math.inf}, "One of its numbers is not finite."),
    ],
)
def test_values_without_a_result_are_told_in_a_plain_sentence(
    text: str, values: dict[str, float], sentence: str
) -> None:
    with pytest.raises(NotComputable) as refused:
        evaluate(parse(text), values)
    assert str(refused.value) == sentence


def test_whole_numbers_given_as_integers_cannot_grow_without_bound() -> None:
    with pytest.raises(NotComputable, match="too large"):
        value_of("a**b", a=10**9, b=10**9)


def test_a_refused_value_leaves_nothing_behind_for_the_next() -> None:
    with pytest.raises(NotComputable):
        value_of("a/b", a=1, b=0)
    with pytest.raises(NotComputable, match="b has no value"):
        value_of("a/b", a=1)
    assert value_of("a/b", a=1, b=2) == 0.5


def test_threads_do_not_see_one_anothers_values() -> None:
    expression = parse("(a + a + a + a)*2 - a*8 + a")
    wrong: list[float] = []

    def run(a: float) -> None:
        for _ in range(300):
            if evaluate(expression, {"a": a}) != a:
                wrong.append(a)

    threads = [threading.Thread(target=run, args=(float(a),)) for a in range(1, 5)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=30)
    assert wrong == []


@given(st.text(max_size=60))
@example("f'{a}'")
@example("\x00")
@example("a\u2028+b")
@example("1if a else 2")
def test_any_text_is_an_expression_or_is_refused(text: str) -> None:
    column = 1
    try:
        parse(text)
    except ExpressionError as refused:
        column = refused.column
    assert 1 <= column <= len(text) + 1


SYMBOL = st.sampled_from(["a", "b", "c"])
NUMBER = st.integers(0, 99).map(str)
ARITHMETIC = st.recursive(
    SYMBOL | NUMBER,
    lambda inner: st.one_of(
        st.tuples(inner, st.sampled_from(["+", "-", "*", "/", "**"]), inner).map(
            lambda t: f"({' '.join(t)})"
        ),
        inner.map(lambda x: f"-({x})"),
        st.tuples(st.sampled_from(["sqrt", "abs", "atan", "floor", "ceil"]), inner).map(
            lambda t: f"{t[0]}({t[1]})"
        ),
    ),
    max_leaves=12,
)


@given(ARITHMETIC, st.lists(st.floats(-50, 50), min_size=3, max_size=3))
def test_generated_arithmetic_is_finite_or_said_to_have_no_value(text: str, numbers: list[float]) -> None:
    values = dict(zip("abc", numbers, strict=True))
    try:
        expression = parse(text)
        result = evaluate(expression, values)
    except (ExpressionError, NotComputable):
        return
    assert math.isfinite(result)


Computation = Callable[[dict[str, float]], float]
SIGNS: dict[str, Callable[[float, float], float]] = {
    "+": operator.add,
    "-": operator.sub,
    "*": operator.mul,
    "/": operator.truediv,
}


def joined(parts: tuple[tuple[str, Computation], str, tuple[str, Computation]]) -> tuple[str, Computation]:
    (left, of_left), sign, (right, of_right) = parts
    return f"({left} {sign} {right})", lambda values: SIGNS[sign](of_left(values), of_right(values))


def negated(inner: tuple[str, Computation]) -> tuple[str, Computation]:
    return f"-{inner[0]}", lambda values: -inner[1](values)


def looked_up(name: str) -> tuple[str, Computation]:
    return name, lambda values: values[name]


WITH_ITS_VALUE = st.recursive(
    SYMBOL.map(looked_up),
    lambda inner: st.tuples(inner, st.sampled_from(sorted(SIGNS)), inner).map(joined) | inner.map(negated),
    max_leaves=12,
)


@given(WITH_ITS_VALUE, st.lists(st.floats(0.5, 50), min_size=3, max_size=3))
def test_generated_arithmetic_has_the_value_python_gives_it(
    made: tuple[str, Computation], numbers: list[float]
) -> None:
    text, computation = made
    values = dict(zip("abc", numbers, strict=True))
    try:
        wanted = computation(values)
    except ZeroDivisionError:
        with pytest.raises(NotComputable, match="divides by zero"):
            value_of(text, **values)
        return
    assume(math.isfinite(wanted))
    assert value_of(text, **values) == wanted


@pytest.mark.parametrize(
    ("text", "units", "result"),
    [
        (LENGTH, {"C": "mm", "p": "in", "N1": "1", "N2": "1"}, "1"),
        ("N*p*n", {"N": "1", "p": "mm", "n": "rpm"}, "m/s"),
        ("M/r", {"M": "N·m", "r": "mm"}, "kN"),
        ("P/v", {"P": "kW", "v": "km/h"}, "lbf"),
        ("(L - L0)/L0", {"L": "in", "L0": "mm"}, "%"),
        ("sqrt(a**2 - b*b)", {"a": "mm", "b": "in"}, "mm"),
        ("2*atan(a/b)", {"a": "mm", "b": "mm"}, "deg"),
        ("a*sin(t)", {"a": "mm", "t": "deg"}, "mm"),
        ("max(0, a - b)", {"a": "mm", "b": "mm"}, "mm"),
        ("2*ceil(x/2)", {"x": "1"}, "1"),
        ("(a*b)**(1/2)", {"a": "mm", "b": "mm"}, "mm"),
        ("x**N", {"x": "1", "N": "1"}, "1"),
        ("a/(a - a) + 1", {"a": "mm"}, "1"),
        ("F/A", {"F": "N", "A": "mm²"}, "MPa"),
        ("m*s", {"m": "kg/m", "s": "mm"}, "g"),
        ("-a", {"a": "mm"}, "in"),
    ],
)
def test_a_formula_with_sound_dimensions_passes(text: str, units: dict[str, str], result: str) -> None:
    dimension_check(parse(text), units, result)


@pytest.mark.parametrize(
    ("text", "units", "result", "message"),
    [
        ("C", {"C": "mm"}, "1", "the result is a length, but the fact drive.ratio is a bare number"),
        (
            "C/p",
            {"C": "mm", "p": "mm"},
            "mm",
            "the result is a bare number, but the fact drive.ratio is a length",
        ),
        ("C + 1", {"C": "mm"}, "mm", "a length and a bare number cannot be added"),
        ("C - F", {"C": "mm", "F": "N"}, "mm", "a length and a force cannot be subtracted"),
        ("max(C, 1)", {"C": "mm"}, "mm", "a length and a bare number cannot be compared"),
        ("sin(C)", {"C": "mm"}, "1", "sin is taken of a length; it needs a bare number"),
        ("ceil(C)", {"C": "mm"}, "mm", "ceil is taken of a length; it needs a bare number"),
        ("2**C", {"C": "mm"}, "1", "an exponent is a length; it must be a bare number"),
        (
            "C**N",
            {"C": "mm", "N": "1"},
            "mm",
            "the power of a length must be a number written out, not a symbol",
        ),
        (
            "C**4/t",
            {"C": "mm", "t": "s"},
            "N",
            "the result is a length⁴ · time⁻¹, but the fact drive.ratio is a force",
        ),
        ("T", {"T": "°C"}, "°C", "°C does not start at absolute zero, so it cannot enter a formula"),
        (
            "pi*n",
            {"n": "rpm"},
            "1",
            "the result is a rotational frequency, but the fact drive.ratio is a bare number",
        ),
    ],
)
def test_a_formula_whose_dimensions_do_not_come_out_is_told_why(
    text: str, units: dict[str, str], result: str, message: str
) -> None:
    with pytest.raises(DimensionError) as refused:
        dimension_check(parse(text), units, result, fact="drive.ratio")
    assert str(refused.value) == message


def test_without_a_fact_the_message_says_what_is_wanted() -> None:
    with pytest.raises(DimensionError, match=r"^the result is a length, but a bare number is wanted$"):
        dimension_check(parse("C"), {"C": "mm"}, "1")


@pytest.mark.parametrize("name", sorted(FUNCTIONS))
def test_every_function_can_be_evaluated_and_checked(name: str) -> None:
    text = f"{name}(a, a)" if name in ("min", "max") else f"{name}(a)"
    assert math.isfinite(value_of(text, a=0.5))
    dimension_check(parse(text), {"a": "1"}, "1")


@pytest.mark.parametrize(
    ("text", "shown", "arithmetic"),
    [
        (
            LENGTH,
            {"C": "1111.25 mm", "p": "44.45 mm", "N1": "17", "N2": "34"},
            "2×(1111.25 mm)/(44.45 mm) + (17 + 34)/2 + ((34 - 17)/(2×π))^2 × (44.45 mm)/(1111.25 mm)",
        ),
        ("N1 + N", {"N": "1", "N1": "2"}, "2 + 1"),
        ("a - b", {"a": "-3", "b": "-4"}, "-3 - (-4)"),
        ("a**2", {"a": "-3"}, "(-3)^2"),
        ("-a", {"a": "−3"}, "-(−3)"),
        ("a*b", {"a": "2", "b": "-3"}, "2×(-3)"),
        ("a + b", {"a": "12 mm", "b": "3 mm"}, "12 mm + 3 mm"),
        ("(a)/2", {"a": "12 mm"}, "(12 mm)/2"),
        ("max(a, b)", {"a": "-1 mm", "b": "2 mm"}, "max(-1 mm, 2 mm)"),
        ("2*a", {"a": "1/2"}, "2×(1/2)"),
        ("sqrt(s)", {"s": "4", "sqrt": "9"}, "sqrt(4)"),
        ("a + b", {"a": "1"}, "1 + b"),
    ],
)
def test_numbers_put_in_keep_the_arithmetic_what_it_was(
    text: str, shown: dict[str, str], arithmetic: str
) -> None:
    assert put_in(text, shown) == arithmetic


def test_numbers_are_not_put_into_what_is_no_expression() -> None:
    with pytest.raises(ExpressionError):
        put_in("a ? b", {"a": "1"})


@given(ARITHMETIC, st.lists(st.integers(-9, 9), min_size=3, max_size=3))
def test_numbers_put_in_give_the_same_value(text: str, numbers: list[int]) -> None:
    try:
        wanted = value_of(text, **dict(zip("abc", map(float, numbers), strict=True)))
    except (ExpressionError, NotComputable):
        assume(False)
    shown = put_in(text, {name: str(number) for name, number in zip("abc", numbers, strict=True)})
    assert value_of(shown.replace("×", "*").replace("^", "**").replace("π", "pi")) == wanted
