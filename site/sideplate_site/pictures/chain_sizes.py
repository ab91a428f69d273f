"""Chain sizes to one scale: roller, pitch and inner width of the motorcycle sizes, from the table of sizes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from sideplate_engine import KnowledgeBase
from sideplate_site.drawing.chain import FromAbove, plate
from sideplate_site.drawing.svg import METAL, SMALL, WIDTH, Point, circle, group, line, num, path, sheet, text
from sideplate_site.markup import Html

TITLE = (
    "Motorcycle chain sizes, all to one scale: a link from the side (pitch and roller) and from above (inside "
    "width). The plates are only indicated. Figures from the table of sizes."
)
ALT = (
    "Drawings of motorcycle chain sizes to one scale. Sizes with the same first figure share a pitch; within them "
    "the inside width grows with the last two figures, and a few have a larger roller than their neighbours."
)

NEEDS = ("pitch", "roller_diameter", "inner_width")
SCALE = 2.95
"""Units of the sheet for a millimetre."""
PLATE_TO_ROLLER = 0.72
"""Half the height of an indicated plate, in rollers."""
SIDE, ABOVE, ROLLER_FIGURE, WIDTH_FIGURE = 95.0, 210.0, 311.0, 357.0
RULER = 40
"""Millimetres on the scale below the sizes."""


@dataclass(frozen=True, slots=True)
class Size:
    """A size and the three figures that it is drawn from, in millimetres."""

    number: str
    pitch: float
    roller: float
    inner_width: float

    @property
    def row_height(self) -> float:
        """Room for it on the sheet."""
        return max(2 * PLATE_TO_ROLLER * self.roller, self.inner_width + 6) * SCALE + 9


def draw(knowledge: KnowledgeBase) -> str:
    """The picture; empty where the knowledge has no such table or too few of the sizes."""
    sizes = sorted(_sizes(knowledge), key=lambda size: size.pitch)
    if len(sizes) < 2:
        return ""
    marks: list[str] = [
        text((SIDE, 14), "from the side", size=SMALL, anchor="middle"),
        text((ABOVE, 14), "from above", size=SMALL, anchor="middle"),
        text((ROLLER_FIGURE, 14), "roller", size=SMALL, anchor="end"),
        text((WIDTH_FIGURE, 14), "inside", size=SMALL, anchor="end"),
    ]
    y = 22.0
    for pitch, same in groupby(sizes, key=lambda size: size.pitch):
        marks.append(line((0, y), (WIDTH, y), stroke_width=0.6))
        marks.append(text((2, y + 17), f"pitch {pitch:g} mm", bold=True))
        y += 24
        for size in same:
            marks += _row(size, y + size.row_height / 2)
            y += size.row_height
    marks += _ruler(y + 12)
    told = "; ".join(
        f"{size.number}: pitch {size.pitch:g} mm, roller {size.roller:g} mm, inside width {size.inner_width:g} mm"
        for size in sizes
    )
    return sheet(y + 34, "Chain sizes to scale", told + ".", *marks, scale=num(SCALE))


def _sizes(knowledge: KnowledgeBase) -> Iterator[Size]:
    """The motorcycle sizes with all their figures; of those alike in all of them, the first."""
    table = knowledge.tables.get("sizes")
    seen: set[tuple[float, ...]] = set()
    for row in table.rows.values() if table is not None else ():
        assert table is not None
        if row.cells.get("duty") != "motorcycle" or any(name not in row.cells for name in NEEDS):
            continue
        figures = tuple(float(row.cells[name]) for name in NEEDS)
        if figures not in seen:
            seen.add(figures)
            yield Size(str(row.cells[table.key]), *figures)


def _row(size: Size, y: float) -> Iterator[str]:
    yield text((2, y + 5), size.number, bold=True)
    yield group(
        *_from_the_side((SIDE, y), size.pitch * SCALE, size.roller * SCALE),
        _from_above((ABOVE, y), size),
        data_size=size.number,
    )
    yield text((ROLLER_FIGURE, y + 5), f"{size.roller:.2f}", anchor="end")
    yield text((WIDTH_FIGURE, y + 5), f"{size.inner_width:.2f}", anchor="end")


def _from_the_side(middle: Point, pitch: float, roller: float) -> Iterator[Html]:
    """Two rollers a pitch apart inside the outline of a side plate."""
    x, y = middle
    ends = ((x - pitch / 2, y), (x + pitch / 2, y))
    yield path(plate(*ends, PLATE_TO_ROLLER * roller), stroke_dasharray="3 2", stroke_width=0.9)
    for end in ends:
        yield circle(end, roller / 2, fill=METAL)
        yield line((end[0] - 4, y), (end[0] + 4, y))
        yield line((end[0], y - 4), (end[0], y + 4))
    yield line(*ends, stroke_width=0.8)


def _from_above(middle: Point, size: Size) -> Html:
    """The same two rollers between the inner plates, whose gap is the inside width."""
    pitch, roller = size.pitch * SCALE, size.roller * SCALE
    view = FromAbove(pitch, roller, size.inner_width * SCALE, pin=0, overhang=PLATE_TO_ROLLER * roller)
    return view.inner(middle[0] - pitch / 2, middle[1])


def _ruler(y: float) -> Iterator[str]:
    for number in range(0, RULER + 1, 10):
        x = 4 + number * SCALE
        yield line((x, y - 5), (x, y))
        if number < RULER:
            yield line((x, y), (x + 10 * SCALE, y), stroke_width=3.0 if number % 20 else 1.2)
    yield text((4 + RULER * SCALE + 8, y + 3), f"{RULER} mm in all, 10 mm a step", size=SMALL)
