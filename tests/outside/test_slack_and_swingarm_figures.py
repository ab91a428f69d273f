"""Slack in makers' manuals, millimetre for millimetre, and the swingarm's stroke against a worked-out article."""

from __future__ import annotations

from math import radians, sin, sqrt

import pytest

from support.built_in import cell_in, computed, derived, fired
from support.sourced import check

ARTICLE = (
    "an article on chain tension and the swingarm: D² = a² + s² - 2 a s cos γ, worked out for 80 and 600 mm"
)

MANUALS = {
    "ROAD 400 SPORT": ("service manual, 400-class sport machine", 20, 35),
    "ADVENTURE 650": ("owner's manual, 650-class adventure machine", 35, 45),
    "OFF-ROAD 450": ("service manual, 450-class off-road machine, p. 3A-9", 40, 50),
    "ROAD 650": ("service manual, 650-class road machine, p. 3A-10", 20, 30),
    "MOTOCROSS 65": ("owner's manual, 65-class motocross machine", 45, 55),
    "MOTOCROSS 65 IN MUD": ("owner's manual, 65-class motocross machine", 55, 65),
    "ROAD 900 TRIPLE": ("owner's handbook, 900-class road triple", 35, 40),
    "MOTOCROSS 250": ("owner's manual, 250-class motocross machine", 25, 35),
    "ENDURO": ("owner's manual, enduro machine of 2008", 30, 50),
    "ROAD 110 UTILITY": ("owner's manual, 110-class utility machine", 15, 25),
}
STROKE = {180: 680.00, 175: 679.73, 170: 678.93, 165: 677.59, 160: 675.73}


@pytest.mark.parametrize(
    ("machine", "low", "high"),
    [check(source, machine, low, high, name=machine) for machine, (source, low, high) in MANUALS.items()],
)
def test_the_slack_is_the_manuals(machine: str, low: int, high: int) -> None:
    assert cell_in("slack-in-manuals", machine, "low", "mm") == low
    assert cell_in("slack-in-manuals", machine, "high", "mm") == high


@pytest.mark.parametrize(
    ("machine", "low", "high"),
    [check(source, machine, low, high, name=machine) for machine, (source, low, high) in MANUALS.items()],
)
def test_a_sheet_with_the_manuals_range_is_ruled_by_it(machine: str, low: int, high: int) -> None:
    manual = f"slack.manual_min: {low} mm, slack.manual_max: {high} mm"
    assert "slack-below-manual" in fired(f"{manual}, slack.measured: {low - 1} mm")
    assert "slack-within-manual" in fired(f"{manual}, slack.measured: {low} mm")
    assert "slack-within-manual" in fired(f"{manual}, slack.measured: {high} mm")
    assert "slack-above-manual" in fired(f"{manual}, slack.measured: {high + 1} mm")


@pytest.mark.parametrize(
    ("degrees", "printed"),
    [check(ARTICLE, angle, mm, name=f"{angle} degrees") for angle, mm in STROKE.items()],
)
def test_countershaft_to_axle_through_the_stroke(degrees: int, printed: float) -> None:
    distance = computed(
        "countershaft-to-axle-through-the-stroke",
        "mm",
        pivot_to_countershaft="80 mm",
        pivot_to_axle="600 mm",
        angle=f"{degrees} deg",
    )
    assert distance == pytest.approx(printed, abs=0.005)


@pytest.mark.parametrize(
    ("degrees", "printed"),
    [check(ARTICLE, angle, mm, name=f"{angle} degrees") for angle, mm in STROKE.items()],
)
def test_a_thread_from_countershaft_to_axle_gives_the_same_distance(degrees: int, printed: float) -> None:
    """The pivot's distance from the thread is twice the triangle's area over its longest side."""
    off_line = (
        80
        * 600
        * sin(radians(degrees))
        / sqrt(80**2 + 600**2 + 2 * 80 * 600 * sqrt(1 - sin(radians(degrees)) ** 2))
    )
    sheet = (
        "swingarm.pivot_to_countershaft: 80 mm, swingarm.pivot_to_axle: 600 mm, "
        f"swingarm.pivot_off_line: {max(off_line, 0):.9f} mm, swingarm.passes_line: yes, slack.measured: 60 mm"
    )
    assert derived(sheet, "swingarm.distance_as_it_stands", "mm") == pytest.approx(printed, abs=0.005)
    assert derived(sheet, "swingarm.distance_in_line", "mm") == pytest.approx(680.00, abs=1e-6)


@pytest.mark.parametrize(
    ("slack", "percent"),
    [
        check("a chain maker's answers: 4 to 6 % of the centre distance; 1 in on 600 mm worked out", 25, 4.2,
              name="25 mm"),
        check("a chain maker's answers: 4 to 6 % of the centre distance; 1 1/2 in on 600 mm worked out", 38, 6.3,
              name="38 mm"),
    ],
)  # fmt: skip
def test_the_share_of_a_600_mm_span(slack: int, percent: float) -> None:
    sheet = f"bike.use: kart, slack.measured: {slack} mm, drive.centre_distance: 600 mm"
    assert derived(sheet, "slack.span_share", "%") == pytest.approx(percent, abs=0.05)
