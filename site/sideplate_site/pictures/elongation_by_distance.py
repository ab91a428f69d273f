"""Elongation against distance run: two checks give the pace, the pace gives the distance to the limit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sideplate_engine import KnowledgeBase
from sideplate_site.drawing.figures import cells, computed, example, if_known, limits, numbers, set_by
from sideplate_site.drawing.plot import Axes
from sideplate_site.drawing.sprockets import SIZE
from sideplate_site.drawing.svg import (
    INK,
    PAPER,
    SMALL,
    circle,
    filled,
    hatch,
    line,
    measure_across,
    rect,
    sheet,
    text,
)
from sideplate_site.markup import Html

TITLE = (
    "Elongation against distance, for an example chain measured twice: at the same pace it would reach the "
    "limit where the line meets it. The second line is a chain that wore faster between the checks. The machine's "
    "manual has the limit that counts; where it has none, the rules take the one marked as usual."
)
ALT = (
    "A plot of elongation in percent against distance run. From the first check a line goes through the second and, "
    "dashed, on to the usual limit; the stretch from the second check to the limit is the distance left. A steeper "
    "line from the same first check reaches the limit much sooner. Level lines show the published limits."
)

STATED = (
    "chain.measured_pitches",
    "chain.measured_length",
    "wear.earlier_length",
    "chain.distance_run",
    "wear.earlier_distance",
)
AXES_AT = (34.0, 26.0, 318.0, 220.0)


@dataclass(frozen=True, slots=True)
class Checked:
    """Two checks of a chain, in thousands of kilometres and percent, and what follows from them."""

    earlier: tuple[float, float]
    now: tuple[float, float]
    per_percent: float
    ratio: float


@if_known
def draw(knowledge: KnowledgeBase) -> str:
    """The picture: the chains of two rules' examples, the limits of three rules."""
    steady = _checked(knowledge, "distance-left-from-rate")
    faster = _checked(knowledge, "wear-gathers-speed")
    usual = set_by(knowledge, "limit-by-rule-of-thumb", "wear.limit")
    kart = set_by(knowledge, "limit-of-kart-chain", "wear.limit")
    industrial = limits(knowledge, "three-percent-on-a-motorcycle", "wear.limit")[0]
    ends = [_reaches(knowledge, each, usual) for each in (steady, faster)]
    axes = Axes(*AXES_AT, (0.0, max(ends) * 1.1), (0.0, industrial * 1.1))
    left = computed(knowledge, "distance-to-wear-limit", r=steady.per_percent, e=steady.now[1], k=usual)
    told = (
        f"Limits: {usual:g} % usual for motorcycles, {kart:g} % for kart chain 219, {industrial:g} % in industry. "
        f"At the first check the chain has {steady.earlier[1]:.2g} % after {1000 * steady.earlier[0]:.0f} km, at the "
        f"second {steady.now[1]:.2g} % after {1000 * steady.now[0]:.0f} km, which leaves {left:.0f} km to {usual:g} %. "
        f"The other chain wears {faster.ratio:.2g} times as fast as before and reaches {usual:g} % at "
        f"{1000 * ends[1]:.0f} km."
    )
    marks = (
        *_limits(axes, usual, kart, industrial),
        *_chain(knowledge, axes, steady, usual, "steady"),
        *_chain(knowledge, axes, faster, usual, "faster"),
        *_words(axes, steady, faster, ends, usual, left),
    )
    return sheet(
        296,
        "Elongation against distance",
        told,
        *marks,
        patterns=(hatch("elongation-by-distance-worn", 9),),
        axes=axes.corners(),
    )


def _checked(knowledge: KnowledgeBase, rule: str) -> Checked:
    """The chain of a rule's first example: its elongations by the formula, and its pace."""
    given = example(knowledge, rule, *STATED)
    pitches, length, before, distance, earlier = numbers(given, *STATED)
    pitch = cells(knowledge, "sizes", str(given.get("chain.size", SIZE)), "pitch")[0]
    e1 = computed(knowledge, "earlier-elongation", x=before, n=pitches, p=pitch)
    e2 = computed(knowledge, "elongation", L=length, n=pitches, p=pitch)
    checks = {"s1": earlier, "s2": distance, "e1": e1, "e2": e2}
    return Checked(
        (earlier / 1000, e1),
        (distance / 1000, e2),
        computed(knowledge, "distance-per-percent", **checks),
        computed(knowledge, "wear-rate-ratio", **checks),
    )


def _reaches(knowledge: KnowledgeBase, chain: Checked, elongation: float) -> float:
    """Thousands of kilometres at which the chain has that elongation, at the pace between its checks."""
    left = computed(knowledge, "distance-to-wear-limit", r=chain.per_percent, e=chain.now[1], k=elongation)
    return chain.now[0] + left / 1000


def _limits(axes: Axes, usual: float, kart: float, industrial: float) -> Iterator[Html]:
    high = axes.y(axes.up[1])
    yield rect(
        (axes.left, high),
        axes.width,
        axes.y(usual) - high,
        fill=filled("elongation-by-distance-worn"),
        stroke="none",
        opacity=0.45,
    )
    yield axes.frame(
        range(0, int(axes.across[1]) + 1, 5),
        range(int(axes.up[1]) + 1),
        "distance run, 1000 km",
        "elongation, %",
    )
    for value, words, dashes, width in (
        (industrial, f"{industrial:g} %: industrial drives", "2 3", 1.0),
        (usual, f"{usual:g} %: usual limit", "none", 2.4),
        (kart, f"{kart:g} %: kart chain 219", "2 3", 1.0),
    ):
        yield axes.level(value, stroke_dasharray=dashes, stroke_width=width, data_limit=f"{value:g}")
        yield text((axes.left + 6, axes.y(value) - 5), words, size=SMALL, halo=True)


def _chain(knowledge: KnowledgeBase, axes: Axes, chain: Checked, usual: float, name: str) -> Iterator[Html]:
    steps = [chain.earlier[1] + (usual - chain.earlier[1]) * number / 10 for number in range(11)]
    yield axes.curve([(0.0, 0.0), chain.earlier], f"{name}-before", stroke_width=1.2, stroke_dasharray="1 3")
    yield axes.curve([chain.earlier, chain.now], f"{name}-checked")
    yield axes.curve(
        [chain.now, *((_reaches(knowledge, chain, each), each) for each in steps if each > chain.now[1])],
        f"{name}-ahead",
        stroke_dasharray="6 4",
    )
    yield circle(axes.at(*chain.now), 4, fill=PAPER, stroke_width=2.0)
    yield circle(axes.at(*chain.earlier), 4, fill=INK)


def _words(
    axes: Axes, steady: Checked, faster: Checked, ends: list[float], usual: float, left: float
) -> Iterator[Html]:
    first, second = axes.at(*steady.earlier), axes.at(*steady.now)
    yield text((first[0] - 8, first[1] - 8), "first check", size=SMALL, anchor="end", halo=True)
    yield text((second[0] + 8, second[1] + 12), "second check", size=SMALL, halo=True)
    yield text(
        (axes.left + axes.width - 6, axes.y(usual) - 34), "worn out", anchor="end", bold=True, halo=True
    )
    low = axes.y(0) - 14
    for x in (second[0], axes.x(ends[0])):
        yield line((x, low + 4), (x, low - 8), stroke_width=0.8)
    yield measure_across(second[0], axes.x(ends[0]), low, f"{left:.0f} km left")
    yield text(
        (axes.x(ends[1]) - 4, axes.y(usual) - 8),
        f"{faster.ratio:.2g} times the pace",
        anchor="end",
        halo=True,
    )
