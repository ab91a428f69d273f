"""Rules that are drafts."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.findings import Finding, Severity

CODE = "draft"
TITLE = "A rule is still a draft"
EXPLANATION = (
    "The rule takes part in every judgement, but nobody has shown by examples that it does what it should. When it "
    "has a source, a firing and a quiet example and each condition seen both ways, set its status to `checked`."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Every draft."""
    for rule in context.rules:
        if rule.status == "draft":
            yield Finding(CODE, f"the rule {rule.id} is a draft", rule.place("status"), Severity.WARNING)
