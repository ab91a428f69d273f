"""Whether the matcher has room for a knowledge base: told when the base is read, not when the first job is judged."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from sideplate_engine.compiled_rules import compile_rules
from sideplate_engine.findings import Finding
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.wide_rules import CHUNKS_IN_ALL, RULES_IN_ALL, BeyondLimits, lay_out


def check_room(knowledge: KnowledgeBase) -> Iterator[Finding]:
    """A finding where the matcher cannot take all rules: at the one too much by itself, or with most alternatives."""
    compiled = compile_rules(knowledge)
    try:
        lay_out(compiled.conjunctions)
    except BeyondLimits as problem:
        if problem.key:
            id_, _ = compiled.owner[problem.key]
            message = "more facts, or lists that multiply out to more alternatives, than can be matched; split the rule"
        else:
            counted = Counter(id_ for id_, _ in compiled.owner.values())
            id_ = min(counted, key=lambda each: (-counted[each], each))
            message = (
                f"all rules together come to {counted.total()} alternatives or more, and at most {RULES_IN_ALL} "
                f"(in {CHUNKS_IN_ALL} groups) can be matched; this rule alone comes to {counted[id_]}"
            )
        yield Finding("too-many-alternatives", message, knowledge.rules[id_].place("when"))
