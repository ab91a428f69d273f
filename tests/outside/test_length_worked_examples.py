"""Chain length and its inverse against worked examples of textbooks, each put to Sideplate as a job sheet.

Results of the companions to Bhandari and Jindal are full-precision program output on the books' inputs. Where the
stored inputs lack the centre distance in pitches or a tooth count, those were inferred because they alone give every
printed digit; such checks say so.
"""

from __future__ import annotations

import pytest

from support.built_in import computed, derived, fired
from support.sourced import check

MOTT = "Mott, Machine Elements in Mechanical Design, 4th edition, example 7-3"
SHIGLEY_26 = "Shigley's Mechanical Engineering Design, solutions manual, problem 17-26"
SHIGLEY_80 = "Shigley's Mechanical Engineering Design, solutions manual, eight-strand No. 80 design"
BHANDARI_3 = "Bhandari, Design of Machine Elements, example 14.3 (open companion)"
BHANDARI_4 = "Bhandari, Design of Machine Elements, example 14.4 (open companion; 40 pitches inferred)"
BHANDARI_6 = (
    "Bhandari, Design of Machine Elements, example 14.6 (open companion; 40 pitches and 80 teeth inferred)"
)
BHANDARI_6B = "Bhandari, Design of Machine Elements, example 14.6, second solution (30 pitches inferred)"
JINDAL_1 = "Jindal, Machine Design, example 30-1 (open companion)"
JINDAL_3 = "Jindal, Machine Design, example 30-3 (open companion)"
JINDAL_5 = "Jindal, Machine Design, example 30-5 (open companion)"
KHURMI = "Khurmi and Gupta, Theory of Machines, example 11.23 (open companion)"
EXACT = 0.6e-6
"""Half of the last of six printed decimals, and a little."""


def drive(front: int, rear: int, distance: str, chain: str) -> str:
    return (
        f"{chain}, front_sprocket.teeth: {front}, rear_sprocket.teeth: {rear}, "
        f"drive.centre_distance: {distance}"
    )


@pytest.mark.parametrize(
    ("sheet", "printed", "within"),
    [
        check(MOTT, drive(17, 65, "15 in", "chain.size: 40"), 102.9, 0.05, name="No. 40, 17 and 65"),
        check(SHIGLEY_26, drive(21, 84, "20 in", "chain.size: 40"), 135, 0.05, name="No. 40-4, 21 and 84"),
        check(SHIGLEY_80, drive(19, 38, "40 in", "chain.size: 80"), 108.7, 0.05, name="No. 80, 19 and 38"),
        check(BHANDARI_3, drive(21, 63, "500 mm", "chain.size: 40"), 121.875097, EXACT, name="21 and 63"),
        check(
            BHANDARI_4, drive(17, 34, "762 mm", "chain.size: 12B"), 105.683011, EXACT, name="12B, 17 and 34"
        ),
        check(BHANDARI_6, drive(21, 80, "762 mm", "chain.size: 60"), 132.704369, EXACT, name="21 and 80"),
        check(BHANDARI_6B, drive(25, 96, "381 mm", "chain.size: 40"), 124.756334, EXACT, name="25 and 96"),
    ],
)
def test_the_length_in_pitches_is_the_printed_one(sheet: str, printed: float, within: float) -> None:
    assert derived(sheet, "drive.pitches_exact") == pytest.approx(printed, abs=within)


@pytest.mark.parametrize(
    ("sheet", "printed"),
    [
        check(MOTT, drive(17, 65, "15 in", "chain.size: 40"), 104, name="102.9 to 104"),
        check(SHIGLEY_80, drive(19, 38, "40 in", "chain.size: 80"), 110, name="108.7 to 110"),
        check(BHANDARI_3, drive(21, 63, "500 mm", "chain.size: 40"), 122, name="121.9 to 122"),
        check(BHANDARI_4, drive(17, 34, "762 mm", "chain.size: 12B"), 106, name="105.7 to 106"),
    ],
)
def test_the_even_count_is_the_printed_one(sheet: str, printed: int) -> None:
    assert derived(sheet, "drive.links_needed") == printed


@pytest.mark.parametrize(
    ("sheet", "printed"),
    [
        check(BHANDARI_6, drive(21, 80, "762 mm", "chain.size: 60"), 132, name="132.7 to 132"),
        check(BHANDARI_6B, drive(25, 96, "381 mm", "chain.size: 40"), 124, name="124.8 to 124"),
    ],
)
def test_where_a_book_rounds_down_sideplate_still_rounds_up(sheet: str, printed: int) -> None:
    """The book shortens the centre distance to suit; an axle in its slot can do that only for a fitted count."""
    assert derived(sheet, "drive.links_needed") == printed + 2


@pytest.mark.source(SHIGLEY_26)
def test_where_a_book_leaves_an_odd_count_sideplate_does_not() -> None:
    sheet = drive(21, 84, "20 in", "chain.size: 40")
    assert derived(sheet, "drive.links_needed") == 136
    assert "odd-loop" in fired(f"{sheet}, chain.links: 135")


@pytest.mark.parametrize(
    ("sheet", "unit", "printed", "within"),
    [
        check(SHIGLEY_80, "chain.size: 80, chain.links: 110, front_sprocket.teeth: 19, rear_sprocket.teeth: 38",
              "in", 40.64, 0.005, name="No. 80, 110 pitches"),
        check(MOTT, "chain.size: 40, chain.links: 104, front_sprocket.teeth: 17, rear_sprocket.teeth: 65",
              "in", 15.272, 0.0006, name="No. 40, 104 pitches"),
        check(BHANDARI_3, "chain.size: 40, chain.links: 122, front_sprocket.teeth: 21, rear_sprocket.teeth: 63",
              "mm", 500.804717, EXACT, name="122 pitches of 12.7 mm"),
        check(BHANDARI_4, "chain.size: 12B, chain.links: 106, front_sprocket.teeth: 17, rear_sprocket.teeth: 34",
              "mm", 763.496160 / 0.998, EXACT, name="106 pitches of 12B, sag taken off by 0.2 %"),
        check(BHANDARI_6, "chain.size: 60, chain.links: 132, front_sprocket.teeth: 21, rear_sprocket.teeth: 80",
              "mm", 755.098993, EXACT, name="132 pitches of 19.05 mm"),
        check(BHANDARI_6B, "chain.size: 40, chain.links: 124, front_sprocket.teeth: 25, rear_sprocket.teeth: 96",
              "mm", 375.825124, EXACT, name="124 pitches of 12.7 mm"),
    ],
)  # fmt: skip
def test_the_centre_distance_of_a_count_is_the_printed_one(
    sheet: str, unit: str, printed: float, within: float
) -> None:
    assert derived(sheet, "drive.centre_for_links", unit) == pytest.approx(printed, abs=within)


@pytest.mark.source(JINDAL_1)
def test_300_mm_come_back_from_the_length_they_give() -> None:
    pitches = computed("chain-length-in-pitches", "1", C="300 mm", p="9.52 mm", N1="17", N2="51")
    back = computed("centre-distance-from-links", "mm", L=f"{pitches:.12f}", p="9.52 mm", N1="17", N2="51")
    assert back == pytest.approx(300.00, abs=1e-6)


@pytest.mark.parametrize(
    ("symbols", "unit", "printed", "within"),
    [
        check(JINDAL_5, {"C": "635.2 mm", "p": "15.88 mm", "N1": "17", "N2": "34"}, "mm", 1678.25, 0.005,
              name="17 and 34 teeth at 40 pitches"),
        check(JINDAL_3, {"C": "476 mm", "p": "9.52 mm", "N1": "21", "N2": "42"}, "mm", 1254.01, 0.005,
              name="21 and 42 teeth at 50 pitches"),
        check(KHURMI, {"C": "800 mm", "p": "47.0755 mm", "N1": "20", "N2": "40"}, "m", 3.0402, 0.0005,
              name="by the book's other form of the formula"),
    ],
)  # fmt: skip
def test_the_length_of_chain_is_the_printed_one(
    symbols: dict[str, str], unit: str, printed: float, within: float
) -> None:
    assert computed("chain-length", unit, **symbols) == pytest.approx(printed, abs=within)


@pytest.mark.source("European handbooks print 39.6 in place of 4 pi squared, recalled")
def test_the_rounded_constant_of_some_handbooks_changes_nothing_that_can_be_seen() -> None:
    by_formula = computed("chain-length-in-pitches", "1", C="600 mm", p="15.875 mm", N1="15", N2="45")
    rounded = 2 * 600 / 15.875 + 30 + 30**2 / 39.6 * 15.875 / 600
    assert 0 < by_formula - rounded < 0.002


@pytest.mark.source("arithmetic on the length formula: half a pitch a tooth")
@pytest.mark.parametrize("extra", [1, 2, 3])
def test_a_tooth_more_takes_about_half_a_pitch(extra: int) -> None:
    """The change rule leaves out the third term, which adds a few hundredths of a pitch."""
    before = derived(drive(15, 45, "600 mm", "chain.size: 520"), "drive.pitches_exact")
    after = derived(drive(15, 45 + extra, "600 mm", "chain.size: 520"), "drive.pitches_exact")
    told = derived(
        f"front_sprocket.teeth: 15, rear_sprocket.teeth: {45 + extra}, front_sprocket.teeth_before: 15, "
        "rear_sprocket.teeth_before: 45",
        "drive.length_change",
    )
    assert told == extra / 2
    assert after - before == pytest.approx(told, abs=0.15)
