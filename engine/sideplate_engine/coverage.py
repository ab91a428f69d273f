"""What the examples of a rule show of it: each outcome, each condition both ways, its exception and its overrides."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from sideplate_engine.authored_conditions import FactTest
from sideplate_engine.authored_reading import truth_of
from sideplate_engine.chaining import Chained
from sideplate_engine.condition_words import words_of_test
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.plain_reading import Truth
from sideplate_engine.rules import Example, Rule


@dataclass(frozen=True, slots=True)
class TestSeen:
    """One test of a rule in words, and whether an example shows it holding and one shows it failing."""

    __test__ = False

    test: FactTest
    words: str
    holding: bool
    failing: bool


@dataclass(frozen=True, slots=True)
class RuleCoverage:
    """What the examples of one rule show. `overrides` pairs each rule it overrides with whether an example shows it."""

    rule: Rule
    fires: bool
    quiet: bool
    open: bool
    excepted: bool
    tests: tuple[TestSeen, ...]
    overrides: tuple[tuple[str, bool], ...]

    def lacking(self) -> list[str]:
        """What is missing for the rule to count as checked, each as a clause."""
        lacking: list[str] = []
        if not self.fires:
            lacking.append("no example fires")
        # A rule that only derives, without conditions of its own, is never quiet: it waits for its inputs.
        if not (self.quiet or self.excepted or (not self.rule.conditions.parts and self.open)):
            lacking.append("no example is quiet")
        for seen in self.tests:
            for shown, words in ((seen.holding, "holding"), (seen.failing, "failing")):
                if not shown:
                    where = f"{seen.test.fact} (line {seen.test.at.line})"
                    lacking.append(f"no example shows the condition on {where} {words}")
        return lacking

    def unexercised(self) -> list[str]:
        """The rules it overrides without an example that shows it."""
        return [id_ for id_, shown in self.overrides if not shown]


def coverage_of(
    knowledge: KnowledgeBase, rule: Rule, outcomes: Iterable[tuple[Example, Chained]]
) -> RuleCoverage:
    """What these outcomes of a rule's own examples show of it; `todo` examples show nothing."""
    own = [(example, chained) for example, chained in outcomes if not example.todo]
    expected = {example.expect for example, _ in own}
    seen = [
        (test, {truth_of(test, chained.facts, knowledge.facts) for _, chained in own})
        for test in _tests(rule)
    ]
    overridden = {id_ for _, chained in own for id_, by in chained.overridden.items() if rule.id in by}
    return RuleCoverage(
        rule=rule,
        fires=bool(expected & {"fires", "overridden"}),
        quiet="quiet" in expected,
        open="open" in expected,
        excepted="excepted" in expected,
        tests=tuple(
            TestSeen(test, words_of_test(test, knowledge.facts), Truth.TRUE in truths, Truth.FALSE in truths)
            for test, truths in seen
        ),
        overrides=tuple((id_, id_ in overridden) for id_ in rule.overrides),
    )


def _tests(rule: Rule) -> Iterator[FactTest]:
    yield from rule.conditions.tests()
    if rule.unless is not None:
        yield from rule.unless.tests()


def coverage_of_all(
    knowledge: KnowledgeBase, outcomes: Mapping[str, Sequence[tuple[Example, Chained]]]
) -> tuple[RuleCoverage, ...]:
    """The coverage of every rule, from the outcomes of all examples by the id of the rule they stand in."""
    everywhere = [
        chained for of_rule in outcomes.values() for example, chained in of_rule if not example.todo
    ]
    shown = {(by, id_) for chained in everywhere for id_, above in chained.overridden.items() for by in above}
    found: list[RuleCoverage] = []
    for id_, rule in knowledge.rules.items():
        own = coverage_of(knowledge, rule, outcomes.get(id_, ()))
        overrides = tuple((other, (id_, other) in shown) for other in rule.overrides)
        found.append(replace(own, overrides=overrides))
    return tuple(found)
