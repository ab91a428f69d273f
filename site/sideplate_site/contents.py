"""All pages and files of the site, and the order in which the menu shows them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sideplate_site.book import Book
from sideplate_site.calculators import formulas_script
from sideplate_site.explanations import explanation_pages
from sideplate_site.page import Page
from sideplate_site.pages import lists, single_pages
from sideplate_site.pages.fact_page import fact_page
from sideplate_site.pages.formula_page import formula_page
from sideplate_site.pages.home_page import home_page
from sideplate_site.pages.procedure_page import procedure_page, procedures_page
from sideplate_site.pages.rule_page import rule_page
from sideplate_site.pages.sources_page import sources_page
from sideplate_site.pages.table_page import table_page, tables_page
from sideplate_site.pages.topic_page import topic_page, topics_page
from sideplate_site.rule_graph import graph_page, graph_script
from sideplate_site.search_index import search_script

Menu = list[dict[str, Any]]


def pages_and_menu(book: Book) -> tuple[list[Page], Menu]:
    """Every page, and the menu that leads to all of them."""
    knowledge = book.knowledge
    groups: list[tuple[str, list[Page]]] = [
        ("", [home_page(book), single_pages.search_page()]),
        (
            "Procedures",
            [procedures_page(book), *(procedure_page(book, p) for p in knowledge.procedures.values())],
        ),
    ]
    topics: Menu = [_item(page := topics_page(book))]
    pages = [page]
    for id_, topic in knowledge.topics.items():
        inside = [topic_page(book, id_), *(rule_page(book, rule) for rule in knowledge.rules_of(id_))]
        pages += inside
        topics.append({topic.title: [_item(each) for each in inside]})
    retired = [rule_page(book, rule) for rule in knowledge.retired.values()]
    if retired:
        pages += retired
        topics.append({"Retired": [_item(each) for each in retired]})
    formulas = sorted(knowledge.formulas.values(), key=lambda formula: formula.title)
    after: list[tuple[str, list[Page]]] = [
        ("Tables", [tables_page(book), *(table_page(book, table) for table in knowledge.tables.values())]),
        ("Formulas", [lists.formulas_page(book), *(formula_page(book, formula) for formula in formulas)]),
        ("Facts", [lists.facts_page(book), *(fact_page(book, fact) for fact in knowledge.facts.values())]),
        ("Reference", _reference(book)),
    ]
    menu = [*_menu(groups), {"Topics": topics}, *_menu(after)]
    return [page for _, group in groups for page in group] + pages + [p for _, g in after for p in g], menu


def _reference(book: Book) -> list[Page]:
    pages = [
        lists.glossary_page(book),
        lists.cautions_page(book),
        sources_page(book),
        lists.subjects_page(book),
        graph_page(book),
        *([lists.pictures_page(book)] if book.pictures else []),
        single_pages.changes_page(book),
        single_pages.check_codes_page(),
        *explanation_pages(),
    ]
    return [lists.reference_page(book, pages), *pages]


def _menu(groups: list[tuple[str, list[Page]]]) -> Menu:
    menu: Menu = []
    for heading, pages in groups:
        items = [_item(page) for page in pages]
        menu += [{heading: items}] if heading else items
    return menu


def _item(page: Page) -> dict[str, str]:
    return {page.in_menu: page.source}


def scripts(book: Book) -> Mapping[str, str]:
    """The scripts that are printed from the knowledge, by address."""
    return {
        "assets/formulas.js": formulas_script(book.knowledge),
        "assets/search-index.js": search_script(book),
        "assets/graph-data.js": graph_script(book),
    }
