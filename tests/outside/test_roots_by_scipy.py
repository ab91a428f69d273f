"""Inverses and extremes against the roots that SciPy finds; it knows none of the closed forms."""

from __future__ import annotations

from collections.abc import Callable
from math import asin, cos, hypot, pi, sqrt

import pytest
from scipy.optimize import brentq  # type: ignore[import-untyped]  # SciPy ships no types

from support.built_in import computed, derived
from support.sourced import check

BRENT = "SciPy: optimize.brentq, Brent's root finding"


def root(function: Callable[[float], float], low: float, high: float) -> float:
    return float(brentq(function, low, high, xtol=1e-12, rtol=1e-14))


def length_in_pitches(distance: float, front: int, rear: int) -> float:
    return 2 * distance + (front + rear) / 2 + ((rear - front) / (2 * pi)) ** 2 / distance


@pytest.mark.parametrize(
    ("links", "front", "rear"),
    [
        check(BRENT, links, front, rear, name=f"{links} pitches, {front} and {rear}")
        for links, front, rear in [
            (104, 15, 45), (110, 15, 45), (114, 13, 51), (118, 16, 42), (120, 17, 38), (112, 14, 48), (102, 15, 42),
            (96, 11, 60),
        ]
    ],
)  # fmt: skip
def test_the_centre_distance_is_the_root_of_the_length_formula(links: int, front: int, rear: int) -> None:
    found = root(lambda distance: length_in_pitches(distance, front, rear) - links, 12, 90)
    told = derived(
        f"chain.pitch: 12.7 mm, chain.links: {links}, front_sprocket.teeth: {front}, rear_sprocket.teeth: {rear}",
        "drive.centre_for_links",
        "mm",
    )
    assert told / 12.7 == pytest.approx(found, rel=1e-10)


@pytest.mark.parametrize(
    ("front", "rear", "degrees"),
    [
        check(BRENT, front, rear, degrees, name=f"{front} and {rear}, {degrees} degrees")
        for front, rear, degrees in [(13, 51, 160), (15, 45, 165), (12, 60, 150), (16, 38, 170)]
    ],
)
def test_a_centre_distance_found_for_a_wrap_gives_that_wrap(front: int, rear: int, degrees: int) -> None:
    """The belt leaves the small circle where cos(wrap/2) is the difference of the radii over the distance."""
    difference = (
        computed("pitch-diameter", "mm", p="12.7 mm", N=str(rear))
        - computed("pitch-diameter", "mm", p="12.7 mm", N=str(front))
    ) / 2
    distance = root(lambda c: difference / c - cos(degrees * pi / 360), difference * 1.001, 2000)
    told = derived(
        f"chain.pitch: 12.7 mm, front_sprocket.teeth: {front}, rear_sprocket.teeth: {rear}, "
        f"drive.centre_distance: {distance:.9f} mm",
        "drive.wrap_front",
        "deg",
    )
    assert told == pytest.approx(degrees, abs=1e-6)


def spare(slack: float, run: float) -> float:
    return 2 * hypot(run / 2, slack / 2) - run


@pytest.mark.parametrize(
    ("now", "wanted", "distance"),
    [
        check(BRENT, now, wanted, distance, name=f"{now} to {wanted} mm over {distance} mm")
        for now, wanted, distance in [
            (45, 30, 600),
            (60, 30, 600),
            (50, 35, 560),
            (40, 25, 640),
            (35, 30, 580),
        ]
    ],
)
def test_the_axle_goes_back_to_the_root(now: int, wanted: int, distance: int) -> None:
    """The loop keeps its length: twice the distance and the spare chain, before and after."""
    loop = 2 * distance + spare(now, distance)
    found = root(lambda shift: 2 * (distance + shift) + spare(wanted, distance + shift) - loop, -5, 5)
    told = derived(
        f"slack.measured: {now} mm, slack.wanted: {wanted} mm, drive.centre_distance: {distance} mm",
        "slack.axle_back",
        "mm",
    )
    assert told == pytest.approx(found, rel=1e-6)


@pytest.mark.parametrize(
    ("now", "wanted", "distance"),
    [
        check(BRENT, now, wanted, distance, name=f"{now} to {wanted} mm over {distance} mm")
        for now, wanted, distance in [(12, 30, 600), (20, 35, 560), (10, 25, 640)]
    ],
)
def test_the_axle_comes_forward_to_the_root(now: int, wanted: int, distance: int) -> None:
    loop = 2 * distance + spare(now, distance)
    found = root(lambda shift: 2 * (distance - shift) + spare(wanted, distance - shift) - loop, -5, 5)
    told = derived(
        f"slack.measured: {now} mm, slack.wanted: {wanted} mm, drive.centre_distance: {distance} mm",
        "slack.axle_forward",
        "mm",
    )
    assert told == pytest.approx(found, rel=1e-6)


@pytest.mark.parametrize(
    ("slack", "off_line"),
    [
        check(BRENT, slack, off_line, name=f"{slack} mm with the pivot {off_line} mm off the line")
        for slack, off_line in [(60, 12), (50, 8), (45, 5), (70, 15)]
    ],
)
def test_the_slack_left_in_line_is_the_root(slack: int, off_line: int) -> None:
    as_it_stands = sqrt(80**2 - off_line**2) + sqrt(600**2 - off_line**2)
    loop = 2 * as_it_stands + spare(slack, as_it_stands)
    found = root(lambda left: 2 * 680 + spare(left, 680) - loop, 0, 200)
    told = derived(
        f"slack.measured: {slack} mm, swingarm.pivot_to_countershaft: 80 mm, swingarm.pivot_to_axle: 600 mm, "
        f"swingarm.pivot_off_line: {off_line} mm, swingarm.passes_line: yes",
        "slack.in_line",
        "mm",
    )
    assert told == pytest.approx(found, rel=1e-6)


@pytest.mark.parametrize(
    ("kept", "off_line"),
    [
        check(BRENT, kept, off_line, name=f"{kept} mm kept, the pivot {off_line} mm off the line")
        for kept, off_line in [(10, 12), (15, 8), (20, 10)]
    ],
)
def test_the_slack_to_set_on_the_stand_is_the_root(kept: int, off_line: int) -> None:
    as_it_stands = sqrt(80**2 - off_line**2) + sqrt(600**2 - off_line**2)
    loop = 2 * 680 + spare(kept, 680)
    found = root(lambda slack: 2 * as_it_stands + spare(slack, as_it_stands) - loop, 0, 300)
    told = derived(
        f"slack.kept_in_line: {kept} mm, swingarm.pivot_to_countershaft: 80 mm, swingarm.pivot_to_axle: 600 mm, "
        f"swingarm.pivot_off_line: {off_line} mm, swingarm.passes_line: yes",
        "slack.to_set",
        "mm",
    )
    assert told == pytest.approx(found, rel=1e-6)


@pytest.mark.parametrize(
    ("slack", "printed"),
    [
        check(BRENT, slack, excess, name=f"{slack} mm on 600 mm")
        for slack, excess in {20: 0.33, 30: 0.75, 40: 1.33}.items()
    ],
)
def test_the_spare_chain_of_a_slack_is_the_taut_v(slack: int, printed: float) -> None:
    told = computed("spare-chain-from-slack", "mm", slack=f"{slack} mm", run="600 mm")
    assert told == pytest.approx(printed, abs=0.005)
    assert root(lambda movement: spare(movement, 600) - told, 0, 200) == pytest.approx(slack, rel=1e-9)


@pytest.mark.parametrize(
    ("distance", "front", "rear"),
    [
        check(BRENT, 600, 15, 45, name="15 and 45 at 600 mm"),
        check(BRENT, 560, 13, 51, name="13 and 51 at 560 mm"),
    ],
)
def test_the_count_by_teeth_turns_back_into_its_centre_distance(distance: int, front: int, rear: int) -> None:
    pitch = 15.875
    sheet = (
        f"chain.pitch: {pitch} mm, front_sprocket.teeth: {front}, rear_sprocket.teeth: {rear}, "
        f"drive.centre_distance: {distance} mm"
    )
    told = derived(sheet, "drive.pitches_by_arcs")
    small, large = (
        computed("pitch-diameter", "mm", p=f"{pitch} mm", N=str(teeth)) / 2 for teeth in (front, rear)
    )

    def count(at: float) -> float:
        lean = asin((large - small) / at)
        return 2 * at * cos(lean) / pitch + front * (0.5 - lean / pi) + rear * (0.5 + lean / pi)

    assert root(lambda at: count(at) - told, 300, 1200) == pytest.approx(distance, rel=1e-9)
