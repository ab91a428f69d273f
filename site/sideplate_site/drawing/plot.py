"""Plots: axes with their figures, and curves on them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sideplate_site.drawing.svg import SMALL, Point, line, num, path, text, xy
from sideplate_site.markup import Html, joined


@dataclass(frozen=True, slots=True)
class Axes:
    """A field of the sheet and the values at its edges. `left` and `top` are its upper left corner."""

    left: float
    top: float
    width: float
    height: float
    across: tuple[float, float]
    up: tuple[float, float]

    def x(self, value: float) -> float:
        """Where a value lies across the sheet."""
        low, high = self.across
        return self.left + (value - low) / (high - low) * self.width

    def y(self, value: float) -> float:
        """Where a value lies down the sheet."""
        low, high = self.up
        return self.top + self.height - (value - low) / (high - low) * self.height

    def at(self, across: float, up: float) -> Point:
        """Where a pair of values lies."""
        return self.x(across), self.y(up)

    def frame(
        self,
        across: Sequence[float],
        up: Sequence[float],
        across_words: str,
        up_words: str,
        unit_up: str = "",
    ) -> Html:
        """The axes with a figure at each tick, the words for what goes across below, for what goes up above."""
        low, bottom = self.top + self.height, self.top + self.height + 16
        marks: list[str] = [
            line((self.left, self.top), (self.left, low), (self.left + self.width, low)),
            text((self.left - 4, self.top - 12), up_words, size=SMALL, anchor="start"),
            text((self.left + self.width, bottom + 17), across_words, size=SMALL, anchor="end"),
        ]
        for value in across:
            at = self.x(value)
            marks.append(line((at, low), (at, low + 4)))
            marks.append(text((at, bottom), f"{value:g}", size=SMALL, anchor="middle"))
        for value in up:
            at = self.y(value)
            marks.append(line((self.left - 4, at), (self.left, at)))
            marks.append(line((self.left, at), (self.left + self.width, at), stroke_width=0.5, opacity=0.35))
            marks.append(text((self.left - 7, at + 4), f"{value:g}{unit_up}", size=SMALL, anchor="end"))
        return joined(marks)

    def curve(self, values: Iterable[tuple[float, float]], name: str, **style: str | float) -> Html:
        """A curve through pairs of values; `name` is kept as data."""
        points = " ".join(xy(self.at(*pair)) for pair in values)
        drawn: dict[str, str | float] = {"stroke_width": 2.2, **style}
        return path(f"M{points}", data_curve=name, **drawn)

    def level(self, value: float, **style: str | float) -> Html:
        """A line all across at one value."""
        return line((self.left, self.y(value)), (self.left + self.width, self.y(value)), **style)

    def corners(self) -> str:
        """What a test needs to read values off the sheet: the field, and the values at its edges."""
        numbers = (self.left, self.top, self.width, self.height, *self.across, *self.up)
        return " ".join(num(number) for number in numbers)
