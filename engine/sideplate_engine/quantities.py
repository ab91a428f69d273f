"""Quantities as people write them: read, converted, shown. The only module that imports Pint.

Pint is slow to start, so it is imported only where dimensions are multiplied out, when formulas are checked.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from functools import cache, lru_cache
from typing import Any, Literal

from sideplate_engine.quantity_text import Written, take_apart
from sideplate_engine.units import UNITS, QuantityError, Unit, UnknownUnit, unit, with_article

__all__ = [
    "COHERENT",
    "UNITS",
    "QuantityError",
    "System",
    "Unit",
    "UnknownUnit",
    "canonical",
    "coherent",
    "convert",
    "dimension_in_words",
    "from_coherent",
    "pint_quantity",
    "read_any",
    "read_quantity",
    "show",
    "unit",
    "with_article",
]

System = Literal["metric", "us"]
"""The units a reader wants: those the values are stored in, or the usual ones of the United States."""

_US = {
    "mm": "in", "cm": "in", "m": "ft", "km": "mi", "kg": "lb", "kg/m": "lb/ft", "N": "lbf", "kN": "lbf",
    "kgf": "lbf", "N·m": "lbf·ft", "kgf·m": "lbf·ft", "W": "hp", "kW": "hp", "PS": "hp", "°C": "°F",
    "km/h": "mph", "m/s": "ft/min",
}  # fmt: skip
_METRIC = {
    "in": "mm", "ft": "m", "mi": "km", "lb": "kg", "lb/ft": "kg/m", "lbf": "N", "lbf·ft": "N·m", "hp": "kW",
    "°F": "°C", "mph": "km/h", "ft/min": "m/s", "deg": "rad", "rad": "deg",
}  # fmt: skip
_COUNTED_IN_WORDS = frozenset({"day", "week", "month", "year"})
# A likely figure in each dimension, for a message that shows how to write one.
_SAMPLES = {
    "length": "620", "area": "50", "volume": "650", "mass": "1.5", "mass per length": "1.5", "force": "30",
    "torque": "100", "power": "50", "pressure": "25", "temperature": "20", "speed": "100",
    "rotational frequency": "5000", "time": "2", "angle": "30", "bare number": "2",
}  # fmt: skip


COHERENT = {
    "length": "meter",
    "area": "meter**2",
    "volume": "meter**3",
    "mass": "kilogram",
    "mass per length": "kilogram/meter",
    "force": "kilogram*meter/second**2",
    "torque": "kilogram*meter**2/second**2",
    "power": "kilogram*meter**2/second**3",
    "pressure": "kilogram/meter/second**2",
    "temperature": "kelvin",
    "speed": "meter/second",
    "rotational frequency": "1/second",
    "time": "second",
    "angle": "",
    "bare number": "",
}
"""What each dimension is made of in SI base units, in Pint's spelling."""


def canonical(x: float) -> float:
    """`x` rounded to 12 significant digits: every value is made so; 12.75 in over 317.5 mm is just 2 %."""
    return float(f"{x:.12g}")


@lru_cache(maxsize=4096)
def read_quantity(text: str, into: str) -> float:
    """The value of a written quantity in the unit `into`: `5/8"` into `mm` is 15.875.

    Only the unit `1` may be left out. Raises QuantityError, saying what to write instead, and UnknownUnit.
    What was read is remembered: in a knowledge base three quantities in four are written more than once.
    """
    wanted = unit(into)
    read = take_apart(text)
    if not read.symbol:
        if wanted.symbol != "1":
            raise QuantityError(f'"{read.text}" has no unit; write it as {_both_ways(read, wanted)}')
        return canonical(float(read.number))
    written = _unit_of(read)
    if written.dimension != wanted.dimension:
        raise QuantityError(
            f'"{read.text}" is {with_article(written.dimension)}; '
            f"{with_article(wanted.dimension)} is wanted, such as {_sample(wanted)}"
        )
    return _rescaled(read.number, written, wanted)


def read_any(text: str) -> tuple[float, Unit]:
    """The number and the unit of a written quantity of any dimension; without a unit, it is in the unit 1.

    Raises QuantityError and UnknownUnit as `read_quantity` does.
    """
    read = take_apart(text)
    return canonical(float(read.number)), _unit_of(read)


def convert(value: float, from_unit: str, to_unit: str) -> float:
    """`value` in another unit of the same dimension. Raises QuantityError and UnknownUnit."""
    source, target = unit(from_unit), unit(to_unit)
    if source.dimension != target.dimension:
        raise QuantityError(
            f"{source.symbol} measures {with_article(source.dimension)} and {target.symbol} "
            f"{with_article(target.dimension)}; one cannot be turned into the other"
        )
    if not math.isfinite(value):
        raise QuantityError(f"{value} is not a number that can be converted")
    return _rescaled(Fraction(value), source, target)


def coherent(value: float, symbol: str) -> float:
    """`value` in coherent SI (metres, newtons, radians). Not rounded: it is on its way through a formula.

    Raises QuantityError for degrees Celsius and Fahrenheit, which do not multiply, and UnknownUnit.
    """
    return value * _multiplying(symbol).factor


def from_coherent(value: float, symbol: str) -> float:
    """A coherent SI value in the unit `symbol`. Raises as `coherent` does."""
    return canonical(value / _multiplying(symbol).factor)


def show(value: float, symbol: str, system: System = "metric", decimals: int | None = None) -> str:
    """A value stored in `symbol`, as text for a reader of the system.

    `decimals` counts places in the stored unit; without it there are up to three, and no trailing zeros. In
    US units the places follow the size of the unit, and inches always have three.
    """
    stored = unit(symbol)
    target = unit(_US.get(stored.symbol, stored.symbol)) if system == "us" else stored
    if target is stored:
        return _with_unit(_figure(value, decimals, 3), stored)
    moved = convert(value, stored.symbol, target.symbol)
    if target.symbol == "in":
        return _with_unit(_figure(moved, 3, 3), target)
    # Drop or add whole places with the size of the unit, so that the last one is never much coarser.
    shift = math.ceil(math.log10(target.factor / stored.factor) - 0.25)
    fixed = None if decimals is None else max(0, decimals + shift)
    return _with_unit(_figure(moved, fixed, min(3, max(0, 3 + shift))), target)


def pint_quantity(value: float, symbol: str) -> Any:
    """A Pint quantity in coherent SI, for checking dimensions. Starts Pint the first time. Raises UnknownUnit."""
    its_unit = unit(symbol)
    return _registry().Quantity(value * its_unit.factor, COHERENT[its_unit.dimension])


def dimension_in_words(quantity: Any) -> str:
    """What a Pint quantity measures: `length`, or its make-up (`length² · time⁻¹`) if it has no name here."""
    made_of = quantity.dimensionality
    named = _names_of_dimensions().get(made_of)
    return named or " · ".join(
        f"{base.strip('[]')}{_raised(power)}" for base, power in sorted(made_of.items())
    )


@cache
def _registry() -> Any:
    """A registry of the SI base units alone: Pint's own takes a quarter of a second to read all the others."""
    import pint

    registry: pint.UnitRegistry[float] = pint.UnitRegistry(None)
    for definition in ("meter = [length]", "kilogram = [mass]", "second = [time]", "kelvin = [temperature]"):
        registry.define(definition)
    return registry


@cache
def _names_of_dimensions() -> dict[Any, str]:
    named: dict[Any, str] = {}
    for dimension, made_of in COHERENT.items():
        # An angle is a ratio of two lengths: in a formula it counts as a bare number.
        name = "bare number" if dimension == "angle" else dimension
        named.setdefault(_registry().Unit(made_of).dimensionality, name)
    return named


def _raised(power: float) -> str:
    if power == 1:
        return ""
    return f"{power:g}".translate(str.maketrans("-0123456789.", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹·"))


def _multiplying(symbol: str) -> Unit:
    its_unit = unit(symbol)
    if its_unit.exact_offset:
        raise QuantityError(
            f"{its_unit.symbol} does not start at absolute zero, so it cannot enter a formula"
        )
    return its_unit


def _rescaled(number: Fraction, source: Unit, target: Unit) -> float:
    if source is target:
        return canonical(float(number))
    return canonical(
        float((number * source.exact + source.exact_offset - target.exact_offset) / target.exact)
    )


def _unit_of(read: Written) -> Unit:
    try:
        return unit(read.symbol)
    except UnknownUnit:
        if re.search("[0-9]", read.symbol):
            raise QuantityError(
                f'"{read.text}" holds more than one number; write one number and one unit, such as 620 mm'
            ) from None
        raise


def _both_ways(read: Written, wanted: Unit) -> str:
    """`620 mm or 24.4 in`: the bare number with the unit wanted, and the same in the other system."""
    here = _with_unit(read.digits, wanted)
    other = _US.get(wanted.symbol) or _METRIC.get(wanted.symbol)
    if other is None:
        return here
    moved = _rescaled(read.number, wanted, unit(other))
    return f"{here} or {_with_unit(_figure(float(f'{moved:.3g}'), None, 6), unit(other))}"


def _sample(wanted: Unit) -> str:
    return _with_unit(_SAMPLES[wanted.dimension], wanted)


def _figure(value: float, decimals: int | None, most: int) -> str:
    if decimals is not None:
        text = f"{value:.{decimals}f}"
    else:
        text = f"{value:.{most}f}"
        if value and not float(text):  # too small for the places allowed: two significant figures instead
            text = f"{value:.{1 - math.floor(math.log10(abs(value)))}f}"
        if "." in text:
            text = text.rstrip("0").rstrip(".")
    return text.removeprefix("-") if not float(text) else text


def _with_unit(figure: str, its_unit: Unit) -> str:
    symbol = its_unit.symbol
    if symbol == "1":
        return figure
    if symbol in _COUNTED_IN_WORDS and figure not in ("1", "-1"):
        symbol += "s"
    return f"{figure} {symbol}"
