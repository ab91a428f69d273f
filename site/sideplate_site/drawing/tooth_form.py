"""Teeth of a sprocket, from pitch, roller diameter and number of teeth: a plain construction.

It shows how a tooth works and is no standard's profile. The rollers sit on the pitch circle, one pitch apart from
centre to centre. Each gap is an arc of the roller's own radius. A flank is the path that the roller's edge takes
when the chain is straightened: the roller swings about its neighbour, so the flank is an arc about the neighbour's
centre with the pitch less the roller's radius. The tip is cut off at the outside diameter.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, cos, hypot, pi, sin, sqrt, tan

from sideplate_site.drawing.svg import Point, num, xy


@dataclass(frozen=True, slots=True)
class ToothForm:
    """Teeth of one sprocket. All lengths are in one unit, the millimetre or that of a sheet."""

    pitch: float
    roller: float
    teeth: int
    pitch_diameter: float
    outside_diameter: float

    def scaled(self, scale: float) -> ToothForm:
        """The same teeth in another unit."""
        return ToothForm(
            self.pitch * scale,
            self.roller * scale,
            self.teeth,
            self.pitch_diameter * scale,
            self.outside_diameter * scale,
        )

    @property
    def tooth_angle(self) -> float:
        """Angle from tooth to tooth."""
        return 2 * pi / self.teeth

    @property
    def chord_height(self) -> float:
        """How far from the centre the line between two neighbouring rollers runs."""
        return self.pitch / 2 / tan(pi / self.teeth)

    @property
    def tip_height(self) -> float:
        """How far a tooth stands out above the line between the rollers beside it."""
        pointed = sqrt((self.pitch - self.roller / 2) ** 2 - (self.pitch / 2) ** 2)
        return min(self.outside_diameter / 2 - self.chord_height, pointed)

    def gap(self, number: float, turn: float = 0.0) -> Point:
        """Centre of a roller in its gap, with the sprocket's centre as origin; gap 0 is at the angle `turn`.

        Angles count from three o'clock against the clock, as on the sheet, where y goes down.
        """
        angle = turn + number * self.tooth_angle
        return self.pitch_diameter / 2 * cos(angle), -self.pitch_diameter / 2 * sin(angle)

    def half_width(self, height: float) -> float:
        """Half the width of a new tooth, `height` above the line between the rollers beside it."""
        return sqrt((self.pitch - self.roller / 2) ** 2 - height**2) - self.pitch / 2

    def outline(self, centre: Point, turn: float = 0.0, first: int = 0, last: int | None = None) -> str:
        """Path along the teeth from gap `first` to gap `last`, or closed round the whole sprocket."""
        closed = last is None
        end = self.teeth if last is None else last
        start = self._beside(first, first - 1, turn)
        parts = [f"M{xy(_moved(start, centre))}"]
        for number in range(first, end):
            parts += self._gap_and_tooth(number, centre, turn)
        if closed:
            parts.append("Z")
        else:
            seat = f"A{num(self.roller / 2)},{num(self.roller / 2)} 0 0 1 "
            parts.append(seat + xy(_moved(self._beside(end, end + 1, turn), centre)))
        return "".join(parts)

    def _gap_and_tooth(self, number: int, centre: Point, turn: float) -> Iterator[str]:
        """Round the seat, up one flank, across the tip, down the other."""
        seat, flank = num(self.roller / 2), num(self.pitch - self.roller / 2)
        beside = (self._beside(number, number + 1, turn), self._beside(number + 1, number, turn))
        left, down = (xy(_moved(stop, centre)) for stop in beside)
        up, over = (xy(_moved(corner, centre)) for corner in self._tip(number + 0.5, turn))
        yield f"A{seat},{seat} 0 0 1 {left}A{flank},{flank} 0 0 0 {up}L{over}A{flank},{flank} 0 0 0 {down}"

    def _tip(self, number: float, turn: float) -> tuple[Point, Point]:
        """The two corners of a tip."""
        middle, high = turn + number * self.tooth_angle, self.chord_height + self.tip_height
        half = atan2(self.half_width(self.tip_height), high)
        radius = hypot(high, self.half_width(self.tip_height))
        before, after = (
            (radius * cos(middle + side * half), -radius * sin(middle + side * half)) for side in (-1, 1)
        )
        return before, after

    def _beside(self, number: float, towards: float, turn: float) -> Point:
        """Where the line from a roller to its neighbour leaves the roller."""
        here, there = self.gap(number, turn), self.gap(towards, turn)
        share = self.roller / 2 / self.pitch
        return here[0] + (there[0] - here[0]) * share, here[1] + (there[1] - here[1]) * share


def _moved(point: Point, by: Point) -> Point:
    return point[0] + by[0], point[1] + by[1]
