"""Sprocket diameters, chordal action and ratio against worked examples and printed figures."""

from __future__ import annotations

from math import cos, pi, radians, sin, tan

import pytest

from support.built_in import computed, derived, fired
from support.sourced import check

MOTT = "Mott, Machine Elements in Mechanical Design, 4th edition, example 7-3"
BHANDARI_4 = "Bhandari, Design of Machine Elements, example 14.4 (open companion)"
BHANDARI_5 = "Bhandari, Design of Machine Elements, example 14.5 (open companion)"
BHANDARI_6 = "Bhandari, Design of Machine Elements, example 14.6 (open companion; 80 teeth inferred)"
SPROCKET_PAGE = "a sprocket maker's page of sprocket sizes, No. 120 example"
STUDENT = "a student design report, p. 58"
KHURMI_NOTES = "lecture notes after Khurmi and Gupta, 15 kW compressor drive"
KHURMI = "Khurmi and Gupta, Theory of Machines, example 11.23 (open companion)"
CAD_LIBRARY = "an open CAD parts library, pitch radius of a 32-tooth half-inch sprocket"
CHORDAL = "lecture notes on chain drives: 100 (1 - cos(180/N)) percent, worked out for each N"
TIP_PAGE = "a gear maker's page of sprocket tip and root diameters"


@pytest.mark.parametrize(
    ("pitch", "teeth", "unit", "printed", "within"),
    [
        check(SPROCKET_PAGE, "38.1 mm", 25, "mm", 303.99, 0.005, name="No. 120, 25 teeth"),
        check(MOTT, "0.5 in", 17, "in", 2.721, 0.0005, name="No. 40, 17 teeth"),
        check(MOTT, "0.5 in", 65, "in", 10.349, 0.0005, name="No. 40, 65 teeth"),
        check(BHANDARI_4, "19.05 mm", 17, "mm", 103.673741, 0.6e-6, name="12B, 17 teeth"),
        check(BHANDARI_4, "19.05 mm", 34, "mm", 206.462975, 0.6e-6, name="12B, 34 teeth"),
        check(BHANDARI_6, "19.05 mm", 21, "mm", 127.816092, 0.6e-6, name="19.05 mm, 21 teeth"),
        check(BHANDARI_6, "19.05 mm", 80, "mm", 485.228971, 0.6e-6, name="19.05 mm, 80 teeth"),
        check(STUDENT, "12.7 mm", 21, "mm", 85.21, 0.005, name="12.7 mm, 21 teeth"),
        check(STUDENT, "12.7 mm", 23, "mm", 93.27, 0.005, name="12.7 mm, 23 teeth"),
        check(KHURMI_NOTES, "19.05 mm", 25, "mm", 152, 0.5, name="19.05 mm, 25 teeth"),
        check(CAD_LIBRARY, "1/2 in", 32, "mm", 2 * 64.7845874574, 1e-9, name="12.7 mm, 32 teeth"),
    ],
)
def test_the_pitch_diameter_is_the_printed_one(
    pitch: str, teeth: int, unit: str, printed: float, within: float
) -> None:
    result = computed("pitch-diameter", unit, p=pitch, N=str(teeth))
    assert result == pytest.approx(printed, abs=within)


@pytest.mark.parametrize(
    ("sheet", "fact", "unit", "printed", "within"),
    [
        check(MOTT, "chain.size: 40, front_sprocket.teeth: 17", "front_sprocket.pitch_diameter", "in", 2.721,
              0.0005, name="front, 17 teeth"),
        check(MOTT, "chain.size: 40, rear_sprocket.teeth: 65", "rear_sprocket.pitch_diameter", "in", 10.349,
              0.0005, name="rear, 65 teeth"),
        check(BHANDARI_4, "chain.size: 12B, front_sprocket.teeth: 17", "front_sprocket.pitch_diameter", "mm",
              103.673741, 0.6e-6, name="front, 12B"),
        check(BHANDARI_4, "chain.size: 12B, rear_sprocket.teeth: 34", "rear_sprocket.pitch_diameter", "mm",
              206.462975, 0.6e-6, name="rear, 12B"),
    ],
)  # fmt: skip
def test_a_sheet_leads_to_the_printed_pitch_diameter(
    sheet: str, fact: str, unit: str, printed: float, within: float
) -> None:
    assert derived(sheet, fact, unit) == pytest.approx(printed, abs=within)


@pytest.mark.source(SPROCKET_PAGE)
def test_the_outside_diameter_is_the_printed_one() -> None:
    """The page rounds its bracket to 8.516 and so prints 324.4596, then 324 mm; unrounded it is 324.453."""
    result = computed("outside-diameter-hob-cut", "mm", p="38.1 mm", N="25")
    assert result == pytest.approx(38.1 * 8.516, abs=0.01)
    assert round(result) == 324


@pytest.mark.source(BHANDARI_5)
def test_the_mean_tip_diameter_is_what_the_textbook_prints() -> None:
    diameter = {"d": "103.673741 mm", "p": "19.05 mm", "d1": "12.07 mm"}
    assert computed("tip-diameter-mean", "mm", N="17", **diameter) == pytest.approx(112.138521, abs=1e-6)


@pytest.mark.source(BHANDARI_5)
def test_the_textbooks_tip_diameter_is_the_mean_of_the_two_limits() -> None:
    diameter = {"d": "103.673741 mm", "p": "19.05 mm", "d1": "12.07 mm"}
    largest = computed("tip-diameter-iso-max", "mm", **diameter)
    smallest = computed("tip-diameter-iso-min", "mm", N="17", **diameter)
    assert (largest + smallest) / 2 == pytest.approx(112.138521, abs=1e-6)


@pytest.mark.source(TIP_PAGE)
def test_the_pages_other_tip_formula_lies_between_the_limits() -> None:
    """It gives p (0.54 + cot(180/N)) beside d + 1.25 p - d1."""
    other = 19.05 * (0.54 + 1 / tan(pi / 17))
    diameter = {"d": "103.673741 mm", "p": "19.05 mm", "d1": "12.07 mm"}
    assert computed("tip-diameter-iso-min", "mm", N="17", **diameter) < other
    assert other < computed("tip-diameter-iso-max", "mm", **diameter)


@pytest.mark.parametrize(
    ("teeth", "percent"),
    [
        check(CHORDAL, teeth, percent, name=f"{teeth} teeth")
        for teeth, percent in {11: 4.05, 13: 2.91, 15: 2.19, 16: 1.92, 17: 1.70, 19: 1.36, 21: 1.12, 25: 0.79}.items()
    ],
)  # fmt: skip
def test_the_chordal_speed_variation(teeth: int, percent: float) -> None:
    result = derived(f"front_sprocket.teeth: {teeth}", "drive.chordal_variation", "%")
    assert result == pytest.approx(percent, abs=0.005)


@pytest.mark.parametrize("teeth", [11, 13, 15, 17, 25])
@pytest.mark.source(
    "Shigley's form (pi/N)(1/sin - 1/tan), recalled: it exceeds the other by 0.06 points at most"
)
def test_the_other_form_of_the_chordal_variation_is_close(teeth: int) -> None:
    half_tooth = radians(180 / teeth)
    other = 100 * pi / teeth * (1 / sin(half_tooth) - 1 / tan(half_tooth))
    ours = derived(f"front_sprocket.teeth: {teeth}", "drive.chordal_variation", "%")
    assert 0 <= other - ours < 0.06
    assert ours == pytest.approx(100 * (1 - cos(half_tooth)))


@pytest.mark.parametrize(
    ("front", "rear", "ratio"),
    [
        check(KHURMI, 20, 40, 2.0, name="240 to 120 turns a minute"),
        check("Shigley's solutions manual, eight-strand No. 80 design", 19, 38, 2.0, name="19 and 38"),
        check("Bhandari, Design of Machine Elements, example 14.3", 21, 63, 3.0, name="ratio of 3"),
    ],
)
def test_the_ratio_is_the_printed_one(front: int, rear: int, ratio: float) -> None:
    assert derived(f"front_sprocket.teeth: {front}, rear_sprocket.teeth: {rear}", "drive.ratio") == ratio


@pytest.mark.parametrize(
    ("front", "rear", "pitches", "degrees"),
    [
        check(
            "law of the open belt, 180 - 2 asin((D2 - D1)/2C), worked out",
            15,
            45,
            37,
            165.2,
            name="15 and 45",
        ),
        check(
            "law of the open belt, 180 - 2 asin((D2 - D1)/2C), worked out",
            13,
            51,
            36,
            160.7,
            name="13 and 51",
        ),
    ],
)
def test_the_wrap_on_the_front_sprocket(front: int, rear: int, pitches: int, degrees: float) -> None:
    sheet = (
        f"chain.size: 520, front_sprocket.teeth: {front}, rear_sprocket.teeth: {rear}, "
        f"drive.centre_distance: {pitches * 15.875} mm"
    )
    assert derived(sheet, "drive.wrap_front", "deg") == pytest.approx(degrees, abs=0.05)


@pytest.mark.parametrize(
    ("centre_distance", "stands"),
    [
        check(
            "a chain maker's engineering page and Mott: 120 degrees at least", "395 mm", False, name="enough"
        ),
        check(
            "a chain maker's engineering page and Mott: 120 degrees at least",
            "375 mm",
            True,
            name="too little",
        ),
    ],
)
def test_less_than_120_degrees_of_wrap_is_too_little(centre_distance: str, stands: bool) -> None:
    sheet = (
        "chain.size: 520, front_sprocket.teeth: 13, rear_sprocket.teeth: 90, "
        f"drive.centre_distance: {centre_distance}"
    )
    degrees = derived(sheet, "drive.wrap_front", "deg")
    assert (degrees < 120) is stands
    assert ("too-little-wrap" in fired(sheet)) is stands


@pytest.mark.parametrize(
    ("teeth", "percent"),
    [
        check(
            "Wentzell, Machine Design, example 14.4 uses D = pN/pi; error worked out", "15", -0.73, name="15"
        ),
        check(
            "Wentzell, Machine Design, example 14.4 uses D = pN/pi; error worked out", "12", -1.14, name="12"
        ),
    ],
)
def test_the_error_of_the_circumference_short_cut(teeth: str, percent: float) -> None:
    assert computed("pitch-diameter-shortcut-error", "%", N=teeth) == pytest.approx(percent, abs=0.005)
