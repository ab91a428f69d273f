"""New, hooked and worn teeth of a rear sprocket, from pitch, roller diameter and number of teeth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, sin

from sideplate_engine import KnowledgeBase
from sideplate_site.drawing.figures import if_known
from sideplate_site.drawing.sprockets import SIZE, tooth_form
from sideplate_site.drawing.svg import (
    METAL,
    PAPER,
    SMALL,
    WIDTH,
    Point,
    arrow,
    circle,
    line,
    num,
    sheet,
    text,
)
from sideplate_site.drawing.tooth_form import ToothForm
from sideplate_site.drawing.tooth_profiles import hooked_tooth, new_tooth, thin_tooth
from sideplate_site.markup import Html

TITLE = (
    "Teeth at the top of a rear sprocket, the front of the machine on the left. The chain pulls each roller forward, "
    "against the rear flank of the tooth before it, and there the hollow grows. The new form is dashed over the worn "
    "ones. A plain construction from pitch, roller and teeth, not a standard's profile; the wear is drawn large."
)
ALT = (
    "Three rows of sprocket teeth. New: even on both flanks, with a flat tip. Hooked: the flank that the chain pulls "
    "on is hollowed and the tip leans over the hollow. Worn thin: both flanks have gone and the tip is a point."
)

TEETH = 41
SCALE = 4.3
"""Units of the sheet for a millimetre."""
BESIDE = 2
"""Teeth shown on either side of the middle one."""
HOLLOW, CLIMB, THINNED = 0.2, 0.1, 0.19
"""Wear, in rollers: how deep and how high a roller lies in a hooked tooth, and what a thin flank has lost."""


@dataclass(frozen=True, slots=True)
class Row:
    """A row of teeth: what is said of it, one tooth, and where a roller lies, from the tooth's middle."""

    name: str
    words: str
    tooth: list[Point]
    roller: Point


@if_known
def draw(knowledge: KnowledgeBase) -> str:
    """The picture."""
    form = tooth_form(knowledge, TEETH).scaled(SCALE)
    hollow, climb, lost = (share * form.roller for share in (HOLLOW, CLIMB, THINNED))
    half = form.pitch / 2
    rows = (
        Row("new", "even flanks, flat tip", new_tooth(form), (half, 0.0)),
        Row(
            "hooked", "the loaded flank is hollow", hooked_tooth(form, hollow, climb), (half - hollow, climb)
        ),
        Row("worn thin", "both flanks gone, pointed tip", thin_tooth(form, lost), (half - lost, 0.0)),
    )
    marks = [part for number, row in enumerate(rows) for part in _row(form, row, 6.0 + 134 * number)]
    pitch, roller = form.pitch / SCALE, form.roller / SCALE
    told = f"Drawn for {TEETH} teeth of size {SIZE}: pitch {pitch:g} mm, roller {roller:g} mm."
    return sheet(396, "New and worn teeth", told, *marks, scale=num(SCALE))


def _row(form: ToothForm, row: Row, top: float) -> Iterator[Html]:
    yield text((2, top + 12), row.name, bold=True)
    yield text((WIDTH - 2, top + 12), row.words, anchor="end", size=SMALL)
    centre = (WIDTH / 2, top + 62 + form.pitch_diameter / 2)
    outline = _teeth(form, centre, row.tooth)
    low = outline[0][1] + 8
    yield line((outline[0][0], low), *outline, (outline[-1][0], low), fill=METAL, data_teeth=row.name)
    if row.name != "new":
        yield line(*_teeth(form, centre, new_tooth(form)), stroke_dasharray="2 2", stroke_width=0.8)
    x, y = _on_the_sheet(form, centre, 0, row.roller)
    yield circle((x, y), form.roller / 2, fill=PAPER, stroke_width=1.8, data_roller=row.name)
    yield text((x, y + 4), "roller", anchor="middle", size=SMALL)
    pull = y - form.roller / 2 - 10
    yield arrow((x + 10, pull), (x - 50, pull), stroke_width=2.0)
    yield text((x + 16, pull + 4), "pull of the chain", size=SMALL)


def _teeth(form: ToothForm, centre: Point, tooth: list[Point]) -> list[Point]:
    return [
        _on_the_sheet(form, centre, number, point)
        for number in range(BESIDE, -BESIDE - 1, -1)
        for point in tooth
    ]


def _on_the_sheet(form: ToothForm, centre: Point, number: float, point: Point) -> Point:
    """A point beside a tooth: across it to the right, and above the line between its two rollers."""
    turn = number * form.tooth_angle
    x, y = point[0], form.chord_height + point[1]
    return centre[0] + x * cos(turn) - y * sin(turn), centre[1] - x * sin(turn) - y * cos(turn)
