"""Names that one part of the knowledge has for another: looked up once all of it is read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from collections.abc import Mapping as MappingABC
from dataclasses import replace
from graphlib import CycleError, TopologicalSorter

from sideplate_engine.file_models import TopicEntry
from sideplate_engine.findings import Finding, Position, did_you_mean
from sideplate_engine.formulas import Formula
from sideplate_engine.procedures import Procedure
from sideplate_engine.rules import Rule
from sideplate_engine.tables import Table


def unknown_name(name: str, what: str, known: MappingABC[str, object], at: Position) -> Iterator[Finding]:
    """The finding that a name is not known, if it is not."""
    if name not in known:
        message = f"no {what} is called {name}{did_you_mean(name, known)}"
        yield Finding(f"unknown-{what}", message, at, names=name)


def in_force(rules: MappingABC[str, Rule]) -> tuple[dict[str, Rule], list[Finding]]:
    """The rules without those that others say they replace; what overrode those overrides these."""
    kept = dict(rules)
    replaced: dict[str, str] = {}
    findings: list[Finding] = []
    for rule in rules.values():
        if rule.replaces is None:
            continue
        if rule.replaces == rule.id or rule.replaces not in kept:
            message = f"`replaces` names no other rule{did_you_mean(rule.replaces, kept)}"
            findings.append(Finding("unknown-rule", message, rule.place("replaces"), names=rule.replaces))
        else:
            del kept[rule.replaces]
            replaced[rule.replaces] = rule.id

    def stands_for(id_: str) -> str:
        while id_ in replaced and id_ not in kept:
            id_ = replaced[id_]
        return id_

    for id_, rule in kept.items():
        overrides = tuple(dict.fromkeys(map(stands_for, rule.overrides)))
        if overrides != rule.overrides:
            kept[id_] = replace(rule, overrides=tuple(name for name in overrides if name != id_))
    return kept, findings


def check_rules(
    rules: MappingABC[str, Rule],
    sources: MappingABC[str, object],
    cautions: MappingABC[str, object],
    subjects: MappingABC[str, object],
) -> Iterator[Finding]:
    """Every caution, subject, source and rule that a rule names in vain, and a rule that overrides itself."""
    for rule in rules.values():
        if rule.caution is not None:
            yield from unknown_name(rule.caution, "caution", cautions, rule.place("caution"))
        if rule.about is not None:
            yield from unknown_name(rule.about, "subject", subjects, rule.place("about"))
        for citation in rule.sources:
            yield from unknown_name(citation.work, "source", sources, rule.place("sources"))
        for overridden in rule.overrides:
            if overridden == rule.id:
                message = "a rule cannot override itself"
                yield Finding("self-override", message, rule.place("overrides"))
            else:
                yield from unknown_name(overridden, "rule", rules, rule.place("overrides"))


def check_citations(
    things: Iterable[Table | Formula | Procedure], sources: MappingABC[str, object]
) -> Iterator[Finding]:
    """Every source that a table's row, a formula, a worked case or a procedure names in vain."""
    for thing in things:
        match thing:
            case Table():
                cited = [(row.sources, row.at) for row in thing.rows.values()]
            case Formula():
                cited = [(thing.sources, thing.at), *((case.sources, case.at) for case in thing.worked)]
            case Procedure():
                cited = [(thing.sources, thing.at)]
        for citations, at in cited:
            for citation in citations:
                yield from unknown_name(citation.work, "source", sources, at)


def check_topic_order(
    topics: MappingABC[str, TopicEntry], places: MappingABC[str, Position]
) -> Iterator[Finding]:
    """Every topic that another is to come after and that does not exist, and topics that come after each other."""
    for name, topic in topics.items():
        for before in topic.after:
            yield from unknown_name(before, "topic", topics, places[name])
    try:
        TopologicalSorter({name: topic.after for name, topic in topics.items()}).prepare()
    except CycleError as problem:
        in_cycle = problem.args[1][:-1]
        message = f"these topics come after each other: {', '.join(in_cycle)}"
        yield Finding("cycle", message, min(places[name] for name in in_cycle))
