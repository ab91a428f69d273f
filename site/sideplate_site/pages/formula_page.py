"""A formula's page: typeset, its symbols, the calculator, worked cases with the numbers put in, the derivation."""

from __future__ import annotations

import ast
from collections.abc import Callable

from sideplate_engine import geometry
from sideplate_engine.expression_text import put_in
from sideplate_engine.formulas import Formula, WorkedExample, worked_result
from sideplate_site import mathml
from sideplate_site.addresses import EXPLANATION
from sideplate_site.book import Book
from sideplate_site.calculators import SCRIPTS, calculator, reader_unit
from sideplate_site.explanations import has_explanation
from sideplate_site.geometry_in_javascript import tree_of
from sideplate_site.markup import (
    EMPTY,
    Html,
    capital,
    definitions,
    el,
    joined,
    listing,
    paragraph,
    scrolling,
    table,
)
from sideplate_site.page import Page, Section
from sideplate_site.picture_places import ON_FORMULAS, figures
from sideplate_site.place import Place, in_both

BASIS = {
    "standard": "a standard",
    "handbook": "a handbook or plain geometry",
    "paper": "a published paper",
    "practice": "common practice",
    "memory": "recalled, not verified",
}
EXACT = 1e-5
GEOMETRY = f"{EXPLANATION}slack-geometry.html"


def formula_page(book: Book, formula: Formula) -> Page:
    """The page of one formula."""
    place = Place(book, book.addresses.formula(formula.id))
    users = book.relations.formula_used_by.get(formula.id, ())
    return Page(
        place.address,
        formula.title,
        lead=joined((_typeset(formula), paragraph(formula.note))),
        sections=(
            Section("Symbols", "symbols", _symbols(place, formula)),
            Section("Calculator", "calculator", calculator(book, formula)),
            Section(
                "Worked cases", "worked", joined(_worked(place, formula, case) for case in formula.worked)
            ),
            Section("How it is derived", "derivation", _derivation(place, formula)),
            Section("Picture", "picture", figures(book, ON_FORMULAS.get(formula.id, ()))),
            Section("Rules that use it", "used-by", place.rule_lines(users)),
            Section("Where it comes from", "sources", _sources(place, formula)),
        ),
        kind="formula",
        scripts=SCRIPTS,
    )


def result_name(formula: Formula) -> str:
    """The letters that stand for the result: the last word of the fact it gives."""
    return formula.gives_fact.rpartition(".")[2] if formula.gives_fact is not None else "result"


def _typeset(formula: Formula) -> Html:
    if formula.expression is not None:
        drawn = mathml.formula(result_name(formula), formula.expression.text)
    else:
        arguments: list[ast.expr] = [ast.Name(id=name) for name in formula.symbols]
        called = ast.Call(func=ast.Name(id=str(formula.function)), args=arguments, keywords=[])
        drawn = mathml.line(result_name(formula), called)
    return _in_frame(drawn, "Formula")


def _in_frame(drawn: Html, label: str) -> Html:
    return el("div", scrolling(drawn, label), class_="sp-formula")


def _symbols(place: Place, formula: Formula) -> Html:
    rows = [
        el(
            "tr",
            el("th", mathml.symbol(symbol.name), scope="row"),
            el("td", capital(symbol.means)),
            el("td", _unit_words(symbol.unit)),
            el("td", place.fact(symbol.fact) if symbol.fact else EMPTY),
        )
        for symbol in formula.symbols.values()
    ]
    rows.append(
        el(
            "tr",
            el("th", mathml.symbol(result_name(formula)), scope="row"),
            el("td", capital(formula.gives_means)),
            el("td", _unit_words(formula.gives_unit)),
            el("td", place.fact(formula.gives_fact) if formula.gives_fact else EMPTY),
        )
    )
    return table(("Symbol", "What it is", "Unit", "Fact"), rows, label="Symbols of the formula")


def _unit_words(unit: str) -> str:
    other = reader_unit(unit, "us")
    if unit == "1":
        return "a number"
    return unit if other == unit else f"{unit} ({other})"


def _worked(place: Place, formula: Formula, case: WorkedExample) -> Html:
    shown = {name: mathml.shown(value, formula.symbols[name].unit) for name, value in case.values.items()}
    gives = mathml.shown(case.gives, formula.gives_unit)
    if formula.expression is not None:
        drawn = mathml.formula(result_name(formula), formula.expression.text, shown, gives)
        said = f"{put_in(formula.expression.text, shown)} = {gives}"
    else:
        given = ", ".join(f"{name.replace('_', ' ')} {value}" for name, value in shown.items())
        drawn, said = EMPTY, f"{given}: {gives}"
    result, problem = worked_result(formula, case)
    computed = "" if result is None or problem else mathml.shown(result, formula.gives_unit)
    return el(
        "section",
        el("h3", capital(case.name)),
        _in_frame(drawn, f"Worked case: {case.name}") if drawn else paragraph(said),
        definitions(
            (
                ("It should give", in_both(case.gives, formula.gives_unit) + _within(case.within)),
                ("Computed here", computed),
                ("Note", case.note),
            )
        ),
        listing(place.citation(citation) for citation in case.sources),
        class_="sp-worked",
    )


def _within(allowed: float) -> str:
    """How near the result has to come; nothing where only the floats' own noise is allowed for."""
    return f", to within {allowed:.3g}" if allowed > EXACT else ""


def _derivation(place: Place, formula: Formula) -> Html:
    """For a function of the geometry module: its own words, its lines typeset, and the way to the full derivation."""
    if formula.function is None:
        return EMPTY
    function = geometry.FUNCTIONS[formula.function]
    told = [paragraph(each) for each in _plain_docstring(function)]
    full = EMPTY
    if has_explanation("slack-geometry"):
        full = paragraph(
            "The full derivation, with figures: ", place.to(GEOMETRY, "the geometry of slack"), "."
        )
    return joined((*told, *_lines(function), full))


def _plain_docstring(function: Callable[..., float]) -> list[str]:
    """The paragraphs of a docstring before its `Raises`, without the marks of code."""
    written = (function.__doc__ or "").partition("Raises:")[0]
    return [
        " ".join(each.split()).replace("`", "").replace("_", " ")
        for each in written.split("\n\n")
        if each.strip()
    ]


def _lines(function: Callable[..., float]) -> list[Html]:
    """A function's assignments and result typeset, where it goes straight through without loops."""
    tree = tree_of(function)
    if any(isinstance(node, (ast.For, ast.While)) for node in ast.walk(tree)):
        return []
    lines: list[Html] = []
    for statement in tree.body:
        match statement:
            case ast.Assign(targets=[ast.Name(id=name)], value=value):
                lines.append(_line(name, value))
            case ast.Return(value=ast.expr() as value):
                lines.append(_line(tree.name, value))
    return [line for line in lines if line]


def _line(name: str, value: ast.expr) -> Html:
    try:
        return _in_frame(mathml.line(name, value), "A step of the derivation")
    except mathml.NotTypeset:
        return EMPTY


def _sources(place: Place, formula: Formula) -> Html:
    return joined((paragraph(f"Basis: {BASIS[formula.basis]}."), place.citations(formula.sources)))
