"""Motorcycle and kart size numbers against the tables in which their figures were printed.

The figures stand here as those tables print them, and Sideplate is asked through a job sheet that states the size
number alone. Cells that are only recalled are looked at in test_recalled_values.py, never here.
"""

from __future__ import annotations

import pytest

from support.built_in import cell, cell_in, derived, knowledge
from support.sourced import check

RETAILER = "a parts retailer's table of motorcycle chain dimensions"
PARTS_MAKER = "a parts maker's table of motorcycle chain dimensions"
HANDBOOK = "The Complete Guide to Chain, p. 113"
RESTATED = "The Complete Guide to Chain, p. 113, as a page of chain sizes restates it"
SIZE_PAGE = "a commercial page of chain sizes"
KART = "two pages about kart chain of size 219"
CATALOGUE = "a chain maker's 2020 catalogue, works-norm chains, pp. 296-297"
HEAVY_428 = "a commercial page that compares 428 with 428H"
ENTHUSIAST = "an enthusiast's reference page on chain numbers"
SMALL_VEHICLE = "a small-vehicle parts seller's table of chains 40, 41 and 420"
MM_OF_A_CALIPER = 0.011
"""Trade tables print hundredths of a millimetre, rounded either way."""


@pytest.mark.parametrize(
    ("size", "printed"),
    [
        check(KART, "219", 7.774, name="219 in millimetres"),
        check(KART, "219", 0.3061 * 25.4, name="219 in inches"),
        *(
            check(RETAILER, size, eighths * 25.4 / 8, name=f"{size} is {eighths}/8 in")
            for size, eighths in {
                "415": 4, "420": 4, "428": 4, "520": 5, "525": 5, "530": 5, "532": 5, "630": 6, "632": 6,
            }.items()
        ),
        check(HANDBOOK, "425", 12.70, name="425"),
        check(CATALOGUE, "415H", 12.700, name="415H"),
        check(HEAVY_428, "428H", 12.70, name="428H has the pitch of 428"),
    ],
)  # fmt: skip
def test_the_pitch_is_the_printed_one(size: str, printed: float) -> None:
    assert derived(f"chain.size: {size}", "chain.pitch", "mm") == pytest.approx(printed, abs=0.002)


@pytest.mark.parametrize(
    ("size", "printed"),
    [
        check(PARTS_MAKER, "415", 4.76, name="415"),
        check(CATALOGUE, "415H", 4.76, name="415H"),
        check(RETAILER, "420", 6.35, name="420, retailer"),
        check(PARTS_MAKER, "420", 6.35, name="420, parts maker"),
        check(HANDBOOK, "425", 7.95, name="425"),
        check(RESTATED, "428", 7.95, name="428"),
        check(HEAVY_428, "428H", 7.95, name="428H has the width of 428"),
        check(RETAILER, "520", 6.35, name="520, retailer"),
        check(PARTS_MAKER, "520", 6.35, name="520, parts maker"),
        check(HANDBOOK, "520", 6.35, name="520, handbook"),
        check(PARTS_MAKER, "525", 7.95, name="525, parts maker"),
        check(HANDBOOK, "525", 7.95, name="525, handbook"),
        check(RETAILER, "530", 9.53, name="530, retailer"),
        check(PARTS_MAKER, "530", 9.53, name="530, parts maker"),
        check(HANDBOOK, "530", 9.53, name="530, handbook"),
        check(RETAILER, "532", 9.53, name="532, retailer"),
        check(PARTS_MAKER, "532", 9.53, name="532, parts maker"),
        check(RETAILER, "630", 9.53, name="630, retailer"),
        check(PARTS_MAKER, "630", 9.53, name="630, parts maker"),
        check(RESTATED, "630", 9.53, name="630, handbook"),
        check(RETAILER, "632", 9.66, name="632, its only source"),
    ],
)
def test_the_inner_width_is_the_printed_one(size: str, printed: float) -> None:
    width = derived(f"chain.size: {size}", "chain.inner_width", "mm")
    assert width == pytest.approx(printed, abs=MM_OF_A_CALIPER)


@pytest.mark.parametrize(
    ("size", "also_printed"),
    [
        check(RETAILER, "415", 4.88, name="415 at 4.88 mm"),
        check(RETAILER, "428", 7.75, name="428 at 7.75 mm"),
        check(PARTS_MAKER, "428", 7.75, name="428 at 7.75 mm, parts maker"),
        check(SIZE_PAGE, "428", 7.85, name="428 at 7.85 mm"),
        check(RETAILER, "525", 7.85, name="525 at 7.85 mm"),
    ],
)
def test_where_printed_widths_disagree_the_row_says_so(size: str, also_printed: float) -> None:
    """Sideplate follows one figure within a quarter of a millimetre of the other, and its note names the spread."""
    row = knowledge().tables["sizes"].row(size)
    assert row is not None
    followed = derived(f"chain.size: {size}", "chain.inner_width", "mm")
    assert 0.05 < abs(followed - also_printed) < 0.25
    note = str(row.cells["note"])
    inside_a_range = size == "428" and "7.75 to 7.95 mm" in note and 7.75 <= also_printed <= 7.95
    assert inside_a_range or f"{also_printed:.2f} mm" in note


@pytest.mark.parametrize(
    ("size", "printed"),
    [
        check(PARTS_MAKER, "415", 7.77, name="415"),
        check(CATALOGUE, "415H", 7.77, name="415H"),
        check(PARTS_MAKER, "420", 7.77, name="420"),
        check(RETAILER, "428", 8.51, name="428, retailer"),
        check(PARTS_MAKER, "428", 8.51, name="428, parts maker"),
        check(HEAVY_428, "428H", 8.51, name="428H has the roller of 428"),
        check(RETAILER, "520", 10.16, name="520, retailer"),
        check(PARTS_MAKER, "520", 10.16, name="520, parts maker"),
        check(RETAILER, "525", 10.16, name="525"),
        check(RETAILER, "530", 10.16, name="530"),
        check(RETAILER, "532", 11.10, name="532, retailer"),
        check(PARTS_MAKER, "532", 11.10, name="532, parts maker"),
        check(ENTHUSIAST, "532", 11.10, name="532, enthusiast's page"),
        check(RETAILER, "630", 11.91, name="630, retailer"),
        check(PARTS_MAKER, "630", 11.91, name="630, parts maker"),
        check(RETAILER, "632", 12.68, name="632, its only source"),
    ],
)
def test_the_roller_is_the_printed_one(size: str, printed: float) -> None:
    roller = derived(f"chain.size: {size}", "chain.roller_diameter", "mm")
    assert roller == pytest.approx(printed, abs=MM_OF_A_CALIPER)


@pytest.mark.parametrize(
    ("size", "column", "printed", "unit"),
    [
        check(KART, "219", "plate_height", 6.5, "mm", name="219, plate height of kart chain"),
        check(CATALOGUE, "415H", "inner_width_minimum", 4.76, "mm", name="415H, least inner width"),
        check(CATALOGUE, "415H", "pin_diameter", 3.96, "mm", name="415H, pin"),
        check(CATALOGUE, "415H", "plate_height", 12.00, "mm", name="415H, plate height"),
        check(CATALOGUE, "415H", "tensile_strength", 14.4, "kN", name="415H, least strength"),
        check(CATALOGUE, "415H", "mass_per_length", 0.55, "kg/m", name="415H, mass"),
        check(SMALL_VEHICLE, "420", "pin_diameter", 25.4 * 5 / 32, "mm", name="420, pin of 5/32 in"),
        check(SMALL_VEHICLE, "420", "mass_per_length", 0.38 * 0.45359237 / 0.3048, "kg/m", name="420, mass"),
        check(HEAVY_428, "428H", "tensile_strength", 20.6, "kN", name="428H, strength"),
    ],
)
def test_the_cell_is_the_printed_one(size: str, column: str, printed: float, unit: str) -> None:
    assert cell_in("sizes", size, column, unit) == pytest.approx(printed, abs=MM_OF_A_CALIPER)


@pytest.mark.parametrize(
    ("size", "named"),
    [
        check(CATALOGUE, "415H", "average strength of 16.1 kN", name="415H, average"),
        check(SMALL_VEHICLE, "420", "average strength of 3700 lbf", name="420, average"),
        check(HEAVY_428, "428", "17.8 kN", name="428, a seller's figure"),
        check(HEAVY_428, "428H", "2.03 mm against 1.60 mm", name="428H, plates"),
        check(
            "service manual, 450-class off-road machine, p. 3A-9", "520", "15.0 mm", name="520, a new plate"
        ),
    ],
)
def test_the_note_tells_a_printed_figure_the_row_does_not_follow(size: str, named: str) -> None:
    assert named in str(cell("sizes", size, "note"))


@pytest.mark.parametrize(
    ("size", "form"),
    [
        check(HANDBOOK, "530", "50", name="530 has the tooth form of 50"),
        check(HANDBOOK, "425", "40", name="425 has the tooth form of 40"),
        check(SMALL_VEHICLE, "420", "41", name="420 has the pitch, roller and width of 41"),
        check(CATALOGUE, "415H", "415", name="415H runs on 415 sprockets"),
        check(HEAVY_428, "428H", "428", name="428H runs on 428 sprockets"),
    ],
)
def test_two_numbers_of_one_geometry_share_a_tooth_form(size: str, form: str) -> None:
    assert cell("sizes", size, "sprocket_form") == cell("sizes", form, "sprocket_form")


@pytest.mark.parametrize(
    ("size", "other"),
    [
        check(RETAILER, "428", "420", name="428 and 420: rollers differ"),
        check(RETAILER, "428", "40", name="428 is not 40: rollers differ"),
        check(RETAILER, "530", "532", name="530 and 532: rollers differ"),
        check(RETAILER, "630", "632", name="630 and 632: rollers differ"),
        check(RETAILER, "520", "530", name="520 and 530: widths differ"),
        check(RETAILER, "525", "530", name="525 and 530: widths differ"),
        check(RETAILER, "630", "60", name="630 is not 60: widths differ"),
        check(KART, "219", "35", name="219 has a pitch of its own"),
    ],
)
def test_two_numbers_of_different_geometry_do_not_share_a_tooth_form(size: str, other: str) -> None:
    assert cell("sizes", size, "sprocket_form") != cell("sizes", other, "sprocket_form")
