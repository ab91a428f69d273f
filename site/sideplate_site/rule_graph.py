"""The rule graph: facts to derived facts to rulings, as data for the page that shows it, with sheets to light it up."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from sideplate_engine.chaining import Chained
from sideplate_site.addresses import GRAPH
from sideplate_site.book import Book
from sideplate_site.markup import Html, el, html, joined, listing, paragraph
from sideplate_site.page import Page, Section
from sideplate_site.place import Place


def graph_page(book: Book) -> Page:
    """The page that shows the graph around a rule or a fact, or what a job sheet lights up."""
    place = Place(book, GRAPH)
    controls = el(
        "form",
        el(
            "div",
            el("label", "Light up a job sheet", for_="graph-sheet"),
            el("select", el("option", "none", value=""), id="graph-sheet"),
            class_="sp-field",
        ),
        el(
            "div",
            el("label", "Or look around a rule or a fact", for_="graph-focus"),
            el("input", id="graph-focus", type="text", list="graph-names", autocomplete="off"),
            el("datalist", id="graph-names"),
            class_="sp-field",
        ),
        class_="sp-fields",
        aria_label="What the graph shows",
    )
    canvas = el(
        "div",
        Html("<svg class='sp-graph-lines' aria-hidden='true'></svg>"),
        el("div", class_="sp-graph-columns"),
        class_="sp-graph",
        role="region",
        aria_label="Rule graph",
        tabindex="0",
    )
    lead = joined(
        (
            paragraph(
                "Facts on the left lead to rules; rules work out further facts; in the end stand rulings. Choose a job "
                "sheet to see only what it sets off, or a rule or fact to see what it rests on and what rests on it."
            ),
            controls,
            el("p", "", id="graph-told", role="status"),
            canvas,
            el("noscript", paragraph("The drawing needs scripts; the list of strata below does not.")),
        )
    )
    return Page(
        GRAPH,
        "Rule graph",
        lead=lead,
        sections=(Section("Strata", "strata", _strata(place)),),
        kind="graph",
        scripts=("assets/graph-data.js", "assets/graph.js"),
    )


def _strata(place: Place) -> Html:
    """Which rules are judged before which: the text that stands for the drawing."""
    by_stratum: dict[int, list[str]] = {}
    for id_, stratum in place.knowledge.strata.of_rule.items():
        if not place.knowledge.rules[id_].is_ruling:
            by_stratum.setdefault(stratum, []).append(id_)
    intro = paragraph(
        "A rule that reads what others work out is judged after them. These are the rules that work something out, "
        "level by level; rulings rest on all of them."
    )
    levels = [
        el(
            "details",
            el("summary", f"Level {stratum}: {len(ids)} rules"),
            listing(
                joined((place.rule(id_), html(": "), joined(_derived(place, id_), ", ")))
                for id_ in sorted(ids)
            ),
        )
        for stratum, ids in sorted(by_stratum.items())
    ]
    return joined((intro, *levels))


def _derived(place: Place, id_: str) -> list[Html]:
    return [place.fact(name) for name in place.knowledge.rules[id_].derives()]


def graph_script(book: Book) -> str:
    """The script with the graph: facts and rules by number, and what each sheet and each rule's example sets off."""
    knowledge = book.knowledge
    facts = list(knowledge.facts)
    rules = list(knowledge.rules)
    fact_number = {name: number for number, name in enumerate(facts)}
    rule_number = {id_: number for number, id_ in enumerate(rules)}
    data = {
        "facts": facts,
        "rules": [
            [
                id_,
                rule.title,
                rule.force or "",
                [fact_number[name] for name in rule.reads()],
                [fact_number[name] for name in rule.derives()],
                [rule_number[other] for other in rule.overrides if other in rule_number],
            ]
            for id_, rule in knowledge.rules.items()
        ],
        "sheets": [
            {"job": sheet.job, **_lit(book, book.judge.outcome(sheet.facts), fact_number, rule_number)}
            for sheet in book.sheets
        ],
        "examples": {
            id_: _lit(book, book.outcome_of(id_, example), fact_number, rule_number)
            for id_, rule in knowledge.rules.items()
            for example in [each for each in rule.examples if each.expect == "fires"][:1]
        },
    }
    return f"window.sideplate.graph = {json.dumps(data, ensure_ascii=False, separators=(',', ':'))};\n"


def _lit(
    book: Book, outcome: Chained, fact_number: Mapping[str, int], rule_number: Mapping[str, int]
) -> dict[str, Any]:
    """What facts set off: the values of all that is known then, and the rules that stand."""
    facts = book.knowledge.facts
    return {
        "given": [fact_number[name] for name in outcome.given],
        "values": {fact_number[name]: facts[name].show(value) for name, value in outcome.facts.items()},
        "rules": sorted(rule_number[id_] for id_ in outcome.live),
    }
