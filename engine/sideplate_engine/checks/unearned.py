"""Rules called checked whose examples do not bear it out."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.coverage import coverage_of
from sideplate_engine.findings import Finding

CODE = "unearned"
TITLE = "A rule is called checked without the examples for it"
EXPLANATION = (
    "The status `checked` is earned by evidence: an example in which the rule fires, one in which it is quiet, and "
    "among all its examples each condition seen both holding and failing. The message names what is lacking. Write "
    "that example; best is one that differs from a firing one in the single fact that matters. Until then the rule "
    "is a `draft`."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """What the examples of each checked rule lack."""
    for rule in context.rules:
        if rule.status == "checked":
            outcomes = [(example, context.outcome(rule, example)) for example in rule.examples]
            for lack in coverage_of(context.knowledge, rule, outcomes).lacking():
                yield Finding(CODE, f"the rule is not checked yet: {lack}", rule.place("status"))
