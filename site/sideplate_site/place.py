"""A place on the site, and what is written there: links, texts of the knowledge, conditions, sources, cautions."""

from __future__ import annotations

from collections.abc import Iterable

from sideplate_engine.authored_conditions import AllOf, FactTest
from sideplate_engine.condition_words import words_of_test
from sideplate_engine.file_models import Citation
from sideplate_engine.quantities import show
from sideplate_engine.rules import Rule
from sideplate_engine.texts import FactPlace, QuantityPlace, Template
from sideplate_engine.vocabulary import Element, Fact, Value
from sideplate_site.addresses import anchor, relative
from sideplate_site.book import Book
from sideplate_site.markup import Html, el, html, joined, listing, paragraph

RECALLED = "recalled, not verified"


class Place:
    """Where a page stands: makes everything on it that leads elsewhere."""

    def __init__(self, book: Book, address: str) -> None:
        self.book = book
        self.knowledge = book.knowledge
        self.address = address

    def to(self, target: str, text: str, class_: str = "") -> Html:
        """A link to an address of the site."""
        return el("a", text, href=relative(target, self.address), class_=class_)

    # ---- things by name ----

    def fact(self, name: str) -> Html:
        """A fact by its name."""
        return self.to(self.book.addresses.fact(name), _breakable(name), class_="sp-fact")

    def rule(self, id_: str) -> Html:
        """A rule by its title."""
        rule = self.knowledge.rules.get(id_) or self.knowledge.retired.get(id_)
        return self.to(self.book.addresses.rule(id_), rule.title if rule is not None else id_)

    def rule_lines(self, ids: Iterable[str]) -> Html:
        """Rules as a list, each with what kind of ruling it is."""
        return listing(
            (joined((force_mark(self.knowledge.rules[id_]), " ", self.rule(id_))) for id_ in ids),
            class_="sp-rules",
        )

    def facts(self, names: Iterable[str]) -> Html:
        """Facts as a list, each with what it means."""
        return listing(
            (joined((self.fact(name), ": ", html(self.knowledge.facts[name].means))) for name in names),
            class_="sp-meanings",
        )

    def formula(self, id_: str) -> Html:
        """A formula by its title."""
        return self.to(self.book.addresses.formula(id_), self.knowledge.formulas[id_].title)

    def procedure(self, id_: str) -> Html:
        """A procedure by its title."""
        return self.to(self.book.addresses.procedure(id_), self.knowledge.procedures[id_].title)

    def table(self, id_: str) -> Html:
        """A table by its title."""
        return self.to(self.book.addresses.table(id_), self.knowledge.tables[id_].title)

    def topic(self, id_: str) -> Html:
        """A topic by its title."""
        return self.to(self.book.addresses.topic(id_), self.knowledge.topics[id_].title)

    def anything(self, kind: str, name: str) -> Html:
        """A rule, formula, procedure or table by its title."""
        make = {
            "rule": self.rule,
            "formula": self.formula,
            "procedure": self.procedure,
            "table": self.table,
        }
        return make[kind](name)

    # ---- texts ----

    def text(self, template: Template) -> Html:
        """A text of the knowledge: its places for facts as links, its quantities in both systems of units."""
        return joined(self._piece(piece) for piece in template.pieces)

    def _piece(self, piece: str | FactPlace | QuantityPlace) -> Html:
        match piece:
            case str():
                return html(piece)
            case FactPlace(fact):
                return self.fact(fact)
            case QuantityPlace(value, unit, written):
                return Html(f"<span class='sp-figure'>{html(_both(written, show(value, unit, 'us')))}</span>")

    def conditions(self, conditions: AllOf) -> Html:
        """Conditions as a list of clauses that must all hold; branches of which one must hold as a list inside."""
        entries: list[Html] = []
        for part in conditions.parts:
            if isinstance(part, FactTest):
                entries.append(self._clause(part))
            else:
                branches = listing((self._branch(branch) for branch in part.branches), class_="sp-branches")
                entries.append(joined(("one of these holds:", branches)))
        return listing(entries, class_="sp-conditions")

    def _branch(self, branch: AllOf) -> Html:
        if len(branch.parts) == 1 and isinstance(branch.parts[0], FactTest):
            return self._clause(branch.parts[0])
        return joined(("all of these:", self.conditions(branch)))

    def _clause(self, test: FactTest) -> Html:
        vocabulary = self.knowledge.facts
        metric, us = (words_of_test(test, vocabulary, system) for system in ("metric", "us"))
        said = metric.removeprefix(test.fact)
        inches = us.removeprefix(test.fact)
        clause = self._linked(said, test)
        if inches != said:
            limits = " to ".join(vocabulary[test.fact].show_element(value, "us") for value in test.values)
            clause = joined((clause, f" ({limits})"))
        gloss = el("small", vocabulary[test.fact].means, class_="sp-gloss")
        return joined((self.fact(test.fact), clause, el("br"), gloss))

    def _linked(self, said: str, test: FactTest) -> Html:
        if test.other is None:
            return html(said)
        return joined((said.removesuffix(test.other), self.fact(test.other)))

    # ---- where it comes from ----

    def citation(self, citation: Citation) -> Html:
        """A source as a link, and the place in it."""
        source = self.knowledge.sources[citation.work]
        link = self.to(self.book.addresses.source(citation.work), source.title)
        return joined((link, ", " + citation.at)) if citation.at else link

    def citations(self, citations: Iterable[Citation]) -> Html:
        """Sources as a list, each with its kind and how far it was read."""
        entries: list[Html] = []
        for citation in dict.fromkeys(citations):
            source = self.knowledge.sources[citation.work]
            read = el("small", f"{source.kind}; read: {source.verified}", class_="sp-gloss")
            entries.append(joined((self.citation(citation), el("br"), read)))
        return listing(entries, class_="sp-sources")

    def caution(self, id_: str) -> Html:
        """A caution as a box: the hazard and what to do."""
        caution = self.knowledge.cautions[id_]
        head = self.to(self.book.addresses.caution(id_), "Caution")
        return el(
            "div",
            paragraph(el("strong", head, ": "), caution.hazard),
            paragraph(caution.do),
            class_="sp-caution",
            role="note",
        )


def force_mark(rule: Rule) -> Html:
    """What a rule does, as a mark: the words of its ruling, or that it works something out."""
    word = rule.force or "works out"
    return el("span", word, class_=f"sp-force sp-force-{anchor(word)}")


def both_systems(fact: Fact, value: Value) -> str:
    """A value in its stored unit, and in US units behind it where they differ."""
    return _both(fact.show(value), fact.show(value, "us"))


def element_in_both(fact: Fact, value: Element) -> str:
    """One element in its stored unit, and in US units behind it where they differ."""
    return _both(fact.show_element(value, "metric"), fact.show_element(value, "us"))


def in_both(value: float, unit: str) -> str:
    """A figure of a unit, and in US units behind it where they differ."""
    return _both(show(value, unit), show(value, unit, "us"))


def _both(metric: str, us: str) -> str:
    return metric if metric == us else f"{metric} ({us})"


def _breakable(name: str) -> Html:
    """A dotted name that may break at its dots and underscores, so that it fits a narrow screen."""
    return Html(html(name).replace(".", ".<wbr>").replace("_", "_<wbr>"))


def practise(book: Book, topic: str, rule: str = "") -> Html:
    """The command that opens a practice round on a rule, or on a topic."""
    command = f"sideplate practise --rule {rule}" if rule else f"sideplate practise --topic {topic}"
    what = "this rule" if rule else "this topic"
    return paragraph(f"Practise {what}: ", el("code", command), class_="sp-practise")
