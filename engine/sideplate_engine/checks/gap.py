"""Values of a fact declared complete that no rule speaks to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sideplate_engine.authored_conditions import FactTest, Test
from sideplate_engine.authored_reading import truth_of
from sideplate_engine.check_context import CheckContext
from sideplate_engine.derivations import LookUp
from sideplate_engine.findings import Finding, Severity, listed
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.plain_reading import Truth
from sideplate_engine.value_states import TooManyStates, states_of
from sideplate_engine.vocabulary import Element, Fact

CODE = "gap"
TITLE = "A value that no rule speaks to"
EXPLANATION = (
    "The fact is declared `complete: yes`: whatever its value, some rule is to have something to say about it. For "
    "the values in the message none does; a rule speaks to a value when it tests for it and the test holds, or looks "
    "it up in a table that has a row for it. Write the missing rule, widen the one beside the gap (a limit of `above` "
    "may have been meant as `at least`), or take `complete` off the fact."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """The values without a rule, of each fact that is to have none."""
    for fact in context.knowledge.facts.values():
        if fact.complete:
            silent = _silent(fact, _speaking(context.knowledge, fact))
            if silent:
                message = f"no rule speaks to {fact.name} {listed(silent)}"
                yield Finding(CODE, message, fact.at, Severity.WARNING)


def _speaking(knowledge: KnowledgeBase, fact: Fact) -> list[list[FactTest]]:
    """The tests by which rules speak to values of the fact: of each alternative those that must hold together."""
    found: list[list[FactTest]] = []
    for rule in knowledge.rules.values():
        for conditions in (rule.conditions, rule.unless):
            for tests in conditions.spread() if conditions is not None else ():
                own = [test for test in tests if test.fact == fact.name and test.other is None]
                if any(test.test not in _SINGLE_NO_VALUE_OUT for test in own):
                    found.append(own)
        found += [
            [FactTest(fact.name, Test.ONE_OF, each.at, tuple(each.table.rows))]
            for each in rule.derivations
            if isinstance(each, LookUp) and each.by == fact.name
        ]
    return found


_SINGLE_NO_VALUE_OUT = (Test.KNOWN, Test.UNKNOWN, Test.NONE_OF)
"""Tests that by themselves say nothing about a value."""


def _silent(fact: Fact, alternatives: Sequence[Sequence[FactTest]]) -> list[str]:
    """The values to which no alternative speaks, in words; numbers as stretches."""
    tests = [test for alternative in alternatives for test in alternative]
    if fact.many:
        spoken = {str(value) for test in tests if test.test is not Test.NONE_OF for value in test.values}
        return [choice for choice in fact.choices or () if choice not in spoken]
    try:
        states = states_of(fact, tests)
    except TooManyStates:
        return []
    vocabulary = {fact.name: fact}
    bare = [
        state
        for state in states
        if state is not None
        and not any(
            all(truth_of(test, {fact.name: state}, vocabulary) is Truth.TRUE for test in alternative)
            for alternative in alternatives
        )
    ]
    if not fact.is_number:
        if fact.kind == "code":
            return ["that is in no test and no table"] if bare else []
        return [fact.show(state) for state in bare]
    points = sorted({float(value) for test in tests for value in test.values})
    return _stretches(fact, [float(state) for state in bare if isinstance(state, (int, float))], points)


def _stretches(fact: Fact, bare: Sequence[float], points: Sequence[float]) -> list[str]:
    """Numbers that stand for themselves or for the gap they lie in, as stretches between the numbers written."""
    words: list[str] = []
    for value in bare:
        if value in points:
            words.append(fact.show(_element(fact, value)))
            continue
        below = max((point for point in points if point < value), default=None)
        above = min((point for point in points if point > value), default=None)
        if below is None and above is None:
            words.append("at any value")
        elif below is None:
            words.append(f"below {fact.show(_element(fact, above or 0.0))}")
        elif above is None:
            words.append(f"above {fact.show(_element(fact, below))}")
        else:
            ends = (fact.show(_element(fact, end)) for end in (below, above))
            words.append(f"between {' and '.join(ends)}")
    return words


def _element(fact: Fact, value: float) -> Element:
    return int(value) if fact.kind == "count" else value
