"""A rule's page: the ruling first, then when, why, the caution, the sources, the examples, and its neighbours."""

from __future__ import annotations

from sideplate_engine.derivations import Computation, CopyOf, Derivation, LookUp
from sideplate_engine.rules import Rule
from sideplate_site.addresses import GRAPH, relative
from sideplate_site.book import Book
from sideplate_site.markup import EMPTY, Html, capital, definitions, el, html, joined, listing, paragraph
from sideplate_site.page import Page, Section
from sideplate_site.pages.example_pairs import example_pairs
from sideplate_site.picture_places import ON_RULES, figures
from sideplate_site.place import Place, both_systems, force_mark, practise

KINDS_OF_REASON = {
    "definition": "by definition",
    "cause": "a physical cause",
    "measurement": "a matter of measuring",
    "standard": "a standard says so",
    "practice": "common practice",
    "safety": "safety",
}
STATUS = {
    "checked": "checked: it has a source, and its examples show every condition both ways",
    "draft": "draft: not every condition is proved by an example yet",
    "retired": "retired: it judges nothing any more",
}
FIRST_RELEASE = "the first release"


def rule_page(book: Book, rule: Rule) -> Page:
    """The page of one rule."""
    place = Place(book, book.addresses.rule(rule.id))
    live = rule.id in book.knowledge.rules
    return Page(
        place.address,
        rule.title,
        lead=_lead(place, rule),
        sections=(
            Section("When it applies", "when", _when(place, rule)),
            Section("Why", "why", _why(place, rule)),
            Section("Picture", "picture", figures(book, ON_RULES.get(rule.id, ()))),
            Section("Caution", "caution", place.caution(rule.caution) if rule.caution else EMPTY),
            Section("Where it comes from", "sources", place.citations(rule.sources)),
            Section("Examples", "examples", example_pairs(place, rule) if live else EMPTY),
            Section("Its place among the rules", "neighbours", _neighbours(place, rule) if live else EMPTY),
            Section("This rule", "about", _about(place, rule)),
        ),
        kind="rule",
    )


def _lead(place: Place, rule: Rule) -> Html:
    instead = EMPTY
    if rule.instead is not None:
        instead = paragraph(el("strong", "Instead: "), place.text(rule.instead))
    ruling = paragraph(force_mark(rule), " ", place.text(rule.says), class_="sp-says")
    retired = rule.id in place.knowledge.retired
    note = (
        paragraph("This rule is retired: it judges nothing any more.", class_="sp-note") if retired else EMPTY
    )
    return el("div", note, ruling, instead, class_="sp-ruling")


def _when(place: Place, rule: Rule) -> Html:
    parts: list[Html] = []
    if rule.conditions.parts:
        intro = "When all of this holds:" if len(rule.conditions.parts) > 1 else "When this holds:"
        parts += [paragraph(intro), place.conditions(rule.conditions)]
    if rule.derivations:
        parts.append(paragraph("It works out:"))
        parts.append(listing((_derives(place, each) for each in rule.derivations), class_="sp-derives"))
    if rule.unless is not None:
        parts += [paragraph(el("strong", "Unless"), " all of this holds:"), place.conditions(rule.unless)]
        parts.append(
            paragraph("Where the exception is not known, the rule stands, and says what would lift it.")
        )
    return joined(parts)


def _derives(place: Place, derivation: Derivation) -> Html:
    match derivation:
        case LookUp():
            how = joined(
                (
                    "from the table ",
                    place.table(derivation.table.id),
                    f", column {derivation.take.replace('_', ' ')}, in the row of ",
                    place.fact(derivation.by),
                )
            )
        case Computation():
            inputs = joined((place.fact(name) for name in derivation.reads()), ", ")
            how = joined(("by the formula ", place.formula(derivation.formula.id), " from ", inputs))
        case CopyOf():
            how = joined(("the same as ", place.fact(derivation.source)))
        case _:
            how = html(both_systems(place.knowledge.facts[derivation.fact], derivation.value))
    return joined((place.fact(derivation.fact), ": ", how))


def _why(place: Place, rule: Rule) -> Html:
    kind = paragraph(f"Kind of reason: {KINDS_OF_REASON[rule.because.kind]}.", class_="sp-gloss")
    ignored = EMPTY
    if rule.if_ignored is not None:
        ignored = paragraph(el("strong", "If ignored: "), place.text(rule.if_ignored), class_="sp-ignored")
    return joined((paragraph(place.text(rule.because_text)), ignored, kind))


def _neighbours(place: Place, rule: Rule) -> Html:
    relations, knowledge = place.book.relations, place.knowledge
    reads = [
        joined((place.fact(name), _worked_out_by(place, name)))
        for name in rule.reads()
        if name in knowledge.facts
    ]
    subject = EMPTY
    if rule.about is not None:
        link = place.to(place.book.addresses.subject(rule.about), knowledge.subjects[rule.about])
        beside = [id_ for id_ in relations.about[rule.about] if id_ != rule.id]
        subject = joined((link, place.rule_lines(beside)))
    above = relations.set_aside_by.get(rule.id, ())
    graph = el("a", "See it in the rule graph", href=f"{relative(GRAPH, place.address)}#rule={rule.id}")
    return joined(
        (
            definitions(
                (
                    ("Reads", listing(reads)),
                    ("Works out", joined((place.fact(name) for name in rule.derives()), ", ")),
                    ("Feeds", place.rule_lines(relations.feeds(rule))),
                    ("Sets aside, where both apply", place.rule_lines(rule.overrides)),
                    ("Is set aside by, where both apply", place.rule_lines(above)),
                    ("Rules about the same thing", subject),
                )
            ),
            paragraph(graph),
        )
    )


def _worked_out_by(place: Place, name: str) -> Html:
    derivers = place.knowledge.derivers(name)
    if not derivers:
        return EMPTY
    return joined((", worked out by ", joined((place.rule(rule.id) for rule in derivers), ", ")))


def _about(place: Place, rule: Rule) -> Html:
    topic = html(rule.topic) if rule.topic not in place.knowledge.topics else place.topic(rule.topic)
    told = definitions(
        (
            ("Name", el("code", rule.id)),
            ("Topic", topic),
            ("Status", STATUS[rule.status]),
            ("Since", capital(rule.since or FIRST_RELEASE)),
            ("Whose", place.knowledge.whose(rule.at) if place.knowledge.is_layered else ""),
            ("Replaces", el("code", rule.replaces) if rule.replaces else EMPTY),
            ("File", el("code", f"rules/{rule.topic}/{rule.id}.yaml")),
        )
    )
    at_the_bench = paragraph("At the bench: ", el("code", f"sideplate show {rule.id}"), class_="sp-practise")
    live = rule.id in place.knowledge.rules
    return joined((told, practise(place.book, rule.topic, rule.id) if live else EMPTY, at_the_bench))
