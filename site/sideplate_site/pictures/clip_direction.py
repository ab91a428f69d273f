"""The clip with its closed end leading, on the upper run and on the lower one, and the usual slip."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine import KnowledgeBase
from sideplate_site.drawing.chain import Drive, Wheel, plate
from sideplate_site.drawing.figures import if_known, rule_of
from sideplate_site.drawing.sprockets import tooth_form
from sideplate_site.drawing.svg import (
    METAL,
    PAPER,
    SMALL,
    SOFT,
    Point,
    arrow,
    circle,
    group,
    line,
    num,
    path,
    pointing,
    sheet,
    text,
    turning,
    xy,
)
from sideplate_site.markup import Html, joined

TITLE = (
    "The closed end of the clip goes first as the chain travels: to the front on the upper run, to the rear on the "
    "lower run. Seen from the left side of a machine that goes forward."
)
ALT = (
    "A drive seen from the left, the front sprocket on the left: the upper run travels to the front and the lower run "
    "to the rear. On the upper run the closed end of the clip points to the front, on the lower run to the rear. A "
    "clip whose closed end points to the front on the lower run is marked as wrong: its open end goes first."
)

FRONT_TEETH, REAR_TEETH = 14, 40
SCALE = 0.5
"""Units of the sheet for a millimetre, in the drive; the sprockets stand closer than on a machine."""
FACTS = ("connector.clip_run", "connector.clip_points")
LEFT, PITCH, PLATE, PIN = 72.0, 72.0, 25.0, 5.5


@if_known
def draw(knowledge: KnowledgeBase) -> str:
    """The picture; which clips are right is what the rules about the clip say."""
    right = _cases(knowledge, "clip-points-leading")
    wrong = [case for case in _cases(knowledge, "clip-points-trailing") if case[0] == "lower run"]
    cases = [(*case, True) for case in sorted(right, reverse=True)] + [(*case, False) for case in wrong]
    rows = (
        _row(run, points, leads, 198.0 + 134 * number) for number, (run, points, leads) in enumerate(cases)
    )
    told = " ".join(
        f"{run.capitalize()}, closed end {points}: the {'closed' if leads else 'open'} end goes first."
        for run, points, leads in cases
    )
    return sheet(194 + 134 * len(cases), "Clip and direction of travel", told, *_drive(knowledge), *rows)


def _cases(knowledge: KnowledgeBase, rule: str) -> list[tuple[str, str]]:
    """Run and direction of the closed end in each of a rule's alternatives."""
    found = []
    for branch in rule_of(knowledge, rule).conditions.spread():
        values = {test.fact: str(test.values[0]) for test in branch if test.values}
        if all(fact in values for fact in FACTS):
            found.append((values[FACTS[0]], values[FACTS[1]]))
    return found


def _drive(knowledge: KnowledgeBase) -> Iterator[Html]:
    front, rear = (tooth_form(knowledge, teeth).scaled(SCALE) for teeth in (FRONT_TEETH, REAR_TEETH))
    drive = Drive(Wheel((62, 106), front), Wheel((278, 106), rear))
    yield drive.drawn()
    yield drive.loop()
    yield arrow((206, 42), (120, 56), stroke_width=2.2)
    yield text((156, 38), "upper run, to the front", anchor="middle")
    yield arrow((120, 156), (206, 170), stroke_width=2.2)
    yield text((150, 184), "lower run, to the rear", anchor="middle")
    yield turning((278, 106), 22, -20, -160)
    yield arrow((26, 9), (4, 9))
    yield text((32, 13), "front of the machine", size=SMALL)


def _row(run: str, points: str, leads: bool, top: float) -> Html:
    """The connecting link between two inner links, with its clip and the way it travels."""
    y = top + 78
    a, b = (LEFT + PITCH, y), (LEFT + 2 * PITCH, y)
    closed_left = points == "to the front"
    travel_left = closed_left == leads
    ends = ((88, top + 36), (6, top + 36))
    tail, head = ends if travel_left else ends[::-1]
    heading = f"{run.capitalize()}: closed end {points}"
    closed, opened = (a, b) if closed_left else (b, a)
    outwards = -1 if closed_left else 1
    return group(
        text((2, top + 18), heading, bold=True),
        text((180, top + 40), "right" if leads else "WRONG: open end first", bold=True),
        line((0, top), (360, top), stroke_width=0.6),
        arrow(tail, head, stroke_width=2.2),
        text((96, top + 40), "travel", size=SMALL),
        path(plate((LEFT, y), a, PLATE), fill=SOFT),
        path(plate(b, (LEFT + 3 * PITCH, y), PLATE), fill=SOFT),
        path(plate(a, b, PLATE - 2), fill=METAL),
        *(circle(pin, PIN, fill=PAPER) for pin in (a, b)),
        _clip(closed, opened),
        _tick((166, top + 36)) if leads else _cross((166, top + 36)),
        pointing(
            (closed[0] + outwards * 12, y + 42),
            (closed[0] + outwards * 11, y + 3),
            "closed end",
            anchor="middle",
        ),
        pointing(
            (opened[0] - outwards * 16, y + 42),
            (opened[0] - outwards * 13, y + 3),
            "open end",
            anchor="middle",
        ),
        data_run=run,
        data_closed="left" if closed_left else "right",
        data_travel="left" if travel_left else "right",
    )


def _clip(closed: Point, opened: Point) -> Html:
    """The clip: round about one pin, its two legs along the plate and past the other pin."""
    (x, y), way = closed, 1 if opened[0] > closed[0] else -1
    grip = opened[0]
    legs = []
    for side in (-1, 1):
        legs.append(
            f"C{xy((x + way * 24, y + side * 11))} {xy((grip - way * 24, y + side * 8))} {xy((grip, y + side * 8))}"
            f"C{xy((grip + way * 6, y + side * 8))} {xy((grip + way * 9, y + side * 10))} "
            f"{xy((grip + way * 13, y + side * 13))}"
        )
    sweep = 1 if way < 0 else 0
    upper, lower = ((x, y + side * 11) for side in (-1, 1))
    d = f"M{xy(upper)}{legs[0]}M{xy(upper)}A{num(11)},{num(11)} 0 0 {sweep} {xy(lower)}{legs[1]}"
    return joined(
        (path(d, stroke_width=6.0, stroke_linecap="round"), path(d, stroke=PAPER, stroke_width=3.4))
    )


def _tick(at: Point) -> Html:
    x, y = at
    return line((x - 7, y), (x - 2, y + 6), (x + 8, y - 8), stroke_width=2.6)


def _cross(at: Point) -> Html:
    x, y = at
    return joined(line((x - 7, y - 7 * lean), (x + 7, y + 7 * lean), stroke_width=2.6) for lean in (-1, 1))
