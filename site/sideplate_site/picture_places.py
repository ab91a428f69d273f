"""Which pages show which pictures. A picture that is not drawn, or not yet, is left out without a word."""

from __future__ import annotations

from sideplate_site.book import Book
from sideplate_site.markup import Html, joined

ON_TOPICS = {
    "identification": ("chain-sizes", "link-taken-apart"),
    "sealing": ("ring-sections",),
    "connectors": ("clip-direction",),
    "slack": ("slack-measuring", "slack-through-stroke"),
    "wear": ("elongation-by-distance", "tooth-wear"),
    "length": ("cut-lengths",),
}
ON_TABLES = {"sizes": ("chain-sizes",), "agents": ("ring-sections",)}
ON_FACTS = {
    "chain.ring_section": ("ring-sections",),
    "connector.clip_closed_end": ("clip-direction",),
    "slack.measured": ("slack-measuring",),
    "slack.in_line": ("slack-through-stroke",),
    "front_sprocket.wear": ("tooth-wear",),
    "rear_sprocket.wear": ("tooth-wear",),
    "chain.elongation": ("elongation-by-distance",),
    "cut.ends": ("cut-lengths",),
    "chain.pitch": ("link-taken-apart",),
}
ON_PROCEDURES = {
    "fit-a-clip-link": ("clip-direction",),
    "cut-a-chain": ("cut-lengths",),
    "adjust-slack": ("slack-measuring",),
    "measure-wear": ("tooth-wear",),
}
ON_FORMULAS = {"slack-in-line": ("slack-through-stroke",), "elongation": ("elongation-by-distance",)}


def figures(book: Book, wanted: tuple[str, ...]) -> Html:
    """The pictures of these names that are drawn, one below the other."""
    return joined(book.pictures[name].figure() for name in wanted if name in book.pictures)
