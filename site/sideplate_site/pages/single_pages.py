"""Pages of which there is one each and that hold no list of things: search, check codes, changes."""

from __future__ import annotations

import re

from sideplate_engine.finding_codes import explanations
from sideplate_site.addresses import CHANGES, CHECK_CODES, SEARCH
from sideplate_site.book import Book
from sideplate_site.explanations import releases
from sideplate_site.markup import EMPTY, Html, el, joined, paragraph
from sideplate_site.page import Page, Section
from sideplate_site.pages.rule_page import FIRST_RELEASE
from sideplate_site.place import Place


def search_page() -> Page:
    """The search: the script fills in the results."""
    form = el(
        "form",
        el("label", "Search for a part, a size, a fault, a task", for_="sp-search-box"),
        el("input", id="sp-search-box", type="search", name="q", autocomplete="off", spellcheck="false"),
        role="search",
        class_="sp-search-form",
        aria_label="Search the whole site",
    )
    count = el("p", "", class_="sp-search-count", role="status")
    results = el("ol", class_="sp-search-results")
    without = el("noscript", paragraph("The search needs scripts. The glossary lists every word."))
    return Page(
        SEARCH,
        "Search",
        lead=joined((form, count, results, without)),
        kind="search",
        scripts=("assets/search-index.js", "assets/search.js"),
    )


def check_codes_page() -> Page:
    """Every code that `sideplate check` can give, and what to do about it."""
    sections = tuple(
        Section(code, code, joined((paragraph(el("strong", f"{each.title}.")), paragraph(_coded(each.text)))))
        for code, each in explanations().items()
    )
    lead = paragraph(
        "What ",
        el("code", "sideplate check"),
        " says about knowledge files and job sheets. Each finding gives the file, the line and the column.",
    )
    return Page(CHECK_CODES, "Check codes", lead=lead, sections=sections, kind="index")


def changes_page(book: Book) -> Page:
    """What changed in the knowledge, by release, and which rules came with which release."""
    place = Place(book, CHANGES)
    newer: dict[str, list[str]] = {}
    for rule in book.knowledge.rules.values():
        newer.setdefault(rule.since or FIRST_RELEASE, []).append(rule.id)
    sections = [
        Section(heading, f"release-{number}", _told(text))
        for number, (heading, text) in enumerate(releases(), 1)
    ]
    by_release = joined(
        el(
            "details",
            el("summary", f"Since {since}: {len(ids)} rules"),
            place.rule_lines(ids),
        )
        for since, ids in sorted(newer.items())
    )
    retired = joined(el("li", place.rule(id_)) for id_ in sorted(book.knowledge.retired))
    sections += [
        Section("Rules by release", "rules-by-release", by_release),
        Section("Retired rules", "retired", el("ul", retired) if retired else EMPTY),
    ]
    lead = paragraph("Which rulings changed with which release of the knowledge.")
    return Page(CHANGES, "Changes of the knowledge", lead=lead, sections=tuple(sections), kind="index")


def _told(text: str) -> Html:
    """The text of a release: paragraphs and lists, with code in its marks."""
    parts: list[Html] = []
    for block in re.split(r"\n\s*\n", text):
        items = re.split(r"^[-*] ", block, flags=re.MULTILINE)
        if items[0].strip():
            parts.append(paragraph(_coded(items[0])))
        if items[1:]:
            parts.append(el("ul", *(el("li", _coded(item)) for item in items[1:])))
    return joined(parts)


def _coded(text: str) -> Html:
    pieces = " ".join(text.split()).split("`")
    return joined(el("code", piece) if number % 2 else piece for number, piece in enumerate(pieces))
