"""The slack geometry against independent tools and published figures.

Shapely measures lines and belt hulls, SciPy inverts numerically; neither knows this project's formulas. The
distances through the swingarm's stroke are checked against the law of cosines as Euclid states it
(Elements II.12) worked in decimal arithmetic, and the span percentages against a chain makers' handbook.
"""

from __future__ import annotations

from decimal import Decimal, getcontext
from math import pi, radians, sin, sqrt

import pytest
from scipy.optimize import (  # type: ignore[import-untyped]  # SciPy ships no types
    brentq,
    minimize_scalar,
)
from shapely import LineString, Point  # type: ignore[import-untyped]  # Shapely ships no types
from shapely.affinity import rotate  # type: ignore[import-untyped]  # Shapely ships no types

from sideplate_engine import geometry

pytestmark = pytest.mark.source(
    "Shapely, SciPy and decimal arithmetic; figures from the works named beside them"
)


def v_length(run: float, slack: float) -> float:
    """Length of the run pulled half its movement down at the middle."""
    return float(LineString([(0, 0), (run / 2, -slack / 2), (run, 0)]).length)


def belt_length(centre_distance: float, front_radius: float, rear_radius: float) -> float:
    """Length of a tight belt round two circles, as the outline of their convex hull."""
    front = Point(0, 0).buffer(front_radius, quad_segs=8192)
    rear = Point(centre_distance, 0).buffer(rear_radius, quad_segs=8192)
    return float(front.union(rear).convex_hull.length)


@pytest.mark.parametrize("run", [250, 450, 600, 700])
@pytest.mark.parametrize("slack", [5, 20, 30, 45, 65])
def test_spare_chain_is_the_length_shapely_measures(run: float, slack: float) -> None:
    assert geometry.spare_from_slack(slack, run) == pytest.approx(v_length(run, slack) - run, abs=1e-9)


@pytest.mark.parametrize("run", [250, 450, 600, 700])
@pytest.mark.parametrize("spare", [0.1, 0.5, 1.3, 4.0])
def test_slack_is_the_root_scipy_finds(run: float, spare: float) -> None:
    root = brentq(lambda slack: v_length(run, slack) - run - spare, 0, 200, xtol=1e-10)
    assert geometry.slack_from_spare(spare, run) == pytest.approx(root, abs=1e-6)


@pytest.mark.parametrize(("front", "rear"), [(15, 45), (13, 52), (17, 17), (16, 38)])
@pytest.mark.parametrize(("now", "wanted"), [(45, 30), (60, 35), (12, 30), (25, 24)])
def test_axle_shift_is_the_root_scipy_finds_for_a_belt_of_constant_length(
    front: int, rear: int, now: float, wanted: float
) -> None:
    """The belt round both pitch circles plus the spare chain of one run keeps its length."""
    centres = 580.0
    small, large = (15.875 / (2 * sin(pi / teeth)) for teeth in (front, rear))
    difference = large - small

    def loop(distance: float, slack: float) -> float:
        tangent = sqrt(distance**2 - difference**2)
        return belt_length(distance, small, large) + v_length(tangent, slack) - tangent

    have = loop(centres, now)
    root = brentq(lambda shift: loop(centres + shift, wanted) - have, -5, 5, xtol=1e-9)
    # The hull of 8192-sided quarter circles is short by less than a micrometre, and equally before and after.
    assert geometry.axle_back(now, wanted, centres, difference) == pytest.approx(root, abs=2e-4)


@pytest.mark.parametrize("centre_distance", [420, 560, 640])
def test_the_taut_loop_differs_from_shapelys_belt_only_by_two_half_circles(centre_distance: float) -> None:
    small, large = 38.2, 113.8
    belt = belt_length(centre_distance, small, large)
    assert geometry.taut_length(centre_distance, large - small) + pi * (small + large) == pytest.approx(
        belt, abs=1e-4
    )


def distance_by_decimals(front: str, rear: str, degrees_from_line: str) -> Decimal:
    """Elements II.12 with the cosine summed as a series in 40 figures."""
    getcontext().prec = 40
    turn = Decimal(degrees_from_line) * Decimal("3.141592653589793238462643383279502884197") / 180
    cosine, term = Decimal(1), Decimal(1)
    for step in range(1, 30):
        term *= -turn * turn / ((2 * step - 1) * (2 * step))
        cosine += term
    a, s = Decimal(front), Decimal(rear)
    return (a * a + s * s + 2 * a * s * cosine).sqrt()


@pytest.mark.parametrize(
    ("degrees", "rounded"),
    [(180, "680.00"), (175, "679.73"), (170, "678.93"), (165, "677.59"), (160, "675.73")],
)
def test_countershaft_to_axle_through_the_stroke_of_a_600_mm_swingarm(degrees: int, rounded: str) -> None:
    exact = distance_by_decimals("80", "600", str(180 - degrees))
    assert f"{exact:.2f}" == rounded
    assert geometry.axle_distance(80, 600, radians(degrees)) == pytest.approx(float(exact), abs=1e-9)


@pytest.mark.parametrize("degrees", [180, 172, 165, 151])
def test_the_distance_is_what_shapely_measures_after_turning_the_swingarm(degrees: float) -> None:
    countershaft = Point(80, 0)
    axle = rotate(Point(600, 0), degrees, origin=(0, 0))
    assert geometry.axle_distance(80, 600, radians(degrees)) == pytest.approx(countershaft.distance(axle))
    assert geometry.angle_at_pivot((0, 0), (80, 0), (axle.x, axle.y)) == pytest.approx(radians(degrees))


@pytest.mark.parametrize(("first", "last"), [(200, 170), (195, 184), (178, 160)])
def test_the_tightest_place_is_the_maximum_scipy_finds(first: float, last: float) -> None:
    low, high = radians(min(first, last)), radians(max(first, last))
    found = minimize_scalar(
        lambda angle: -geometry.axle_distance(75, 560, angle),
        bounds=(low, high),
        method="bounded",
        options={"xatol": 1e-10},
    )
    assert geometry.tightest_distance(75, 560, radians(first), radians(last)) == pytest.approx(
        -found.fun, abs=1e-5
    )


@pytest.mark.parametrize("share", [0.04, 0.06])
def test_the_industrial_share_of_span_is_a_fraction_of_a_per_cent_of_chain(share: float) -> None:
    """The Complete Guide to Chain, p. 70, and a maker's page: total movement of 4 % (4 to 6 %) of the span.

    To second order the spare chain is half the square of that share: 0.08 % and 0.18 % of the span.
    """
    assert geometry.spare_from_slack(share * 600, 600) == pytest.approx(600 * share**2 / 2, rel=1e-3)


def test_wear_to_the_650_class_manuals_limit_uses_18_6_mm_of_adjuster() -> None:
    """Service manual, 650-class road machine: 323.8 mm over 20 pitches of 15.875 mm; 118 links."""
    elongation = 323.8 / 317.5 - 1
    by_chain = 118 * (323.8 / 20 - 15.875) / 2
    assert geometry.travel_used(elongation, 118, 15.875) == pytest.approx(by_chain)
    assert by_chain == pytest.approx(18.6, abs=0.05)
