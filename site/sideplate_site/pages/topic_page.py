"""A topic's page: what it is about, what to read first, its pictures, procedures and rules, the weightiest first."""

from __future__ import annotations

from collections.abc import Iterable

from sideplate_engine.rules import Rule
from sideplate_site.addresses import TOPICS
from sideplate_site.book import Book
from sideplate_site.markup import EMPTY, Html, el, joined, listing, paragraph
from sideplate_site.page import Page, Section
from sideplate_site.picture_places import ON_TOPICS, figures
from sideplate_site.place import Place, force_mark, practise

FORCES = ("must not", "must", "should not", "should", "may")
HEADINGS = {
    "must not": "Must not",
    "must": "Must",
    "should not": "Should not",
    "should": "Should",
    "may": "May",
}


def topic_page(book: Book, id_: str) -> Page:
    """The page of one topic."""
    topic = book.knowledge.topics[id_]
    place = Place(book, book.addresses.topic(id_))
    rules = book.knowledge.rules_of(id_)
    ruling = [
        Section(
            HEADINGS[force], force.replace(" ", "-"), _said(place, (r for r in rules if r.force == force))
        )
        for force in FORCES
    ]
    return Page(
        place.address,
        topic.title,
        lead=joined(
            (
                paragraph(topic.about, class_="sp-says"),
                _first(place, topic.after),
                practise(book, id_),
                figures(book, ON_TOPICS.get(id_, ())[:1]),
            )
        ),
        sections=(
            *ruling,
            Section("More pictures", "pictures", figures(book, ON_TOPICS.get(id_, ())[1:])),
            Section("What is worked out", "worked-out", _said(place, (r for r in rules if not r.is_ruling))),
            Section("Procedures", "procedures", _procedures(place, id_)),
            Section("Go on with", "next", _next(place, id_)),
        ),
        kind="topic",
    )


def topics_page(book: Book) -> Page:
    """All topics in teaching order."""
    place = Place(book, TOPICS)
    entries = [
        joined(
            (
                el("strong", place.topic(id_)),
                f": {topic.about} ",
                el("small", f"{len(book.knowledge.rules_of(id_))} rules", class_="sp-gloss"),
                _first(place, topic.after),
            )
        )
        for id_, topic in book.knowledge.topics.items()
    ]
    lead = paragraph("In the order in which they are best learnt. Each builds on those before it.")
    return Page(TOPICS, "Topics", lead=joined((lead, listing(entries, ordered=True))), kind="index")


def _first(place: Place, after: Iterable[str]) -> Html:
    links = joined((place.topic(id_) for id_ in after), ", ")
    return paragraph("Read first: ", links, ".", class_="sp-gloss") if links else EMPTY


def _procedures(place: Place, id_: str) -> Html:
    return listing(
        joined((el("strong", place.procedure(procedure.id)), f": {procedure.purpose}"))
        for procedure in place.knowledge.procedures.values()
        if procedure.topic == id_
    )


def _next(place: Place, id_: str) -> Html:
    following = [other for other, topic in place.knowledge.topics.items() if id_ in topic.after]
    return listing(
        joined((place.topic(other), ": ", place.knowledge.topics[other].about)) for other in following
    )


def _said(place: Place, rules: Iterable[Rule]) -> Html:
    return listing(
        (
            joined(
                (
                    el("strong", place.rule(rule.id)),
                    el("br"),
                    force_mark(rule),
                    " ",
                    place.text(rule.says),
                )
            )
            for rule in rules
        ),
        class_="sp-rules sp-said",
    )
