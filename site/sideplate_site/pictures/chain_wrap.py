"""The chain on a sprocket against its pitch circle: why a line round the circles is longer than the chain."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, pi, sin

from sideplate_engine import KnowledgeBase, geometry
from sideplate_site.drawing.figures import cells, computed, example, if_known, numbers
from sideplate_site.drawing.svg import (
    METAL,
    PAPER,
    SMALL,
    circle,
    line,
    num,
    path,
    pointing,
    sheet,
    text,
    xy,
)
from sideplate_site.markup import Html

TITLE = (
    "On a sprocket the chain lies straight from pin to pin, inside its pitch circle. Teeth times pitch is the way "
    "along the chain; the way round the circle is longer, and a line drawn round both circles gives a loop that is "
    "too long. Ten teeth are drawn, so that the difference can be seen."
)
ALT = (
    "Part of a sprocket: a dashed pitch circle, and the chain as straight sides from pin to pin inside it. Below, for "
    "a front and a rear sprocket, teeth times pitch, the way round the pitch circle, and the difference; and the "
    "length of the whole loop counted both ways."
)

CORNERS, RADIUS = 10, 190.0
DRIVE = ("front_sprocket.teeth", "rear_sprocket.teeth", "drive.centre_distance")
COLUMNS = (74.0, 168.0, 262.0, 356.0)


@if_known
def draw(knowledge: KnowledgeBase) -> str:
    """The picture: the drive of a rule's example, its lengths by formula and by geometry."""
    given = example(knowledge, "pitches-counted-by-teeth", "chain.size", *DRIVE)
    front, rear, centres = numbers(given, *DRIVE)
    size = str(given["chain.size"])
    (pitch,) = cells(knowledge, "sizes", size, "pitch")
    diameters = {teeth: computed(knowledge, "pitch-diameter", p=pitch, N=teeth) for teeth in (front, rear)}
    counted = computed(knowledge, "chain-length-by-arcs", C=centres, p=pitch, N1=front, N2=rear)
    radii = [diameter / 2 for diameter in diameters.values()]
    round_circles = (
        geometry.taut_length(centres, radii[-1] - radii[0]) + pi * (radii[0] + radii[-1])
    ) / pitch
    rows = [(int(teeth), teeth * pitch, pi * diameter) for teeth, diameter in diameters.items()]
    told = " ".join(
        f"{teeth} teeth of {pitch:g} mm: {along:.2f} mm along the chain, {around:.2f} mm round the pitch circle."
        for teeth, along, around in rows
    )
    marks = (
        *_polygon(),
        *_table(rows),
        line((0, 272), (360, 272), stroke_width=0.6),
        text((4, 292), f"Loop of a {size}, centres {centres:g} mm apart:", bold=True),
        text((4, 311), "counted by teeth and straight runs"),
        text((356, 311), f"{counted:.2f} pitches", anchor="end", bold=True),
        text((4, 330), "line round the circles"),
        text((356, 330), f"{round_circles:.2f} pitches", anchor="end"),
    )
    return sheet(
        340,
        "Chain and pitch circle",
        f"{told} The loop: {counted:.2f} and {round_circles:.2f} pitches.",
        *marks,
    )


def _polygon() -> Iterator[Html]:
    """The top of a sprocket with its pitch circle and the chain on it."""
    centre, step = (180.0, 24.0 + RADIUS), 2 * pi / CORNERS

    def at(angle: float) -> tuple[float, float]:
        return centre[0] + RADIUS * cos(angle), centre[1] - RADIUS * sin(angle)

    pins = [at(pi / 2 + (number - 1.5) * step) for number in range(4)]
    start, end = at(pi / 2 - 1.62 * step), at(pi / 2 + 1.62 * step)
    low = 158.0
    yield path(
        "M" + " ".join(xy(point) for point in ((pins[0][0] - 30, low), *pins, (pins[3][0] + 30, low))) + "Z",
        fill=METAL,
        stroke="none",
        opacity=0.5,
    )
    yield path(
        f"M{xy(start)}A{num(RADIUS)},{num(RADIUS)} 0 0 0 {xy(end)}", stroke_dasharray="6 4", stroke_width=1.6
    )
    yield line(*pins, stroke_width=3.6)
    for pin in pins:
        yield circle(pin, 6, fill=PAPER, stroke_width=1.8)
    yield pointing((4, 22), at(pi / 2 + 0.98 * step), "pitch circle")
    middle = (pins[1][0] + pins[2][0]) / 2
    yield pointing((middle, 78), (middle, pins[1][1] + 1), "chain: one pitch", anchor="middle")
    gap = at(pi / 2 - step)
    yield pointing((356, 22), (gap[0] - 4, gap[1] + 5), "longer way", anchor="end")


def _table(rows: list[tuple[int, float, float]]) -> Iterator[Html]:
    y = 182.0
    heads = (("teeth",), ("teeth ×", "pitch"), ("round the", "circle"), ("too long", "by"))
    for x, words in zip(COLUMNS, heads, strict=True):
        yield text((x, y), *words, anchor="end", size=SMALL)
    yield line((0, y + 24), (360, y + 24), stroke_width=0.6)
    for number, (teeth, along, around) in enumerate(rows):
        low = y + 44 + 20 * number
        figures = (str(teeth), f"{along:.2f} mm", f"{around:.2f} mm", f"{around - along:.2f} mm")
        for x, figure in zip(COLUMNS, figures, strict=True):
            yield text((x, low), figure, anchor="end", bold=x == COLUMNS[-1])
