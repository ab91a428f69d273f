"""Examples of one rule that give the same facts."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.findings import Finding, Severity

CODE = "twin-example"
TITLE = "Two examples of a rule give the same facts"
EXPLANATION = (
    "The second example shows nothing that the first does not. Most often a fact was meant to be changed after the "
    "example was copied. Change it, or take one of the two away."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each example whose facts an earlier one of its rule gives."""
    for rule in context.rules:
        for number, example in enumerate(rule.examples):
            for earlier in rule.examples[:number]:
                if example.given == earlier.given:
                    message = f"{example.name!r} gives the same facts as {earlier.name!r}"
                    yield Finding(CODE, message, example.at, Severity.WARNING)
                    break
