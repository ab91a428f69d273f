"""The chain lifted off the rear sprocket at its rearmost point: less than half a tooth, and more."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, hypot, pi, sin

from sideplate_engine import KnowledgeBase
from sideplate_site.drawing.figures import NotInKnowledge, if_known
from sideplate_site.drawing.sprockets import tooth_form
from sideplate_site.drawing.svg import (
    METAL,
    PAPER,
    SMALL,
    Point,
    arrow,
    circle,
    line,
    num,
    path,
    pointing,
    sheet,
    text,
)
from sideplate_site.drawing.tooth_form import ToothForm
from sideplate_site.markup import Html, joined

TITLE = (
    "Lifting the chain at the rearmost point of the rear sprocket. The dashed line is half the height of the teeth. "
    "Lifting raises a suspicion; only the measured length tells how worn the chain is."
)
ALT = (
    "The rear edge of a rear sprocket, twice, with the chain pulled backwards. On the left the roller comes away by "
    "less than half the height of a tooth. On the right it comes away so far that more than half a tooth shows under "
    "it: then the chain is measured."
)

TEETH = 41
SCALE = 3.0
"""Units of the sheet for a millimetre."""
CASES = (
    ("less than half a tooth", "no sign of wear by itself", 0.22),
    ("half a tooth or more", "measure the length", 0.62),
)
"""What the fact says, what follows, and how far the roller is lifted here, in heights of a tooth."""
LIFTED = 2.6
"""How many rollers to either side the lifting reaches."""


@if_known
def draw(knowledge: KnowledgeBase) -> str:
    """The picture."""
    fact = knowledge.facts.get("chain.pull_off")
    if fact is None or any(name not in (fact.choices or ()) for name, _, _ in CASES):
        raise NotInKnowledge("how far a chain lifts off")
    form = tooth_form(knowledge, TEETH).scaled(SCALE)
    marks = [
        part
        for number, (name, words, lift) in enumerate(CASES)
        for part in _case(form, 182.0 * number, name, words, lift)
    ]
    told = " ".join(f"{name.capitalize()}: {(fact.choices or {})[name]}" for name, _, _ in CASES)
    return sheet(282, "Lifting the chain off the rear sprocket", told, *marks, scale=num(SCALE))


def _case(form: ToothForm, left: float, name: str, words: str, lift: float) -> Iterator[Html]:
    rear = (left + 84, 126.0)
    centre = (rear[0] - form.pitch_diameter / 2, rear[1])
    low, high = form.pitch_diameter / 2 - form.roller / 2, form.chord_height + form.tip_height
    yield path(form.outline(centre, 0, -2, 2) + _inside(form, centre, left + 6), fill=METAL)
    yield _arc(centre, (low + high) / 2)
    pins = [_lifted(form, centre, number, lift * (high - low)) for number in range(-2, 3)]
    yield line(*pins, stroke_width=1.0)
    for pin in pins:
        yield circle(pin, form.roller / 2, fill=PAPER, stroke_width=1.6)
    yield arrow((pins[2][0] + form.roller / 2 + 2, rear[1]), (left + 166, rear[1]), stroke_width=2.4)
    yield text((left + 166, rear[1] - 8), "pull", anchor="end", size=SMALL)
    half = (centre[0] + (low + high) / 2 * cos(0.25), centre[1] + (low + high) / 2 * sin(0.25))
    yield pointing((left + 98, 226), half, "half a tooth")
    yield text((left + 2, 256), name, bold=True)
    yield text((left + 2, 273), words, size=SMALL)


def _inside(form: ToothForm, centre: Point, left: float) -> str:
    """Closes the teeth's outline to the inside of the sprocket."""
    (_, top), (_, bottom) = form.gap(2), form.gap(-2)
    return f"L{num(left)},{num(centre[1] + top)}V{num(centre[1] + bottom)}Z"


def _lifted(form: ToothForm, centre: Point, number: int, lift: float) -> Point:
    """A roller's centre; the lift falls off from the rearmost one to those that still lie in the teeth."""
    x, y = form.gap(number)
    far = hypot(x, y)
    share = max(cos(min(abs(number) / LIFTED, 1) * pi / 2), 0.0) ** 2
    return centre[0] + x * (1 + lift * share / far), centre[1] + y * (1 + lift * share / far)


def _arc(centre: Point, radius: float) -> Html:
    ends = ((centre[0] + radius * cos(turn), centre[1] - radius * sin(turn)) for turn in (-0.3, 0.3))
    (x1, y1), (x2, y2) = ends
    d = f"M{num(x1)},{num(y1)}A{num(radius)},{num(radius)} 0 0 0 {num(x2)},{num(y2)}"
    return joined((path(d, stroke_dasharray="5 3", stroke_width=1.6),))
