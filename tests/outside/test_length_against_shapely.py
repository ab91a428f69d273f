"""Chain length against the hulls that Shapely measures; it knows nothing of chains.

Three figures stand for the path of the chain. Two circles whose circumferences are the tooth counts give what the
handbook formula approximates. Two circles of the pitch diameters come out longer, because the chain on a sprocket
is a polygon inside its pitch circle: by 0.07 to 0.11 pitch. Two polygons with sides one pitch long are the chain
itself; their hull agrees with the formula to a few thousandths of a pitch, whichever way the sprockets stand.
"""

from __future__ import annotations

from math import cos, pi, sin

import pytest
from shapely import MultiPoint, Point  # type: ignore[import-untyped]  # Shapely ships no types

from support.built_in import derived
from support.sourced import check

SHAPELY = "Shapely: length of the convex hull"
PITCH = 15.875
DRIVES = [(37, 15, 45), (36, 13, 51), (38, 16, 40), (35, 14, 48), (40, 17, 38), (36, 15, 42), (41, 14, 43)]
"""Centre distance in pitches, front teeth, rear teeth: ratios that motorcycles have."""


def pitches_told(distance: float, front: int, rear: int, fact: str = "drive.pitches_exact") -> float:
    return derived(
        f"chain.size: 520, front_sprocket.teeth: {front}, rear_sprocket.teeth: {rear}, "
        f"drive.centre_distance: {distance * PITCH} mm",
        fact,
    )


def belt(distance: float, front_radius: float, rear_radius: float) -> float:
    front = Point(0, 0).buffer(front_radius, quad_segs=4096)
    rear = Point(distance, 0).buffer(rear_radius, quad_segs=4096)
    return float(front.union(rear).convex_hull.length)


def pitch_radius(teeth: int) -> float:
    return 1 / (2 * sin(pi / teeth))


def polygon(teeth: int, at: float, turned: float) -> list[tuple[float, float]]:
    radius = pitch_radius(teeth)
    angles = [2 * pi * (tooth + turned) / teeth for tooth in range(teeth)]
    return [(at + radius * cos(angle), radius * sin(angle)) for angle in angles]


def drives(*more: tuple[int, int, int]) -> list[object]:
    return [
        check(SHAPELY, *drive, name=f"{drive[1]} and {drive[2]} at {drive[0]} pitches")
        for drive in (*DRIVES, *more)
    ]


@pytest.mark.parametrize(("distance", "front", "rear"), drives())
def test_the_formula_is_the_hull_of_circles_as_long_round_as_their_teeth(
    distance: int, front: int, rear: int
) -> None:
    hull = belt(distance, front / (2 * pi), rear / (2 * pi))
    assert 0 < hull - pitches_told(distance, front, rear) < 0.003


@pytest.mark.parametrize(("distance", "front", "rear"), drives((30, 11, 78)))
def test_the_hull_of_pitch_circles_is_longer_by_a_tenth_of_a_pitch_or_so(
    distance: int, front: int, rear: int
) -> None:
    hull = belt(distance, pitch_radius(front), pitch_radius(rear))
    assert 0.068 < hull - pitches_told(distance, front, rear) < 0.113


@pytest.mark.parametrize(("distance", "front", "rear"), drives())
@pytest.mark.parametrize("turned", [0.0, 0.37])
def test_the_formula_is_the_hull_of_the_two_polygons_that_the_chain_forms(
    distance: int, front: int, rear: int, turned: float
) -> None:
    pins = polygon(front, 0, turned) + polygon(rear, distance, 0.61 * turned)
    hull = float(MultiPoint(pins).convex_hull.length)
    assert hull == pytest.approx(pitches_told(distance, front, rear), abs=0.006)


@pytest.mark.parametrize(("distance", "front", "rear"), drives((30, 11, 78)))
def test_the_count_by_teeth_is_the_hull_of_polygons_even_at_a_great_ratio(
    distance: int, front: int, rear: int
) -> None:
    """The longer formula keeps to 0.006 pitch where the handbooks' formula is 0.04 short."""
    by_teeth = pitches_told(distance, front, rear, "drive.pitches_by_arcs")
    lengths = [
        float(MultiPoint(polygon(front, 0, step / 10) + polygon(rear, distance, step / 7)).convex_hull.length)
        for step in range(10)
    ]
    assert sum(lengths) / len(lengths) == pytest.approx(by_teeth, abs=0.0015)


@pytest.mark.source(SHAPELY)
def test_the_handbook_formula_is_short_at_a_great_ratio() -> None:
    """11 and 78 teeth at 30 pitches: 0.04 pitch, which can decide between two even counts."""
    hull = belt(30, 11 / (2 * pi), 78 / (2 * pi))
    assert hull - pitches_told(30, 11, 78) == pytest.approx(0.04, abs=0.002)


@pytest.mark.parametrize(
    ("distance", "front", "rear"),
    [
        check("Shapely; 15 and 45 teeth at 37 pitches: 104.616 by the formula", 37, 15, 45, name="15 and 45"),
    ],
)
def test_the_measured_case_of_the_documentation(distance: int, front: int, rear: int) -> None:
    assert pitches_told(distance, front, rear) == pytest.approx(104.6161, abs=5e-5)
    assert pitches_told(distance, front, rear, "drive.pitches_by_arcs") == pytest.approx(104.6170, abs=5e-5)
    assert belt(distance, pitch_radius(front), pitch_radius(rear)) == pytest.approx(104.687, abs=5e-4)


@pytest.mark.parametrize(("distance", "front", "rear"), drives())
def test_the_wrap_is_the_arc_of_the_front_circle_on_the_hull(distance: int, front: int, rear: int) -> None:
    small, large = pitch_radius(front), pitch_radius(rear)
    front_circle = Point(0, 0).buffer(small, quad_segs=4096)
    hull = front_circle.union(Point(distance, 0).buffer(large, quad_segs=4096)).convex_hull
    corners = [(x, y) for x, y in hull.exterior.coords[:-1] if abs((x**2 + y**2) ** 0.5 - small) < 1e-9]
    step = 2 * pi / (4 * 4096)
    wrap = (len(corners) - 1) * step * 180 / pi
    told = derived(
        f"chain.size: 520, front_sprocket.teeth: {front}, rear_sprocket.teeth: {rear}, "
        f"drive.centre_distance: {distance * PITCH} mm",
        "drive.wrap_front",
        "deg",
    )
    assert told == pytest.approx(wrap, abs=0.05)
