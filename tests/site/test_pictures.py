"""The pictures: legible everywhere, to scale where they say so, and their curves and figures the engine's own."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from math import cos, pi, radians
from pathlib import Path
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

import pytest
from playwright.sync_api import Browser

from sideplate_engine import KnowledgeBase, built_in_folder, geometry, read_sheet_file
from sideplate_site import picture_places, pictures
from sideplate_site.drawing.svg import WIDTH
from sideplate_site.pictures import chain_sizes, clip_direction, nip_points, rivet_flare

PHONE = 332
"""Pixels a picture is wide on a phone of 360: what the page's margins leave."""
LEAST_PIXELS = 11.0
MOST_BYTES = 60_000
CSS = Path(picture_places.__file__).parent / "theme" / "assets" / "sideplate.css"
NAMES = pictures.names()
PLACES: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "topics": picture_places.ON_TOPICS,
    "tables": picture_places.ON_TABLES,
    "facts": picture_places.ON_FACTS,
    "rules": picture_places.ON_RULES,
    "procedures": picture_places.ON_PROCEDURES,
    "formulas": picture_places.ON_FORMULAS,
}


@dataclass(frozen=True)
class Plot:
    """The axes of a plot as it tells them: the field on the sheet, and the values at its edges."""

    left: float
    top: float
    width: float
    height: float
    first: float
    last: float
    low: float
    high: float

    def values(self, x: float, y: float) -> tuple[float, float]:
        """What a point on the sheet stands for."""
        across = self.first + (x - self.left) / self.width * (self.last - self.first)
        return across, self.low + (self.top + self.height - y) / self.height * (self.high - self.low)


@pytest.fixture(scope="module")
def drawn(knowledge: KnowledgeBase) -> dict[str, Element]:
    """Every picture, parsed."""
    return {name: ElementTree.fromstring(pictures.draw(name, knowledge).svg) for name in NAMES}


def plot_of(svg: Element) -> Plot:
    return Plot(*map(float, svg.attrib["data-axes"].split()))


def curve(svg: Element, name: str) -> list[tuple[float, float]]:
    """The pairs of values along a curve."""
    found = next(each for each in svg.iter("path") if each.get("data-curve") == name)
    points = (point.split(",") for point in found.attrib["d"].removeprefix("M").split())
    return [plot_of(svg).values(float(x), float(y)) for x, y in points]


def told(svg: Element) -> str:
    """All words in a picture."""
    return " ".join("".join(each.itertext()) for each in svg.iter("text"))


def numbers(element: Element, *names: str) -> tuple[float, ...]:
    return tuple(float(element.attrib[name]) for name in names)


# ---- every picture ----


@pytest.mark.parametrize("name", NAMES)
def test_a_picture_carries_a_title_and_a_text_that_tells_its_figures(
    name: str, drawn: dict[str, Element]
) -> None:
    first, second = list(drawn[name])[:2]
    assert (first.tag, second.tag) == ("title", "desc")
    assert first.text
    assert len(first.text) < 50
    assert second.text
    assert second.text.endswith(".")


def test_the_short_title_is_a_pictures_heading(knowledge: KnowledgeBase) -> None:
    picture = pictures.draw("slack-through-stroke", knowledge)
    assert picture.heading == "Slack through the swingarm's stroke"
    assert pictures.Picture("no-title", "caption", "alt", "<svg></svg>").heading == "No title"


@pytest.mark.parametrize("name", NAMES)
def test_a_picture_is_small(name: str, knowledge: KnowledgeBase) -> None:
    assert len(pictures.draw(name, knowledge).svg.encode()) < MOST_BYTES


@pytest.mark.parametrize("name", NAMES)
def test_colours_are_the_readers_or_the_sites_so_that_nothing_vanishes_in_the_dark(
    name: str, drawn: dict[str, Element]
) -> None:
    styles = CSS.read_text(encoding="utf-8")
    for each in drawn[name].iter():
        assert "style" not in each.attrib
        for part in ("fill", "stroke", "color"):
            colour = each.get(part, "none")
            variable = re.fullmatch(r"var\((--[a-z-]+), [^()]+\)", colour)
            if variable is None:
                assert colour in ("none", "currentColor") or colour.startswith("url(#"), colour
            else:
                name_ = variable[1]
                light, dark = styles.split('[data-md-color-scheme="slate"] {', 1)
                assert name_.startswith("--md-default-") or (f"{name_}:" in light and f"{name_}:" in dark)


@pytest.mark.parametrize("name", NAMES)
def test_no_word_is_smaller_on_a_phone_than_can_be_read(name: str, drawn: dict[str, Element]) -> None:
    svg = drawn[name]
    wide = float(svg.attrib["viewBox"].split()[2])
    assert wide == WIDTH
    size = float(svg.attrib["font-size"])
    for each in svg.iter("text"):
        assert float(each.get("font-size", size)) * PHONE / wide >= LEAST_PIXELS
    assert svg.attrib["font-family"] == "inherit"


def test_every_pattern_has_a_name_of_its_own_and_is_there_where_it_is_used(
    drawn: dict[str, Element],
) -> None:
    seen: Counter[str] = Counter()
    for svg in drawn.values():
        here = {each.attrib["id"] for each in svg.iter() if "id" in each.attrib}
        used = set(re.findall(r"url\(#([^)]+)\)", ElementTree.tostring(svg, encoding="unicode")))
        assert used == here
        seen.update(here)
    assert {name: count for name, count in seen.items() if count > 1} == {}
    assert seen.keys().isdisjoint(NAMES)


LACKING: Mapping[str, Callable[[KnowledgeBase], KnowledgeBase]] = {
    "tables": lambda knowledge: replace(knowledge, tables={}),
    "rules": lambda knowledge: replace(knowledge, rules={}),
    "formulas": lambda knowledge: replace(knowledge, formulas={}),
    "facts": lambda knowledge: replace(knowledge, facts={}),
}


@pytest.mark.parametrize("lacking", LACKING)
@pytest.mark.parametrize("name", NAMES)
def test_a_knowledge_base_without_the_figures_gets_no_picture_and_no_error(
    name: str, lacking: str, knowledge: KnowledgeBase
) -> None:
    whole = pictures.draw(name, knowledge).svg
    assert pictures.draw(name, LACKING[lacking](knowledge)).svg in ("", whole)
    empty = replace(knowledge, tables={}, rules={}, formulas={}, facts={})
    assert pictures.draw(name, empty).svg == ""


def test_every_picture_is_placed_on_a_topic_and_only_pictures_that_exist_are_placed(
    knowledge: KnowledgeBase,
) -> None:
    placed = {name for names in picture_places.ON_TOPICS.values() for name in names}
    assert placed == set(NAMES)
    for kind, places in PLACES.items():
        assert [key for key in places if key not in getattr(knowledge, kind)] == []
        assert {name for names in places.values() for name in names} <= set(NAMES)


@pytest.mark.slow
@pytest.mark.parametrize("font", ["sans-serif", "DejaVu Sans, sans-serif"])
@pytest.mark.parametrize("name", NAMES)
def test_all_words_lie_on_the_sheet_and_none_on_another(
    name: str, font: str, knowledge: KnowledgeBase, browser: Browser
) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 800})
    svg = pictures.draw(name, knowledge).svg
    page.set_content(
        f"<style>body {{ margin: 0 14px; font-family: {font} }} svg {{ width: 332px }}</style>{svg}"
    )
    boxes = page.evaluate(
        "[...document.querySelectorAll('text')].map(t => {const b = t.getBBox();"
        " return [t.textContent, b.x, b.y, b.width, b.height]})"
    )
    page.close()
    high = float(svg.split('viewBox="0 0 360 ')[1].split('"')[0])
    for words, x, y, wide, tall in boxes:
        assert x >= 0, words
        assert x + wide <= WIDTH, words
        assert y >= -1, words
        assert y + tall <= high + 1, words
    for number, (words, x, y, wide, tall) in enumerate(boxes):
        for other, x2, y2, wide2, tall2 in boxes[number + 1 :]:
            across = min(x + wide, x2 + wide2) - max(x, x2)
            # A line's box is taller than its letters: as much as the room above them may be shared.
            down = min(y + tall, y2 + tall2) - max(y, y2)
            assert across <= 0 or down <= 4, f"{words} / {other}"


# ---- to scale ----


def sizes_drawn(svg: Element) -> Iterator[tuple[str, Element]]:
    for each in svg.iter("g"):
        if "data-size" in each.attrib:
            yield each.attrib["data-size"], each


def test_sizes_are_drawn_to_scale(drawn: dict[str, Element], knowledge: KnowledgeBase) -> None:
    svg = drawn["chain-sizes"]
    scale = float(svg.attrib["data-scale"])
    table = knowledge.tables["sizes"]
    found = dict(sizes_drawn(svg))
    assert {"415", "420", "428", "520", "525", "530", "532", "630", "632"} <= set(found)
    for size, group in found.items():
        row = table.rows[size]
        pitch, roller, inner = (float(row.cells[name]) for name in chain_sizes.NEEDS)
        rollers = [numbers(each, "cx", "r") for each in group.iter("circle")]
        assert [2 * radius / scale for _, radius in rollers] == pytest.approx([roller, roller], abs=0.01)
        assert (rollers[1][0] - rollers[0][0]) / scale == pytest.approx(pitch, abs=0.01)
        first, second, upper, lower = (
            numbers(each, "x", "y", "width", "height") for each in group.iter("rect")
        )
        assert first[2] / scale == pytest.approx(roller, abs=0.01)
        assert (second[0] - first[0]) / scale == pytest.approx(pitch, abs=0.01)
        assert (lower[1] - upper[1] - upper[3]) / scale == pytest.approx(inner, abs=0.01)


def test_the_sizes_picture_tells_the_tables_figures(drawn: dict[str, Element]) -> None:
    # Trade tables: 520 has a roller of 10.16 mm and an inside width of 6.35 mm, 428 a roller of 8.51 mm.
    words = told(drawn["chain-sizes"])
    assert "520 10.16 6.35" in words
    assert "428 8.51 7.95" in words


def test_the_scale_beside_the_sizes_is_as_long_as_it_says(drawn: dict[str, Element]) -> None:
    svg = drawn["chain-sizes"]
    ticks = [each.attrib["d"] for each in list(svg)[-2 * chain_sizes.RULER // 10 - 2 :] if each.tag == "path"]
    first, last = (float(re.findall(r"M([\d.]+)", d)[0]) for d in (ticks[0], ticks[-1]))
    assert (last - first) / float(svg.attrib["data-scale"]) == pytest.approx(chain_sizes.RULER, abs=0.01)


def test_a_flare_is_drawn_within_the_published_figures(drawn: dict[str, Element]) -> None:
    svg = drawn["rivet-flare"]
    scale = float(svg.attrib["data-scale"])
    wide = {}
    for each in svg.iter("path"):
        if "data-part" in each.attrib:
            across = [float(x) for x in re.findall(r"[ML]([\d.]+),", each.attrib["d"])]
            wide[each.attrib["data-part"]] = (max(across) - min(across)) / scale
    # Service manual of a 450-class off-road machine: 5.5 to 5.8 mm for its 520 rivet link.
    assert wide["after"] == pytest.approx((5.5 + 5.8) / 2, abs=0.01)
    # Pin diameter of 520, recalled: 5.09 mm (table sizes).
    assert wide["before"] == pytest.approx(5.09, abs=0.01)
    words = told(svg)
    assert "pin 5.09 mm, recalled" in words
    assert "520: 5.5 to 5.8 mm" in words
    assert "525: 5.45 to 5.85 mm" in words
    assert set(rivet_flare.RULES) == {"520", "525"}


# ---- the plots ----


def test_slack_through_the_stroke_is_the_geometry_modules_own(
    drawn: dict[str, Element], knowledge: KnowledgeBase
) -> None:
    svg = drawn["slack-through-stroke"]
    job = built_in_folder() / "workshop" / "jobs" / "swingarm-geometry.yaml"
    facts = read_sheet_file(job, knowledge.facts).facts
    short, long, off = (
        float(facts[f"swingarm.{name}"])  # type: ignore[arg-type]  # the sheet states them as numbers
        for name in ("pivot_to_countershaft", "pivot_to_axle", "pivot_off_line")
    )
    stands = (short**2 - off**2) ** 0.5 + (long**2 - off**2) ** 0.5
    start = geometry.angle_from_distance(short, long, stands)
    for name in ("kept", "tight"):
        path = next(each for each in svg.iter("path") if each.get("data-curve") == name)
        set_to = float(path.attrib["data-set"])
        points = curve(svg, name)
        expected = geometry.slack_through_stroke(
            set_to, start, [start + travel / long for travel, _ in points], short, long
        )
        assert points[0][1] == pytest.approx(set_to, abs=0.02)
        for (_, slack), wanted in zip(points, expected, strict=True):
            # A point is known to a hundredth of a unit, and the curve is steep where the slack goes to nothing.
            assert slack == pytest.approx(wanted, abs=0.02 if wanted > 5 or slack < 0.01 else 0.3)
    assert float(path.attrib["data-set"]) == facts["slack.measured"]


def test_the_chain_is_tightest_in_line_and_keeps_there_what_was_asked(drawn: dict[str, Element]) -> None:
    svg = drawn["slack-through-stroke"]
    travel, slack = min(curve(svg, "kept"), key=lambda point: point[1])
    # Arms of 80 and 600 mm, the pivot 12 mm off the line: asin(12/80) + asin(12/600) off it, which is 9.77 degrees.
    assert travel == pytest.approx(600 * radians(9.7729), abs=0.1)
    assert slack == pytest.approx(10, abs=0.02)
    assert min(slack for _, slack in curve(svg, "tight")) == pytest.approx(0, abs=0.01)
    assert "in line: 680.00 mm apart" in told(svg)


def test_elongation_goes_through_both_checks_and_on_to_the_limit(drawn: dict[str, Element]) -> None:
    svg = drawn["elongation-by-distance"]
    # Half a percent in 5000 km: from 1 % at 15 000 km it is 10 000 km more to 2 %. A whole percent in 6500 km:
    # from 1.5 % at 16 500 km it is 3250 km more.
    for name, now, end in (("steady", (15, 1.0), 25.0), ("faster", (16.5, 1.5), 19.75)):
        checked, ahead = curve(svg, f"{name}-checked"), curve(svg, f"{name}-ahead")
        assert checked[0] == pytest.approx((10, 0.5), abs=0.01)
        assert checked[-1] == pytest.approx(now, abs=0.01)
        assert ahead[0] == pytest.approx(now, abs=0.01)
        assert ahead[-1] == pytest.approx((end, 2.0), abs=0.01)
    assert "10000 km left" in told(svg)


def test_the_limits_of_wear_are_drawn_at_their_height(drawn: dict[str, Element]) -> None:
    svg = drawn["elongation-by-distance"]
    levels = {}
    for each in svg.iter("path"):
        if "data-limit" in each.attrib:
            y = float(each.attrib["d"].split(",")[1].split()[0])
            levels[float(each.attrib["data-limit"])] = plot_of(svg).values(0, y)[1]
    # Manuals of three motorcycles: 2 %. Kart chain, by hearsay: 1 %. Industrial drives: 3 %.
    assert set(levels) == {1.0, 2.0, 3.0}
    assert list(levels.values()) == pytest.approx(list(levels), abs=0.01)


def test_the_swing_of_the_chains_speed_is_that_of_the_polygon(drawn: dict[str, Element]) -> None:
    svg = drawn["polygon-effect"]
    dots = [each for each in svg.iter("circle") if "data-teeth" in each.attrib]
    assert len(dots) > 8
    for dot in dots:
        teeth, swing = plot_of(svg).values(*numbers(dot, "cx", "cy"))
        assert teeth == pytest.approx(float(dot.attrib["data-teeth"]), abs=0.01)
        # 100 (1 - cos(180/N)) %, lecture notes on chain drives.
        assert swing == pytest.approx(100 * (1 - cos(pi / teeth)), abs=0.02)
    # 12 teeth of 15.875 mm: radius 30.67 mm, of which the chain rises and falls 3.41 %.
    rise = float(re.findall(r"12 teeth ([\d.]+) mm", told(svg))[0])
    assert rise == pytest.approx(30.668 * (1 - cos(pi / 12)), abs=0.005)


# ---- mechanics ----


def test_a_clip_that_is_right_has_its_closed_end_leading_and_the_upper_run_goes_to_the_front(
    drawn: dict[str, Element],
) -> None:
    rows = [each for each in drawn["clip-direction"].iter("g") if "data-run" in each.attrib]
    seen = set()
    for row in rows:
        # The front is on the left. Going forward, the upper run travels to the front, the lower one to the rear.
        travel = {"upper run": "left", "lower run": "right"}[row.attrib["data-run"]]
        assert row.attrib["data-travel"] == travel
        leads = row.attrib["data-closed"] == travel
        assert ("WRONG" in told(row)) is not leads
        seen.add((row.attrib["data-run"], leads))
        clip = next(each.attrib["d"] for each in row.iter("path") if each.get("stroke-linecap") == "round")
        bend = float(clip.split("A", 1)[0].rsplit("M", 1)[1].split(",")[0])
        opened = float(clip.rsplit(" ", 1)[1].split(",")[0])
        assert (bend < opened) == (row.attrib["data-closed"] == "left")
    assert seen == {("upper run", True), ("lower run", True), ("lower run", False)}
    assert clip_direction.FACTS == ("connector.clip_run", "connector.clip_points")


def test_nip_points_lie_where_the_chain_runs_on(drawn: dict[str, Element]) -> None:
    svg = drawn["nip-points"]
    shafts = [numbers(each, "cx", "cy") for each in svg.iter("circle") if each.get("r") == "2.5"]
    found = {}
    for each in svg.iter("g"):
        if "data-nip" in each.attrib:
            x, y = numbers(next(each.iter("circle")), "cx", "cy")
            nearest = min(shafts, key=lambda shaft: abs(shaft[0] - x) + abs(shaft[1] - y))
            place = "top" if y < nearest[1] else "bottom"
            found[each.attrib["data-turned"], each.attrib["data-nip"]] = place
    # Forward, the upper run moves to the front sprocket and runs onto its top; the lower run onto the rear's bottom.
    assert found == {
        ("forward", "front"): "top",
        ("forward", "rear"): "bottom",
        ("backward", "front"): "bottom",
        ("backward", "rear"): "top",
    }
    assert nip_points.FRONT_TEETH < nip_points.REAR_TEETH


def test_twenty_pitches_are_counted_over_twenty_one_pins(drawn: dict[str, Element]) -> None:
    svg = drawn["counting-pitches"]
    pins = [float(each.attrib["cx"]) for each in svg.iter("circle") if "data-pin" in each.attrib]
    assert len(pins) == 21
    steps = [second - first for first, second in pairwise(pins)]
    assert steps == pytest.approx([steps[0]] * 20, abs=0.011)
    words = told(svg)
    assert "20 pitches = 21 pins" in words
    # Service manual of a 650-class road machine: 20 pitches of a 525 chain are worn out at 323.8 mm.
    worn = float(re.findall(r"15\.875 317\.5 mm ([\d.]+) mm", words)[0])
    assert worn == pytest.approx(323.8, abs=0.11)


def test_the_cut_takes_an_outer_link_and_leaves_the_count_of_the_loop(drawn: dict[str, Element]) -> None:
    words = told(drawn["cut-lengths"])
    cut = int(re.findall(r"outer link (\d+)", words)[0])
    off, left = (int(each) for each in re.findall(r"(\d+) pitches come off: (\d+) and", words)[0])
    assert cut % 2 == 0
    assert left == cut - 1
    assert off + left + 1 == 120
    assert "As sold: 120 pitches" in words


def test_a_line_round_the_circles_is_longer_than_the_chain(drawn: dict[str, Element]) -> None:
    words = told(drawn["chain-wrap"])
    counted, around = (float(each) for each in re.findall(r"([\d.]+) pitches", words))
    # 15 and 45 teeth, 600 mm, 520: 106.19 pitches counted tooth by tooth (rule pitches-counted-by-teeth). The
    # circles are longer than their polygons by 1.75 and 0.58 mm, of which the chain touches less and more than half.
    assert counted == 106.19
    assert around == pytest.approx(counted + (1.75 * 0.45 + 0.58 * 0.55) / 15.875, abs=0.011)


def test_a_lifted_roller_shows_less_and_more_than_half_a_tooth(
    drawn: dict[str, Element], knowledge: KnowledgeBase
) -> None:
    svg = drawn["pull-off"]
    scale = float(svg.attrib["data-scale"])
    roller = float(knowledge.tables["sizes"].rows["520"].cells["roller_diameter"])
    circles = [numbers(each, "cx", "cy", "r") for each in svg.iter("circle")]
    rollers = [each for each in circles if each[2] == pytest.approx(roller * scale / 2, abs=0.01)]
    halves = [each.attrib["d"] for each in svg.iter("path") if each.get("stroke-dasharray") == "5 3"]
    assert len(rollers) == 10
    shown = []
    for number, half in enumerate(halves):
        x, y, radius = max(rollers[5 * number : 5 * number + 5])
        first = [float(value) for value in re.findall(r"M([\d.]+),([\d.]+)A([\d.]+)", half)[0]]
        # The arc of half the teeth's height stands at its rearmost a little behind its ends.
        rearmost = first[0] + first[2] * (1 - cos(0.3))
        shown.append(x - radius > rearmost)
        assert y == 126
    assert shown == [False, True]


def test_ring_sections_touch_a_plate_as_often_as_the_vocabulary_says(
    drawn: dict[str, Element], knowledge: KnowledgeBase
) -> None:
    choices = knowledge.facts["chain.ring_section"].choices or {}
    for each in drawn["ring-sections"].iter("g"):
        name = each.get("data-section")
        if name is not None:
            touches = sum(1 for mark in each.iter("circle") if mark.get("r") == "4")
            lines = 2 if "two lines" in choices[name] else 1
            assert touches == 2 * lines
            assert ("one line" if lines == 1 else "two lines") in told(each)


def test_a_hooked_tooth_is_hollow_on_the_side_of_the_roller_that_pulls_on_it(
    drawn: dict[str, Element],
) -> None:
    svg = drawn["tooth-wear"]
    new = next(each for each in svg.iter("circle") if each.get("data-roller") == "new")
    hooked = next(each for each in svg.iter("circle") if each.get("data-roller") == "hooked")
    # The rear sprocket's top, the front on the left: the chain pulls to the left, and the roller lies deeper there.
    assert float(hooked.attrib["cx"]) < float(new.attrib["cx"])
    assert [each.get("data-teeth") for each in svg.iter("path") if "data-teeth" in each.attrib] == [
        "new",
        "hooked",
        "worn thin",
    ]
