"""Rules that are set aside whenever they fire."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.findings import Finding, Severity
from sideplate_engine.rule_regions import is_within

CODE = "shadowed"
TITLE = "A rule that another always sets aside"
EXPLANATION = (
    "Wherever this rule fires, a rule that overrides it fires too. So it never gets a word in: it is as good as "
    "absent. Usually the rule that overrides has lost a condition, or was meant to apply to fewer cases. Narrow that "
    "one, or retire this one."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each rule whose conditions lie within those of one that overrides it."""
    knowledge = context.knowledge
    above = knowledge.overriders
    for id_, others in sorted(above.items()):
        rule = knowledge.rules[id_]
        for other in others:
            # One that can be set aside itself leaves the rule its say.
            if other not in above and is_within(knowledge, rule, knowledge.rules[other]):
                message = f"{other} sets {id_} aside wherever it fires"
                yield Finding(CODE, message, rule.place("id"), Severity.WARNING)
                break
