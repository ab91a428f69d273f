"""Finds the rules for which no situation exists: they can be written and judged, but never practised."""

from __future__ import annotations

from sideplate_engine.findings import Finding, Severity
from sideplate_trainer.situations.building import SituationBuilder
from sideplate_trainer.situations.situation import NoSituation

_SEEDS = 3


def find_unbuildable(builder: SituationBuilder) -> list[Finding]:
    """A warning at the place of every rule for which no job sheet is found on which it fires and stands."""
    findings: list[Finding] = []
    for id_, rule in sorted(builder.knowledge.rules.items()):
        problem = _problem(builder, id_)
        if problem is not None:
            findings.append(Finding("no-situation", str(problem), rule.at, Severity.WARNING))
    return findings


def _problem(builder: SituationBuilder, rule: str) -> NoSituation | None:
    """Why no sheet is found; the rule's own examples are tried first, for that is quick."""
    if builder.has_example_sheet(rule):
        return None
    last: NoSituation | None = None
    for seed in range(_SEEDS):
        try:
            builder.sheet(rule, seed)
        except NoSituation as problem:
            last = problem
        else:
            return None
    return last
