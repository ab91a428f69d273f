"""Chain sizes to scale side by side: roller, pitch and inner width of the motorcycle sizes, from the table of sizes."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine import KnowledgeBase
from sideplate_engine.tables import Row

TITLE = (
    "Motorcycle chain sizes to one scale, seen from the side (pitch and roller) and from above (inner width). "
    "Millimetres; figures from the table of sizes."
)
ALT = (
    "Drawings of motorcycle chain sizes to one scale. Sizes with the same first figure share a pitch; within them "
    "the inner width grows with the last two figures."
)

SIZES = ("420", "428", "520", "525", "530", "630")
NEEDS = ("pitch", "inner_width", "roller_diameter")
SCALE = 3.2
"""Drawing units for a millimetre."""
COLUMN, SIDE, ABOVE = 128.0, 62.0, 108.0


def draw(knowledge: KnowledgeBase) -> str:
    """The picture; empty where the knowledge has no such table or too few of the sizes."""
    table = knowledge.tables.get("sizes")
    rows = [] if table is None else [row for size in SIZES if (row := table.row(size)) and _is_full(row)]
    if table is None or len(rows) < 2:
        return ""
    width, height = COLUMN * len(rows), 212
    drawn = "".join(
        part for number, row in enumerate(rows) for part in _size(row, str(row.cells[table.key]), number)
    )
    return (
        f'<svg viewBox="0 0 {width:g} {height}" width="{width:g}" font-family="inherit" font-size="12" '
        f'fill="currentColor" stroke="none">{drawn}</svg>'
    )


def _is_full(row: Row) -> bool:
    return all(name in row.cells for name in NEEDS)


def _size(row: Row, name: str, number: int) -> Iterator[str]:
    pitch, inner, roller = (float(row.cells[key]) for key in NEEDS)
    left = COLUMN * number + COLUMN / 2
    yield f'<text x="{left:g}" y="16" text-anchor="middle" font-weight="700" font-size="15">{name}</text>'
    yield from _from_the_side(left, pitch * SCALE, roller * SCALE)
    yield from _from_above(left, pitch * SCALE, roller * SCALE, inner * SCALE)
    yield _words(left, 170, f"pitch {pitch:g}")
    yield _words(left, 186, f"inner width {inner:g}")
    yield _words(left, 202, f"roller {roller:g}")


def _words(x: float, y: float, text: str) -> str:
    return f'<text x="{x:g}" y="{y:g}" text-anchor="middle">{text}</text>'


def _from_the_side(middle: float, pitch: float, roller: float) -> Iterator[str]:
    """Two rollers a pitch apart behind the outline of a side plate."""
    ends = (middle - pitch / 2, middle + pitch / 2)
    high = roller * 0.78
    yield (
        f'<rect x="{ends[0] - high:g}" y="{SIDE - high:g}" width="{pitch + 2 * high:g}" height="{2 * high:g}" '
        f'rx="{high:g}" fill="none" stroke="currentColor" stroke-dasharray="3 2"/>'
    )
    for x in ends:
        yield (
            f'<circle cx="{x:g}" cy="{SIDE:g}" r="{roller / 2:g}" fill="var(--sp-metal, #999)" '
            'stroke="currentColor"/>'
        )
        yield f'<circle cx="{x:g}" cy="{SIDE:g}" r="1.5"/>'
    yield f'<path d="M{ends[0]:g},{SIDE:g} H{ends[1]:g}" stroke="currentColor" fill="none"/>'


def _from_above(middle: float, pitch: float, roller: float, inner: float) -> Iterator[str]:
    """The same two rollers between the inner plates, whose gap is the inner width."""
    top = ABOVE + (40 - inner) / 2
    for x in (middle - pitch / 2, middle + pitch / 2):
        yield (
            f'<rect x="{x - roller / 2:g}" y="{top:g}" width="{roller:g}" height="{inner:g}" '
            'fill="var(--sp-metal, #999)" stroke="currentColor"/>'
        )
    length = pitch + roller * 1.3
    for y in (top - 5, top + inner):
        yield f'<rect x="{middle - length / 2:g}" y="{y:g}" width="{length:g}" height="5" fill="currentColor"/>'
