"""Quantities as a workshop writes them: what is read, what is refused and how it is said, what is shown."""

from __future__ import annotations

import math
import subprocess
import sys
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from sideplate_engine.quantities import (
    UNITS,
    QuantityError,
    System,
    UnknownUnit,
    canonical,
    coherent,
    convert,
    dimension_in_words,
    from_coherent,
    pint_quantity,
    read_any,
    read_quantity,
    show,
    unit,
)

SYMBOLS = sorted(UNITS)


@pytest.mark.parametrize(
    ("text", "into", "value"),
    [
        ("620 mm", "mm", 620),
        ("620mm", "mm", 620),
        ("  620   mm ", "mm", 620),
        ("+15.875 mm", "mm", 15.875),
        ("15,9 mm", "mm", 15.9),
        (".5 in", "in", 0.5),
        ("0,625 in", "mm", 15.875),
        ("0.0125 m", "mm", 12.5),
        ("1.250 km", "km", 1.25),
        ("1234,5 km", "km", 1234.5),
        ("-40 °C", "°F", -40),
        ("\N{MINUS SIGN}40 degF", "°C", -40),
        ("32 °F", "°C", 0),
        ("100 ℃", "°F", 212),
        ("30 lbf ft", "lbf·ft", 30),
        ("5000 RPM", "rpm", 5000),
        ("300 %", "1", 3),
        ("2.5", "1", 2.5),
        ("17/34", "1", 0.5),
        ("180 °", "rad", canonical(math.pi)),
        ("2 weeks", "day", 14),
        ("1 year", "month", 12),
        ("650 cc", "cm³", 650),
        ("25 N/mm2", "MPa", 25),
    ],
)
def test_a_written_quantity_is_read_into_the_stored_unit(text: str, into: str, value: float) -> None:
    assert read_quantity(text, into) == value


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ('5/8"', "5/8"),
        ("5/8 in", "5/8"),
        ("5\N{FRACTION SLASH}8″", "5/8"),
        ("5/8''", "5/8"),
        ("⅝ inch", "5/8"),
        ("1 1/2 in", "3/2"),
        ('1 1/2"', "3/2"),
        ("1-1/2 in.", "3/2"),
        ("1½ inches", "3/2"),
        ("1 ½ in", "3/2"),
        ("-1 1/2 in", "-3/2"),
        ("11/2 in", "11/2"),
        ("24 3/8 in", "195/8"),
        ("1/3 in", "1/3"),
    ],
)
def test_a_fraction_of_an_inch_is_read_exactly(text: str, inches: str) -> None:
    assert read_quantity(text, "mm") == canonical(float(Fraction(inches) * Fraction("25.4")))


@pytest.mark.parametrize("sign", ["½", "¼", "¾", "⅛", "⅜", "⅝", "⅞"])
def test_every_vulgar_fraction_has_the_value_unicode_gives_it(sign: str) -> None:
    import unicodedata

    assert read_quantity(f"{sign} in", "in") == unicodedata.numeric(sign)
    assert read_quantity(f"3{sign} in", "in") == 3 + unicodedata.numeric(sign)


@pytest.mark.parametrize("space", [" ", "\N{NO-BREAK SPACE}", "\N{THIN SPACE}", "\N{NARROW NO-BREAK SPACE}"])
def test_digits_grouped_by_spaces_are_one_number(space: str) -> None:
    assert read_quantity(f"12{space}500{space}km", "km") == 12500
    assert read_quantity(f"1{space}250{space}000,5 km", "km") == 1250000.5


@pytest.mark.parametrize(
    ("text", "into", "message"),
    [
        ("620", "mm", '"620" has no unit; write it as 620 mm or 24.4 in'),
        ("24", "in", '"24" has no unit; write it as 24 in or 610 mm'),
        ("24 3/8", "mm", '"24 3/8" has no unit; write it as 24 3/8 mm or 0.96 in'),
        ("2", "%", '"2" has no unit; write it as 2 %'),
        ("620 kg", "mm", '"620 kg" is a mass; a length is wanted, such as 620 mm'),
        ("45 °", "°C", '"45 °" is an angle; a temperature is wanted, such as 20 °C'),
        ("30 lb/ft", "N·m", '"30 lb/ft" is a mass per length; a torque is wanted, such as 100 N·m'),
        ("1,250 km", "km", '"1,250 km" could be read in two ways; write 1250 km or 1.25 km'),
        ("15,875 mm", "mm", '"15,875 mm" could be read in two ways; write 15875 mm or 15.875 mm'),
        ("1,234.5 km", "km", '"1,234.5 km" has its thousands marked off; write 1234.5 km'),
        ("1.234.567,5 km", "km", '"1.234.567,5 km" has its thousands marked off; write 1234567.5 km'),
        ("12 50 km", "km", '"12 50" is not one number; write a decimal or a fraction, such as 15.9 or 1 1/2'),
        ("0 500 km", "km", '"0 500" is not one number; write a decimal or a fraction, such as 15.9 or 1 1/2'),
        (
            "20 - 30 mm",
            "mm",
            '"20 - 30" is not one number; write a decimal or a fraction, such as 15.9 or 1 1/2',
        ),
        ("½2 in", "in", '"1/2 2" is not one number; write a decimal or a fraction, such as 15.9 or 1 1/2'),
        ("5. mm", "mm", '"5." is not one number; write a decimal or a fraction, such as 15.9 or 1 1/2'),
        (
            "1 3/2 in",
            "mm",
            '"1 3/2 in" has a whole number beside a fraction of one or more; write it as one fraction',
        ),
        ("1/0 in", "mm", '"1/0 in" divides by zero; write the fraction with another number below the line'),
        (
            "1e5 km",
            "km",
            '"1e5 km" is written with a power of ten; write the number out in full, such as 12500 km',
        ),
        (
            "5' 6\"",
            "mm",
            '"5\' 6"" holds more than one number; write one number and one unit, such as 620 mm',
        ),
        (
            "20–30 mm",
            "mm",
            '"20–30 mm" holds more than one number; write one number and one unit, such as 620 mm',
        ),
        (
            "9**9**9 mm",
            "mm",
            '"9**9**9 mm" holds more than one number; write one number and one unit, such as 620 mm',
        ),
        ("", "mm", '"" does not begin with a number; write a number and a unit, such as 620 mm'),
        ("nan mm", "mm", '"nan mm" does not begin with a number; write a number and a unit, such as 620 mm'),
        ("inf", "1", '"inf" does not begin with a number; write a number and a unit, such as 620 mm'),
        ("٣ mm", "mm", '"٣ mm" does not begin with a number; write a number and a unit, such as 620 mm'),
        (
            "1" * 65,
            "1",
            '"11111111111111111111..." is too long for a quantity; write a number and a unit, such as 620 mm',
        ),
    ],
)
def test_what_cannot_be_read_safely_is_refused_with_what_to_write(text: str, into: str, message: str) -> None:
    with pytest.raises(QuantityError) as refused:
        read_quantity(text, into)
    assert str(refused.value) == message


@pytest.mark.parametrize(
    ("text", "symbol", "suggestions"),
    [
        ("5 MM", "MM", ("mm",)),
        ("5 kw", "kw", ("kW",)),
        ("5 mPa", "mPa", ("MPa",)),
        ("5 millimeter s", "millimeter s", ("mm",)),
        ("5 xyzzy", "xyzzy", ()),
    ],
)
def test_an_unknown_unit_is_named_with_the_nearest_ones(
    text: str, symbol: str, suggestions: tuple[str, ...]
) -> None:
    with pytest.raises(UnknownUnit) as refused:
        read_quantity(text, "mm")
    assert refused.value.symbol == symbol
    assert refused.value.suggestions == suggestions
    assert ("did you mean" in str(refused.value)) == bool(suggestions)


@pytest.mark.parametrize(
    ("symbol", "spellings"),
    [
        ("in", ["in", "in.", "inch", "Inches", '"', "″", "”", "''"]),
        ("ft", ["ft", "foot", "FEET", "'", "′"]),
        ("mi", ["mi", "mile", "Miles"]),
        ("N·m", ["N·m", "Nm", "N m", "N.m", "N*m", "N⋅m", "N-m", "N · m"]),
        ("lbf·ft", ["lbf·ft", "lbf ft", "ft·lbf", "ft-lbf", "lb ft", "ft-lb"]),
        ("km/h", ["km/h", "km / h", "kmh"]),
        ("°C", ["°C", "degC", "℃"]),
        ("cm³", ["cm³", "cm3", "cm^3", "cc"]),
        ("deg", ["deg", "°", "degrees"]),
        ("rpm", ["rpm", "RPM", "r/min"]),
        ("1", ["1", ""]),
    ],
)
def test_a_unit_is_known_by_its_usual_spellings(symbol: str, spellings: list[str]) -> None:
    assert {unit(spelling).symbol for spelling in spellings} == {symbol}


def test_a_stray_mark_is_not_taken_for_the_missing_unit() -> None:
    with pytest.raises(UnknownUnit):
        read_quantity("5 ·", "1")


def test_a_quantity_of_any_dimension_comes_with_its_unit() -> None:
    assert read_any("12 mm") == (12.0, unit("mm"))
    assert read_any("1 1/2 in") == (1.5, unit("in"))
    assert read_any("3") == (3.0, unit("1"))


@pytest.mark.parametrize(
    ("value", "symbol", "system", "decimals", "text"),
    [
        (15.875, "mm", "metric", 3, "15.875 mm"),
        (15.875, "mm", "us", 3, "0.625 in"),
        (19.05, "mm", "us", None, "0.750 in"),
        (620.0, "mm", "us", 0, "24.409 in"),
        (620.0, "mm", "metric", None, "620 mm"),
        (12.34567, "mm", "metric", None, "12.346 mm"),
        (2.0, "%", "metric", 1, "2.0 %"),
        (2.0, "%", "us", 1, "2.0 %"),
        (12500.0, "km", "us", 0, "7767 mi"),
        (30.0, "kN", "us", 1, "6744 lbf"),
        (100.0, "N·m", "us", 0, "74 lbf·ft"),
        (50.0, "kW", "us", 1, "67.1 hp"),
        (20.0, "°C", "us", 0, "68 °F"),
        (100.0, "km/h", "us", 0, "62 mph"),
        (2.0, "m", "us", 1, "6.6 ft"),
        (1.0, "kg/m", "us", 2, "0.67 lb/ft"),
        (10.0, "kg", "us", 1, "22.0 lb"),
        (5.0, "m/s", "us", 1, "984 ft/min"),
        (9000.0, "rpm", "us", 0, "9000 rpm"),
        (3.0, "1", "metric", None, "3"),
        (2.824, "1", "us", 2, "2.82"),
        (1.0, "day", "metric", None, "1 day"),
        (14.0, "day", "metric", None, "14 days"),
        (-0.01, "mm", "metric", 1, "0.0 mm"),
        (0.0, "mm", "metric", None, "0 mm"),
        (0.000123, "mm", "metric", None, "0.00012 mm"),
    ],
)
def test_a_stored_value_is_shown_in_the_units_of_the_reader(
    value: float, symbol: str, system: System, decimals: int | None, text: str
) -> None:
    assert show(value, symbol, system, decimals) == text


def test_an_elongation_of_two_per_cent_is_exactly_two_per_cent() -> None:
    new, worn = coherent(317.5, "mm"), coherent(read_quantity("12.75 in", "mm"), "mm")
    assert from_coherent((worn - new) / new, "%") == 2.0


def test_quantities_of_two_dimensions_are_not_converted() -> None:
    with pytest.raises(QuantityError, match=r"mm measures a length and kg a mass"):
        convert(1.0, "mm", "kg")


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_a_number_that_is_not_finite_is_not_converted(value: float) -> None:
    with pytest.raises(QuantityError, match="not a number that can be converted"):
        convert(value, "mm", "in")


@pytest.mark.parametrize("symbol", ["°C", "°F"])
def test_a_scale_with_its_own_zero_does_not_enter_a_formula(symbol: str) -> None:
    with pytest.raises(QuantityError, match="absolute zero"):
        coherent(20.0, symbol)
    with pytest.raises(QuantityError, match="absolute zero"):
        from_coherent(293.15, symbol)


def test_a_dimension_is_named_or_spelt_out() -> None:
    assert dimension_in_words(pint_quantity(1, "N·m") / pint_quantity(1, "in")) == "force"
    assert dimension_in_words(pint_quantity(1, "deg")) == "bare number"
    assert dimension_in_words(pint_quantity(1, "mm") ** 4 / pint_quantity(1, "s")) == "length⁴ · time⁻¹"


def test_reading_and_showing_never_start_pint() -> None:
    code = (
        "import sys; from sideplate_engine.quantities import read_quantity, show;"
        "show(read_quantity('5/8 in', 'mm'), 'mm', 'us'); sys.exit('pint' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False, timeout=60).returncode == 0


VALUES = st.floats(min_value=-1e9, max_value=1e9, allow_nan=False)


@given(VALUES, st.sampled_from(SYMBOLS), st.sampled_from(["metric", "us"]))
def test_what_is_shown_reads_back_as_nearly_the_same(value: float, symbol: str, system: System) -> None:
    text = show(value, symbol, system, 3)
    back = read_quantity(text, symbol)
    # Half of the last place shown, in whichever unit it was shown.
    shown, its_unit = read_any(text)
    places = len(text.split()[0].partition(".")[2])
    step = 0.5 * 10.0**-places * its_unit.factor / unit(symbol).factor
    assert math.isfinite(shown)
    assert abs(back - value) <= step * (1 + 1e-6) + 1e-10 * abs(value) + 1e-10


@given(
    st.integers(0, 999),
    st.integers(0, 63),
    st.sampled_from([2, 4, 8, 16, 32, 64]),
    st.sampled_from([" ", "-"]),
    st.sampled_from(['"', " in", "″", " inches"]),
)
def test_any_mixed_number_is_the_sum_of_its_parts(
    whole: int, top: int, bottom: int, joint: str, mark: str
) -> None:
    text = f"{whole}{joint}{top % bottom}/{bottom}{mark}"
    exact = (whole + Fraction(top % bottom, bottom)) * Fraction("25.4")
    assert read_quantity(text, "mm") == canonical(float(exact))


@given(VALUES, st.sampled_from(SYMBOLS), st.sampled_from(SYMBOLS))
def test_converting_there_and_back_changes_nothing_that_is_shown(value: float, here: str, there: str) -> None:
    if unit(here).dimension == unit(there).dimension:
        back = convert(convert(value, here, there), there, here)
        assert back == pytest.approx(value, rel=1e-11, abs=1e-9)
    else:
        with pytest.raises(QuantityError):
            convert(value, here, there)


@given(
    st.one_of(
        st.text(max_size=80),
        st.text(alphabet="0123456789 .,-+/eE*\"'½⅝¼−·mkinft°CN%\N{NO-BREAK SPACE}", max_size=70),
    ),
    st.sampled_from(SYMBOLS),
)
@example("9**9**9**9", "1")
@example("1/" + "0" * 60, "1")
@example("9" * 64, "mm")
@example("1e999999999", "1")
def test_any_text_is_a_finite_number_or_refused(text: str, into: str) -> None:
    try:
        value = read_quantity(text, into)
    except QuantityError:
        return
    assert math.isfinite(value)
    assert value == canonical(value)


@given(st.integers(1, 999), st.integers(0, 999))
def test_a_comma_before_three_digits_is_never_guessed_at(before: int, after: int) -> None:
    with pytest.raises(QuantityError, match="two ways"):
        read_quantity(f"{before},{after:03d} km", "km")
