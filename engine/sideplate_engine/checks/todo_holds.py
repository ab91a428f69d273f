"""Examples marked as not coming out yet that do."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.example_check import example_problem
from sideplate_engine.findings import Finding

CODE = "todo-holds"
TITLE = "An example marked as a thing to do comes out"
EXPLANATION = (
    "The example carries `todo: yes`, which says that the rules do not meet it yet. They do now. Take the mark "
    "away, so that the example guards the rule from here on."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Every `todo` example that comes out."""
    for rule in context.rules:
        for example in rule.examples:
            if example.todo and not example_problem(
                context.knowledge, context.outcome(rule, example), rule, example
            ):
                message = f"the example {example.name!r} comes out now; take its `todo` away"
                yield Finding(CODE, message, example.at)
