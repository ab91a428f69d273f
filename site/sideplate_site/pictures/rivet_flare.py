"""The end of a rivet link's pin before and after flaring, where its diameter is measured, and a cracked one."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, pi, sin

from sideplate_engine import KnowledgeBase
from sideplate_site.drawing.figures import NotInKnowledge, cells, if_known, limits, recalled
from sideplate_site.drawing.svg import (
    METAL,
    PAPER,
    Point,
    arrow,
    circle,
    filled,
    hatch,
    line,
    measure_across,
    num,
    path,
    rect,
    sheet,
    text,
)
from sideplate_site.markup import Html, joined

TITLE = (
    "The end of a rivet link's pin, cut along its middle and seen from outside. What counts is the diameter across "
    "the flare, in two directions and on both pins. Take the figure from the manual or from the link's own "
    "instructions; published ones are for comparison only."
)
ALT = (
    "Before flaring the pin stands straight out of the outer plate and has a hollow end. Flared, its end is spread "
    "wider than the hole, so that the plate cannot come off; the diameter is measured across the spread end, in two "
    "directions. An end with cracks in its edge is marked as one to be replaced with a new link."
)

RULES = {"520": "flare-unlike-other-520", "525": "flare-unlike-other-525"}
SCALE = 14.0
"""Units of the sheet for a millimetre."""
PLATE, PROUD = 28.0, 22.0
LEFT, RIGHT, FACE = 90.0, 270.0, 96.0
HOLLOW = 30.0


@if_known
def draw(knowledge: KnowledgeBase) -> str:
    """The picture, to scale for the first size whose flare is published and whose pin is known."""
    flares = {size: _flare(knowledge, rule) for size, rule in RULES.items() if rule in knowledge.rules}
    if not flares:
        raise NotInKnowledge("published flares")
    size, (low, high) = next(iter(flares.items()))
    (pin,) = cells(knowledge, "sizes", size, "pin_diameter")
    memory = ", recalled" if recalled(knowledge, "sizes", size, "pin_diameter") else ""
    across = (low + high) / 2 * SCALE
    published = [f"{each}: {a:g} to {b:g} mm" for each, (a, b) in flares.items()]
    marks = (
        *_section(LEFT, pin * SCALE, pin * SCALE, "before"),
        measure_across(LEFT - pin * SCALE / 2, LEFT + pin * SCALE / 2, 54, f"pin {pin:g} mm{memory}"),
        *_section(RIGHT, pin * SCALE, across, "after"),
        measure_across(RIGHT - across / 2, RIGHT + across / 2, 54, "flare: measure here"),
        text((LEFT, 16), "before", anchor="middle", bold=True),
        text((RIGHT, 16), "flared", anchor="middle", bold=True),
        *_from_outside(across / 2),
        text((4, 352), "Published for rivet links, one manual each", bold=True),
        *(text((4, 370 + 17 * number), each) for number, each in enumerate(published)),
    )
    told = f"Drawn for a pin of {pin:g} mm{memory}. Published flares: {'; '.join(published)}."
    height = 362 + 17 * len(published)
    pattern = hatch("rivet-flare-plate")
    return sheet(
        height, "A pin end before and after flaring", told, *marks, patterns=(pattern,), scale=num(SCALE)
    )


def _flare(knowledge: KnowledgeBase, rule: str) -> tuple[float, float]:
    found = limits(knowledge, rule, "connector.rivet_diameter")
    return min(found), max(found)


def _section(x: float, pin: float, top: float, name: str) -> Iterator[Html]:
    """The pin in the plate, cut along its middle; `top` is the diameter of its end."""
    half, end = pin / 2, FACE - (PROUD if top == pin else PROUD - 5)
    for left in (x - 84, x + half):
        yield rect((left, FACE), 84 - half, PLATE, fill=filled("rivet-flare-plate"))
    mouth = HOLLOW / 2 + (top - pin) / 2
    below = FACE + PLATE + 36
    outline = (
        f"M{num(x - half)},{num(below)}V{num(FACE)}L{num(x - top / 2)},{num(end + 3)}L{num(x - top / 2 + 3)},{num(end)}"
        f"H{num(x - mouth)}L{num(x - 7)},{num(end + 28)}H{num(x + 7)}L{num(x + mouth)},{num(end)}"
        f"H{num(x + top / 2 - 3)}L{num(x + top / 2)},{num(end + 3)}L{num(x + half)},{num(FACE)}V{num(below)}"
    )
    yield path(outline, fill=METAL, data_part=name)
    yield line((x, end + 18), (x, below + 8), stroke_dasharray="7 3 1.5 3", stroke_width=0.8)
    for side in (-1, 1):
        at = x + side * (top / 2)
        yield line((at, 48), (at, end + 1), stroke_width=0.6)
    yield text((x - 84, FACE + PLATE + 17), "plate", size=12)
    yield text((x, below - 4), "pin", size=12, anchor="middle", halo=True)


def _from_outside(radius: float) -> Iterator[Html]:
    y = 254.0
    for x in (LEFT, RIGHT):
        yield rect((x - 70, y - 62), 140, 124, rx=22, fill=PAPER, stroke_width=0.8)
        yield circle((x, y), radius, fill=METAL)
        yield circle((x, y), HOLLOW / 2 + 3, fill=PAPER)
        yield circle((x, y), 7)
    yield arrow((LEFT - radius, y), (LEFT + radius, y), both=True)
    yield arrow((LEFT, y - radius), (LEFT, y + radius), both=True)
    yield text((LEFT, y + 76), "sound: two directions", anchor="middle")
    for angle in (0.15, 0.95, 1.45):
        yield _crack((RIGHT, y), radius, angle * pi)
    yield text((RIGHT, y + 76), "cracked: new link", anchor="middle")


def _crack(middle: Point, radius: float, angle: float) -> Html:
    """A jagged line from the edge inwards."""
    points = [
        (middle[0] + far * cos(angle + bend), middle[1] - far * sin(angle + bend))
        for far, bend in ((radius, 0.0), (radius - 6, 0.1), (radius - 11, -0.06), (radius - 19, 0.08))
    ]
    return joined((line(*points, stroke=PAPER, stroke_width=4.5), line(*points, stroke_width=2.0)))
