"""Every formula against forty-figure arithmetic at random points.

mpmath evaluates each formula as the trade or the geometry states it, in another algebraic form wherever there is
one; values go in and out in SI units that Pint converts. So a slip in an expression, in a unit or in the reading of
the file shows, and so does a loss of digits.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from typing import Any

import pint
import pytest

from sideplate_engine.expressions import NotComputable
from sideplate_engine.formulas import Formula
from support.built_in import knowledge
from support.formula_oracles import ORACLES, mp, mpf
from support.sourced import check

POINTS = 12
REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()
IN_PINT = {"1": "dimensionless", "%": "percent", "rpm": "1/minute", "N·m": "newton*meter", "deg": "degree"}


RANGES: Mapping[str, tuple[float, float]] = {
    # Symbols that no fact gives a range, or whose range is far wider than a drive's; in the symbol's own unit.
    "tip-diameter-iso-max d": (40, 400), "tip-diameter-iso-max p": (6, 26), "tip-diameter-iso-max d1": (3, 16),
    "tip-diameter-iso-min d": (40, 400), "tip-diameter-iso-min p": (6, 26), "tip-diameter-iso-min d1": (3, 16),
    "tip-diameter-mean d": (40, 400), "tip-diameter-mean p": (6, 26), "tip-diameter-mean d1": (3, 16),
    "outside-diameter-hob-cut p": (6, 26), "countershaft-to-axle-through-the-stroke angle": (140, 220),
    "chain-missing-in-line centre_distance": (590, 600), "chain-missing-in-line other_distance": (600, 602),
    "slack-in-line centre_distance": (599, 600), "slack-in-line other_distance": (600, 601),
    "slack-to-set-for-the-line tightest_distance": (600, 601),
    "slack-to-set-for-the-line stand_distance": (598, 600),
    "wrap-on-front-sprocket D1": (50, 110), "wrap-on-front-sprocket D2": (150, 300),
    "wear-rate-ratio e1": (0.2, 0.9), "wear-rate-ratio e2": (1.0, 3.0),
    "distance-per-percent e1": (0.2, 0.9), "distance-per-percent e2": (1.0, 3.0),
    "strength-margin F": (0.5, 20), "centrifugal-pull v": (1, 40), "pull-from-power v": (1, 40),
}  # fmt: skip
TEETH = (9, 60)


def si(value: float, unit: str) -> Any:
    """A value in SI base units, its factor from Pint as an exact fraction of decimals."""
    factor = REGISTRY.Quantity(1.0, IN_PINT.get(unit, unit.replace("³", "^3").replace("²", "^2")))
    return mpf(value) * mpf(repr(float(factor.to_base_units().magnitude)))


def drawn(formula: Formula, dice: random.Random) -> dict[str, float]:
    """Values for a formula's symbols, in the symbols' units, from what is usual on a machine."""
    values: dict[str, float] = {}
    for name, symbol in formula.symbols.items():
        fact = knowledge().facts[symbol.fact] if symbol.fact is not None else None
        low, high = RANGES.get(f"{formula.id} {name}") or (
            (fact.usual or fact.possible or TEETH) if fact is not None else TEETH
        )
        is_count = fact.kind == "count" if fact is not None else symbol.unit == "1"
        values[name] = float(dice.randint(int(low), int(high))) if is_count else dice.uniform(low, high)
    return values


@pytest.mark.source("mpmath: the formula again in forty figures")
def test_every_formula_has_an_oracle() -> None:
    assert set(ORACLES) == set(knowledge().formulas)


@pytest.mark.parametrize(
    "id_",
    [check("mpmath: the formula again in forty figures, units by Pint", id_, name=id_) for id_ in ORACLES],
)
def test_a_formula_agrees_with_forty_figures_at_random_points(id_: str) -> None:
    formula = knowledge().formulas[id_]
    dice = random.Random(f"sideplate {id_}")
    agreed = 0
    with mp.workdps(40):
        for _ in range(20 * POINTS):
            values = drawn(formula, dice)
            try:
                result = formula.run(values)
            except NotComputable:
                continue
            symbols = {name: si(value, formula.symbols[name].unit) for name, value in values.items()}
            expected = ORACLES[id_](**symbols) / si(1.0, formula.gives_unit)
            assert result == pytest.approx(float(expected), rel=2e-10, abs=1e-10), values
            agreed += 1
            if agreed == POINTS:
                break
    assert agreed == POINTS
