"""Rules that fire on no sheet there is."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.findings import Finding, Severity

CODE = "never-fires"
TITLE = "A rule fires on no sheet"
EXPLANATION = (
    "The rule fires on none of the sheets there are: the workshop's job sheets and the examples of every rule. A rule "
    "that nobody has seen fire may ask for something that never happens, or for facts that are never known together. "
    "Add an example in which it fires."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each rule that no sheet makes fire."""
    if context.focus is not None:
        return
    fired = {id_ for chained in context.corpus for id_ in chained.fired}
    for rule in context.knowledge.rules.values():
        if rule.id not in fired:
            message = f"{rule.id} fires on none of {len(context.corpus)} sheets"
            yield Finding(CODE, message, rule.place("when"), Severity.WARNING)
