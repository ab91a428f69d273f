"""Pages that hold one kind of thing in a row, each with its anchor: glossary, sources, cautions and the like."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sideplate_engine import KnowledgeBase
from sideplate_engine.job_parts import JobParts
from sideplate_engine.vocabulary import Fact
from sideplate_site.addresses import (
    CAUTIONS,
    FACTS,
    FORMULAS,
    GLOSSARY,
    PICTURES,
    REFERENCE,
    SUBJECTS,
)
from sideplate_site.book import Book
from sideplate_site.markup import EMPTY, Html, capital, definitions, el, joined, listing, paragraph
from sideplate_site.page import Page, Section
from sideplate_site.picture_places import figures
from sideplate_site.place import Place


@dataclass(frozen=True, slots=True)
class PartOfJob:
    """A part of a job in the words of the trade, and the facts at home in it."""

    id: str
    title: str
    facts: tuple[Fact, ...]


def parts_of_jobs(knowledge: KnowledgeBase) -> list[PartOfJob]:
    """The parts in the knowledge's order; a fact that no part lists is at home in a part named after its subject."""
    known = JobParts(knowledge.parts, knowledge.facts)
    titles = {part.id: part.title for part in knowledge.parts.values()}
    found: dict[str, list[Fact]] = {id_: [] for id_ in titles}
    for fact in knowledge.facts.values():
        home = next(iter(known.of(fact.name)), fact.subject)
        found.setdefault(home, []).append(fact)
    return [
        PartOfJob(id_, titles.get(id_, capital(id_.replace("_", " "))), tuple(facts))
        for id_, facts in found.items()
        if facts
    ]


def facts_page(book: Book) -> Page:
    """All facts, by the part they belong to."""
    place = Place(book, FACTS)
    sections = [
        Section(part.title, part.id, place.facts(fact.name for fact in part.facts))
        for part in parts_of_jobs(book.knowledge)
    ]
    lead = paragraph("What a job sheet can state and what rules work out, by the part it belongs to.")
    return Page(FACTS, "Facts", lead=lead, sections=tuple(sections), kind="index")


def formulas_page(book: Book) -> Page:
    """All formulas, each with what it gives."""
    place = Place(book, FORMULAS)
    entries = [
        joined((el("strong", place.formula(formula.id)), f": {formula.gives_means}"))
        for formula in sorted(book.knowledge.formulas.values(), key=lambda formula: formula.title)
    ]
    lead = paragraph("Each with its symbols, its source, worked cases, and a calculator.")
    return Page(FORMULAS, "Formulas and calculators", lead=joined((lead, listing(entries))), kind="index")


def glossary_page(book: Book) -> Page:
    """Every fact and what it means, by name, with the other words for it."""
    place = Place(book, GLOSSARY)
    entries: list[Html] = []
    for name, fact in sorted(book.knowledge.facts.items()):
        called = (
            paragraph(f"Also called: {', '.join(fact.synonyms)}.", class_="sp-gloss")
            if fact.synonyms
            else EMPTY
        )
        choices = [joined((el("em", word), f": {gloss}")) for word, gloss in (fact.choices or {}).items()]
        entries.append(
            el(
                "div",
                el("dt", place.fact(name)),
                el("dd", paragraph(fact.means), called, listing(choices)),
                id=name,
            )
        )
    lead = paragraph("The words of the trade as Sideplate uses them. Each leads to its page.")
    return Page(
        GLOSSARY, "Glossary", lead=joined((lead, el("dl", *entries, class_="sp-glossary"))), kind="index"
    )


def cautions_page(book: Book) -> Page:
    """Every caution: the hazard, what to do, and where it comes up."""
    place = Place(book, CAUTIONS)
    sections = [
        Section(
            capital(name.replace("-", " ")),
            name,
            joined(
                (
                    el("div", paragraph(caution.hazard), paragraph(caution.do), class_="sp-caution"),
                    definitions(
                        (
                            ("Rules", place.rule_lines(book.relations.cautioned.get(name, ()))),
                            (
                                "Procedures",
                                listing(
                                    place.procedure(id_)
                                    for id_ in book.relations.cautioned_steps.get(name, ())
                                ),
                            ),
                        )
                    ),
                )
            ),
        )
        for name, caution in book.knowledge.cautions.items()
    ]
    lead = paragraph("What hurts people around a chain drive, and what keeps it from happening.")
    return Page(CAUTIONS, "Cautions", lead=lead, sections=tuple(sections), kind="index")


def subjects_page(book: Book) -> Page:
    """What rulings are about, with the rules about each: opposed ones would be a conflict."""
    place = Place(book, SUBJECTS)
    sections = [
        Section(
            said.rstrip("."),
            name,
            place.rule_lines(book.relations.about.get(name, ())) or paragraph("No rule speaks of it yet."),
        )
        for name, said in book.knowledge.subjects.items()
    ]
    lead = paragraph(
        "Rulings about one thing stand together here. Where two of them are opposed, a judgement says so."
    )
    return Page(SUBJECTS, "What rulings are about", lead=lead, sections=tuple(sections), kind="index")


def reference_page(book: Book, pages: Iterable[Page]) -> Page:
    """The pages that belong to no topic."""
    place = Place(book, REFERENCE)
    return Page(
        REFERENCE,
        "Reference",
        lead=listing(place.to(page.address, page.title) for page in pages),
        kind="index",
    )


def pictures_page(book: Book) -> Page:
    """Every picture there is."""
    lead = paragraph("Drawn from the figures of the knowledge, so that they change with it.")
    ways = listing(el("a", picture.heading, href=f"#{picture.anchor}") for picture in book.pictures.values())
    all_drawn = figures(book, tuple(book.pictures))
    return Page(PICTURES, "Pictures", lead=joined((lead, ways, all_drawn)), kind="index")
