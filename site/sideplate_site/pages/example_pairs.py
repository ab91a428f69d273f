"""A rule's examples as small pairs: where it fires, and the same job with little changed where it does not."""

from __future__ import annotations

from collections.abc import Iterable

from sideplate_engine.rules import Example, Rule
from sideplate_engine.vocabulary import Value
from sideplate_site.markup import EMPTY, Html, el, html, joined, paragraph
from sideplate_site.place import Place, both_systems

OUTCOMES = {
    "fires": "It applies",
    "quiet": "It keeps quiet",
    "open": "It cannot be told yet",
    "excepted": "It is excepted",
    "overridden": "It is set aside",
}


def example_pairs(place: Place, rule: Rule) -> Html:
    """Each example that fires, and beside it those that differ least from it and come to something else."""
    firing = [example for example in rule.examples if example.expect == "fires"]
    beside: dict[str, list[Example]] = {example.name: [] for example in firing}
    alone: list[Example] = []
    for other in rule.examples:
        if other.expect != "fires":
            fires = nearest(other, firing)
            (alone if fires is None else beside[fires.name]).append(other)
    alone += [example for example in firing if not beside[example.name]]
    groups = [
        _group(place, rule, example, beside[example.name]) for example in firing if beside[example.name]
    ]
    cards = [_card(place, rule, example, ()) for example in alone]
    return joined((*groups, el("div", *cards, class_="sp-pair") if cards else EMPTY))


def nearest(example: Example, others: Iterable[Example]) -> Example | None:
    """The one whose facts differ least from an example's; the first of several."""
    return min(others, key=lambda other: len(changed(example, other)), default=None)


def changed(one: Example, other: Example) -> tuple[str, ...]:
    """The facts that two examples do not share."""
    names = dict.fromkeys((*one.given, *other.given))
    return tuple(name for name in names if one.given.get(name) != other.given.get(name))


def _group(place: Place, rule: Rule, fires: Example, others: list[Example]) -> Html:
    differing = tuple(dict.fromkeys(name for other in others for name in changed(fires, other)))
    cards = [_card(place, rule, other, changed(fires, other), told_missing=True) for other in others]
    return el("div", _card(place, rule, fires, differing), el("div", *cards), class_="sp-pair")


def _card(
    place: Place, rule: Rule, example: Example, differing: tuple[str, ...], told_missing: bool = False
) -> Html:
    """One example; what differs is marked, and with `told_missing` what only the other one states is told too."""
    names = dict.fromkeys((*example.given, *(differing if told_missing else ())))
    rows = [_fact_row(place, name, example.given.get(name), name in differing) for name in names]
    return el(
        "section",
        el("h3", example.name[:1].upper() + example.name[1:]),
        el("dl", *rows, class_="sp-given"),
        paragraph(el("strong", OUTCOMES[example.expect], "."), " ", _result(place, rule, example)),
        class_=f"sp-example sp-{example.expect}",
    )


def _fact_row(place: Place, name: str, value: Value | None, differs: bool) -> Html:
    shown = "not stated" if value is None else both_systems(place.knowledge.facts[name], value)
    words = el("mark", shown) if differs else html(shown)
    return el("div", el("dt", place.fact(name)), el("dd", words))


def _result(place: Place, rule: Rule, example: Example) -> Html:
    """What comes of it in words: the ruling with the facts filled in, what is missing, what sets it aside."""
    match example.expect:
        case "fires":
            facts = example.given
            if not set(rule.says.facts()) <= facts.keys():
                facts = place.book.outcome_of(rule.id, example).facts
            return html(rule.says.fill(facts, place.knowledge.facts))
        case "open":
            missing = joined((place.fact(name) for name in example.missing), ", ")
            return joined(("Still needed: ", missing, "."))
        case "overridden":
            outcome = place.book.outcome_of(rule.id, example)
            by = joined((place.rule(id_) for id_ in outcome.overridden.get(rule.id, ())), ", ")
            return joined(("By: ", by, "."))
        case _:
            return EMPTY
