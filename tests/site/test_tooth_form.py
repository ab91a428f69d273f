"""The plain construction of teeth, held to the geometry it claims, with Shapely as the outside witness."""

from __future__ import annotations

from itertools import chain
from math import cos, hypot, pi, sin

import pytest
from shapely import Point, Polygon  # type: ignore[import-untyped]  # Shapely ships no types

from sideplate_engine import KnowledgeBase
from sideplate_site.drawing.sprockets import tooth_form
from sideplate_site.drawing.tooth_form import ToothForm
from sideplate_site.drawing.tooth_profiles import hooked_tooth, new_tooth, thin_tooth

SPROCKETS = [("520", 41), ("520", 13), ("428", 14), ("630", 17)]


@pytest.fixture(params=SPROCKETS, ids=[f"{size} with {teeth} teeth" for size, teeth in SPROCKETS])
def form(request: pytest.FixtureRequest, knowledge: KnowledgeBase) -> ToothForm:
    size, teeth = request.param
    return tooth_form(knowledge, teeth, size)


def tooth(form: ToothForm, points: list[tuple[float, float]]) -> Polygon:
    """The tooth down to well below its gaps."""
    return Polygon([*points, (points[-1][0], -form.roller), (points[0][0], -form.roller)])


def test_the_figures_of_a_sprocket_are_those_of_the_table_and_the_formulas(knowledge: KnowledgeBase) -> None:
    form = tooth_form(knowledge, 41)
    # 520: pitch 15.875 mm, roller 10.16 mm (table sizes, trade tables); D = p / sin(180/N) (Mott, p. 295);
    # hob-cut outside diameter p (0.6 + cot(180/N)) (a sprocket maker's page).
    assert (form.pitch, form.roller) == (15.875, 10.16)
    assert form.pitch_diameter == pytest.approx(15.875 / sin(pi / 41))
    assert form.outside_diameter == pytest.approx(15.875 * (0.6 + cos(pi / 41) / sin(pi / 41)))


def test_rollers_sit_on_the_pitch_circle_one_pitch_apart(form: ToothForm) -> None:
    first, second = form.gap(0), form.gap(1)
    assert hypot(*first) == pytest.approx(form.pitch_diameter / 2)
    assert hypot(first[0] - second[0], first[1] - second[1]) == pytest.approx(form.pitch)


def test_a_tooth_reaches_the_outside_diameter_and_no_further(form: ToothForm) -> None:
    high = max(y for _, y in new_tooth(form))
    assert form.chord_height + high == pytest.approx(form.outside_diameter / 2)


def test_a_tooth_is_even_and_ends_at_the_bottoms_of_its_gaps(form: ToothForm) -> None:
    points = new_tooth(form)
    mirrored = [(-x, y) for x, y in reversed(points)]
    assert [*chain(*points)] == pytest.approx([*chain(*mirrored)])
    bottom = hypot(points[-1][0], form.chord_height + points[-1][1])
    assert bottom == pytest.approx(form.pitch_diameter / 2 - form.roller / 2)


def test_a_roller_that_swings_about_its_neighbour_slides_along_the_flank_and_never_cuts_it(
    form: ToothForm,
) -> None:
    shape = tooth(form, new_tooth(form))
    neighbour = (form.pitch / 2, 0.0)
    for step in range(12):
        angle = pi - step * 0.05
        middle = neighbour[0] + form.pitch * cos(angle), form.pitch * sin(angle)
        roller = Point(middle).buffer(form.roller / 2, quad_segs=64)
        # The flank is drawn as short straight lines, which stand in a little.
        assert shape.intersection(roller).area < 0.005 * roller.area


def test_wear_only_takes_away(form: ToothForm) -> None:
    new = tooth(form, new_tooth(form)).buffer(0.01 * form.pitch)
    for worn in (
        hooked_tooth(form, 0.2 * form.roller, 0.1 * form.roller),
        thin_tooth(form, 0.1 * form.roller),
        thin_tooth(form, 0.19 * form.roller),
    ):
        left = tooth(form, worn)
        assert left.is_valid
        assert left.area < tooth(form, new_tooth(form)).area
        # Below the rollers a thin tooth's seats are moved, not filled: only what stands above them is compared.
        high = left.intersection(Polygon([(-99, 0), (99, 0), (99, 99), (-99, 99)]))
        assert new.contains(high)


def test_the_roller_fits_the_hollow_of_a_hooked_tooth_and_the_tip_stands_over_it(form: ToothForm) -> None:
    hollow, climb = 0.2 * form.roller, 0.1 * form.roller
    points = hooked_tooth(form, hollow, climb)
    roller = Point(form.pitch / 2 - hollow, climb).buffer(form.roller / 2, quad_segs=64)
    assert tooth(form, points).intersection(roller).area < 0.005 * roller.area
    right = [point for point in points if point[0] > 0 and point[1] > 0]
    tip = max(right, key=lambda point: point[1])
    waist = min((x, y) for x, y in right if y < tip[1])
    assert waist[0] < tip[0]
    assert min(x for x, _ in points) == pytest.approx(-max(x for x, _ in new_tooth(form)))


def test_a_thin_tooth_worn_past_its_tip_ends_in_a_point(form: ToothForm) -> None:
    lost = form.half_width(form.tip_height) * 1.2
    points = thin_tooth(form, lost)
    high = max(y for _, y in points)
    assert high < form.tip_height
    assert [x for x, y in points if y == high] == pytest.approx([0, 0], abs=1e-9)


def test_the_outline_goes_once_round_and_closes(form: ToothForm) -> None:
    outline = form.outline((0, 0))
    assert outline.endswith("Z")
    assert outline.count("L") == form.teeth
    assert outline.count("A") == 3 * form.teeth
    part = form.outline((0, 0), 0, -2, 2)
    assert part.count("L") == 4
    assert not part.endswith("Z")
