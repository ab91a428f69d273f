"""How far the size number tells pitch and width, number by number, against printed pitches and widths.

The rule of thumb: the first figure counts eighths of an inch of pitch; the last two, with a point between them,
eighths of an inch of inner width. What it predicts is worked out here; what is true stands as printed.
"""

from __future__ import annotations

import pytest

from support.built_in import derived, fired, judged
from support.sourced import check

RETAILER = "a parts retailer's table of motorcycle chain dimensions"
PARTS_MAKER = "a parts maker's table of motorcycle chain dimensions"
HANDBOOK = "The Complete Guide to Chain, p. 113"
KART = "two pages about kart chain of size 219"
EIGHTH = 25.4 / 8


@pytest.mark.parametrize(
    ("size", "true_width", "within"),
    [
        check(PARTS_MAKER, "415", 4.76, 0.1, name="415"),
        check(RETAILER, "420", 6.35, 0.1, name="420"),
        check(HANDBOOK, "425", 7.95, 0.3, name="425"),
        check(RETAILER, "520", 6.35, 0.1, name="520"),
        check(HANDBOOK, "525", 7.95, 0.3, name="525"),
        check(RETAILER, "530", 9.53, 0.1, name="530"),
        check(RETAILER, "630", 9.53, 0.1, name="630"),
    ],
)
def test_the_decode_of_the_width_holds(size: str, true_width: float, within: float) -> None:
    predicted = int(size[1:]) / 10 * EIGHTH
    assert abs(predicted - true_width) / true_width * 100 < within
    error = derived(f"chain.size: {size}", "chain.decode_width_error", "%")
    assert error == pytest.approx(abs(predicted - true_width) / true_width * 100, abs=0.02)
    stands = fired(f"chain.size: {size}, chain.taken_from_number: [inner width]")
    assert "number-gives-inner-width" in stands
    assert "number-misreads-inner-width" not in stands


@pytest.mark.parametrize(
    ("size", "true_width", "too_wide_mm", "too_wide_percent"),
    [
        check(HANDBOOK, "428", 7.95, 0.94, 11.8, name="428"),
        check(RETAILER, "532", 9.53, 0.63, 6.6, name="532"),
        check(RETAILER, "632", 9.66, 0.50, 5.2, name="632"),
    ],
)
def test_the_decode_of_the_width_fails_where_the_figures_mark_a_larger_roller(
    size: str, true_width: float, too_wide_mm: float, too_wide_percent: float
) -> None:
    predicted = int(size[1:]) / 10 * EIGHTH
    assert predicted - true_width == pytest.approx(too_wide_mm, abs=0.006)
    facts = f"chain.size: {size}, chain.taken_from_number: [inner width]"
    assert derived(facts, "chain.decode_width_error", "%") == pytest.approx(too_wide_percent, abs=0.06)
    assert derived(facts, "chain.inner_width", "mm") == pytest.approx(true_width, abs=0.005)
    stands = fired(facts)
    assert "number-misreads-inner-width" in stands
    assert "number-gives-inner-width" not in stands
    assert any(one.rule == "inner-width-by-decode" and one.differs for one in judged(facts).overridden)


@pytest.mark.parametrize(
    ("size", "true_pitch"),
    [
        check(RETAILER, size, pitch, name=size)
        for size, pitch in {
            "415": 12.70, "420": 12.70, "428": 12.70, "520": 15.875, "525": 15.875, "530": 15.875,
            "532": 15.875, "630": 19.05, "632": 19.05,
        }.items()
    ],
)  # fmt: skip
def test_the_decode_of_the_pitch_holds_from_415_to_632(size: str, true_pitch: float) -> None:
    assert int(size[0]) * EIGHTH == pytest.approx(true_pitch)
    facts = f"chain.size: {size}, chain.taken_from_number: [pitch]"
    assert derived(facts, "chain.decode_pitch_error", "%") == pytest.approx(0, abs=1e-9)
    assert "number-gives-pitch" in fired(facts)


@pytest.mark.source(KART)
def test_the_decode_of_the_pitch_is_18_percent_low_for_219() -> None:
    facts = "chain.size: 219, chain.taken_from_number: [pitch]"
    assert derived(facts, "chain.decode_pitch_error", "%") == pytest.approx(
        (7.774 - 2 * EIGHTH) / 7.774 * 100, abs=0.01
    )
    assert derived(facts, "chain.decode_pitch_error", "%") == pytest.approx(18, abs=0.5)
    assert "number-misreads-pitch" in fired(facts)


@pytest.mark.parametrize(
    "size",
    [
        check("Mott, Machine Elements in Mechanical Design, a later edition, chapter 7", size, name=size)
        for size in ("25", "35", "40", "41", "50", "60")
    ],
)
def test_two_figure_numbers_follow_another_rule(size: str) -> None:
    """The leading figures count eighths of pitch; the last names standard (0), light (1) or rollerless (5)."""
    assert derived(f"chain.size: {size}", "chain.pitch", "mm") == pytest.approx(int(size[:-1]) * EIGHTH)
    facts = f"chain.size: {size}, chain.taken_from_number: [inner width]"
    assert "two-figure-number-tells-no-width" in fired(facts)


@pytest.mark.parametrize(
    ("untold", "rule"),
    [
        check(RETAILER, "roller diameter", "number-tells-no-roller", name="roller"),
        check("a commercial page that compares 428 with 428H", "plate thickness",
              "number-tells-no-plate-thickness", name="plates"),
        check("a commercial page that compares 428 with 428H", "strength",
              "number-tells-no-strength", name="strength"),
        check("common practice", "sealing", "number-tells-no-sealing", name="sealing"),
        check("common practice", "length", "number-tells-no-length", name="length"),
    ],
)  # fmt: skip
def test_what_the_number_never_tells(untold: str, rule: str) -> None:
    assert rule in fired(f"chain.size: 520, chain.taken_from_number: [{untold}]")
