"""SVG as text: the marks a picture is made of, and the sheet they stand on.

Lengths are units of the sheet, x to the right and y down. Every sheet is WIDTH units wide, so that a letter of
SMALL units is still 11 pixels high on a phone 360 pixels wide, whose page leaves a picture 332 of them.
Strokes and letters are `currentColor`; what else has a colour has one of the site's, so that a picture is
legible in light, in dark and in print.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import atan2, cos, hypot, radians, sin
from typing import TypeAlias

from sideplate_site.markup import Html, el, html, joined

Point: TypeAlias = tuple[float, float]

WIDTH = 360
ON_A_DESK = 480
"""Pixels that a picture is wide where there is room."""
TEXT, SMALL = 13.0, 12.0
LEADING = 15.0

INK = "currentColor"
PAPER = "var(--md-default-bg-color, Canvas)"
METAL = "var(--sp-metal, #9aa7b0)"
METAL_DARK = "var(--sp-metal-dark, #5b6972)"
RUBBER = "var(--sp-rubber, #2f3438)"
SOFT = "var(--sp-soft, #8881)"

_HEAD = 7.0
_HALF_HEAD = 2.6
_LETTER = 0.5
"""Width of a letter to its size, about."""


def num(value: float) -> str:
    """A number with at most two decimals, as short as it can be."""
    short = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if short == "-0" else short


def xy(point: Point) -> str:
    """A point as paths write it."""
    return f"{num(point[0])},{num(point[1])}"


def mark(name: str, *children: str, **style: str | float) -> Html:
    """An element of SVG; underscores in the names of its attributes become hyphens."""
    written = {key: value if isinstance(value, str) else num(value) for key, value in style.items()}
    return el(name, *children, **written)


def path(d: str, **style: str | float) -> Html:
    """A path."""
    return mark("path", d=d, **style)


def line(*points: Point, **style: str | float) -> Html:
    """Straight lines from point to point."""
    return path("M" + " ".join(xy(point) for point in points), **style)


def circle(centre: Point, radius: float, **style: str | float) -> Html:
    """A circle."""
    return mark("circle", cx=centre[0], cy=centre[1], r=radius, **style)


def rect(corner: Point, width: float, height: float, **style: str | float) -> Html:
    """A rectangle; `corner` is the upper left one."""
    return mark("rect", x=corner[0], y=corner[1], width=width, height=height, **style)


def group(*children: str, **style: str | float) -> Html:
    """Marks that share a style."""
    return mark("g", *children, **style)


def text(
    at: Point, *lines: str, size: float = TEXT, anchor: str = "start", bold: bool = False, halo: bool = False
) -> Html:
    """Words, a line below the other; `at` is where the first stands. A halo of paper parts them from lines behind."""
    style: dict[str, str | float] = {"x": at[0], "y": at[1], "fill": INK, "stroke": "none"}
    if size != TEXT:
        style["font_size"] = size
    if anchor != "start":
        style["text_anchor"] = anchor
    if bold:
        style["font_weight"] = "700"
    if halo:
        style |= {"stroke": PAPER, "stroke_width": 3.0, "stroke_linejoin": "round", "paint_order": "stroke"}
    if len(lines) == 1:
        return mark("text", lines[0], **style)
    rows = (
        mark("tspan", words, x=at[0], dy=LEADING if number else 0.0) for number, words in enumerate(lines)
    )
    return mark("text", *rows, **style)


def arrow(tail: Point, head: Point, *, both: bool = False, **style: str | float) -> Html:
    """A straight arrow, with a head at either end if `both`."""
    angle = atan2(head[1] - tail[1], head[0] - tail[0])
    heads = [_arrowhead(head, angle)]
    if both:
        heads.append(_arrowhead(tail, angle + radians(180)))
    return joined((line(tail, head, **style), *heads))


def turning(centre: Point, radius: float, start: float, end: float) -> Html:
    """An arrow round a centre, from one angle to another: degrees from three o'clock, positive clockwise."""
    first, last = (
        (centre[0] + radius * cos(radians(each)), centre[1] + radius * sin(radians(each)))
        for each in (start, end)
    )
    large = "1" if abs(end - start) > 180 else "0"
    sweep = "1" if end > start else "0"
    drawn = path(f"M{xy(first)}A{num(radius)},{num(radius)} 0 {large} {sweep} {xy(last)}")
    return joined((drawn, _arrowhead(last, radians(end + (90 if end > start else -90)))))


def _arrowhead(at: Point, angle: float) -> Html:
    back = (at[0] - _HEAD * cos(angle), at[1] - _HEAD * sin(angle))
    across = (_HALF_HEAD * sin(angle), -_HALF_HEAD * cos(angle))
    corners = (at, (back[0] + across[0], back[1] + across[1]), (back[0] - across[0], back[1] - across[1]))
    return path("M" + " ".join(xy(corner) for corner in corners) + "Z", fill=INK, stroke="none")


def measure_across(x1: float, x2: float, y: float, words: str) -> Html:
    """A measure from x1 to x2 at height y, with its words above the line."""
    told = text(((x1 + x2) / 2, y - 6), words, anchor="middle", halo=True)
    return joined((arrow((x1, y), (x2, y), both=True), told))


def pointing(at: Point, to: Point, *lines: str, anchor: str = "start") -> Html:
    """Words with a thin line to what they name. The line leaves them on the side that faces it."""
    wide = max(len(words) for words in lines) * TEXT * _LETTER
    left = at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
    top, bottom = at[1] - 13.0, at[1] + 5.0 + LEADING * (len(lines) - 1)
    begin = (min(max(to[0], left - 4), left + wide + 4), min(max(to[1], top), bottom))
    if left < begin[0] < left + wide:
        begin = (begin[0], bottom if to[1] > bottom else top)
    else:
        begin = (begin[0], (top + bottom) / 2)
    return joined(
        (line(begin, to, stroke_width=0.8), circle(to, 1.8, fill=INK), text(at, *lines, anchor=anchor))
    )


def hatch(name: str, spacing: float = 6.0, angle: float = 45.0) -> Html:
    """A pattern of parallel lines; fill with `filled(name)`. Its name must be its own on the page."""
    stripe = path(f"M0,0V{num(spacing)}", stroke=INK, stroke_width=0.8)
    return mark(
        "pattern",
        stripe,
        id=name,
        width=spacing,
        height=spacing,
        patternUnits="userSpaceOnUse",
        patternTransform=f"rotate({num(angle)})",
    )


def filled(name: str) -> str:
    """The fill with a pattern."""
    return f"url(#{name})"


def sheet(
    height: float, title: str, told: str, *marks: str, patterns: Iterable[str] = (), **facts: str
) -> str:
    """The picture: its marks under a title and a text that tells its figures. `facts` are kept as data."""
    data = {f"data_{key}": value for key, value in facts.items()}
    defined = joined(patterns)
    return el(
        "svg",
        el("title", html(title)),
        el("desc", html(told)),
        el("defs", defined) if defined else "",
        joined(marks),
        viewBox=f"0 0 {WIDTH} {num(height)}",
        width=str(ON_A_DESK),
        font_family="inherit",
        font_size=num(TEXT),
        fill="none",
        stroke=INK,
        stroke_width="1.2",
        **data,
    )


def length_of(a: Point, b: Point) -> float:
    """How far two points are apart."""
    return hypot(b[0] - a[0], b[1] - a[1])
