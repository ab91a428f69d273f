"""What SymPy proves about the formulas, from the very expressions the knowledge base holds.

Two kinds of statement: identities (the closed form of the centre distance turns the length formula round, an older
form of the length is the same to first order, ...), and dimensions: every quantity is scaled by a free power of the
units of length, mass and time, and the result has to scale as its own unit does.
"""

from __future__ import annotations

from typing import Any

import pint
import pytest
import sympy  # type: ignore[import-untyped]  # SymPy ships no types

from sideplate_engine.expressions import FUNCTIONS as ENGINE_FUNCTIONS
from support.built_in import knowledge
from support.sourced import check

SYMPY = "SymPy: symbolic algebra"
FUNCTIONS = {
    "ceil": sympy.ceiling, "floor": sympy.floor, "abs": sympy.Abs, "min": sympy.Min, "max": sympy.Max,
    "sqrt": sympy.sqrt, "sin": sympy.sin, "cos": sympy.cos, "tan": sympy.tan, "asin": sympy.asin,
    "acos": sympy.acos, "atan": sympy.atan, "pi": sympy.pi, "round": sympy.Function("round"),
}  # fmt: skip
SYMBOLS: dict[str, Any] = {
    name: sympy.Symbol(name, positive=True)
    for formula in knowledge().formulas.values()
    for name in formula.symbols
}
C, p, L, N1, N2, N = (SYMBOLS[name] for name in ("C", "p", "L", "N1", "N2", "N"))
REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()
IN_PINT = {
    "1": "dimensionless",
    "%": "percent",
    "rpm": "1/minute",
    "N·m": "newton*meter",
    "deg": "dimensionless",
}


def expression(formula: str) -> Any:
    """The expression as the knowledge base writes it, in exact numbers."""
    held = knowledge().formulas[formula].expression
    assert held is not None
    return sympy.nsimplify(sympy.sympify(held.text, locals=FUNCTIONS | SYMBOLS), rational=True)


@pytest.mark.source(SYMPY)
def test_symbols_and_functions_of_the_expressions_are_all_known_here() -> None:
    assert set(ENGINE_FUNCTIONS) <= set(FUNCTIONS)


@pytest.mark.source(f"{SYMPY}; closed form of Shigley's solutions manual and of Mott")
def test_the_closed_form_of_the_centre_distance_solves_the_length_formula() -> None:
    length = expression("chain-length-in-pitches")
    centre = expression("centre-distance-from-links")
    assert sympy.simplify(length.subs(C, centre) - L) == 0


@pytest.mark.source(SYMPY)
def test_the_closed_form_is_the_greater_root_of_the_length_formula() -> None:
    """The other root puts the shafts inside each other's sprockets."""
    length = expression("chain-length-in-pitches")
    numbers = {p: sympy.Rational(127, 10), N1: 15, N2: 45, L: 110}
    roots = sympy.solve(sympy.Eq(length.subs(numbers), numbers[L]), C)
    ours = expression("centre-distance-from-links").subs(numbers)
    assert len(roots) == 2
    assert sympy.simplify(ours - max(roots, key=sympy.N)) == 0


@pytest.mark.source(SYMPY)
def test_length_as_a_length_is_the_pitches_times_the_pitch() -> None:
    assert sympy.simplify(expression("chain-length") - p * expression("chain-length-in-pitches")) == 0


@pytest.mark.source(f"{SYMPY}; half a pitch a tooth")
def test_the_length_grows_by_half_a_pitch_a_tooth_at_equal_sprockets() -> None:
    slope = sympy.diff(expression("chain-length-in-pitches"), N2).subs(N2, N1)
    assert sympy.simplify(slope - sympy.Rational(1, 2)) == 0


@pytest.mark.source(f"{SYMPY}; Khurmi and Gupta's form with cosecants, example 11.23")
def test_the_textbooks_form_with_cosecants_is_the_same_for_many_teeth() -> None:
    """cosec(pi/N) tends to N/pi, and with it [cosec - cosec]^2 / 4m to (N2 - N1)^2 / (4 pi^2 m)."""
    assert sympy.limit(N / sympy.pi - 1 / sympy.sin(sympy.pi / N), N, sympy.oo) == 0


@pytest.mark.source(f"{SYMPY}; expansion of the open-belt length")
def test_the_formula_is_the_open_belt_to_the_second_order_of_the_difference() -> None:
    """Belt round circles of N1 and N2 pitches: 2 sqrt(C^2 - R^2) + 2 R asin(R/C) + (N1 + N2)/2, R = (N2 - N1)/2 pi."""
    r = sympy.Symbol("R", positive=True)
    m = sympy.Symbol("m", positive=True)
    belt = 2 * sympy.sqrt(m**2 - r**2) + 2 * r * sympy.asin(r / m)
    series = sympy.series(belt, r, 0, 4).removeO()
    formula = expression("chain-length-in-pitches").subs({C: m * p, N2: N1 + 2 * sympy.pi * r})
    assert sympy.simplify(formula - (N1 + N1 + 2 * sympy.pi * r) / 2 - series) == 0


@pytest.mark.source(f"{SYMPY}; regular polygon")
def test_the_pitch_diameter_is_the_circle_through_the_corners_of_the_polygon() -> None:
    diameter = expression("pitch-diameter")
    side = sympy.sqrt(2 * (diameter / 2) ** 2 * (1 - sympy.cos(2 * sympy.pi / N)))
    numbers = {p: sympy.Rational(127, 10)}
    for teeth in (9, 15, 17, 45):
        assert sympy.N(side.subs(numbers | {N: teeth}) - sympy.Rational(127, 10), 30) == pytest.approx(
            0, abs=1e-25
        )


@pytest.mark.source(f"{SYMPY}; the short cut p N / pi")
def test_the_error_of_the_short_cut_is_the_short_cut_over_the_pitch_diameter() -> None:
    error = expression("pitch-diameter-shortcut-error")
    assert sympy.simplify(p * N / sympy.pi / expression("pitch-diameter") - 1 - error) == 0


@pytest.mark.source(f"{SYMPY}; Bhandari, example 14.5, prints the mean")
def test_the_mean_tip_diameter_is_the_mean_of_the_limits() -> None:
    mean = (expression("tip-diameter-iso-max") + expression("tip-diameter-iso-min")) / 2
    assert sympy.simplify(mean - expression("tip-diameter-mean")) == 0


@pytest.mark.source(f"{SYMPY}; a chord of half a turn less a tooth")
def test_the_chordal_variation_is_the_rise_of_the_polygons_sides() -> None:
    """Slowest over fastest: the inner radius of the polygon over its outer one is cos(pi/N)."""
    half_side = sympy.sin(sympy.pi / N)
    inner = sympy.sqrt(1 - half_side**2)
    for teeth in (11, 15, 17):
        assert sympy.N(
            (1 - inner - expression("chordal-speed-variation")).subs(N, teeth), 30
        ) == pytest.approx(0, abs=1e-25)


@pytest.mark.source(f"{SYMPY}; road speed and speedometer")
def test_what_the_road_loses_the_speedometer_gains() -> None:
    road = 1 + expression("road-speed-change")
    shown = 1 + expression("speedometer-error")
    assert sympy.simplify(road * shown - 1) == 0


@pytest.mark.source(f"{SYMPY}; a chain grows by its elongation")
def test_length_at_the_limit_and_elongation_undo_each_other() -> None:
    at_limit = expression("length-at-wear-limit")
    back = expression("elongation").subs(L, at_limit)
    assert sympy.simplify(back - SYMBOLS["k"]) == 0


@pytest.mark.source(f"{SYMPY}; two runs share the length that wear adds")
def test_travel_left_is_travel_at_the_limit_less_travel_used() -> None:
    n, w, e = (SYMBOLS[name] for name in ("n", "w", "e"))
    left = expression("adjuster-travel-left-to-wear-limit")
    assert sympy.simplify(left - (w * n * p / 2 - e * n * p / 2)) == 0


@pytest.mark.source(f"{SYMPY}; equal sprockets")
def test_two_equal_sprockets_are_wrapped_half_round() -> None:
    d1, d2 = SYMBOLS["D1"], SYMBOLS["D2"]
    assert sympy.simplify(expression("wrap-on-front-sprocket").subs(d2, d1) - sympy.pi) == 0


@pytest.mark.source(f"{SYMPY}; countershaft, pivot and axle in line")
def test_with_the_pivot_on_the_line_the_two_arms_lie_end_to_end() -> None:
    a, s, h = (SYMBOLS[name] for name in ("a", "s", "h"))
    assert sympy.simplify(expression("countershaft-to-axle-as-it-stands").subs(h, 0) - a - s) == 0


def dimension(unit: str) -> list[int]:
    """The powers of length, mass and time in a unit, as Pint finds them; angles and turns count as numbers."""
    found: Any = REGISTRY.Unit(IN_PINT.get(unit, unit.replace("³", "^3"))).dimensionality
    return [round(found.get(f"[{base}]", 0)) for base in ("length", "mass", "time")]


WITH_EXPRESSION = [id_ for id_, formula in knowledge().formulas.items() if formula.expression is not None]


@pytest.mark.parametrize(
    "id_", [check(f"{SYMPY}; dimensions of units by Pint", id_, name=id_) for id_ in WITH_EXPRESSION]
)
def test_a_result_scales_as_its_unit_when_the_units_of_length_mass_and_time_change(id_: str) -> None:
    formula = knowledge().formulas[id_]
    bases = (sympy.Rational(7, 5), sympy.Rational(11, 3), sympy.Rational(13, 9))

    def scale(unit: str) -> Any:
        return sympy.prod(base**power for base, power in zip(bases, dimension(unit), strict=True))

    # Plausible numbers: large distances, small slopes, whole counts, so that every root is real.
    large = {"C", "A", "L", "S", "T", "i", "r", "s2", "centre_distance", "a", "s", "D"}
    numbers: dict[Any, Any] = {}
    scaled: dict[Any, Any] = {}
    for place, (name, symbol) in enumerate(formula.symbols.items()):
        is_bare = not any(dimension(symbol.unit))
        value = sympy.Integer(110 + place if name in large else 15 + 4 * place)
        value = value if is_bare or name in large else sympy.Rational(value, 8)
        numbers[SYMBOLS[name]] = value
        scaled[SYMBOLS[name]] = value * scale(symbol.unit)
    result = expression(id_)
    before, after = (sympy.N(result.subs(values), 30) for values in (numbers, scaled))
    assert before.is_real
    assert sympy.N(after - before * scale(formula.gives_unit), 25) == pytest.approx(0, abs=1e-18)
