"""Where a ring sits between the plates, and the three usual sections of rings, cut across."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from sideplate_engine import KnowledgeBase
from sideplate_site.drawing.figures import NotInKnowledge, cells, if_known
from sideplate_site.drawing.sprockets import SIZE
from sideplate_site.drawing.svg import (
    METAL,
    PAPER,
    RUBBER,
    SMALL,
    Point,
    circle,
    filled,
    group,
    hatch,
    line,
    mark,
    pointing,
    rect,
    sheet,
    text,
)
from sideplate_site.markup import Html, joined

TITLE = (
    "A joint of a sealed chain cut along its pin, and three sections of rings between the plates they seal. Small "
    "circles mark where a ring touches a plate."
)
ALT = (
    "A joint cut open: the pin in the bushing with grease between them, the roller on the bushing, an inner and an "
    "outer plate on either side, and a ring squeezed into each gap between the plates. Below, three ring sections: a "
    "round one touches each plate on one line, a cross-shaped and a four-lobed one on two."
)

STEEL, STEEL_TOO = "ring-sections-steel", "ring-sections-steel-too"
SCALE = 11.0
"""Units of the sheet for a millimetre, in the joint."""
PLATE, GAP = 15.0, 15.0
GREASE = 4.0
MIDDLE, AXIS, WORDS = 100.0, 92.0, 226.0
HALF_GAP = 20.0
"""Of the gap between the plates, in the sections."""


@dataclass(frozen=True, slots=True)
class Joint:
    """Measures of the joint on the sheet, from its middle: where things end across, and their radii."""

    width: float
    roller: float
    pin: float
    plate: float

    @property
    def bushing(self) -> float:
        """Its outside radius, half-way between pin and roller."""
        return (self.roller + self.pin) / 2


@if_known
def draw(knowledge: KnowledgeBase) -> str:
    """The picture, in the proportions of a size with a known plate and pin."""
    names = ("inner_width", "roller_diameter", "pin_diameter", "plate_height")
    joint = Joint(*(each * SCALE / 2 for each in cells(knowledge, "sizes", SIZE, *names)))
    fact = knowledge.facts.get("chain.ring_section")
    known = {name: told for name, told in ((fact and fact.choices) or {}).items() if name in SECTIONS}
    if not known:
        raise NotInKnowledge("sections of rings")
    column = 360 / len(known)
    sections = (_section(name, (column * (number + 0.5), 246.0)) for number, name in enumerate(known))
    told = " ".join(f"{name.capitalize()}: {each}" for name, each in known.items())
    return sheet(
        342,
        "Ring sections",
        told,
        *_joint(joint),
        *_words(joint),
        *sections,
        patterns=(hatch(STEEL), hatch(STEEL_TOO, angle=-45)),
    )


def _joint(joint: Joint) -> Iterator[Html]:
    inner, outer = joint.width, joint.width + PLATE + GAP
    ring = (joint.bushing + joint.plate) / 2 - 2
    yield rect(
        (MIDDLE - outer - PLATE - 6, AXIS - joint.pin), 2 * (outer + PLATE + 6), 2 * joint.pin, fill=METAL
    )
    for side in (-1, 1):
        yield _half(side, inner + PLATE, joint.pin + GREASE, joint.bushing, STEEL)
        yield _half(side, inner - 2, joint.bushing, joint.roller, STEEL_TOO)
        for start, low, pattern in (
            (inner, joint.bushing, STEEL_TOO),
            (outer, joint.pin, STEEL),
        ):
            for left in (MIDDLE - start - PLATE, MIDDLE + start):
                yield _band(side, left, PLATE, low, joint.plate, pattern)
        for gap in (MIDDLE - outer + GAP / 2, MIDDLE + outer - GAP / 2):
            yield circle((gap, AXIS + side * ring), GAP / 2, fill=RUBBER)
    yield line(
        (MIDDLE - outer - 32, AXIS),
        (MIDDLE + outer + 32, AXIS),
        stroke_dasharray="7 3 1.5 3",
        stroke_width=0.8,
    )


def _half(side: int, half_length: float, low: float, high: float, pattern: str) -> Html:
    """One cut side of a tube that is as long to the left as to the right."""
    return _band(side, MIDDLE - half_length, 2 * half_length, low, high, pattern)


def _band(side: int, left: float, width: float, low: float, high: float, pattern: str) -> Html:
    top = AXIS - high if side < 0 else AXIS + low
    ground = rect((left, top), width, high - low, fill=PAPER, stroke="none")
    return joined((ground, rect((left, top), width, high - low, fill=filled(pattern))))


def _words(joint: Joint) -> Iterator[Html]:
    outer = MIDDLE + joint.width + PLATE + GAP
    ring = (joint.bushing + joint.plate) / 2 - 2
    named: tuple[tuple[str, Point], ...] = (
        ("outer side plate", (outer + PLATE / 2, AXIS - joint.plate + 10)),
        ("ring", (outer - GAP / 2, AXIS - ring)),
        ("inner side plate", (outer - GAP - PLATE / 2, AXIS - joint.bushing - 5)),
        ("pin", (outer + PLATE + 3, AXIS - 6)),
        ("grease", (MIDDLE + joint.width + 6, AXIS + joint.pin + GREASE / 2)),
        ("bushing", (MIDDLE + joint.width - 8, AXIS + (joint.pin + joint.bushing) / 2 + 2)),
        ("roller", (MIDDLE + joint.width - 12, AXIS + (joint.bushing + joint.roller) / 2 + 2)),
    )
    for number, (words, to) in enumerate(named):
        yield pointing((WORDS, 26 + 23.0 * number), to, words)


def _section(name: str, middle: Point) -> Html:
    """A ring of that section squeezed between an outer plate above and an inner one below."""
    x, y = middle
    shape, lines = SECTIONS[name]
    plates = (
        rect((x - 50, top), 100, 16, fill=filled(pattern))
        for top, pattern in ((y - HALF_GAP - 16, STEEL), (y + HALF_GAP, STEEL_TOO))
    )
    touches = (
        circle((x + at, y + side * HALF_GAP), 4, fill=PAPER, stroke_width=2.0)
        for at in lines
        for side in (-1, 1)
    )
    count = {1: "one line", 2: "two lines"}[len(lines)]
    return group(
        *plates,
        shape(middle),
        *touches,
        text((x, y + 54), name, anchor="middle", bold=True),
        text((x, y + 69), f"{count} on", "each plate", anchor="middle", size=SMALL),
        data_section=name,
    )


def _round(middle: Point) -> Html:
    return mark("ellipse", cx=middle[0], cy=middle[1], rx=HALF_GAP + 4, ry=HALF_GAP, fill=RUBBER)


def _cross(middle: Point) -> Html:
    x, y = middle
    return joined(
        line(
            (x - 16, y - 13.5 * lean),
            (x + 16, y + 13.5 * lean),
            stroke=RUBBER,
            stroke_width=13.0,
            stroke_linecap="round",
        )
        for lean in (-1, 1)
    )


def _quad(middle: Point) -> Html:
    x, y = middle
    lobes = (circle((x + 12 * a, y + 10 * b), 10, fill=RUBBER) for a in (-1, 1) for b in (-1, 1))
    return group(
        *lobes,
        rect((x - 16, y - 10), 32, 20, fill=RUBBER),
        rect((x - 10, y - 14), 20, 28, fill=RUBBER),
        stroke="none",
    )


SECTIONS: Mapping[str, tuple[Callable[[Point], Html], tuple[float, ...]]] = {
    "round": (_round, (0.0,)),
    "cross": (_cross, (-16.0, 16.0)),
    "quad": (_quad, (-12.0, 12.0)),
}
"""How a section is drawn, and where it touches a plate, from its middle."""
