"""Overrides between rules that never fire together."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.findings import Finding, Severity
from sideplate_engine.rule_regions import meeting

CODE = "idle-override"
TITLE = "An override that never takes effect"
EXPLANATION = (
    "The rule overrides another, but there are no facts on which both fire, so nothing is ever set aside. Either the "
    "wrong rule is named, or one of the two has changed and the override is no longer needed."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each override whose two rules never meet."""
    rules = context.knowledge.rules
    for rule in context.rules:
        for id_ in rule.overrides:
            if next(meeting(context.knowledge, rule, rules[id_]), None) is None:
                message = f"{rule.id} and {id_} never fire together, so nothing is set aside"
                yield Finding(CODE, message, rule.place("overrides"), Severity.WARNING)
