"""Exceptions that never hold where their rule applies."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.fact_order import can_be_ordered
from sideplate_engine.findings import Finding, Severity
from sideplate_engine.rule_regions import regions_of_rules

CODE = "idle-exception"
TITLE = "An exception that never applies"
EXPLANATION = (
    "What stands under `unless:` can hold, and so can what stands under `when:`, but never both at once. So nothing "
    "is ever excepted, and the exception only looks like one. Look for a value that the conditions have ruled out "
    "already; if it is there for the reader's sake, say it in `because` instead."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each exception that meets its rule's conditions nowhere."""
    for rule in context.rules:
        regions = regions_of_rules(context.knowledge, rule)
        if rule.unless is None or regions is None:
            continue
        ways = [tests for tests in rule.requirement.spread() if regions.box(tests) is not None]
        exceptions = [tests for tests in rule.unless.spread() if regions.box(tests) is not None]
        if not ways or not exceptions:
            continue  # told as impossible
        both = ((*way, *exception) for way in ways for exception in exceptions)
        if not any(
            regions.box(tests) is not None and can_be_ordered(tests, context.knowledge.facts)
            for tests in both
        ):
            message = "the exception never holds where the conditions do"
            yield Finding(CODE, message, rule.place("unless"), Severity.WARNING)
