"""Counting pitches: twenty pitches are twenty-one pins, and how their length is taken."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine import KnowledgeBase
from sideplate_site.drawing.chain import plate
from sideplate_site.drawing.figures import cells, computed, if_known, set_by
from sideplate_site.drawing.sprockets import SIZE
from sideplate_site.drawing.svg import (
    INK,
    METAL,
    PAPER,
    SMALL,
    SOFT,
    Point,
    arrow,
    circle,
    line,
    measure_across,
    path,
    sheet,
    text,
)
from sideplate_site.markup import Html

TITLE = (
    "Counting pitches for the measurement of wear. One link is one pitch, an inner link as much as an outer one. Pull "
    "the run taut, and take the length from pin centre to pin centre, or inside and outside the end rollers and the "
    "mean of the two."
)
ALT = (
    "A piece of chain from pin 1 to pin 21, which is 20 pitches. Below, an inner and an outer link, one pitch each; "
    "then the two end rollers with the inside measure between them, the outside measure over them, and the measure "
    "from centre to centre, which is the mean of both. Last, the length of 20 pitches when new and at the limit."
)

PITCHES = 20
LEFT, STEP = 15.0, 16.5


@if_known
def draw(knowledge: KnowledgeBase) -> str:
    """The picture."""
    pitch, roller, high = cells(knowledge, "sizes", SIZE, "pitch", "roller_diameter", "plate_height")
    limit = set_by(knowledge, "limit-by-rule-of-thumb", "wear.limit")
    lengths = [
        (each, _length(knowledge, each, 0), _length(knowledge, each, limit)) for each in _pitches(knowledge)
    ]
    told = " ".join(
        f"{PITCHES} pitches of {each:g} mm: {new:.1f} mm new, {worn:.1f} mm at {limit:g} %."
        for each, new, worn in lengths
    )
    marks = (
        *_run(high / pitch),
        *_one_link(roller / pitch, high / pitch),
        *_ends(),
        *_table(lengths, limit),
    )
    return sheet(384 + 18 * len(lengths), "Counting pitches", told, *marks)


def _length(knowledge: KnowledgeBase, pitch: float, elongation: float) -> float:
    return computed(knowledge, "length-at-wear-limit", n=PITCHES, p=pitch, k=elongation)


def _pitches(knowledge: KnowledgeBase) -> list[float]:
    """The pitches of motorcycle chain that the table of sizes has a nominal inside width for."""
    rows = knowledge.tables["sizes"].rows.values()
    return sorted(
        {
            float(row.cells["pitch"])
            for row in rows
            if row.cells.get("duty") == "motorcycle" and {"pitch", "inner_width"} <= set(row.cells)
        }
    )


def _run(high: float) -> Iterator[Html]:
    """Twenty pitches, inner and outer links in turn."""
    y = 62.0
    pins = [(LEFT + STEP * number, y) for number in range(PITCHES + 1)]
    yield from _links(pins, STEP * high / 2 * 0.9, STEP * high / 2 * 0.9)
    for number, pin in enumerate(pins, 1):
        yield circle(pin, 2.4, fill=PAPER, data_pin=str(number))
        if number % 5 == 1:
            yield line((pin[0], y + 10), (pin[0], y + 20), stroke_width=0.8)
            yield text((pin[0], y + 33), str(number), anchor="middle", size=SMALL)
    yield text((LEFT, 14), f"{PITCHES} pitches = {PITCHES + 1} pins", bold=True)
    yield _extended(pins[0][0], pins[-1][0], 32, y - 4, f"{PITCHES} pitches")


def _links(pins: list[Point], inner: float, outer: float) -> Iterator[Html]:
    for first, fill, half in ((0, SOFT, inner), (1, METAL, outer)):
        for number in range(first, len(pins) - 1, 2):
            yield path(plate(pins[number], pins[number + 1], half), fill=fill)


def _extended(x1: float, x2: float, y: float, to: float, words: str) -> Html:
    ends = [line((x, y - 4), (x, to), stroke_width=0.8) for x in (x1, x2)]
    return Html("".join((*ends, measure_across(x1, x2, y, words))))


def _one_link(roller: float, high: float) -> Iterator[Html]:
    y, step = 164.0, 74.0
    pins = [(100 + step * number, y) for number in range(3)]
    yield line((0, 106), (360, 106), stroke_width=0.6)
    yield from _links(pins, step * high / 2 * 0.72, step * high / 2 * 0.66)
    for pin in pins:
        yield circle(pin, step * roller / 2 * 0.45, fill=PAPER)
        yield circle(pin, 1.6, fill=INK)
    for number, words in enumerate(("one pitch", "one pitch")):
        yield _extended(pins[number][0], pins[number + 1][0], 128, y, words)
    yield text((pins[0][0] + step / 2, y + 40), "inner link", anchor="middle", size=SMALL)
    yield text((pins[1][0] + step / 2, y + 40), "outer link", anchor="middle", size=SMALL)


def _ends() -> Iterator[Html]:
    """The two end rollers and the three measures that belong together."""
    y, radius, ends = 246.0, 18.0, (60.0, 300.0)
    yield line((0, 216), (360, 216), stroke_width=0.6)
    yield line((ends[0], y), (ends[1], y), stroke_dasharray="7 3 1.5 3", stroke_width=0.8)
    for x in ends:
        yield circle((x, y), radius, fill=METAL)
        yield circle((x, y), 1.8, fill=INK)
    for inset, low, words in (
        (radius, y + 34, "inside the end rollers"),
        (0.0, y + 62, "centre to centre: mean of both"),
        (-radius, y + 90, "outside the end rollers"),
    ):
        for x, way in ((ends[0], 1), (ends[1], -1)):
            yield line((x + way * inset, y), (x + way * inset, low + 4), stroke_width=0.6)
        yield arrow((ends[0] + inset, low), (ends[1] - inset, low), both=True)
        yield text((180, low - 5), words, anchor="middle", size=SMALL, halo=True)


def _table(lengths: list[tuple[float, float, float]], limit: float) -> Iterator[Html]:
    top = 372.0
    yield line((0, top - 20), (360, top - 20), stroke_width=0.6)
    yield text((4, top), "pitch, mm", size=SMALL)
    yield text((236, top), f"{PITCHES} pitches, new", anchor="end", size=SMALL)
    yield text((354, top), f"at {limit:g} %", anchor="end", size=SMALL)
    for number, (pitch, new, worn) in enumerate(lengths, 1):
        y = top + 3 + 18 * number
        yield text((4, y), f"{pitch:g}")
        yield text((236, y), f"{new:.1f} mm", anchor="end")
        yield text((354, y), f"{worn:.1f} mm", anchor="end", bold=True)
