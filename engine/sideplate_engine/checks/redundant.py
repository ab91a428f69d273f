"""Rules that add nothing to another."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations

from sideplate_engine.check_context import CheckContext
from sideplate_engine.derivations import Computation, CopyOf, Derivation, LookUp
from sideplate_engine.findings import Finding, Severity
from sideplate_engine.rule_regions import is_within
from sideplate_engine.rules import Rule

CODE = "redundant"
TITLE = "A rule that another makes needless"
EXPLANATION = (
    "Both rules come to the same outcome (one force about one subject, one text, or one derivation), and wherever "
    "this one fires the other fires too. It adds nothing but a second line in the judgement. Take it away, or narrow "
    "the other; if this one is to replace the other in the cases it knows better, let it name it under `overrides:`."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each rule whose outcome another always brings too. Of two alike the later by id is told."""
    knowledge = context.knowledge
    alike: dict[object, list[Rule]] = {}
    for rule in knowledge.rules.values():
        for outcome in _outcomes(rule):
            alike.setdefault(outcome, []).append(rule)
    told: set[str] = set()
    for rules in alike.values():
        for rule, other in permutations(sorted(rules, key=lambda each: each.id, reverse=True), 2):
            if rule.id in told or other.id in told or _related(rule, other):
                continue
            if is_within(knowledge, rule, other):
                told.add(rule.id)
                message = f"{other.id} comes to the same wherever {rule.id} fires"
                yield Finding(CODE, message, rule.place("id"), Severity.WARNING)


def _outcomes(rule: Rule) -> list[object]:
    """What a rule comes to, in forms that are equal where two rules come to the same."""
    if rule.force is None:
        return [frozenset(map(_conclusion, rule.derivations))]
    outcomes: list[object] = [(rule.force, rule.says.source)]
    if rule.about is not None:
        outcomes.append((rule.force, "about", rule.about))
    return outcomes


def _conclusion(derivation: Derivation) -> tuple[object, ...]:
    match derivation:
        case LookUp():
            return (derivation.fact, "table", derivation.table.id, derivation.by, derivation.take)
        case Computation():
            return (derivation.fact, "formula", derivation.formula.id)
        case CopyOf():
            return (derivation.fact, "fact", derivation.source)
        case _:
            return (derivation.fact, "value", derivation.value)


def _related(one: Rule, other: Rule) -> bool:
    return other.id in one.overrides or one.id in other.overrides
