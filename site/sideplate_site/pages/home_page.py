"""The home page: what is on the bench? Ways in by symptom, by part, by task, and by topic."""

from __future__ import annotations

from sideplate_site.addresses import FACTS, FORMULAS, GRAPH, HOME, SEARCH, TABLES, TOPICS
from sideplate_site.book import Book
from sideplate_site.markup import Html, capital, el, joined, listing, paragraph
from sideplate_site.page import Page, Section
from sideplate_site.pages.lists import parts_of_jobs
from sideplate_site.place import Place

SYMPTOMS = (
    "chain.condition",
    "chain.pull_off",
    "chain.rollers",
    "chain.kinks_after_cleaning",
    "chain.rust_depth",
    "front_sprocket.wear",
    "rear_sprocket.wear",
    "front_sprocket.on_shaft",
    "rear_sprocket.nuts",
    "connector.condition",
    "connector.plate_fit",
)
"""The facts whose choices are what a mechanic sees is wrong."""

QUESTIONS = (
    ("Which size is it, and what else fits?", "tables", "sizes"),
    ("How many links do I need?", "formulas", "chain-length-in-pitches"),
    ("How tight should it be?", "topics", "slack"),
    ("Is it worn out?", "topics", "wear"),
    ("Which connecting link, and how is it closed?", "topics", "connectors"),
    ("What may touch the rings?", "tables", "agents"),
    ("What do I oil it with, when and where?", "topics", "lubrication"),
    ("What is due, and when?", "topics", "schedule"),
)
"""What is asked at the counter, and where the answer stands: a kind of page and a name."""


def home_page(book: Book) -> Page:
    """The page a visit begins on."""
    place = Place(book, HOME)
    return Page(
        HOME,
        "What is on the bench?",
        lead=joined((_intro(place), _questions(place))),
        sections=(
            Section("By what you see", "symptoms", _symptoms(place)),
            Section("By task", "tasks", _tasks(place)),
            Section("By part", "parts", _parts(place)),
            Section("By topic, in the order of learning", "topics", _topics(place)),
            Section("At the bench, in a terminal", "terminal", _terminal()),
        ),
        short_title="Home",
        kind="home",
    )


def _intro(place: Place) -> Html:
    counts = place.knowledge
    what = (
        f"{len(counts.rules)} rules about roller chains and their sprockets on motorcycles, each with its reason "
        f"and its source; {len(counts.formulas)} formulas with calculators; tables, procedures and cautions."
    )
    return joined(
        (
            paragraph(what, class_="sp-says"),
            paragraph(
                place.to(SEARCH, "Search everything"),
                " (press ",
                el("kbd", "/"),
                " on any page), or begin here:",
            ),
        )
    )


def _questions(place: Place) -> Html:
    addresses, knowledge = place.book.addresses, place.knowledge
    holders = {
        "tables": (knowledge.tables, addresses.table),
        "formulas": (knowledge.formulas, addresses.formula),
        "topics": (knowledge.topics, addresses.topic),
    }
    links = [
        place.to(address(name), question)
        for question, kind, name in QUESTIONS
        for known, address in (holders[kind],)
        if name in known
    ]
    return listing(links, class_="sp-tiles")


def _symptoms(place: Place) -> Html:
    cards: list[Html] = []
    for name in SYMPTOMS:
        fact = place.knowledge.facts.get(name)
        if fact is None:
            continue
        seen = [
            place.to(place.book.addresses.choice(name, word), capital(word))
            for word in fact.choices or ()
            if (name, word) in place.book.relations.speaks_of
        ]
        if seen:
            cards.append(el("section", el("h3", fact.ask), listing(seen), class_="sp-card"))
    return el("div", *cards, class_="sp-cards") if cards else Html("")


def _tasks(place: Place) -> Html:
    return listing(
        joined((el("strong", place.procedure(procedure.id)), f": {procedure.purpose}"))
        for procedure in place.knowledge.procedures.values()
    )


def _parts(place: Place) -> Html:
    links = [
        place.to(f"{FACTS}#{part.id}", f"{part.title} ({len(part.facts)})")
        for part in parts_of_jobs(place.knowledge)
    ]
    return listing(links, class_="sp-tiles sp-small-tiles")


def _topics(place: Place) -> Html:
    entries = [
        joined((place.topic(id_), f": {topic.about}")) for id_, topic in place.knowledge.topics.items()
    ]
    more = paragraph(
        "Also: ",
        joined(
            (
                place.to(TOPICS, "all topics"),
                place.to(FORMULAS, "all formulas"),
                place.to(TABLES, "all tables"),
                place.to(GRAPH, "how the rules hang together"),
            ),
            ", ",
        ),
        ".",
    )
    return joined((listing(entries, ordered=True), more))


def _terminal() -> Html:
    commands = (
        ("sideplate judge JOB.yaml", "rulings on a job sheet, with reasons and sources"),
        ("sideplate show half link", "anything on this site, in the terminal"),
        ("sideplate practise", "a round of questions, judged and explained"),
    )
    return listing(joined((el("code", command), f": {what}")) for command, what in commands)
