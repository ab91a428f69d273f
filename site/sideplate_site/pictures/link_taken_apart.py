"""A link taken apart: an inner and an outer link of a sealed chain drawn out along their pins."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sideplate_engine import KnowledgeBase
from sideplate_site.drawing.chain import plate
from sideplate_site.drawing.figures import cells, if_known
from sideplate_site.drawing.sprockets import SIZE
from sideplate_site.drawing.svg import METAL, METAL_DARK, PAPER, RUBBER, group, line, mark, path, sheet, text
from sideplate_site.markup import Html, joined

TITLE = (
    "An inner link, and the outer link that joins it to the next, drawn apart along the pins. The bushings are pressed "
    "into the inner plates, the pins into the outer ones; the rollers turn on the bushings, and the rings close the "
    "gaps between the plates. Thicknesses are only indicated."
)
ALT = (
    "The parts of a chain one above the other: outer side plate, two rings, inner side plate, two rollers, two "
    "bushings, inner side plate, two rings, and the other outer side plate with its two pins. The outer link stands "
    "one pitch to the right of the inner one: one of its pins goes through a bushing of this inner link, the other "
    "through a bushing of the next. A plain chain has no rings."
)

SCALE = 4.0
"""Units of the sheet for a millimetre."""
TILT = 0.36
"""Height of a circle that lies flat, seen from a little above, to its width."""
FIRST, WORDS = 42.0, 212.0
THICKNESS = 7.0


@dataclass(frozen=True, slots=True)
class Look:
    """Measures on the sheet: the pitch, and the radii of roller, bushing, pin and plate end."""

    pitch: float
    roller: float
    bushing: float
    pin: float
    plate: float

    @property
    def inner(self) -> tuple[float, float]:
        """Where the bushings of the inner link stand."""
        return FIRST, FIRST + self.pitch

    @property
    def outer(self) -> tuple[float, float]:
        """Where the pins of the outer link stand: the first in the inner link, the second in the next one."""
        return FIRST + self.pitch, FIRST + 2 * self.pitch


@if_known
def draw(knowledge: KnowledgeBase) -> str:
    """The picture, in the proportions of a size with a known plate and pin."""
    names = ("pitch", "roller_diameter", "pin_diameter", "plate_height")
    pitch, roller, pin, high = (each * SCALE for each in cells(knowledge, "sizes", SIZE, *names))
    look = Look(pitch, roller / 2, (roller + pin) / 4, pin / 2, high / 2)
    inner_plate = ("inner side plate",)
    parts = (
        (34.0, _plate(look, look.outer, 34, look.pin), ("outer side plate", "pressed or riveted on")),
        (80.0, _rings(look, 80), ("rings", "sealed chain only:", "grease in, dirt out")),
        (126.0, _plate(look, look.inner, 126, look.bushing), inner_plate),
        (
            182.0,
            _tubes(look.inner, 168, 26, look.roller, look.bushing, METAL),
            ("rollers", "turn on the bushings;", "meet the teeth"),
        ),
        (
            248.0,
            _tubes(look.inner, 226, 40, look.bushing, look.pin, METAL_DARK),
            ("bushings", "pressed into the", "inner side plates"),
        ),
        (308.0, _plate(look, look.inner, 308, look.bushing), inner_plate),
        (350.0, _rings(look, 350), ("rings",)),
        (402.0, _pins(look, 376, 442), ("pins", "turn in the bushings:", "here a chain wears")),
        (448.0, _plate(look, look.outer, 442, 0), ("outer side plate", "with its pins")),
    )
    axes = (
        line((x, top), (x, bottom), stroke_dasharray="7 3 1.5 3", stroke_width=0.8)
        for x, top, bottom in ((look.inner[0], 100, 334), (look.outer[0], 6, 440), (look.outer[1], 6, 440))
    )
    marks = (*axes, *(drawn for _, drawn, _ in (*parts[:-2], parts[-1], parts[-2])), *_words(parts))
    told = "From top to bottom: " + ", ".join(words[0] for _, _, words in parts)
    return sheet(468, "A link taken apart", f"{told}. The proportions are those of size {SIZE}.", *marks)


def _words(parts: tuple[tuple[float, Html, tuple[str, ...]], ...]) -> Iterator[Html]:
    for y, _, (name, *more) in parts:
        top = y + 4 - 7.5 * len(more)
        yield text((WORDS, top), name, bold=True)
        if more:
            yield text((WORDS, top + 15), *more, size=12)


def _flat(y: float, *marks: str) -> Html:
    """Marks that lie flat at a height: circles become ellipses, strokes keep their width."""
    return group(*marks, transform=f"translate(0 {y:g}) scale(1 {TILT:g})")


def _disc(x: float, radius: float, fill: str) -> Html:
    return mark("circle", cx=x, cy=0.0, r=radius, fill=fill, vector_effect="non-scaling-stroke")


def _plate(look: Look, ends: tuple[float, float], y: float, hole: float) -> Html:
    """A side plate with its thickness below it; without holes where the pins are fixed in it."""
    outline = plate((ends[0], 0), (ends[1], 0), look.plate)
    kept = {"vector_effect": "non-scaling-stroke"}
    holes = [_disc(x, hole, PAPER) for x in ends] if hole else []
    return joined(
        (
            _flat(y + THICKNESS, path(outline, fill=METAL_DARK, **kept)),
            _flat(y, path(outline, fill=METAL, **kept), *holes),
        )
    )


def _rings(look: Look, y: float) -> Html:
    drawn = (
        mark(
            "circle",
            cx=x,
            cy=0.0,
            r=(look.bushing + look.roller) / 2,
            stroke=RUBBER,
            stroke_width=5.0,
            vector_effect="non-scaling-stroke",
        )
        for x in look.outer
    )
    return _flat(y, *drawn)


def _tubes(
    at: tuple[float, float], y: float, height: float, outside: float, inside: float, fill: str
) -> Html:
    """Two tubes that stand upright, from y downwards."""
    return joined(_tube(x, y, height, outside, inside, fill) for x in at)


def _tube(x: float, y: float, height: float, outside: float, inside: float, fill: str) -> Html:
    flat = outside * TILT
    side = (
        f"M{x - outside:.1f},{y:.1f}V{y + height:.1f}A{outside:.1f},{flat:.1f} 0 0 0 {x + outside:.1f},{y + height:.1f}"
        f"V{y:.1f}"
    )
    return joined((path(side, fill=fill), _flat(y, _disc(x, outside, fill), _disc(x, inside, PAPER))))


def _pins(look: Look, y: float, foot: float) -> Html:
    """The two pins, which stand on the plate at the foot."""
    return joined(_solid(x, y, foot - y, look.pin) for x in look.outer)


def _solid(x: float, y: float, height: float, radius: float) -> Html:
    return joined((_tube(x, y, height, radius, 0, METAL), _flat(y, _disc(x, radius, METAL))))
