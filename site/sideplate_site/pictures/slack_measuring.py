"""Where and how slack is measured: lower run, half-way, down and up, at the tightest place."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, pi, radians

from sideplate_engine import KnowledgeBase
from sideplate_site.drawing.chain import Drive, Wheel
from sideplate_site.drawing.figures import if_known
from sideplate_site.drawing.sprockets import tooth_form
from sideplate_site.drawing.svg import (
    METAL,
    PAPER,
    SMALL,
    Point,
    arrow,
    filled,
    hatch,
    line,
    pointing,
    rect,
    sheet,
    text,
)
from sideplate_site.markup import Html

TITLE = (
    "Measuring slack: half-way between the sprockets, the whole movement from pushed down to pushed up, with the "
    "wheel where the run moves least. Which run, and how the machine stands, is for its manual to say. The movement "
    "is drawn large, and the bars are a sketch."
)
ALT = (
    "A drive seen from the left. The lower run is pushed down in its middle and, dashed, pushed up; an upright rule "
    "beside it shows the slack as the distance between the two. Below, the slack at eight positions of the wheel as "
    "bars of different length: the shortest is the tightest place, and that one counts."
)

FRONT_TEETH, REAR_TEETH = 14, 40
SCALE = 0.5
"""Units of the sheet for a millimetre, in the drive; the sprockets stand closer than on a machine."""
HALF_SLACK = 17.0
POSITIONS, TIGHTEST, LOOSEST = 8, 26.0, 50.0
"""Of the bars: how many, and the lengths of the shortest and of the longest."""
TURNED = radians(330)


@if_known
def draw(knowledge: KnowledgeBase) -> str:
    """The picture."""
    front, rear = (tooth_form(knowledge, teeth).scaled(SCALE) for teeth in (FRONT_TEETH, REAR_TEETH))
    drive = Drive(Wheel((40, 62), front), Wheel((298, 62), rear))
    told = (
        "The slack is the whole movement at mid-run, down and up together, with the wheel where it is least."
    )
    return sheet(
        372,
        "Where and how to measure slack",
        told,
        *_drive(drive),
        *_positions(),
        patterns=(hatch("slack-measuring-least"),),
    )


def _drive(drive: Drive) -> Iterator[Html]:
    a, b = drive.lower()
    middle = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    down, up = (middle[0], middle[1] + HALF_SLACK), (middle[0], middle[1] - HALF_SLACK)
    yield drive.drawn()
    yield drive.loop(bend_lower=down)
    yield line(a, up, b, stroke_dasharray="5 3", stroke_width=2.0)
    yield from _rule(middle)
    yield line((up[0] - 34, up[1]), (up[0], up[1]), stroke_width=0.8)
    yield line((down[0] - 34, down[1]), (down[0], down[1]), stroke_width=0.8)
    yield arrow((up[0] - 28, up[1]), (up[0] - 28, down[1]), both=True)
    yield pointing((96, 158), (up[0] - 28, middle[1] + 4), "slack: the whole movement", anchor="middle")
    base = 178.0
    for x in (a[0], middle[0], b[0]):
        yield line((x, base - 5), (x, base + 5))
    yield arrow((a[0], base), (middle[0], base), both=True)
    yield arrow((middle[0], base), (b[0], base), both=True)
    yield text(((a[0] + middle[0]) / 2, base + 18), "half the run", anchor="middle")
    yield text(((middle[0] + b[0]) / 2, base + 18), "half the run", anchor="middle")
    yield text((66, 74), "pushed up", size=SMALL)
    yield text((200, 135), "pushed down", size=SMALL)
    yield arrow((26, 9), (4, 9))
    yield text((32, 13), "front of the machine", size=SMALL)


def _rule(middle: Point) -> Iterator[Html]:
    """An upright rule at mid-run."""
    x, top = middle[0] + 10, middle[1] - 50
    yield rect((x, top), 18, 92, fill=PAPER)
    for number in range(1, 18):
        yield line(
            (x, top + 5 * number), (x + (9 if number % 2 == 0 else 5), top + 5 * number), stroke_width=0.8
        )
    yield text((x + 24, top + 14), "rule", size=SMALL)


def _positions() -> Iterator[Html]:
    """The slack with the wheel in one position after another, one full turn of the chain."""
    top, left, step = 254.0, 20.0, 42.0
    yield line((0, 208), (360, 208), stroke_width=0.6)
    yield text((2, 228), "Slack in eight positions of the wheel", bold=True)
    lengths = [
        (TIGHTEST + LOOSEST) / 2 + (LOOSEST - TIGHTEST) / 2 * cos(2 * pi * number / POSITIONS - TURNED)
        for number in range(POSITIONS)
    ]
    least = min(range(POSITIONS), key=lengths.__getitem__)
    for number, length in enumerate(lengths):
        x = left + step * number
        fill = filled("slack-measuring-least") if number == least else METAL
        yield rect((x, top), 22, length, fill=fill, stroke_width=2.4 if number == least else 1.2)
        yield text((x + 11, top - 6), str(number + 1), anchor="middle", size=SMALL)
    yield line((left - 10, top), (left + step * POSITIONS - 10, top))
    x, below = left + step * least + 11, top + LOOSEST + 24
    yield pointing(
        (x, below), (x, top + lengths[least] - 4), "tightest place: this one counts", anchor="middle"
    )
    yield text(
        (2, below + 26),
        "Turn the wheel by hand only, engine off,",
        "and keep clear of where the chain runs on.",
    )
