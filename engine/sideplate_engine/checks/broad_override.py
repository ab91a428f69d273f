"""Overrides by rules that know no more than what they set aside."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.derivations import Computation, LookUp
from sideplate_engine.findings import Finding, Severity
from sideplate_engine.rule_regions import is_within
from sideplate_engine.rules import Rule

CODE = "broad-override"
TITLE = "An override by a rule that is not narrower"
EXPLANATION = (
    "A rule sets another aside because it knows better: it applies to a part of the other's cases, or it looks at "
    "something the other does not, such as the manual's own figure or a table. This one does neither, so it is hard "
    "to see why it should win. Add the condition that makes it the better judge, or turn the override round."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each override by a rule that looks at nothing more and does not lie within the other."""
    rules = context.knowledge.rules
    for rule in context.rules:
        for id_ in rule.overrides:
            other = rules[id_]
            if _looked_at(rule) <= _looked_at(other) and not is_within(context.knowledge, rule, other):
                message = f"{rule.id} is not narrower than {id_}, which it overrides"
                yield Finding(CODE, message, rule.place("overrides"), Severity.WARNING)


def _looked_at(rule: Rule) -> set[tuple[str, str]]:
    """The facts, tables and formulas that a rule draws on."""
    found = {("fact", name) for name in rule.reads()}
    for each in rule.derivations:
        if isinstance(each, LookUp):
            found.add(("table", each.table.id))
        elif isinstance(each, Computation):
            found.add(("formula", each.formula.id))
    return found
