"""A procedure's page: numbered steps with their reasons, cautions at the step, made to be printed and ticked off."""

from __future__ import annotations

from sideplate_engine.findings import listed
from sideplate_engine.procedures import Procedure, Step
from sideplate_site.addresses import PROCEDURES
from sideplate_site.book import Book
from sideplate_site.markup import EMPTY, Html, el, joined, listing, paragraph
from sideplate_site.page import Page, Section
from sideplate_site.picture_places import ON_PROCEDURES, figures
from sideplate_site.place import Place, practise


def procedure_page(book: Book, procedure: Procedure) -> Page:
    """The page of one procedure."""
    place = Place(book, book.addresses.procedure(procedure.id))
    numbers = {step.id: number for number, step in enumerate(procedure.steps, 1)}
    steps = [_step(place, step, numbers) for step in procedure.steps]
    order = paragraph(
        "The numbers are one order that works. Where a step names those it comes after, any order that keeps to "
        "that is right.",
        class_="sp-gloss",
    )
    at_the_bench = paragraph(
        "At the bench: ", el("code", f"sideplate show {procedure.id}"), class_="sp-practise"
    )
    practice = practise(book, procedure.topic) if procedure.topic is not None else EMPTY
    origin = joined((place.citations(procedure.sources), practice, at_the_bench))
    return Page(
        place.address,
        procedure.title,
        lead=paragraph(procedure.purpose, class_="sp-says"),
        sections=(
            Section("Steps", "steps", joined((el("ol", *steps, class_="sp-steps"), order))),
            Section("Pictures", "pictures", figures(book, ON_PROCEDURES.get(procedure.id, ()))),
            Section("Where it comes from", "sources", origin),
        ),
        kind="procedure",
    )


def _step(place: Place, step: Step, numbers: dict[str, int]) -> Html:
    before = sorted(numbers[needed] for needed in step.after)
    after = listed([str(number) for number in before], "and")
    return el(
        "li",
        paragraph(step.do, class_="sp-do"),
        paragraph(step.because, class_="sp-because"),
        place.caution(step.caution) if step.caution else EMPTY,
        paragraph(f"After step{'s' if len(before) > 1 else ''} {after}.", class_="sp-gloss")
        if after
        else EMPTY,
        id=step.id,
    )


def procedures_page(book: Book) -> Page:
    """All procedures."""
    place = Place(book, PROCEDURES)
    entries = [
        joined((el("strong", place.procedure(procedure.id)), f": {procedure.purpose}"))
        for procedure in book.knowledge.procedures.values()
    ]
    lead = paragraph("Ordered work, step by step. Each page prints on paper for the bench.")
    return Page(PROCEDURES, "Procedures", lead=joined((lead, listing(entries))), kind="index")
