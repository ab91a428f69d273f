"""Facts, sources, cautions, tables, formulas, subjects and topics that nothing names."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.checks.unread import facts_told
from sideplate_engine.derivations import Computation, LookUp
from sideplate_engine.file_models import Citation
from sideplate_engine.findings import Finding, Position, Severity
from sideplate_engine.knowledge_base import KnowledgeBase

CODE = "unused"
TITLE = "Something is declared and never used"
EXPLANATION = (
    "No rule asks for the fact, no rule or figure cites the source, nothing names the caution, table, formula, "
    "subject or topic. Often the name was changed in one place only; sometimes the rule it was meant for is still to "
    "be written. What nothing uses costs every reader a look, so use it or take it away. A table that is only there "
    "to be read says `reference: yes`; a formula that gives no fact is for reference too."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Everything declared that nothing names."""
    knowledge = context.knowledge
    rules = knowledge.rules.values()
    facts = {name for rule in rules for name in (*rule.reads(), *rule.derives(), *facts_told(rule))}
    facts |= {name for formula in knowledge.formulas.values() for name in formula.facts()}
    yield from _idle("fact", {name: fact.at for name, fact in knowledge.facts.items()}, facts)
    formulas = {
        each.formula.id for rule in rules for each in rule.derivations if isinstance(each, Computation)
    }
    # What gives no fact cannot be derived from; it is there to be read and worked.
    derivable = {name: each.at for name, each in knowledge.formulas.items() if each.gives_fact is not None}
    yield from _idle("formula", derivable, formulas)
    tables = {each.table.id for rule in rules for each in rule.derivations if isinstance(each, LookUp)}
    looked_up = {name: each.at for name, each in knowledge.tables.items() if not each.reference}
    yield from _idle("table", looked_up, tables)
    yield from _idle("source", context.places("sources.yaml"), _cited(knowledge))
    cautions = {rule.caution for rule in rules}
    cautions |= {step.caution for each in knowledge.procedures.values() for step in each.steps}
    yield from _idle("caution", context.places("cautions.yaml"), cautions)
    yield from _idle("subject", context.places("subjects.yaml"), {rule.about for rule in rules})
    yield from _idle("topic", context.places("topics.yaml"), {rule.topic for rule in rules})


def _idle(
    what: str, declared: dict[str, Position] | Iterable[tuple[str, Position]], named: Iterable[str | None]
) -> Iterator[Finding]:
    used = set(named)
    for name, at in dict(declared).items():
        if name not in used:
            yield Finding(CODE, f"nothing uses the {what} {name}", at, Severity.WARNING)


def _cited(knowledge: KnowledgeBase) -> set[str]:
    citations: list[Citation] = []
    for rule in (*knowledge.rules.values(), *knowledge.retired.values()):
        citations += rule.sources
    for table in knowledge.tables.values():
        citations += [citation for row in table.rows.values() for citation in row.sources]
    for formula in knowledge.formulas.values():
        citations += formula.sources
        citations += [citation for case in formula.worked for citation in case.sources]
    for procedure in knowledge.procedures.values():
        citations += procedure.sources
    return {citation.work for citation in citations}
