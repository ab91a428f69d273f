"""Facts that rules derive and nothing uses."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.findings import Finding, Severity
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.rules import Rule

CODE = "unread"
TITLE = "A derived fact that nobody reads"
EXPLANATION = (
    "Rules derive this fact, but no other rule looks at it, no formula takes it in and no text tells it. A fact that "
    "is a result of its own is told by the `says` of the rule that derives it; a fact that is only a step on the way "
    "(`intermediate: yes`) has to lead somewhere. Use it, tell it, or take it away with the rule that derives it."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each derived fact that no rule reads and no text puts in."""
    read = {name for rule in context.knowledge.rules.values() for name in rule.reads()}
    told = _told(context.knowledge)
    for fact in context.knowledge.facts.values():
        derivers = context.knowledge.derivers(fact.name)
        if derivers and fact.name not in read and fact.name not in told:
            rule = derivers[0]
            message = f"{fact.name} is derived, but no rule reads it and no text tells it"
            yield Finding(CODE, message, rule.place("derive"), Severity.WARNING)


def _told(knowledge: KnowledgeBase) -> set[str]:
    """The facts that texts put in; a step on the way counts only where a ruling tells it."""
    return {
        name
        for rule in knowledge.rules.values()
        for name in facts_told(rule)
        if rule.is_ruling or not knowledge.facts[name].intermediate
    }


def facts_told(rule: Rule) -> set[str]:
    """The facts for which a rule's texts have places."""
    return {name for text in rule.texts().values() for name in text.facts()}
