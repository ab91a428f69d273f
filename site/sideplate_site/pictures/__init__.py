"""Pictures drawn from the knowledge. A module here draws one; its name, with hyphens, is the picture's name.

A picture module has `TITLE` (its caption), `ALT` (what it shows, for who cannot see it) and
`draw(knowledge) -> str`, an SVG text. It draws from the knowledge alone, and returns an empty text where the
knowledge lacks the figures. Strokes and letters are `currentColor` or one of the site's `--sp-` colours, so
that the picture is legible in light, in dark and in print. What it is drawn with is in `sideplate_site.drawing`,
whose `sheet` gives it a short title and a text that tells its figures. `picture_places` says which pages show it.
"""

from __future__ import annotations

import pkgutil
import re
from collections.abc import Mapping
from dataclasses import dataclass
from html import unescape
from importlib import import_module

from sideplate_engine import KnowledgeBase
from sideplate_site.markup import Html, el, html

_START = re.compile(r"<svg\b")
_HEADING = re.compile("<title>(.*?)</title>")


class NoPicture(ValueError):
    """A module among the pictures that does not draw one."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawn picture."""

    name: str
    title: str
    alt: str
    svg: str

    @property
    def heading(self) -> str:
        """Its short title, which the drawing carries; its name where it carries none."""
        found = _HEADING.search(self.svg)
        return unescape(found[1]) if found else self.name.replace("-", " ").capitalize()

    @property
    def anchor(self) -> str:
        """Where it stands on its page; no step or choice there can have the same anchor."""
        return f"picture-{self.name}"

    def figure(self) -> Html:
        """The picture with its caption, named for who listens instead of looking."""
        named = el("svg", role="img", aria_label=self.alt).removesuffix("></svg>")
        drawn = Html(_START.sub(lambda _: named, self.svg, count=1))
        return el("figure", drawn, el("figcaption", html(self.title)), class_="sp-picture", id=self.anchor)


def names() -> tuple[str, ...]:
    """The names of the pictures there are, by name."""
    found = (module.name for module in pkgutil.iter_modules(__path__))
    return tuple(sorted(name.replace("_", "-") for name in found if not name.startswith("_")))


def draw_all(knowledge: KnowledgeBase) -> Mapping[str, Picture]:
    """Every picture that this knowledge has the figures for. Raises NoPicture."""
    drawn = (draw(name, knowledge) for name in names())
    return {picture.name: picture for picture in drawn if picture.svg}


def draw(name: str, knowledge: KnowledgeBase) -> Picture:
    """One picture; its SVG is empty where the knowledge lacks the figures. Raises NoPicture."""
    module = import_module(f"{__name__}.{name.replace('-', '_')}")
    missing = [part for part in ("TITLE", "ALT", "draw") if not hasattr(module, part)]
    if missing:
        raise NoPicture(f"the picture {name} has no {' and no '.join(missing)}")
    svg = module.draw(knowledge)
    if svg and not _START.match(svg):
        raise NoPicture(f"the picture {name} does not begin with <svg")
    return Picture(name, module.TITLE, module.ALT, svg)
