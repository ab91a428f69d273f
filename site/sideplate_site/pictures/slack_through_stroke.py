"""Slack through the swingarm's stroke, worked out for a machine of the workshop, with its tightest position."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, pi, sin

from sideplate_engine import KnowledgeBase, geometry
from sideplate_site.drawing.figures import computed, example, if_known, numbers
from sideplate_site.drawing.plot import Axes
from sideplate_site.drawing.svg import (
    INK,
    METAL,
    PAPER,
    SMALL,
    Point,
    circle,
    filled,
    hatch,
    line,
    pointing,
    rect,
    sheet,
    text,
)
from sideplate_site.markup import Html

TITLE = (
    "Slack through the swingarm's stroke, worked out for the workshop's long-travel machine. The chain is tightest "
    "where countershaft, pivot and axle are in line, and a slack that looks right on the stand can be gone there. "
    "Distances are those from countershaft to axle."
)
ALT = (
    "Above, a swingarm seen from the left in three positions: as the machine stands, with countershaft, pivot and axle "
    "in line, and beyond. Below, curves of slack against the travel of the axle: slack falls towards the position in "
    "line, is least there, and grows again beyond it. One chain keeps some slack in line; the other is "
    "bar-tight before it."
)

ARMS = ("swingarm.pivot_to_countershaft", "swingarm.pivot_to_axle", "swingarm.pivot_off_line")
SAMPLES = 120
AXES_AT = (40.0, 206.0, 312.0, 170.0)


@dataclass(frozen=True, slots=True)
class Swingarm:
    """The two arms, and the angle between them as the machine stands; millimetres and radians."""

    short: float
    long: float
    angle: float

    def travel(self, angle: float) -> float:
        """How far the axle has gone round the pivot from where it stands."""
        return self.long * (angle - self.angle)

    def slack(self, set_to: float, angle: float) -> float:
        """Slack at an angle, of a chain that shows `set_to` as the machine stands."""
        return geometry.slack_through_stroke(set_to, self.angle, (angle,), self.short, self.long)[0]


@if_known
def draw(knowledge: KnowledgeBase) -> str:
    """The picture: the machine of two rules' examples, set as it is and as it should be."""
    given = example(knowledge, "slack-to-set-on-the-stand", "slack.kept_in_line", *ARMS)
    kept, short, long, off = numbers(given, "slack.kept_in_line", *ARMS)
    too_little = numbers(example(knowledge, "bar-tight-in-line", "slack.measured", *ARMS), "slack.measured")[
        0
    ]
    stands = computed(knowledge, "countershaft-to-axle-as-it-stands", a=short, s=long, h=off)
    in_line = computed(
        knowledge, "countershaft-to-axle-in-line", pivot_to_countershaft=short, pivot_to_axle=long
    )
    enough = computed(
        knowledge,
        "slack-to-set-for-the-line",
        slack_kept=kept,
        tightest_distance=in_line,
        stand_distance=stands,
    )
    arm = Swingarm(short, long, geometry.angle_from_distance(short, long, stands))
    end = 2 * arm.travel(pi)
    axes = Axes(*AXES_AT, (0.0, end), (0.0, 10.0 * (enough // 10 + 1)))
    told = (
        f"Pivot to countershaft {short:g} mm, pivot to axle {long:g} mm. As the machine stands, countershaft and axle "
        f"are {stands:.2f} mm apart, in line {in_line:.2f} mm. Set to {enough:.0f} mm as it stands, {kept:g} mm are "
        f"left in line; set to {too_little:g} mm, nothing is left from {_gone(arm, too_little):.0f} mm of travel on."
    )
    return sheet(
        458,
        "Slack through the swingarm's stroke",
        told,
        *_side_view(arm, stands, in_line),
        *_plot(arm, axes, enough, kept, too_little),
        patterns=(hatch("slack-through-stroke-tight"),),
        axes=axes.corners(),
    )


def _angles(arm: Swingarm) -> Iterator[float]:
    """From where it stands through the line to as far beyond."""
    half = pi - arm.angle
    for number in range(SAMPLES + 1):
        yield arm.angle + 2 * half * number / SAMPLES


def _gone(arm: Swingarm, set_to: float) -> float:
    """The travel at which the last slack is gone, found by halving."""
    low, high = arm.angle, pi
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if arm.slack(set_to, middle) > 0 else (low, middle)
    return arm.travel(high)


def _plot(arm: Swingarm, axes: Axes, enough: float, kept: float, too_little: float) -> Iterator[Html]:
    end, line_at = axes.across[1], arm.travel(pi)
    yield axes.frame(
        range(0, int(end) + 1, 50),
        range(0, int(axes.up[1]) + 1, 10),
        "travel of the axle from where it stands, mm",
        "slack, mm",
    )
    gone = _gone(arm, too_little)
    left, right = axes.x(gone), axes.x(2 * line_at - gone)
    yield rect(
        (left, axes.y(0) - 9), right - left, 9, fill=filled("slack-through-stroke-tight"), stroke_width=0.8
    )
    yield line((axes.x(line_at), axes.top), (axes.x(line_at), axes.y(0)), stroke_dasharray="2 3")
    keys = (
        ("kept", enough, "none", f"set to {enough:.0f} mm: {kept:g} mm left in line"),
        ("tight", too_little, "7 4", f"set to {too_little:g} mm: bar-tight where hatched"),
    )
    for number, (name, set_to, dashes, words) in enumerate(keys):
        values = [(arm.travel(angle), arm.slack(set_to, angle)) for angle in _angles(arm)]
        yield axes.curve(values, name, stroke_dasharray=dashes, data_set=f"{set_to:.4f}")
        y = 431.0 + 19 * number
        yield line((4, y - 4), (42, y - 4), stroke_dasharray=dashes, stroke_width=2.2)
        yield text((50, y), words)
    yield circle(axes.at(line_at, kept), 4, fill=PAPER, stroke_width=2.0)
    yield text(
        (axes.x(line_at), axes.top + 50), "in line:", "tightest here", anchor="middle", bold=True, halo=True
    )


def _side_view(arm: Swingarm, stands: float, in_line: float) -> Iterator[Html]:
    """The arms to scale, the front on the left and the line from countershaft to pivot level."""
    scale = 318 / (arm.short + arm.long)
    countershaft: Point = (14.0, 84.0)
    pivot = (countershaft[0] + arm.short * scale, countershaft[1])
    for angle, dashes, width in (
        (2 * pi - arm.angle, "2 3", 1.2),
        (pi, "6 3", 1.6),
        (arm.angle, "none", 2.4),
    ):
        turn = angle - pi
        axle = (pivot[0] + arm.long * scale * cos(turn), pivot[1] - arm.long * scale * sin(turn))
        yield line(pivot, axle, stroke_dasharray=dashes, stroke_width=width)
        yield circle(axle, 5, fill=METAL)
    yield line(countershaft, pivot, stroke_width=2.4)
    yield circle(countershaft, 6, fill=METAL)
    yield circle(pivot, 4, fill=INK)
    yield text((4, 66), "countershaft", size=SMALL)
    yield pointing((64, 116), pivot, "pivot")
    yield text((300, 152), f"as it stands: {stands:.2f} mm apart", anchor="end", halo=True)
    yield text((322, 78), f"in line: {in_line:.2f} mm apart", anchor="end", halo=True)
    yield text((300, 26), "beyond the line", anchor="end", size=SMALL)
    yield text((2, 12), "front on the left", size=SMALL)
