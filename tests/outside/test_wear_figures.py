"""Elongation and its limits against makers' manuals and published answers on wear."""

from __future__ import annotations

import pytest

from support.built_in import because, derived, fired, knowledge
from support.sourced import check

MANUAL_650 = "service manual, 650-class road machine, p. 3A-10"
MANUAL_MX = "service manual, 250-class motocross machine, p. 4-64 (pitch inferred)"
MANUAL_65 = "owner's manual, 65-class motocross machine"
MANUAL_ENDURO = "owner's manual, enduro machine of 2008"
MANUAL_450 = "service manual, 450-class off-road machine, p. 3A-9"
WORKSHOP_PAGE = "a workshop page: 12 11/16 in on 12 1/2 in"
MAKER = "a chain maker's answers on wear: 200/N percent, 3 percent up to about 67 teeth"
KART = "a kart notice quoting a data sheet (hearsay)"
ARITHMETIC = "arithmetic on the limits that manuals and makers print"


@pytest.mark.parametrize(
    ("sheet", "percent", "within"),
    [
        check(MANUAL_650, "chain.size: 525, chain.measured_pitches: 20, chain.measured_length: 323.8 mm", 2.0,
              0.05, name="323.8 mm over 20 pitches"),
        check(MANUAL_MX, "chain.size: 520, chain.measured_pitches: 15, chain.measured_length: 242.9 mm", 2.0,
              0.05, name="242.9 mm over 15 pitches"),
        check(WORKSHOP_PAGE, "chain.size: 520, chain.measured_pitches: 20, chain.measured_length: 12 11/16 in",
              1.5, 1e-6, name="12 11/16 in over 20 pitches"),
    ],
)  # fmt: skip
def test_a_published_limit_is_the_elongation_it_is_said_to_be(
    sheet: str, percent: float, within: float
) -> None:
    assert derived(sheet, "chain.elongation", "%") == pytest.approx(percent, abs=within)


@pytest.mark.parametrize(
    ("sheet", "printed"),
    [
        check(MANUAL_650, "chain.size: 525, chain.measured_pitches: 20", 323.8, name="20 pitches of 525"),
        check(MANUAL_MX, "chain.size: 520, chain.measured_pitches: 15", 242.9, name="15 pitches of 520"),
    ],
)
def test_the_length_at_the_limit_is_the_manuals(sheet: str, printed: float) -> None:
    assert derived(sheet, "wear.length_at_limit", "mm") == pytest.approx(printed, abs=0.06)


@pytest.mark.parametrize(
    ("size", "limit", "length"),
    [
        check(ARITHMETIC, size, limit, length, name=f"{size} at {limit}")
        for size, lengths in {
            "520": {"1 %": 320.68, "1.5 %": 322.26, "1.7 %": 322.90, "2 %": 323.85, "3 %": 327.03},
            "428": {"1 %": 256.54, "1.5 %": 257.81, "1.7 %": 258.32, "2 %": 259.08, "3 %": 261.62},
        }.items()
        for limit, length in lengths.items()
    ],
)
def test_twenty_pitches_at_a_limit(size: str, limit: str, length: float) -> None:
    sheet = f"chain.size: {size}, chain.measured_pitches: 20, wear.manual_limit: {limit}"
    assert derived(sheet, "wear.length_at_limit", "mm") == pytest.approx(length, abs=0.006)


@pytest.mark.parametrize(
    ("sheet", "percent"),
    [
        check(MANUAL_650, "chain.size: 525, chain.measured_pitches: 20", 2.0, name="road machine"),
        check(MANUAL_MX, "chain.size: 520, chain.measured_pitches: 20", 2.0, name="motocross machine"),
        check(MANUAL_ENDURO, "chain.size: 520, chain.measured_pitches: 20", 2.0, name="enduro machine"),
        check(KART, "chain.size: 219, chain.measured_pitches: 20", 1.0, name="kart chain"),
    ],
)
def test_the_limit_without_a_manuals_figure(sheet: str, percent: float) -> None:
    assert derived(sheet, "wear.limit", "%") == percent


@pytest.mark.source(MANUAL_65)
def test_a_manuals_limit_goes_before_the_rule_of_thumb() -> None:
    assert derived("chain.size: 420, wear.manual_limit: 1.7 %", "wear.limit", "%") == pytest.approx(1.7)


@pytest.mark.parametrize(
    "named",
    [
        check(MANUAL_650, "2.0 %", name="2 percent, road machine"),
        check(MANUAL_65, "1.7 %", name="1.7 percent, small motocross machine"),
        check(WORKSHOP_PAGE, "1.5 %", name="1.5 percent, a workshop page"),
        check(MAKER, "3 %", name="3 percent, makers of industrial drives"),
    ],
)
def test_the_rule_of_thumb_tells_the_limits_that_disagree(named: str) -> None:
    assert f"{{{named}}}" in knowledge().rules["limit-by-rule-of-thumb"].because_text.source


@pytest.mark.parametrize(
    ("teeth", "percent"),
    [
        check(MAKER, teeth, percent, name=f"{teeth} rear teeth")
        for teeth, percent in {38: 5.26, 43: 4.65, 45: 4.44, 48: 4.17, 52: 3.85, 67: 2.99}.items()
    ],
)
def test_the_tooth_count_limit_is_200_over_the_teeth(teeth: int, percent: float) -> None:
    result = derived(f"rear_sprocket.teeth: {teeth}", "rear_sprocket.tooth_count_limit", "%")
    assert result == pytest.approx(percent, abs=0.005)


@pytest.mark.parametrize(
    ("height", "stands"),
    [
        check(MANUAL_450, 12.75, True, name="at the limit"),
        check(MANUAL_450, 12.80, False, name="above it"),
        check(MANUAL_450, 15.0, False, name="as new"),
    ],
)
def test_inner_plates_worn_to_the_manuals_limit_condemn_the_chain(height: float, stands: bool) -> None:
    sheet = f"chain.inner_plate_height: {height} mm, chain.inner_plate_height_limit: 12.75 mm"
    assert ("plates-worn-low" in fired(sheet)) is stands


@pytest.mark.parametrize(
    ("sheet", "stands"),
    [
        check(MANUAL_650, "chain.measured_length: 323.8 mm", False, name="323.8 mm: not yet"),
        check(MANUAL_650, "chain.measured_length: 323.9 mm", True, name="323.9 mm: renew"),
    ],
)
def test_a_525_chain_is_renewed_at_the_manuals_limit(sheet: str, stands: bool) -> None:
    """20 pitches of 15.875 mm at 2.0 % are 323.85 mm; the manual prints 323.8."""
    assert ("renew-at-limit" in fired(f"chain.size: 525, chain.measured_pitches: 20, {sheet}")) is stands


@pytest.mark.source("arithmetic: the roller of a 520 chain is 10.16 mm, 20 pitches are 317.5 mm")
def test_measuring_from_inside_to_inside_errs_by_more_than_the_whole_wear() -> None:
    reason = because("wear.measured_between: inside edges only", "measured-between-wrong-edges")
    assert f"{10.16 / 317.5 * 100:.1f} %" in reason
