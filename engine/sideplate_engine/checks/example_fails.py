"""Examples that do not come out."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.example_check import example_problem
from sideplate_engine.findings import Finding

CODE = "example-fails"
TITLE = "An example does not come out as it says"
EXPLANATION = (
    "Each example of a rule is judged with the whole knowledge base, and this one comes to something else than its "
    "`expect:`, `missing:` or `derives:` says. Either the example is wrong, or the rule is, or another rule now "
    "derives or sets aside what it did not before. Work the case out by hand, then mend whichever of the two is "
    "wrong. An example that is right but cannot be met yet is marked `todo: yes`."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Every example that fails, unless it is marked as one that does."""
    for rule in context.rules:
        for example in rule.examples:
            problem = example_problem(context.knowledge, context.outcome(rule, example), rule, example)
            if problem is not None and not example.todo:
                yield Finding(CODE, f"the example {example.name!r} {problem}", example.at)
