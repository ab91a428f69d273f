"""Every unit against Pint's own conversion, and against the published definition of its size.

NIST SP 811 is *Guide for the Use of the International System of Units*, 2008 edition, appendix B (conversion
factors). Where it gives the figure rounded, the product of exact definitions is written out here.
"""

from __future__ import annotations

import math
from fractions import Fraction

import pint
import pytest

from sideplate_engine.quantities import COHERENT, UNITS, Unit, convert, unit

pytestmark = pytest.mark.source(
    "Pint's own registry; NIST SP 811 and the SI Brochure, as named beside each unit"
)

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()
SCALES = {"°C", "°F"}
POUND_FORCE = Fraction("0.45359237") * Fraction("9.80665")

DEFINITIONS: dict[str, tuple[Fraction | str, str]] = {
    "mm": ("0.001", "SI prefix milli (SI Brochure, 9th edition, table 7)"),
    "cm": ("0.01", "SI prefix centi (SI Brochure, table 7)"),
    "m": ("1", "SI base unit"),
    "km": ("1000", "SI prefix kilo (SI Brochure, table 7)"),
    "in": ("0.0254", "NIST SP 811, appendix B: international inch, exact"),
    "ft": ("0.3048", "NIST SP 811, appendix B: international foot, exact"),
    "mi": ("1609.344", "NIST SP 811, appendix B: international mile, exact"),
    "mm²": ("0.000001", "SI prefix milli, squared"),
    "cm²": ("0.0001", "SI prefix centi, squared"),
    "cm³": ("0.000001", "SI prefix centi, cubed"),
    "g": ("0.001", "SI prefix kilo: a thousandth of the kilogram"),
    "kg": ("1", "SI base unit"),
    "lb": ("0.45359237", "NIST SP 811, appendix B: avoirdupois pound, exact"),
    "kg/m": ("1", "coherent SI"),
    "lb/ft": (Fraction("0.45359237") / Fraction("0.3048"), "pound over foot (NIST SP 811, appendix B)"),
    "N": ("1", "coherent SI"),
    "kN": ("1000", "SI prefix kilo"),
    "lbf": ("4.4482216152605", "NIST SP 811, appendix B: pound-force, exact"),
    "kgf": ("9.80665", "NIST SP 811, appendix B: kilogram-force, exact; standard gravity 9.806 65 m/s²"),
    "N·m": ("1", "coherent SI"),
    "lbf·ft": (POUND_FORCE * Fraction("0.3048"), "pound-force times foot (NIST SP 811, appendix B)"),
    "kgf·m": ("9.80665", "kilogram-force times metre (NIST SP 811, appendix B)"),
    "W": ("1", "coherent SI"),
    "kW": ("1000", "SI prefix kilo"),
    "hp": (550 * POUND_FORCE * Fraction("0.3048"), "NIST SP 811, appendix B: horsepower (550 ft·lbf/s)"),
    "PS": (75 * Fraction("9.80665"), "75 kgf·m/s: horsepower (metric) in NIST SP 811, appendix B"),
    "MPa": ("1000000", "SI prefix mega"),
    "N/mm²": ("1000000", "a newton over a millionth of a square metre"),
    "°C": ("1", "SI Brochure, 9th edition: the size of the degree Celsius is that of the kelvin"),
    "°F": (Fraction(5, 9), "NIST SP 811, appendix B: T/K = (t/°F + 459.67)/1.8"),
    "km/h": (Fraction(1000, 3600), "kilometre over 3600 seconds"),
    "mph": ("0.44704", "NIST SP 811, appendix B: mile per hour, exact"),
    "m/s": ("1", "coherent SI"),
    "ft/min": ("0.00508", "NIST SP 811, appendix B: foot per minute, exact"),
    "rpm": (Fraction(1, 60), "ISO 80000-3: rotational frequency, turns over time, a minute being 60 s"),
    "s": ("1", "SI base unit"),
    "min": ("60", "SI Brochure, 9th edition, table 8"),
    "h": ("3600", "SI Brochure, 9th edition, table 8"),
    "day": ("86400", "SI Brochure, 9th edition, table 8"),
    "week": ("604800", "seven days"),
    "month": (Fraction("365.25") * 86400 / 12, "a twelfth of the Julian year: a convention of this project"),
    "year": (Fraction("365.25") * 86400, "the Julian year of astronomy, 365.25 days of 86 400 s"),
    "rad": ("1", "coherent SI"),
    "deg": (Fraction(math.pi) / 180, "SI Brochure, 9th edition, table 8: (π/180) rad"),
    "1": ("1", "the number one"),
    "%": ("0.01", "one hundredth (SI Brochure, 9th edition)"),
}


def test_every_unit_has_its_definition_here() -> None:
    assert DEFINITIONS.keys() == UNITS.keys()


@pytest.mark.parametrize("symbol", DEFINITIONS)
def test_the_size_of_a_unit_is_its_published_definition(symbol: str) -> None:
    size, _source = DEFINITIONS[symbol]
    assert unit(symbol).exact == Fraction(size)
    assert unit(symbol).factor == float(Fraction(size))


# NIST SP 811, appendix B, as printed: seven significant digits.
PRINTED = {
    "in": 2.54e-02, "ft": 3.048e-01, "mi": 1.609344e03, "lb": 4.535924e-01, "lbf": 4.448222,
    "kgf": 9.80665, "kgf·m": 9.80665, "lbf·ft": 1.355818, "lb/ft": 1.488164, "hp": 7.456999e02,
    "PS": 7.354988e02, "km/h": 2.777778e-01, "mph": 4.4704e-01, "ft/min": 5.08e-03, "deg": 1.745329e-02,
}  # fmt: skip


@pytest.mark.parametrize("symbol", PRINTED)
def test_the_size_of_a_unit_rounds_to_the_printed_conversion_factor(symbol: str) -> None:
    half_of_the_last_digit = 0.5e-6 * 10 ** math.floor(math.log10(PRINTED[symbol]))
    assert unit(symbol).factor == pytest.approx(PRINTED[symbol], abs=half_of_the_last_digit * 1.000001, rel=0)


@pytest.mark.parametrize("symbol", sorted(UNITS.keys() - SCALES))
def test_the_size_of_a_unit_is_what_pint_makes_it(symbol: str) -> None:
    ours = unit(symbol)
    assert ours.offset == 0
    assert REGISTRY.Quantity(1.0, ours.pint).to_base_units().magnitude == pytest.approx(
        ours.factor, rel=1e-14
    )


@pytest.mark.parametrize("symbol", sorted(SCALES))
@pytest.mark.parametrize("reading", [-40.0, 0.0, 20.0, 32.0, 100.0, 212.0])
def test_a_temperature_scale_meets_the_kelvin_where_pint_does(symbol: str, reading: float) -> None:
    ours = unit(symbol)
    kelvins = REGISTRY.Quantity(reading, ours.pint).to("kelvin").magnitude
    assert reading * ours.factor + ours.offset == pytest.approx(kelvins, rel=1e-14)


@pytest.mark.parametrize(("celsius", "fahrenheit"), [(0.0, 32.0), (100.0, 212.0), (-40.0, -40.0)])
def test_fixed_points_of_the_two_temperature_scales_agree(celsius: float, fahrenheit: float) -> None:
    # NIST SP 811, appendix B: t/°C = (t/°F - 32)/1.8
    assert convert(celsius, "°C", "°F") == fahrenheit
    assert convert(fahrenheit, "°F", "°C") == celsius


def test_units_share_a_dimension_here_exactly_when_pint_says_so() -> None:
    seen: dict[object, set[str]] = {}
    for ours in UNITS.values():
        # Pint, like the SI, counts an angle as a ratio of lengths.
        name = "bare number" if ours.dimension == "angle" else ours.dimension
        seen.setdefault(REGISTRY.Unit(ours.pint).dimensionality, set()).add(name)
    assert all(len(names) == 1 for names in seen.values())
    assert len(seen) == len(set.union(*seen.values()))


@pytest.mark.parametrize("symbol", sorted(UNITS))
def test_every_conversion_from_a_unit_is_the_one_pint_makes(symbol: str) -> None:
    ours = unit(symbol)
    for other in UNITS.values():
        if other.dimension == ours.dimension:
            theirs = REGISTRY.Quantity(3.7, ours.pint).to(other.pint).magnitude
            assert convert(3.7, symbol, other.symbol) == pytest.approx(theirs, rel=1e-11)


def test_revolutions_a_minute_are_a_frequency_and_pints_own_rpm_an_angle_rate() -> None:
    theirs = REGISTRY.Quantity(1.0, "rpm").to("radian/second").magnitude
    assert theirs / unit("rpm").factor == pytest.approx(2 * math.pi)


@pytest.mark.parametrize("its_unit", UNITS.values(), ids=list(UNITS))
def test_what_a_dimension_is_made_of_is_what_pint_finds_for_each_unit_of_it(its_unit: Unit) -> None:
    made_of = REGISTRY.Unit(COHERENT[its_unit.dimension])
    assert REGISTRY.Unit(its_unit.pint).dimensionality == made_of.dimensionality
