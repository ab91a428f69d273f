"""The front sprocket as a polygon: how the chain rises and falls, and how its speed swings with few teeth."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, pi, sin

from sideplate_engine import KnowledgeBase
from sideplate_site.drawing.figures import computed, if_known, limits
from sideplate_site.drawing.plot import Axes
from sideplate_site.drawing.sprockets import SIZE, tooth_form
from sideplate_site.drawing.svg import (
    INK,
    METAL,
    PAPER,
    SMALL,
    Point,
    arrow,
    circle,
    filled,
    hatch,
    line,
    path,
    rect,
    sheet,
    text,
    turning,
    xy,
)
from sideplate_site.markup import Html

TITLE = (
    "Under a chain a sprocket is a polygon. With a corner on top the chain runs high and fast, with a flat on top low "
    "and slow, once for every tooth. The sprocket above has six teeth only to show it; below, real tooth counts."
)
ALT = (
    "A six-sided sprocket twice: with a corner on top the chain leaves it higher than with a flat on top. Below, a "
    "plot of the swing in chain speed against the teeth of the front sprocket: it falls steeply as teeth are added. A "
    "line marks the swing above which a front sprocket is too small for the road."
)

CORNERS, RADIUS = 6, 56.0
FEWEST, MOST = 9, 21
AXES_AT = (38.0, 212.0, 314.0, 150.0)
RULE = "small-front-on-the-road"


@if_known
def draw(knowledge: KnowledgeBase) -> str:
    """The picture: the swing by its formula, the line from the rule about small sprockets."""
    swing = {
        teeth: computed(knowledge, "chordal-speed-variation", N=teeth) for teeth in range(FEWEST, MOST + 1)
    }
    limit = limits(knowledge, RULE, "drive.chordal_variation")[0]
    axes = Axes(*AXES_AT, (FEWEST - 1, MOST + 1), (0.0, 1.0 + max(swing.values()) // 1))
    few, many = (max(n for n in swing if swing[n] > limit), 17)
    rises = {
        teeth: tooth_form(knowledge, teeth).pitch_diameter / 2 * swing[teeth] / 100 for teeth in (few, many)
    }
    told = " ".join(f"{teeth} teeth: {value:.2f} %." for teeth, value in swing.items())
    marks = (
        *_two_positions(),
        *_plot(axes, swing, limit),
        text((4, 422), f"Rise and fall of a {SIZE} chain:", bold=True),
        text((4, 440), ", ".join(f"{teeth} teeth {rise:.2f} mm" for teeth, rise in rises.items())),
    )
    return sheet(
        448,
        "The polygon effect",
        told,
        *marks,
        patterns=(hatch("polygon-effect-too-few", 8),),
        axes=axes.corners(),
    )


def _two_positions() -> Iterator[Html]:
    """A corner up and a flat up, and the difference between the two heights of the chain."""
    y, step = 92.0, 2 * pi / CORNERS
    high, low = y - RADIUS, y - RADIUS * cos(step / 2)
    for x, first, run, words in (
        (76.0, pi / 2, high, "corner on top: high, fast"),
        (254.0, pi / 2 - step / 2, low, "flat on top: low, slow"),
    ):
        corners = [
            (x + RADIUS * cos(first + step * number), y - RADIUS * sin(first + step * number))
            for number in range(CORNERS)
        ]
        end = x + (104 if run == high else 100)
        yield circle((x, y), RADIUS, stroke_dasharray="2 3", stroke_width=0.8)
        yield path("M" + " ".join(xy(corner) for corner in corners) + "Z", fill=METAL)
        yield circle((x, y), 3, fill=INK)
        yield line((x - RADIUS - 6, high), (end, high), stroke_dasharray="5 3", stroke_width=0.8)
        yield line(corners[0], (end, run), stroke_width=3.0)
        pins: list[Point] = [*corners[: CORNERS // 2 + 1], (corners[0][0] + RADIUS, run)]
        yield line(*reversed(pins[:-1]), stroke_width=3.0)
        for pin in pins:
            if pin[0] < end:
                yield circle(pin, 5, fill=PAPER, stroke_width=1.8)
        yield turning((x, y), 24, -30, -150)
        yield text((x, 168), words, anchor="middle", size=SMALL)
    yield arrow((345, high - 17), (345, high))
    yield arrow((345, low + 19), (345, low + 2))
    yield text((338, high - 8), "rise", anchor="end")


def _plot(axes: Axes, swing: dict[int, float], limit: float) -> Iterator[Html]:
    top = axes.y(axes.up[1])
    yield rect(
        (axes.left, top),
        axes.width,
        axes.y(limit) - top,
        fill=filled("polygon-effect-too-few"),
        stroke="none",
        opacity=0.45,
    )
    yield axes.frame(
        range(FEWEST, MOST + 1, 2),
        range(int(axes.up[1]) + 1),
        "teeth of the front sprocket",
        "swing of the chain's speed, %",
    )
    yield axes.level(limit, stroke_width=2.4, data_limit=f"{limit:g}")
    yield text(
        (axes.left + axes.width, axes.y(limit) - 7),
        f"above {limit:g} %: not on the road",
        anchor="end",
        halo=True,
    )
    yield axes.curve(swing.items(), "swing", stroke_width=0.8, stroke_dasharray="2 3")
    for teeth, value in swing.items():
        yield circle(axes.at(teeth, value), 3.6, fill=INK, data_teeth=str(teeth))
