"""How the parts of the knowledge hang together, read off once for all pages: who reads, feeds and cites whom."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from sideplate_engine import KnowledgeBase
from sideplate_engine.authored_conditions import Test
from sideplate_engine.derivations import Computation, LookUp
from sideplate_engine.file_models import Citation
from sideplate_engine.rules import Rule

Key = TypeVar("Key")

NAMES_A_VALUE = (Test.EQUALS, Test.ONE_OF)


@dataclass(frozen=True, slots=True)
class CitedBy:
    """A thing that cites a source: its kind, its name, and the place in the source."""

    kind: str
    name: str
    at: str


@dataclass(frozen=True, slots=True)
class Relations:
    """Links between the parts, each a mapping to names in order."""

    read_by: Mapping[str, tuple[str, ...]]
    speaks_of: Mapping[tuple[str, str], tuple[str, ...]]
    set_aside_by: Mapping[str, tuple[str, ...]]
    about: Mapping[str, tuple[str, ...]]
    cautioned: Mapping[str, tuple[str, ...]]
    cautioned_steps: Mapping[str, tuple[str, ...]]
    formula_used_by: Mapping[str, tuple[str, ...]]
    table_used_by: Mapping[str, tuple[str, ...]]
    filled_from: Mapping[str, tuple[LookUp, ...]]
    cited_by: Mapping[str, tuple[CitedBy, ...]]

    def feeds(self, rule: Rule) -> tuple[str, ...]:
        """The rules that read what a rule derives, by id."""
        return tuple(sorted({id_ for fact in rule.derives() for id_ in self.read_by.get(fact, ())}))


def relations_of(knowledge: KnowledgeBase) -> Relations:
    """All links of a knowledge base."""
    read_by: dict[str, list[str]] = defaultdict(list)
    speaks_of: dict[tuple[str, str], list[str]] = defaultdict(list)
    about: dict[str, list[str]] = defaultdict(list)
    cautioned: dict[str, list[str]] = defaultdict(list)
    formula_used_by: dict[str, list[str]] = defaultdict(list)
    table_used_by: dict[str, list[str]] = defaultdict(list)
    filled_from: dict[str, list[LookUp]] = defaultdict(list)
    for rule in knowledge.rules.values():
        for fact in rule.reads():
            read_by[fact].append(rule.id)
        for named in _values_named(rule):
            speaks_of[named].append(rule.id)
        if rule.about is not None:
            about[rule.about].append(rule.id)
        if rule.caution is not None:
            cautioned[rule.caution].append(rule.id)
        for derivation in rule.derivations:
            if isinstance(derivation, Computation):
                formula_used_by[derivation.formula.id].append(rule.id)
            elif isinstance(derivation, LookUp):
                table_used_by[derivation.table.id].append(rule.id)
                filled_from[derivation.fact].append(derivation)
    steps: dict[str, list[str]] = defaultdict(list)
    for procedure in knowledge.procedures.values():
        for step in procedure.steps:
            if step.caution is not None:
                steps[step.caution].append(procedure.id)
    return Relations(
        read_by=_settled(read_by),
        speaks_of=_settled(speaks_of),
        set_aside_by=knowledge.overriders,
        about=_settled(about),
        cautioned=_settled(cautioned),
        cautioned_steps=_settled(steps),
        formula_used_by=_settled(formula_used_by),
        table_used_by=_settled(table_used_by),
        filled_from={fact: tuple(found) for fact, found in filled_from.items()},
        cited_by=_citations(knowledge),
    )


def _values_named(rule: Rule) -> set[tuple[str, str]]:
    """The choices (and yes or no) that a rule's conditions name, each with its fact."""
    exception = rule.unless.tests() if rule.unless is not None else ()
    return {
        (test.fact, _word(value))
        for test in (*rule.conditions.tests(), *exception)
        if test.test in NAMES_A_VALUE
        for value in test.values
    }


def _word(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def _settled(found: Mapping[Key, list[str]]) -> dict[Key, tuple[str, ...]]:
    return {key: tuple(dict.fromkeys(names)) for key, names in found.items()}


def _citations(knowledge: KnowledgeBase) -> dict[str, tuple[CitedBy, ...]]:
    found: dict[str, dict[CitedBy, None]] = defaultdict(dict)

    def cite(kind: str, name: str, citations: Iterable[Citation]) -> None:
        for citation in citations:
            found[citation.work][CitedBy(kind, name, citation.at or "")] = None

    for rule in (*knowledge.rules.values(), *knowledge.retired.values()):
        cite("rule", rule.id, rule.sources)
    for formula in knowledge.formulas.values():
        cite("formula", formula.id, formula.sources)
        for case in formula.worked:
            cite("formula", formula.id, case.sources)
    for procedure in knowledge.procedures.values():
        cite("procedure", procedure.id, procedure.sources)
    for table in knowledge.tables.values():
        for row in table.rows.values():
            cite("table", table.id, row.sources)
    return {work: tuple(who) for work, who in found.items()}
