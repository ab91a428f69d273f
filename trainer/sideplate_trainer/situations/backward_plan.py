"""Works backwards from tests that shall hold to the facts a sheet has to give, through the rules that derive facts."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from collections.abc import Sequence
from dataclasses import dataclass, field

from sideplate_engine.authored_conditions import FactTest, Test
from sideplate_engine.condition_algebra import allows, carried_to, opposite
from sideplate_engine.derivations import CopyOf, LookUp, PlainValue
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Element, Value
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.plans import Avoid, DeadEnd, Plan
from sideplate_trainer.situations.rule_reach import RuleReach, row_values
from sideplate_trainer.situations.scales import fine_scale_of, spans_of
from sideplate_trainer.situations.value_drawing import can_hold

_STATE_RATHER_THAN_DERIVE = 0.25
_SLIVER = 10


def make_plan(
    reach: RuleReach,
    goals: Sequence[FactTest],
    avoid: Sequence[Avoid],
    draws: Draws,
    pinned: MappingABC[str, Value],
    likely_given: MappingABC[str, Value],
    *,
    usual: bool = False,
) -> Plan:
    """A plan for tests that must all hold. `pinned` facts keep their values. Raises DeadEnd.

    With `usual`, what rules work out on the way is to lie in its usual range as far as the tests leave room.
    """
    planner = _Planner(reach, draws, pinned, likely_given)
    planner.demand(goals, as_goals=True)
    planner.keep_in_range(usual=usual)
    for each in draws.shuffled(avoid):
        planner.keep_clear_of(each)
    return planner.plan


@dataclass
class _Planner:
    reach: RuleReach
    draws: Draws
    pinned: MappingABC[str, Value]
    likely_given: MappingABC[str, Value]
    plan: Plan = field(default_factory=Plan)
    resolved: set[str] = field(default_factory=set)

    def demand(self, tests: Sequence[FactTest], *, as_goals: bool = False) -> None:
        """Adds tests, and whatever is needed below them."""
        if as_goals:
            self.plan.goals += tests
        self._take(tests)
        while True:
            open_facts = [name for name in self.plan.tests if name not in self.resolved]
            if not open_facts:
                return
            name = open_facts[-1]
            self.resolved.add(name)
            self._source(name)

    def _take(self, tests: Sequence[FactTest]) -> None:
        for test in tests:
            if test.test is Test.UNKNOWN:
                if test.fact in self.plan.tests or test.fact in self.pinned:
                    raise DeadEnd(f"{test.fact} would have to be both known and unknown")
                self.plan.absent.add(test.fact)
                continue
            for name in test.facts():
                if name in self.plan.absent:
                    raise DeadEnd(f"{name} would have to be both known and unknown")
                self.plan.tests.setdefault(name, [])
            if test.other is not None:
                self.plan.between.append(test)
            else:
                self.plan.tests[test.fact].append(test)
        for name in dict.fromkeys(name for test in tests for name in test.facts()):
            if name in self.plan.tests and not self._can_hold(name, ()):
                raise DeadEnd(f"no value of {name} satisfies all that is asked of it")

    def _can_hold(self, name: str, more: Sequence[FactTest]) -> bool:
        tests = [*self.plan.tests.get(name, ()), *more]
        if name in self.pinned:
            return allows(tests, name, self.pinned[name], self.reach.facts)
        return can_hold(self.reach.facts[name], tests, self.reach.words_of(name), self.reach.facts)

    def _source(self, name: str) -> None:
        """Decides whether the sheet gives a fact or which rule derives it."""
        if name in self.pinned:
            return
        derivers = [rule for rule in self.reach.derivers(name) if self._can_derive(rule, name)]
        if self.reach.facts[name].given:
            stated = 0.8 if name in self.likely_given else _STATE_RATHER_THAN_DERIVE
            if not derivers or self.draws.chance(stated):
                return
        if not derivers:
            raise DeadEnd(f"no rule gives {name} a value that satisfies what is asked of it")
        rule = self.draws.pick(derivers)
        self.plan.via[name] = rule
        branch = self.draws.pick(self._open_branches(rule) or rule.requirement.spread())
        self.demand([*branch, *self._through(rule, name)])

    def _open_branches(self, rule: Rule) -> list[tuple[FactTest, ...]]:
        """The branches of a rule that what is planned already does not close."""
        return [
            branch
            for branch in rule.requirement.spread()
            if not any(
                (test.fact in self.plan.tests or test.fact in self.pinned)
                if test.test is Test.UNKNOWN
                else any(name in self.plan.absent for name in test.facts())
                or (test.other is None and not self._can_hold(test.fact, (test,)))
                for test in branch
            )
        ]

    def _can_derive(self, rule: Rule, name: str) -> bool:
        derivation = self.reach.derivation(rule, name)
        tests = self.plan.tests[name]
        if not self._open_branches(rule):
            return False
        if isinstance(derivation, PlainValue):
            return allows(tests, name, derivation.value, self.reach.facts)
        if isinstance(derivation, LookUp):
            return bool(self._keys(derivation, tests))
        return True

    def _through(self, rule: Rule, name: str) -> list[FactTest]:
        """What the tests of a derived fact ask of the fact it is copied from or looked up by."""
        derivation = self.reach.derivation(rule, name)
        tests = self.plan.tests[name]
        if isinstance(derivation, CopyOf):
            source = self.reach.facts[derivation.source]
            return [carried_to(test, source, self.reach.facts) for test in tests]
        if isinstance(derivation, LookUp):
            keys = tuple(self._keys(derivation, tests))
            return [FactTest(derivation.by, Test.ONE_OF, derivation.at, keys)]
        return []

    def _keys(self, look_up: LookUp, tests: Sequence[FactTest]) -> list[Element]:
        """The keys of rows whose cell satisfies the tests."""
        found = row_values(look_up, self.reach.facts[look_up.fact])
        return [key for key, cell in found.items() if allows(tests, look_up.fact, cell, self.reach.facts)]

    def keep_in_range(self, *, usual: bool) -> None:
        """Adds the usual (or possible) ranges of numbers that rules work out, ahead of the goals that rest on them."""
        ranges: list[FactTest] = []
        for name, rule in reversed(self.plan.via.items()):
            fact = self.reach.facts[name]
            for limits in (fact.usual if usual else None, fact.possible):
                if fact.is_number and limits is not None:
                    within = FactTest(name, Test.WITHIN, rule.at, limits)
                    if self._leaves_room(name, within):
                        ranges.append(within)
                        break
        self.plan.goals[:0] = ranges

    def _leaves_room(self, name: str, within: FactTest) -> bool:
        """Whether the tests of a number leave more than a sliver of a range."""
        scale = fine_scale_of(self.reach.facts[name])
        low, high = (scale.nearest(float(value)) for value in within.values)
        spans = spans_of(scale, [*self.plan.tests[name], within], usual=False)
        return sum(span.last - span.first for span in spans) * _SLIVER > high - low

    def keep_clear_of(self, avoid: Avoid) -> None:
        """Adds tests so that conditions do not come to hold by what is planned."""
        for branch in avoid.conditions.spread():
            would_hold = self._would_hold(branch)
            if not would_hold and (not avoid.settled or self._refuted(branch)):
                continue
            ways = self.draws.shuffled([*map(opposite, branch), *avoid.unless])
            for against in sorted(ways, key=self._is_worked_out):
                if against.test is Test.UNKNOWN or not self._can_take(against):
                    continue
                self.demand([against], as_goals=True)
                break
            else:
                if would_hold:
                    raise DeadEnd(f"whenever its conditions hold, {avoid.what}")

    def _is_worked_out(self, test: FactTest) -> bool:
        """Whether a test is of something that rules derive: harder to arrange than what the sheet states."""
        return any(name in self.plan.via for name in test.facts())

    def _can_take(self, test: FactTest) -> bool:
        if any(name in self.plan.absent for name in test.facts()):
            return False
        if test.other is not None or test.test in (Test.KNOWN, Test.NEEDED):
            return True
        return self._can_hold(test.fact, (test,))

    def _would_hold(self, branch: Sequence[FactTest]) -> bool:
        """Whether what is planned could make every test of a branch hold: all its facts there, none refuting it."""
        return all(
            test.test is Test.UNKNOWN or all(self._is_known(name) for name in test.facts()) for test in branch
        ) and not self._refuted(branch)

    def _refuted(self, branch: Sequence[FactTest]) -> bool:
        """Whether what is planned makes some test of a branch fail for certain."""
        for test in branch:
            if test.test is Test.UNKNOWN:
                refuted = self._is_known(test.fact)
            elif test.other is not None:
                refuted = self._contradicted(opposite(test))
            else:
                refuted = self._is_known(test.fact) and not self._can_hold(test.fact, (test,))
            if refuted:
                return True
        return False

    def _is_known(self, name: str) -> bool:
        return name in self.plan.tests or name in self.pinned

    def _contradicted(self, against: FactTest) -> bool:
        """Whether the very opposite of a test between facts is demanded already."""
        return any(
            (test.fact, test.test, test.other) == (against.fact, against.test, against.other)
            for test in self.plan.between
        )
