"""Chain as pictures show it: plates from the side, links from above, and a whole drive with its loop.

The front of the machine is on the left everywhere, as one sees a chain on the machine's left side. When the
machine goes forward the upper run moves to the left, onto the front sprocket, and the lower run to the right.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin, sqrt

from sideplate_site.drawing.svg import (
    INK,
    METAL,
    METAL_DARK,
    PAPER,
    Point,
    circle,
    group,
    length_of,
    num,
    path,
    rect,
    xy,
)
from sideplate_site.drawing.tooth_form import ToothForm
from sideplate_site.markup import Html, joined

_NECK = radians(58)
"""Where a plate's round end goes over into its waist, seen from the pin."""


def plate(a: Point, b: Point, half_height: float) -> str:
    """Path of a side plate with a waist, round the pins `a` and `b`."""
    gap = length_of(a, b)
    along = ((b[0] - a[0]) / gap, (b[1] - a[1]) / gap)
    pull = 0.3 * gap

    def at(pin: Point, forth: float, aside: float) -> Point:
        return pin[0] + forth * along[0] - aside * along[1], pin[1] + forth * along[1] + aside * along[0]

    reach, rise = half_height * cos(_NECK), half_height * sin(_NECK)
    lean, dip = pull * sin(_NECK), pull * cos(_NECK)
    end = f"A{num(half_height)},{num(half_height)} 0 1 0 "
    return (
        f"M{xy(at(a, reach, rise))}"
        f"C{xy(at(a, reach + lean, rise - dip))} {xy(at(b, -reach - lean, rise - dip))} {xy(at(b, -reach, rise))}"
        f"{end}{xy(at(b, -reach, -rise))}"
        f"C{xy(at(b, -reach - lean, dip - rise))} {xy(at(a, reach + lean, dip - rise))} {xy(at(a, reach, -rise))}"
        f"{end}{xy(at(a, reach, rise))}Z"
    )


@dataclass(frozen=True, slots=True)
class FromAbove:
    """A run seen from above, straight along the sheet: the measures it is drawn with, in units of the sheet."""

    pitch: float
    roller: float
    inner_width: float
    pin: float
    plate: float = 3.0
    gap: float = 2.0
    overhang: float = 7.0

    @property
    def half_outer(self) -> float:
        """From the middle of the chain to the outside of an outer plate."""
        return self.inner_width / 2 + 2 * self.plate + self.gap

    def inner(self, x: float, y: float) -> Html:
        """An inner link whose first pin is at x: two rollers between two plates."""
        half = self.inner_width / 2
        rollers = (
            rect((each - self.roller / 2, y - half), self.roller, self.inner_width, fill=METAL)
            for each in (x, x + self.pitch)
        )
        return joined((*rollers, self._bars(x, y, half)))

    def outer(self, x: float, y: float) -> Html:
        """The plates and pins of an outer link whose first pin is at x; draw it before the inner links."""
        reach = self.half_outer + 2.5
        pins = (
            rect((each - self.pin / 2, y - reach), self.pin, 2 * reach, fill=PAPER)
            for each in (x, x + self.pitch)
        )
        return joined((*pins, self._bars(x, y, self.half_outer - self.plate)))

    def _bars(self, x: float, y: float, inside: float) -> Html:
        return joined(
            rect((x - self.overhang, top), self.pitch + 2 * self.overhang, self.plate, fill=METAL_DARK)
            for top in (y - inside - self.plate, y + inside)
        )


@dataclass(frozen=True, slots=True)
class Wheel:
    """A sprocket on the sheet."""

    centre: Point
    teeth: ToothForm

    @property
    def radius(self) -> float:
        """Of its pitch circle."""
        return self.teeth.pitch_diameter / 2

    def at(self, across: float, up: float, radius: float | None = None) -> Point:
        """A point at a radius in a direction of length one."""
        far = self.radius if radius is None else radius
        return self.centre[0] + far * across, self.centre[1] - far * up

    def drawn(self, turn: float = 0.0) -> Html:
        """Its teeth, its hub and its shaft."""
        return joined(
            (
                path(self.teeth.outline(self.centre, turn), fill=METAL),
                circle(self.centre, self.radius * 0.62, fill=PAPER),
                circle(self.centre, 2.5, fill=INK),
            )
        )


@dataclass(frozen=True, slots=True)
class Drive:
    """Two sprockets on one height, the front one on the left, and the loop round them."""

    front: Wheel
    rear: Wheel

    @property
    def lean(self) -> float:
        """How far a run's normal leans to the front, as the sine of its angle."""
        return (self.rear.radius - self.front.radius) / (self.rear.centre[0] - self.front.centre[0])

    def upper(self) -> tuple[Point, Point]:
        """The upper run, from the front sprocket to the rear one."""
        up = sqrt(1 - self.lean**2)
        return self.front.at(-self.lean, up), self.rear.at(-self.lean, up)

    def lower(self) -> tuple[Point, Point]:
        """The lower run, from the front sprocket to the rear one."""
        down = -sqrt(1 - self.lean**2)
        return self.front.at(-self.lean, down), self.rear.at(-self.lean, down)

    def loop(self, bend_lower: Point | None = None) -> Html:
        """The chain all round; the lower run goes by way of `bend_lower`, if given."""
        (a, b), (d, c) = self.upper(), self.lower()
        small, large = num(self.front.radius), num(self.rear.radius)
        way = f"L{xy(bend_lower)}" if bend_lower else ""
        return chain_along(
            f"M{xy(a)}L{xy(b)}A{large},{large} 0 1 1 {xy(c)}{way}L{xy(d)}A{small},{small} 0 0 1 {xy(a)}Z",
            self.front.teeth.pitch,
        )

    def drawn(self) -> Html:
        """Both sprockets."""
        return joined((self.front.drawn(), self.rear.drawn()))


def chain_along(d: str, pitch: float) -> Html:
    """A chain seen from far: its outline along a path, with a bright piece for every link."""
    width = 0.66 * pitch
    return group(
        path(d, stroke_width=width),
        path(d, stroke=METAL, stroke_width=width - 2.2),
        path(d, stroke=PAPER, stroke_width=width - 2.2, stroke_dasharray=f"1.2 {num(pitch - 1.2)}"),
        stroke_linejoin="round",
    )
