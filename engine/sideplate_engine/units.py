"""The units a quantity may be written in: what each measures, its size in coherent SI, how it is spelt.

The sizes stand here so that reading a job sheet never waits for Pint to start. `tests/outside/` checks every
row against Pint and against the published definitions.
"""

from __future__ import annotations

import difflib
import math
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache


class QuantityError(ValueError):
    """A quantity that cannot be read or converted: the message says why, and what to write instead."""


class UnknownUnit(QuantityError):
    """A unit symbol that is not in the list. `suggestions` holds the symbols that look most like it."""

    def __init__(self, symbol: str, suggestions: tuple[str, ...]) -> None:
        self.symbol = symbol
        self.suggestions = suggestions
        hint = f"; did you mean {' or '.join(suggestions)}?" if suggestions else ""
        super().__init__(f'"{symbol}" is not a unit Sideplate knows{hint}')


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of measure.

    `factor` is its size in coherent SI units (metres, kilograms, seconds, kelvins, radians). `offset` is
    added after multiplying; only degrees Celsius and Fahrenheit have one. `exact` and `exact_offset` are the
    same two as fractions, so that a conversion rounds once. `pint` is the unit's spelling for Pint.
    """

    symbol: str
    dimension: str
    factor: float
    offset: float
    exact: Fraction
    exact_offset: Fraction
    pint: str


_INCH = Fraction(254, 10_000)
_FOOT = 12 * _INCH
_MILE = 5280 * _FOOT
_POUND = Fraction("0.45359237")
_GRAVITY = Fraction("9.80665")
_POUND_FORCE = _POUND * _GRAVITY
_DAY = Fraction(86_400)
_YEAR = Fraction("365.25") * _DAY  # the Julian year; a month is a twelfth of it
_MILLI, _CENTI, _KILO = Fraction(1, 1000), Fraction(1, 100), Fraction(1000)
_ONE = Fraction(1)
_FAHRENHEIT = Fraction(5, 9)

# symbol, dimension, size in SI, Pint's spelling, other spellings
_ROWS: tuple[tuple[str, str, Fraction, str, str], ...] = (
    ("mm", "length", _MILLI, "mm", "millimetre millimetres millimeter millimeters"),
    ("cm", "length", _CENTI, "cm", "centimetre centimetres centimeter centimeters"),
    ("m", "length", _ONE, "m", "metre metres meter meters"),
    ("km", "length", _KILO, "km", "kilometre kilometres kilometer kilometers"),
    ("in", "length", _INCH, "inch", "inch inches \" '' ″ ”"),
    ("ft", "length", _FOOT, "foot", "foot feet ' ′ ’"),
    ("mi", "length", _MILE, "mile", "mile miles"),
    ("mm²", "area", _MILLI**2, "mm**2", "mm2 mm^2"),
    ("cm²", "area", _CENTI**2, "cm**2", "cm2 cm^2"),
    ("cm³", "volume", _CENTI**3, "cm**3", "cm3 cm^3 cc"),
    ("g", "mass", _MILLI, "g", "gram grams"),
    ("kg", "mass", _ONE, "kg", "kilogram kilograms"),
    ("lb", "mass", _POUND, "lb", "lbs pound pounds"),
    ("kg/m", "mass per length", _ONE, "kg/m", ""),
    ("lb/ft", "mass per length", _POUND / _FOOT, "lb/ft", ""),
    ("N", "force", _ONE, "N", "newton newtons"),
    ("kN", "force", _KILO, "kN", "kilonewton kilonewtons"),
    ("lbf", "force", _POUND_FORCE, "lbf", ""),
    ("kgf", "force", _GRAVITY, "kgf", ""),
    ("N·m", "torque", _ONE, "N*m", "Nm"),
    ("lbf·ft", "torque", _POUND_FORCE * _FOOT, "lbf*ft", "ft·lbf lb·ft ft·lb"),
    ("kgf·m", "torque", _GRAVITY, "kgf*m", "m·kgf"),
    ("W", "power", _ONE, "W", "watt watts"),
    ("kW", "power", _KILO, "kW", "kilowatt kilowatts"),
    ("hp", "power", 550 * _POUND_FORCE * _FOOT, "horsepower", "horsepower"),
    ("PS", "power", 75 * _GRAVITY, "metric_horsepower", ""),
    ("MPa", "pressure", Fraction(10**6), "MPa", ""),
    ("N/mm²", "pressure", Fraction(10**6), "N/mm**2", "N/mm2 N/mm^2"),
    ("°C", "temperature", _ONE, "degC", "degC ℃ ºC"),
    ("°F", "temperature", _FAHRENHEIT, "degF", "degF ℉ ºF"),
    ("km/h", "speed", _KILO / 3600, "km/hour", "kmh kph"),
    ("mph", "speed", _MILE / 3600, "mile/hour", "mi/h"),
    ("m/s", "speed", _ONE, "m/s", ""),
    ("ft/min", "speed", _FOOT / 60, "foot/minute", "fpm"),
    # Turns a minute, a frequency (ISO 80000-3). Pint's own rpm is an angle rate, 2π times as large.
    ("rpm", "rotational frequency", Fraction(1, 60), "1/minute", "r/min rev/min"),
    ("s", "time", _ONE, "second", "sec second seconds"),
    ("min", "time", Fraction(60), "minute", "minute minutes"),
    ("h", "time", Fraction(3600), "hour", "hour hours"),
    ("day", "time", _DAY, "day", "days"),
    ("week", "time", 7 * _DAY, "week", "weeks"),
    ("month", "time", _YEAR / 12, "month", "months"),
    ("year", "time", _YEAR, "year", "years"),
    ("rad", "angle", _ONE, "radian", "radian radians"),
    ("deg", "angle", Fraction(math.pi) / 180, "degree", "° º degree degrees"),
    ("1", "bare number", _ONE, "dimensionless", ""),
    ("%", "bare number", _CENTI, "percent", "percent per·cent"),
)
_OFFSETS = {"°C": Fraction("273.15"), "°F": Fraction("459.67") * _FAHRENHEIT}


def _made(symbol: str, dimension: str, size: Fraction, pint: str) -> Unit:
    offset = _OFFSETS.get(symbol, Fraction(0))
    return Unit(symbol, dimension, float(size), float(offset), size, offset, pint)


UNITS: dict[str, Unit] = {row[0]: _made(*row[:4]) for row in _ROWS}
"""Every unit by its own symbol, in the order of the table."""

_SPELLINGS: dict[str, Unit] = {"": UNITS["1"]} | {
    spelling: UNITS[row[0]] for row in _ROWS for spelling in (row[0], *row[4].split())
}

# A raised dot, a full stop, a star, a hyphen or a space between two units all mean a product.
_AS_DOT = str.maketrans(dict.fromkeys("⋅∙•.*- ", "·"))


@lru_cache(maxsize=512)
def unit(symbol: str) -> Unit:
    """The unit that `symbol` spells, in any of its spellings (`in`, `inch`, `"`); empty text is the unit 1.

    Capitals do not matter in words (`Miles`, `RPM`) but do in symbols, where they can change the meaning
    (`mPa` is not `MPa`). Raises UnknownUnit with the nearest symbols.
    """
    tidy = " ".join(symbol.split())
    key = tidy.replace(" ·", "·").replace("· ", "·").replace(" /", "/").replace("/ ", "/")
    key = key.translate(_AS_DOT).strip("·")
    found = _SPELLINGS.get(key) if key or not tidy else None
    if found is None and len(key) >= 3 and key.isalpha():
        found = _SPELLINGS.get(key.lower())
    if found is None:
        raise UnknownUnit(tidy, _nearest(key))
    return found


def _nearest(key: str) -> tuple[str, ...]:
    folded: dict[str, list[str]] = {}
    for spelling, its_unit in _SPELLINGS.items():
        folded.setdefault(spelling.lower(), []).append(its_unit.symbol)
    if key.lower() in folded:  # right but for its capitals
        return tuple(folded[key.lower()])
    close = difflib.get_close_matches(key.lower(), folded, n=3, cutoff=0.6)
    return tuple(dict.fromkeys(symbol for spelling in close for symbol in folded[spelling]))[:3]


def with_article(dimension: str) -> str:
    """A dimension's name in running text: `a length`, `an angle`."""
    return f"{'an' if dimension[0] in 'aeiou' else 'a'} {dimension}"
