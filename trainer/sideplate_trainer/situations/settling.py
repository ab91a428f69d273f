"""Settles a filled sheet: changes given values until the tests on facts that rules work out hold too."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from collections.abc import Sequence
from dataclasses import dataclass

from sideplate_engine import Judge
from sideplate_engine.authored_conditions import FactTest, Test
from sideplate_engine.condition_algebra import allows, holds
from sideplate_engine.vocabulary import Value
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.limit_search import side_of, step_where_it_holds
from sideplate_trainer.situations.planned_values import PlannedValues
from sideplate_trainer.situations.plans import DeadEnd, Plan
from sideplate_trainer.situations.rule_reach import RuleReach
from sideplate_trainer.situations.scales import scale_of, spans_of
from sideplate_trainer.situations.sheet_filling import Filler
from sideplate_trainer.situations.value_drawing import Hints, draw_value, options_of

_ROUNDS = 6
_KINDS = ("quantity", "count", "code", "choice", "flag")

Facts = MappingABC[str, Value]


@dataclass
class Settler:
    """Settles the sheets of one plan. `judge` need only know the rules that the plan's goals rest on."""

    filler: Filler
    judge: Judge

    def __post_init__(self) -> None:
        self.reach: RuleReach = self.filler.reach
        self.plan: Plan = self.filler.plan
        self.draws: Draws = self.filler.draws
        self.values = PlannedValues(self.reach, self.plan)

    def settled(self, facts: Facts) -> dict[str, Value]:
        """The sheet with given values changed so that every goal holds. Raises DeadEnd."""
        for _ in range(_ROUNDS):
            known = self.judge.outcome(facts).facts
            failing = [goal for goal in self.plan.goals if not holds(goal, known, self.reach.facts)]
            if not failing:
                return dict(facts)
            changed = self._put_right(failing[0], facts, known)
            if changed == facts:
                break
            facts = changed
        raise DeadEnd(f"what is asked of {_named(failing[0])} cannot be met together with the rest")

    def _put_right(self, goal: FactTest, facts: Facts, known: Facts) -> Facts:
        """The sheet with one given value changed so that a goal holds, if possible without losing another."""
        if goal.test is Test.UNKNOWN:
            raise DeadEnd(f"{goal.fact} would have to be unknown, and rules derive it from the rest")
        changed = self._redrawn(goal, facts, known)
        if changed is not None:
            return changed
        met = [other for other in self.plan.goals if holds(other, known, self.reach.facts)]
        leaves = self._leaves(goal)
        for kept, usual, alone in (
            (met, True, False),
            ([], True, False),
            ([], True, True),
            ([], False, True),
        ):
            for name in leaves:
                found = self._leaf_value(goal, kept, name, facts, usual=usual, alone=alone)
                if found is not None:
                    return {**facts, name: found}
        names = " or ".join(sorted(leaves)) or "anything given"
        raise DeadEnd(f"no value of {names} brings {_named(goal)} where it has to be")

    def _redrawn(self, goal: FactTest, facts: Facts, known: Facts) -> Facts | None:
        """For a test between facts of which the sheet gives one: that one drawn anew against the other's value."""
        if goal.other is None:
            return None
        for name in self.draws.shuffled(goal.facts()):
            if name in facts and name not in self.filler.pinned:
                tests = self.filler.tests(name, {**known, **facts})
                hints = Hints(words=self.reach.words_of(name), standard=self.reach.standard(name))
                value = draw_value(self.reach.facts[name], tests, hints, self.draws, self.reach.facts)
                if value is not None:
                    return {**facts, name: value}
        return None

    def _leaves(self, goal: FactTest) -> list[str]:
        """The given facts below a goal: measured quantities first, then counts, then the rest."""
        names = [name for name in self.plan.below(goal.facts()) if name not in self.filler.pinned]
        return sorted(self.draws.shuffled(names), key=lambda name: _KINDS.index(self.reach.facts[name].kind))

    def _leaf_value(
        self, goal: FactTest, kept: Sequence[FactTest], name: str, facts: Facts, *, usual: bool, alone: bool
    ) -> Value | None:
        """A value of one given fact by which a goal comes to hold, and the goals to be kept still do.

        `alone` leaves aside what ties it to other given facts; those are drawn anew in a later round.
        """
        fact, now = self.reach.facts[name], facts[name]
        tests = self.plan.tests[name] if alone else self.filler.tests(name, facts)
        hints = self.filler.hints(name)
        if fact.is_number and not hints.standard and not isinstance(now, (str, frozenset)):
            scale = scale_of(fact)
            spans = spans_of(scale, tests, usual=usual) or spans_of(scale, tests, usual=False)
            for span in self.draws.shuffled(spans):
                step = step_where_it_holds(
                    lambda step: self._side(goal, kept, name, scale.value(step), facts),
                    scale,
                    span,
                    scale.nearest(now),
                    self.draws,
                )
                if step is not None:
                    return scale.value(step)
            return None
        if fact.many:
            return None
        every: Sequence[Value] = hints.standard or options_of(fact, hints.words)
        options = [value for value in every if allows(tests, name, value, self.reach.facts)]
        usual_first = sorted(self.draws.shuffled(options), key=lambda value: value not in hints.common)
        return next((value for value in usual_first if self._side(goal, kept, name, value, facts) == 0), None)

    def _side(
        self, goal: FactTest, kept: Sequence[FactTest], name: str, value: Value, facts: Facts
    ) -> int | None:
        """On which side of a goal, and of every other goal on the same fact, a value of a given fact leads."""
        known = self.values.worked_out({**facts, name: value})
        beyond = self.values.beyond_possible(goal.fact, known)
        if beyond != 0:
            return beyond
        for other in self.plan.goals:
            if other.fact == goal.fact and not holds(other, known, self.reach.facts):
                return side_of(other, known, self.reach.facts)
        if any(
            self.values.beyond_possible(derived, known) for derived in self.plan.derived_below(goal.facts())
        ):
            return None
        return 0 if all(holds(other, known, self.reach.facts) for other in kept) else None


def _named(test: FactTest) -> str:
    return " and ".join(test.facts())
