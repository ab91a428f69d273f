"""One tooth as points, new and worn, between the bottoms of the gaps beside it.

Points go from left to right. The origin is half-way between the two rollers beside the tooth, on the line between
their centres; y goes up. Wear is drawn, not computed: a hooked tooth has lost what a roller takes away that lies
deeper in the loaded flank and higher than a new one, a thin tooth has lost as much from either flank.
"""

from __future__ import annotations

from math import atan2, cos, hypot, pi, sin, sqrt

from sideplate_site.drawing.svg import Point
from sideplate_site.drawing.tooth_form import ToothForm

_STEPS = 10


def new_tooth(form: ToothForm) -> list[Point]:
    """A tooth of the plain construction."""
    right = _flank(form, 0.0) + _seat(form, 0.0)
    return _mirrored(right) + right


def thin_tooth(form: ToothForm, lost: float) -> list[Point]:
    """A tooth that has lost `lost` from either flank; its tip is a point where the flanks meet."""
    right = [(max(x, 0.0), y) for x, y in _flank(form, lost)] + _seat(form, lost)
    return _mirrored(right) + right


def hooked_tooth(form: ToothForm, hollow: float, climb: float) -> list[Point]:
    """A tooth whose right flank a roller has hollowed that lies `hollow` deeper and `climb` higher than a new one."""
    new = _flank(form, 0.0) + _seat(form, 0.0)
    middle, radius = (form.pitch / 2 - hollow, climb), form.roller / 2
    outside = [hypot(x - middle[0], y - middle[1]) >= radius for x, y in new]
    first, last = outside.index(False), len(outside) - outside[::-1].index(False)
    kept_above, kept_below = new[:first], new[last:]
    start, end = (
        atan2(point[1] - middle[1], point[0] - middle[0]) % (2 * pi) for point in (new[first], new[last - 1])
    )
    worn = [
        (middle[0] + radius * cos(angle), middle[1] + radius * sin(angle)) for angle in _between(start, end)
    ]
    return _mirrored(_flank(form, 0.0) + _seat(form, 0.0)) + kept_above + worn + kept_below


def _flank(form: ToothForm, lost: float) -> list[Point]:
    """The right half of a tooth from its tip down to the line between the rollers."""
    high = form.tip_height
    if lost > form.half_width(high):
        # The flanks meet below the old tip, where a new tooth is as wide as what both have lost.
        high = sqrt((form.pitch - form.roller / 2) ** 2 - (form.pitch / 2 + lost) ** 2)
    heights = [high * (1 - number / _STEPS) for number in range(_STEPS + 1)]
    return [(form.half_width(height) - lost, height) for height in heights]


def _seat(form: ToothForm, lost: float) -> list[Point]:
    """From there round the seat of the right roller to the bottom of its gap."""
    middle, radius = form.pitch / 2 - lost, form.roller / 2
    bottom = 3 * pi / 2 - form.tooth_angle / 2
    arc = [(middle + radius * cos(angle), radius * sin(angle)) for angle in _between(pi, bottom)[1:]]
    return arc + ([(arc[-1][0] + lost, arc[-1][1])] if lost else [])


def _between(start: float, end: float) -> list[float]:
    return [start + (end - start) * number / _STEPS for number in range(_STEPS + 1)]


def _mirrored(right: list[Point]) -> list[Point]:
    return [(-x, y) for x, y in reversed(right)]
