"""Conditions that wait for what no rule concludes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sideplate_engine.authored_conditions import AllOf, FactTest, Test
from sideplate_engine.check_context import CheckContext
from sideplate_engine.checks.impossible import contradicting
from sideplate_engine.condition_regions import regions_of
from sideplate_engine.condition_words import words_of_test
from sideplate_engine.fact_order import can_be_ordered
from sideplate_engine.findings import Finding, did_you_mean, listed
from sideplate_engine.grounding import ways_of
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.rule_regions import firing, regions_of_rules
from sideplate_engine.value_states import TooManyStates

CODE = "unreachable"
TITLE = "A condition waits for a conclusion that no rule draws"
EXPLANATION = (
    "The fact is one that only rules can derive (`given: no`), and no rule gives it the value this condition asks "
    "for: no rule derives the fact at all, every rule that does gives another value, or those rules need what this "
    "one rules out. So the condition never holds. Write the rule that derives the value, ask for a value that is "
    "derived, or take `given: no` off the fact if it can be seen on the machine."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each alternative that could hold of its own, but for which nothing is derived."""
    knowledge = context.knowledge
    for rule in context.rules:
        regions = regions_of_rules(knowledge, rule)
        if regions is None:
            continue
        for conditions in (firing(rule), rule.unless):
            for tests in conditions.spread() if conditions is not None else ():
                if not contradicting(regions, tests) and not _can_come_about(knowledge, tests):
                    yield _finding(knowledge, tests)


def _can_come_about(knowledge: KnowledgeBase, tests: Sequence[FactTest]) -> bool:
    for way in ways_of(knowledge, tests):
        try:
            regions = regions_of(knowledge.facts, AllOf(way))
        except TooManyStates:
            return True
        if regions.box(way) is not None and can_be_ordered(way, knowledge.facts):
            return True
    return False


def _finding(knowledge: KnowledgeBase, tests: Sequence[FactTest]) -> Finding:
    derived = [
        test
        for test in tests
        if test.test is not Test.UNKNOWN and any(not knowledge.facts[name].given for name in test.facts())
    ]
    for test in derived:
        for name in test.facts():
            if not knowledge.facts[name].given and not knowledge.derivers(name):
                known = (fact for fact in knowledge.facts if fact != name)
                return Finding(CODE, f"no rule derives {name}{did_you_mean(name, known)}", test.at)
    for test in derived:
        if not _can_come_about(knowledge, [test]):
            words = words_of_test(test, knowledge.facts)
            return Finding(CODE, f"no rule derives what this asks for: {words}", test.at)
    words = listed([words_of_test(test, knowledge.facts) for test in tests], "and")
    return Finding(CODE, f"the rules never derive what this asks for together: {words}", derived[-1].at)
