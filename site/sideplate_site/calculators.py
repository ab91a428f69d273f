"""Calculators: the form on a page, and the script that all of them run on, printed from the formulas themselves."""

from __future__ import annotations

import json
from dataclasses import dataclass

from sideplate_engine import KnowledgeBase
from sideplate_engine.formulas import Formula
from sideplate_engine.geometry import FUNCTIONS
from sideplate_engine.quantities import UNITS, convert, show
from sideplate_engine.vocabulary import System
from sideplate_site import mathml
from sideplate_site.book import Book
from sideplate_site.geometry_in_javascript import geometry_in_javascript, tree_of
from sideplate_site.javascript_printer import expression_in_javascript
from sideplate_site.markup import EMPTY, Html, capital, el, joined, paragraph

LONGEST_SYMBOL = 3
SCRIPTS = ("assets/calculator.js", "assets/formulas.js")


@dataclass(frozen=True, slots=True)
class Filling:
    """A table whose rows can fill symbols: `columns` pairs a symbol with the column it takes."""

    table: str
    by: str
    columns: tuple[tuple[str, str], ...]


def formulas_script(knowledge: KnowledgeBase) -> str:
    """The script with every formula, the geometry, and the rows that fill symbols."""
    formulas = ",\n".join(
        f"{json.dumps(formula.id)}: {_formula(formula, knowledge)}" for formula in knowledge.formulas.values()
    )
    return (
        "(function (s) {\n"
        "const m = s.maths, g = {};\n"
        f"{geometry_in_javascript()}\n"
        f"s.formulas = {{\n{formulas}\n}};\n"
        f"}})(window.sideplate);\n"
    )


def _formula(formula: Formula, knowledge: KnowledgeBase) -> str:
    symbols = {
        name: {"units": _units(symbol.unit), "whole": _is_count(symbol.fact, knowledge)}
        for name, symbol in formula.symbols.items()
    }
    decimals = knowledge.facts[formula.gives_fact].decimals if formula.gives_fact is not None else None
    gives = {"units": _units(formula.gives_unit), "decimals": decimals}
    if formula.expression is not None:
        run = expression_in_javascript(formula.expression)
    else:
        # A geometry function takes its arguments by name in Python; here they stand in the order it declares.
        run = f"function (v) {{ return {_call(formula)}; }}"
    told = f"symbols: {_json(symbols)}, gives: {_json(gives)}, run: {run}"
    return f"{{{told}}}"


def _call(formula: Formula) -> str:
    tree = tree_of(FUNCTIONS[str(formula.function)])
    names = [argument.arg for argument in tree.args.args]
    given = [f"v.{name}" if name in formula.symbols else "undefined" for name in names]
    return f"g.{tree.name}({', '.join(given)})"


def _is_count(fact: str | None, knowledge: KnowledgeBase) -> bool:
    return fact is not None and knowledge.facts[fact].kind == "count"


def _units(stored: str) -> dict[str, dict[str, object]]:
    """The unit in both systems, with its size in coherent SI."""
    return {system: _unit(reader_unit(stored, system)) for system in ("metric", "us")}


def _unit(symbol: str) -> dict[str, object]:
    return {"symbol": "" if symbol == "1" else symbol, "factor": UNITS[symbol].factor}


def reader_unit(stored: str, system: System) -> str:
    """The unit in which a reader of a system is shown what is stored in another: what stands behind the figure."""
    return show(1.0, stored, system).partition(" ")[2] or "1"


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False)


def fillings(book: Book, formula: Formula) -> tuple[Filling, ...]:
    """The tables whose rows give some of a formula's symbols: those that rules look the symbols' facts up in."""
    found: dict[tuple[str, str], list[tuple[str, str]]] = {}
    for name, symbol in formula.symbols.items():
        for look_up in book.relations.filled_from.get(symbol.fact or "", ()):
            found.setdefault((look_up.table.id, look_up.by), []).append((name, look_up.take))
    return tuple(Filling(table, by, tuple(columns)) for (table, by), columns in found.items())


def calculator(book: Book, formula: Formula) -> Html:
    """The form of a formula, filled with its first worked case. Without scripts it says so."""
    case = formula.worked[0] if formula.worked else None
    fields = [_field(formula, name, None if case is None else case.values[name]) for name in formula.symbols]
    return el(
        "form",
        _systems(formula.id),
        joined(_select(book, formula, filling) for filling in fillings(book, formula)),
        el("div", *fields, class_="sp-fields"),
        el(
            "p",
            el("output", "", class_="sp-result", aria_live="polite"),
            class_="sp-answer",
            data_gives=capital(formula.gives_means.rstrip(".")),
        ),
        _follow_ups(book, formula),
        el("noscript", paragraph("The calculator needs scripts; the formula above does not.")),
        class_="sp-calculator",
        data_formula=formula.id,
        aria_label=f"Calculator: {formula.title}",
    )


def _systems(formula: str) -> Html:
    choices = [
        el(
            "label",
            el("input", type="radio", name=f"units-{formula}", value=system, checked=system == "metric"),
            f" {words}",
        )
        for system, words in (("metric", "metric"), ("us", "US"))
    ]
    return el("fieldset", el("legend", "Units"), *choices, class_="sp-units")


def _field(formula: Formula, name: str, value: float | None) -> Html:
    symbol = formula.symbols[name]
    id_ = f"{formula.id}-{name}"
    # A symbol that is a word says nothing that the words behind it do not say better.
    drawn = joined((mathml.symbol(name), " ")) if len(name) <= LONGEST_SYMBOL else EMPTY
    return el(
        "div",
        el("label", drawn, capital(symbol.means), for_=id_),
        el(
            "span",
            el(
                "input",
                id=id_,
                type="text",
                inputmode="decimal",
                autocomplete="off",
                data_symbol=name,
                data_stored=None if value is None else repr(value),
                aria_describedby=f"{id_}-unit",
            ),
            el("span", "", id=f"{id_}-unit", class_="sp-unit"),
            class_="sp-entry",
        ),
        class_="sp-field",
    )


def _select(book: Book, formula: Formula, filling: Filling) -> Html:
    """A choice of rows that fills symbols; the figures are in the symbols' units."""
    table = book.knowledge.tables[filling.table]
    options: list[Html] = [el("option", "choose, or type the figures below", value="")]
    for key, row in table.rows.items():
        values = {
            name: convert(float(row.cells[column]), table.columns[column].unit, formula.symbols[name].unit)
            for name, column in filling.columns
            if column in row.cells
        }
        if values:
            options.append(el("option", str(key), value=_json(values)))
    id_ = f"{formula.id}-from-{filling.table}"
    label = f"Take figures from the table: {table.title}"
    return el(
        "div",
        el("label", label, for_=id_),
        el("select", *options, id=id_, data_fills=True),
        class_="sp-field",
    )


def _follow_ups(book: Book, formula: Formula) -> Html:
    """Formulas that need this one's result and nothing else, worked out along with it."""
    if formula.gives_fact is None:
        return EMPTY
    after = [
        other
        for other in book.knowledge.formulas.values()
        if [symbol.fact for symbol in other.symbols.values()] == [formula.gives_fact] and other.gives_fact
    ]
    lines = [
        el(
            "p",
            el("output", "", class_="sp-result", aria_live="polite"),
            class_="sp-answer sp-follow-up",
            data_formula=other.id,
            data_symbol=next(iter(other.symbols)),
            data_gives=capital(other.gives_means.rstrip(".")),
        )
        for other in after
    ]
    return joined(lines)
