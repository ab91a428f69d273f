"""A table's page: its rows, what its columns mean, where each row comes from; with it the calculators it feeds."""

from __future__ import annotations

from sideplate_engine.file_models import Citation
from sideplate_engine.tables import Column, Row, Table
from sideplate_engine.vocabulary import Element
from sideplate_site.addresses import TABLES, anchor
from sideplate_site.book import Book
from sideplate_site.calculators import SCRIPTS, calculator, fillings, reader_unit
from sideplate_site.markup import (
    EMPTY,
    Html,
    capital,
    definitions,
    el,
    html,
    joined,
    listing,
    paragraph,
    table,
)
from sideplate_site.page import Page, Section
from sideplate_site.picture_places import ON_TABLES, figures
from sideplate_site.place import RECALLED, Place

CALCULATORS = {"sizes": ("chain-length-in-pitches",)}
"""Formulas whose calculator stands on a table's page, where the knowledge has them."""

RECALLED_MARK = "†"
LONG = 40
"""A text with more letters gets a wide column, so that its row does not grow tall."""


def table_page(book: Book, each: Table) -> Page:
    """The page of one table."""
    place = Place(book, book.addresses.table(each.id))
    rules = place.rule_lines(book.relations.table_used_by.get(each.id, ()))
    counted = [id_ for id_ in CALCULATORS.get(each.id, ()) if id_ in book.knowledge.formulas]
    return Page(
        place.address,
        each.title,
        lead=paragraph(each.note),
        sections=(
            Section("Compare two rows", "compare", _compare(each)),
            Section("Rows", "rows", _rows(place, each)),
            Section("Picture", "picture", figures(book, ON_TABLES.get(each.id, ()))),
            Section("What the columns mean", "columns", _columns(each)),
            Section("Calculator", "calculator", _calculators(book, counted)),
            Section("Formulas that take figures from it", "formulas", _formulas(place, each)),
            Section("Rules that look things up in it", "used-by", rules),
        ),
        kind="table",
        scripts=(*SCRIPTS, "assets/compare.js"),
    )


def tables_page(book: Book) -> Page:
    """All tables."""
    place = Place(book, TABLES)
    entries = [
        joined((el("strong", place.table(each.id)), f": {len(each.rows)} rows"))
        for each in book.knowledge.tables.values()
    ]
    lead = paragraph("Figures from outside, each row with its source and how far it was verified.")
    return Page(TABLES, "Tables", lead=joined((lead, listing(entries))), kind="index")


def _shown_columns(each: Table) -> list[Column]:
    key = each.columns[each.key]
    return [key, *(column for column in each.columns.values() if column.name != each.key)]


def _rows(place: Place, each: Table) -> Html:
    columns = _shown_columns(each)
    cited = list(dict.fromkeys(citation for row in each.rows.values() for citation in row.sources))
    heads = [*(_head(column) for column in columns), html("Sources")]
    rows = [
        el(
            "tr",
            el("th", str(key), scope="row"),
            *(_cell(column, row) for column in columns[1:]),
            el("td", _numbers(row, cited)),
            id=anchor(str(key)),
        )
        for key, row in each.rows.items()
    ]
    recalled = any(row.basis == "memory" or row.from_memory for row in each.rows.values())
    note = paragraph(f"{RECALLED_MARK} {RECALLED}.", class_="sp-gloss") if recalled else EMPTY
    notes = [
        el("li", place.citation(citation), id=f"source-{number}") for number, citation in enumerate(cited, 1)
    ]
    sources = joined((el("h3", "Sources of the rows"), el("ol", *notes)))
    return joined((table(heads, rows, class_="sp-rows", label=each.title), note, sources))


def _numbers(row: Row, cited: list[Citation]) -> Html:
    """The numbers of a row's sources in the list below the table."""
    numbers = [cited.index(citation) + 1 for citation in dict.fromkeys(row.sources)]
    return joined((el("a", str(number), href=f"#source-{number}") for number in numbers), ", ")


def _head(column: Column) -> Html:
    unit = "" if column.unit == "1" else f", {column.unit}"
    other = reader_unit(column.unit, "us")
    us = "" if other == column.unit or not unit else f" ({other})"
    return html(capital(column.name.replace("_", " ")) + unit + us)


def _cell(column: Column, row: Row) -> Html:
    value = row.cells.get(column.name)
    if value is None:
        return el("td", el("span", "–", class_="sp-none", title="not known"))
    mark = RECALLED_MARK if _is_recalled(column, row) else ""
    words, us = _figures(column, value)
    under = joined((el("br"), el("small", us))) if us else EMPTY
    rating = (
        f"sp-rating sp-rating-{anchor(words)}" if column.reads is not None and column.reads.choices else ""
    )
    kind = "sp-text" if len(words) > LONG else rating
    return el("td", html(words), el("sup", mark) if mark else EMPTY, under, class_=kind)


def _is_recalled(column: Column, row: Row) -> bool:
    """Whether a cell is a figure from memory. In a row that is recalled as a whole every figure is."""
    is_figure = column.reads is not None and column.reads.is_number
    return column.name in row.from_memory or (row.basis == "memory" and is_figure)


def _figures(column: Column, value: Element) -> tuple[str, str]:
    """A cell without its unit, which stands in the head: in the stored unit, and in the US one where it differs."""
    if column.reads is None or column.reads.kind != "quantity":
        return column.show(value), ""
    metric = column.reads.show_element(value, "metric").partition(" ")[0]
    us = column.reads.show_element(value, "us").partition(" ")[0]
    return metric, "" if reader_unit(column.unit, "us") == column.unit else us


def _columns(each: Table) -> Html:
    entries = [(capital(column.name.replace("_", " ")), _meaning(column)) for column in _shown_columns(each)]
    return definitions(entries)


def _meaning(column: Column) -> Html:
    choices = column.reads.choices if column.reads is not None else None
    glosses = listing(f"{word}: {gloss}" for word, gloss in (choices or {}).items())
    return joined((column.means, glosses))


def _compare(each: Table) -> Html:
    """Two choices of rows; the script fills in what differs from the rows below."""
    if len(each.rows) < 2:
        return EMPTY
    keys = [str(key) for key in each.rows]
    picks = [
        el(
            "div",
            el("label", label, for_=f"compare-{number}"),
            el(
                "select",
                *(el("option", key, value=anchor(key)) for key in keys),
                id=f"compare-{number}",
                data_compare=str(number),
            ),
            class_="sp-field",
        )
        for number, label in enumerate(("One", "The other"), 1)
    ]
    result = el("div", class_="sp-compared", aria_live="polite")
    return el(
        "form",
        el("div", *picks, class_="sp-fields"),
        result,
        class_="sp-compare",
        aria_label="Compare two rows",
    )


def _calculators(book: Book, ids: list[str]) -> Html:
    return joined(
        el(
            "section",
            el("h3", book.knowledge.formulas[id_].title),
            calculator(book, book.knowledge.formulas[id_]),
        )
        for id_ in ids
    )


def _formulas(place: Place, each: Table) -> Html:
    fed = [
        formula.id
        for formula in place.knowledge.formulas.values()
        if any(filling.table == each.id for filling in fillings(place.book, formula))
    ]
    return listing(place.formula(id_) for id_ in fed)
