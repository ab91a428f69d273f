"""A fact's page: what it is, how to observe it and with what, its units and choices, and the rules it matters to."""

from __future__ import annotations

from collections.abc import Iterable

from sideplate_engine.vocabulary import Fact
from sideplate_site.addresses import choice_anchor
from sideplate_site.book import Book
from sideplate_site.markup import EMPTY, Html, definitions, el, html, joined, paragraph, table
from sideplate_site.page import Page, Section
from sideplate_site.picture_places import ON_FACTS, figures
from sideplate_site.place import Place, element_in_both

KINDS = {
    "quantity": "a quantity with a unit",
    "count": "a whole number",
    "choice": "one of these words",
    "flag": "yes or no",
    "code": "a code, copied letter by letter",
}


def fact_page(book: Book, fact: Fact) -> Page:
    """The page of one fact."""
    place = Place(book, book.addresses.fact(fact.name))
    used_in = [
        formula.id
        for formula in book.knowledge.formulas.values()
        if fact.name in formula.facts() or formula.gives_fact == fact.name
    ]
    return Page(
        place.address,
        fact.name,
        lead=joined(
            (
                paragraph(fact.means, class_="sp-says"),
                paragraph(el("strong", "Ask: "), fact.ask) if fact.ask else EMPTY,
            )
        ),
        sections=(
            Section("How to observe it", "observe", _observe(fact)),
            Section("What can be stated", "values", _values(place, fact)),
            Section("Choices", "choices", _choices(place, fact)),
            Section("Picture", "picture", figures(book, ON_FACTS.get(fact.name, ()))),
            Section("Where it is worked out", "worked-out", _worked_out(place, fact)),
            Section("Formulas with it", "formulas", _formulas(place, used_in)),
            Section(
                "Rules that read it", "read-by", place.rule_lines(book.relations.read_by.get(fact.name, ()))
            ),
        ),
        kind="fact",
    )


def _observe(fact: Fact) -> Html:
    if fact.observe:
        return paragraph(fact.observe)
    return EMPTY if fact.given else paragraph("It is not observed: rules work it out from other facts.")


def _values(place: Place, fact: Fact) -> Html:
    unit = "" if fact.kind != "quantity" or fact.unit == "1" else f", kept in {fact.unit}"
    several = "; several may hold at once" if fact.many else ""
    answer = "; a sheet may state it, and then it is checked against the rules" if not fact.given else ""
    return definitions(
        (
            ("Kind", f"{KINDS[fact.kind]}{unit}{several}{answer}"),
            ("Possible", _range(fact, fact.possible)),
            ("Usual", _range(fact, fact.usual)),
            ("On a job sheet", el("code", f"{fact.name}: {_sample(fact)}")),
            ("Also called", ", ".join(fact.synonyms)),
        )
    )


def _range(fact: Fact, ends: tuple[float, float] | None) -> str:
    return "" if ends is None else " to ".join(element_in_both(fact, end) for end in ends)


def _sample(fact: Fact) -> str:
    """How a value is written on a sheet."""
    if fact.choices:
        first = next(iter(fact.choices))
        return f"[{first}]" if fact.many else first
    if fact.kind == "flag":
        return "yes"
    if fact.is_number:
        ends = fact.usual or fact.possible
        return fact.show_element(ends[0], "metric") if ends is not None else "..."
    return "..."


def _choices(place: Place, fact: Fact) -> Html:
    if fact.choices:
        return _choice_table(place, fact, fact.choices.items())
    if fact.kind != "flag":
        return EMPTY
    return _choice_table(place, fact, (("yes", fact.says), ("no", fact.says_no)))


def _choice_table(place: Place, fact: Fact, choices: Iterable[tuple[str, str]]) -> Html:
    rows = [
        el(
            "tr",
            el("th", word, scope="row"),
            el("td", html(gloss)),
            el("td", place.rule_lines(place.book.relations.speaks_of.get((fact.name, word), ()))),
            id=choice_anchor(word),
        )
        for word, gloss in choices
    ]
    return table(("Choice", "What it means", "Rules that speak of it"), rows, label=f"Choices of {fact.name}")


def _worked_out(place: Place, fact: Fact) -> Html:
    derivers = place.knowledge.derivers(fact.name)
    return place.rule_lines(rule.id for rule in derivers)


def _formulas(place: Place, ids: Iterable[str]) -> Html:
    links = [el("li", place.formula(id_)) for id_ in ids]
    return el("ul", *links) if links else EMPTY
