"""Overrides that no example shows."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.coverage import coverage_of_all
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
    for coverage in coverage_of_all(context.knowledge, context.outcomes()):
        rule = coverage.rule
        for id_ in coverage.unexercised():
            message = f"no example shows {rule.id} setting {id_} aside"
            yield Finding(CODE, message, rule.place("overrides"), Severity.WARNING)
