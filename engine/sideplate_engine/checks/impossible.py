"""Conditions that no facts can meet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sideplate_engine.authored_conditions import FactTest
from sideplate_engine.check_context import CheckContext
from sideplate_engine.condition_regions import Regions
from sideplate_engine.condition_words import words_of_test
from sideplate_engine.fact_order import can_be_ordered
from sideplate_engine.findings import Finding, listed
from sideplate_engine.rule_regions import excepted, regions_of_rules

CODE = "impossible"
TITLE = "Conditions that can never hold"
EXPLANATION = (
    "No values of the facts meet these conditions together, so the rule (or this alternative of it) never fires. The "
    "usual slip is a limit beyond what the vocabulary calls possible, two limits the wrong way round, or two values "
    "asked of one fact where one of either was meant: that is written `{one of: [...]}`, or as branches of `any`. "
    "The same is found where a rule's own exception holds wherever its conditions do. What is told here is certain: "
    "the values a fact can take are worked out exactly."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each alternative of a rule's conditions or exception that nothing can meet."""
    for rule in context.rules:
        regions = regions_of_rules(context.knowledge, rule)
        if regions is None:
            continue
        for conditions in (rule.requirement, rule.unless):
            for tests in conditions.spread() if conditions is not None else ():
                against = contradicting(regions, tests)
                if against:
                    yield Finding(CODE, _sentence(against, regions), max(test.at for test in against))
        boxes = regions.boxes(rule.requirement)
        silent = excepted(regions, rule)
        if boxes and silent and all(regions.covers(silent, box) for box in boxes):
            yield Finding(CODE, _EXCEPTED, rule.place("unless"))


_EXCEPTED = "the exception holds wherever the conditions do, so the rule never fires"


def contradicting(regions: Regions, tests: Sequence[FactTest]) -> list[FactTest]:
    """The tests of a conjunction that cannot hold together; none when they can."""
    if regions.box(tests) is not None:
        return [] if can_be_ordered(tests, regions.vocabulary) else _fewest_in_disorder(tests, regions)
    for test in tests:
        if regions.box([test]) is None:
            return [test]
    for dimension in dict.fromkeys(regions.admits(test)[0] for test in tests):
        about = [test for test in tests if regions.admits(test)[0] == dimension]
        if regions.box(about) is None:
            return about
    # A comparison needs both its facts known.
    return next(
        [one, other]
        for number, one in enumerate(tests)
        for other in tests[number + 1 :]
        if regions.box([one, other]) is None
    )


def _fewest_in_disorder(tests: Sequence[FactTest], regions: Regions) -> list[FactTest]:
    """The tests without which the rest could be put in order."""
    left = list(tests)
    for test in tests:
        without = [other for other in left if other is not test]
        if not can_be_ordered(without, regions.vocabulary):
            left = without
    return left


def _sentence(tests: Sequence[FactTest], regions: Regions) -> str:
    words = list(dict.fromkeys(words_of_test(test, regions.vocabulary) for test in tests))
    if len(words) == 1:
        return f"this can never be: {words[0]}"
    return f"these can never hold together: {listed(words, 'and')}"
