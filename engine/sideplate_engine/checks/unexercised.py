"""Overrides that no example shows."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.findings import Finding, Severity

CODE = "unexercised"
TITLE = "An override without an example"
EXPLANATION = (
    "The rule overrides another, but in no example of the knowledge base do both fire, so nothing shows the one "
    "setting the other aside. Add an example to the rule that is overridden, with `expect: overridden` and facts on "
    "which both apply."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each override that takes effect in no example."""
    if context.focus is not None:
        return
    shown: set[tuple[str, str]] = set()
    for rule in context.knowledge.rules.values():
        for example in rule.examples:
            if not example.todo:
                chained = context.outcome(rule, example)
                shown |= {(by, id_) for id_, above in chained.overridden.items() for by in above}
    for rule in context.knowledge.rules.values():
        for id_ in rule.overrides:
            if (rule.id, id_) not in shown:
                message = f"no example shows {rule.id} setting {id_} aside"
                yield Finding(CODE, message, rule.place("overrides"), Severity.WARNING)
