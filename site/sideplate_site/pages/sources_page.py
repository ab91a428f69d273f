"""The page of sources: each with its kind, how far it was read, and what cites it."""

from __future__ import annotations

from collections import defaultdict

from sideplate_site.addresses import SOURCES
from sideplate_site.book import Book
from sideplate_site.markup import Html, definitions, el, joined, listing, paragraph
from sideplate_site.page import Page, Section
from sideplate_site.place import Place
from sideplate_site.relations import CitedBy

SOURCE_KINDS = {
    "standard": "Standards",
    "regulation": "Regulations",
    "handbook": "Handbooks",
    "textbook": "Textbooks",
    "paper": "Papers",
    "manual": "Makers' manuals, cited by class",
    "catalogue": "Makers' catalogues, cited by class",
    "own": "Worked out or compiled here",
    "practice": "Common practice",
    "memory": "Recalled, not verified",
}


def sources_page(book: Book) -> Page:
    """Every source: its kind, how far it was read, and what cites it."""
    place = Place(book, SOURCES)
    sections: list[Section] = []
    for kind, heading in SOURCE_KINDS.items():
        entries = [
            _source(place, name) for name, source in book.knowledge.sources.items() if source.kind == kind
        ]
        sections.append(Section(heading, f"kind-{kind}", joined(entries)))
    lead = paragraph(
        "Where the knowledge comes from, and how far the authors of these pages read each work themselves. A rule "
        "of thumb without a source is called common practice, and what was recalled says so."
    )
    return Page(SOURCES, "Sources", lead=lead, sections=tuple(sections), kind="index")


def _source(place: Place, name: str) -> Html:
    source = place.knowledge.sources[name]
    cited = place.book.relations.cited_by.get(name, ())
    told = definitions(
        (
            ("How far it was read", source.verified),
            ("Note", source.note or ""),
            ("Cited by", _cited(place, cited)),
        )
    )
    return el("section", el("h3", source.title), told, id=name, class_="sp-source")


def _cited(place: Place, cited: tuple[CitedBy, ...]) -> Html:
    """Who cites a source; one thing that cites several places in it is told once."""
    places: dict[tuple[str, str], list[str]] = defaultdict(list)
    for each in cited:
        places[each.kind, each.name].append(each.at)
    entries = [joined((place.anything(kind, name), _at(found))) for (kind, name), found in places.items()]
    if not entries:
        return paragraph("Nothing cites it yet.")
    if len(entries) < 8:
        return listing(entries)
    return el("details", el("summary", f"{len(entries)} pages"), listing(entries))


def _at(places: list[str]) -> str:
    named = [each for each in places if each]
    return f" ({'; '.join(named)})" if named else ""
