"""Nip points: where the chain runs onto a sprocket, going forward and turned backward."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine import KnowledgeBase
from sideplate_site.drawing.chain import Drive, Wheel
from sideplate_site.drawing.figures import if_known
from sideplate_site.drawing.sprockets import tooth_form
from sideplate_site.drawing.svg import (
    PAPER,
    SMALL,
    Point,
    arrow,
    circle,
    filled,
    group,
    hatch,
    line,
    sheet,
    text,
    turning,
)
from sideplate_site.markup import Html

TITLE = (
    "Nip points, crossed and hatched: where the chain runs onto a sprocket, roller and tooth close on whatever lies "
    "between them. They change sides with the way the wheel turns. Seen from the left side of the machine."
)
ALT = (
    "A drive seen from the left, twice. Turned forward, the chain closes at the top of the front sprocket and at the "
    "bottom of the rear one. Turned backward, it closes at the bottom of the front sprocket and at the top of the rear "
    "one. The middle of the run is away from both."
)

FRONT_TEETH, REAR_TEETH = 14, 40
SCALE = 0.5
"""Units of the sheet for a millimetre; the sprockets stand closer than on a machine."""
REACH = 15.0


@if_known
def draw(knowledge: KnowledgeBase) -> str:
    """The picture."""
    front, rear = (tooth_form(knowledge, teeth).scaled(SCALE) for teeth in (FRONT_TEETH, REAR_TEETH))
    marks = [
        part
        for top, forward in ((0.0, True), (196.0, False))
        for part in _turned(Drive(Wheel((66, top + 100), front), Wheel((282, top + 100), rear)), top, forward)
    ]
    told = (
        "Wheel turned forward: top of the front sprocket, bottom of the rear one. Wheel turned backward: bottom of the "
        "front sprocket, top of the rear one."
    )
    return sheet(
        412,
        "Nip points",
        told,
        *marks,
        text(
            (2, 388),
            "Engine off. Turn the wheel by hand and stop it;",
            "only then touch the chain, in the middle of a run.",
        ),
        patterns=(hatch("nip-points-closing", 5),),
    )


def _turned(drive: Drive, top: float, forward: bool) -> Iterator[Html]:
    words = "forward" if forward else "backward"
    yield text((2, top + 16), f"Wheel turned {words}", bold=True)
    if top:
        yield line((0, top), (360, top), stroke_width=0.6)
    else:
        yield arrow((226, 12), (204, 12))
        yield text((232, 16), "front of the machine", size=SMALL)
    yield drive.drawn()
    yield drive.loop()
    upper, lower = drive.upper(), drive.lower()
    for run, shift, leftwards in ((upper, -13.0, forward), (lower, 13.0, not forward)):
        a, b = _between(run, 0.3, shift), _between(run, 0.6, shift)
        tail, head = (b, a) if leftwards else (a, b)
        yield arrow(tail, head, stroke_width=2.2)
    yield turning(drive.rear.centre, 22, *((-20, -160) if forward else (-160, -20)))
    nips = (upper[0], lower[1]) if forward else (lower[0], upper[1])
    for number, nip in enumerate(nips):
        yield _nip(nip, words, "front" if number == 0 else "rear")


def _between(run: tuple[Point, Point], share: float, shift: float) -> Point:
    (x1, y1), (x2, y2) = run
    return x1 + (x2 - x1) * share, y1 + (y2 - y1) * share + shift


def _nip(at: Point, words: str, sprocket: str) -> Html:
    x, y = at
    ground = circle(at, REACH, fill=PAPER, stroke="none", opacity=0.6)
    ring = circle(at, REACH, fill=filled("nip-points-closing"), stroke_width=2.4)
    bars = (line((x - 7, y - 7 * lean), (x + 7, y + 7 * lean), stroke_width=3.2) for lean in (-1, 1))
    return group(ground, ring, *bars, data_nip=sprocket, data_turned=words)
