"""Conditions that say nothing, because they always hold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sideplate_engine.authored_conditions import AllOf, AnyOf, FactTest, Test
from sideplate_engine.check_context import CheckContext
from sideplate_engine.condition_regions import NOT_KNOWN, Regions
from sideplate_engine.condition_words import words_of_test
from sideplate_engine.findings import Finding, Severity, listed
from sideplate_engine.rule_regions import regions_of_rules

CODE = "always-holds"
TITLE = "A condition that always holds"
EXPLANATION = (
    "The condition is met by every value its fact can take, or by every value that the other conditions beside it "
    "leave; or one of the branches of an `any` always holds. It looks like a limit and is none. Where the fact only "
    "has to be there, write `known`. Where a limit was meant, look at its number, its unit and its direction. "
    "Where another condition says as much already, take this one away."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each test and each `any` of a rule that decides nothing."""
    for rule in context.rules:
        regions = regions_of_rules(context.knowledge, rule)
        if regions is not None:
            for conditions in (rule.conditions, rule.unless):
                if conditions is not None:
                    yield from _idle(regions, conditions, ())


def _idle(regions: Regions, conditions: AllOf, outer: Sequence[FactTest]) -> Iterator[Finding]:
    own = [part for part in conditions.parts if isinstance(part, FactTest)]
    for number, test in enumerate(own):
        dimension, bits = regions.admits(test)
        beside = [*outer, *own[:number], *_narrower(regions, test, own[number + 1 :])]
        left = _left(regions, beside, test)
        if test.test not in (Test.KNOWN, Test.UNKNOWN) and regions.known(dimension) & ~bits == 0:
            message = (
                f"{words_of_test(test, regions.vocabulary)}, whatever it is; write `known` if that is meant"
            )
            yield Finding(CODE, message, test.at, Severity.WARNING)
        elif test.test is not Test.KNOWN and left & ~bits == 0:
            # `known` beside another test says something: where the fact is missing, quiet instead of open.
            words = words_of_test(test, regions.vocabulary)
            message = f"the other conditions already see to it that {words}"
            yield Finding(CODE, message, test.at, Severity.WARNING)
    for part in conditions.parts:
        if isinstance(part, AnyOf):
            yield from _idle_any(regions, part, [*outer, *own])


def _narrower(regions: Regions, test: FactTest, later: Sequence[FactTest]) -> list[FactTest]:
    """The later tests that say more than this one; of two that say the same the later is the idle one."""
    return [other for other in later if regions.admits(other) != regions.admits(test)]


def _left(regions: Regions, tests: Sequence[FactTest], test: FactTest) -> int:
    """The states that tests leave to the dimension another one looks at."""
    dimension, _ = regions.admits(test)
    box = regions.box(tests)
    every = regions.every(dimension)
    return every if box is None else box.get(dimension, every)


def _idle_any(regions: Regions, part: AnyOf, outer: Sequence[FactTest]) -> Iterator[Finding]:
    around = regions.box(outer)
    boxes = [box for branch in part.branches for box in regions.boxes(branch)]
    presence_asked = {
        test.fact
        for branch in part.branches
        for test in branch.tests()
        if test.test in (Test.KNOWN, Test.UNKNOWN)
    }
    if around is not None:
        all_known = {
            dimension: around.get(dimension, regions.every(dimension)) & ~NOT_KNOWN
            for box in boxes
            for dimension in box
            if not presence_asked & set(dimension)
        }
        whole = regions.meet(around, all_known)
        if whole is not None and regions.covers(boxes, whole):
            names = sorted({name for dimension in all_known for name in dimension})
            what = f" once {listed(names, 'and')} {'is' if len(names) == 1 else 'are'} known" if names else ""
            message = f"one of these alternatives always holds{what}"
            yield Finding(CODE, message, part.at, Severity.WARNING)
            return
    for branch in part.branches:
        yield from _idle(regions, branch, outer)
