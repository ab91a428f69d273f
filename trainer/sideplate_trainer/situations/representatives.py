"""Values that stand for all values of a fact, as far as some rules can tell them apart."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from collections.abc import Mapping as MappingABC
from itertools import combinations, pairwise

from sideplate_engine.authored_conditions import FactTest
from sideplate_engine.authored_reading import truth_of
from sideplate_engine.condition_algebra import against_value, mirrored
from sideplate_engine.derivations import Computation, LookUp
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Fact, Value
from sideplate_trainer.situations.rule_reach import RuleReach, row_values
from sideplate_trainer.situations.scales import Scale, scale_of
from sideplate_trainer.situations.value_drawing import options_of

_MOST_ELEMENTS = 6

Facts = MappingABC[str, Value]


class Representatives:
    """Chooses representatives for the tests, look-ups and formulas of a group of rules."""

    def __init__(self, reach: RuleReach, rules: Iterable[str]) -> None:
        self._reach = reach
        self._rules: list[Rule] = [reach.knowledge.rules[id_] for id_ in sorted(rules)]
        self._alone: dict[str, list[FactTest]] = {}
        self._between: dict[str, list[FactTest]] = {}
        self._look_ups: dict[str, list[LookUp]] = {}
        self._measured: set[str] = set()
        for rule in self._rules:
            exception = () if rule.unless is None else rule.unless.tests()
            for test in (*rule.requirement.tests(), *exception):
                if test.other is None:
                    self._alone.setdefault(test.fact, []).append(test)
                else:
                    self._between.setdefault(test.fact, []).append(test)
                    self._between.setdefault(test.other, []).append(mirrored(test))
            for derivation in rule.derivations:
                if isinstance(derivation, LookUp):
                    self._look_ups.setdefault(derivation.by, []).append(derivation)
                elif isinstance(derivation, Computation):
                    self._measured.update(derivation.reads())

    def are_all_there_is(self, fact: str) -> bool:
        """Whether the representatives stand for every value; not so for what enters a formula, or for a large set."""
        if self._reach.facts[fact].many:
            return len(self._elements(fact)) <= _MOST_ELEMENTS
        return fact not in self._measured

    def of(self, name: str, known: Facts) -> list[Value]:
        """The representatives of a fact beside facts that are known."""
        fact = self._reach.facts[name]
        if fact.many:
            return self._sets(name)
        if fact.is_number:
            return self._numbers(fact, known)
        return self._words(fact, known)

    def _words(self, fact: Fact, known: Facts) -> list[Value]:
        """One word of each kind that the rules tell apart; every word where they compare it with an unknown one."""
        compared = self._between.get(fact.name, [])
        others = [known[str(test.other)] for test in compared if test.other in known]
        options: list[Value] = [
            *options_of(fact, self._reach.words_of(fact.name), self._alone.get(fact.name, ()))
        ]
        options += [value for value in others if value not in options]
        if any(test.other not in known for test in compared):
            return options
        found: dict[tuple[object, ...], Value] = {}
        for value in options:
            found.setdefault(self._told_apart(fact, value, others), value)
        return list(found.values())

    def _told_apart(self, fact: Fact, value: Value, others: Sequence[Value]) -> tuple[object, ...]:
        truths = [
            truth_of(test, {fact.name: value}, self._reach.facts) for test in self._alone.get(fact.name, ())
        ]
        cells = [
            row_values(look_up, self._reach.facts[look_up.fact]).get(value)
            for look_up in self._look_ups.get(fact.name, ())
            if not isinstance(value, frozenset)
        ]
        return (*truths, *cells, *(value == other for other in others))

    def _elements(self, name: str) -> list[str]:
        tests = self._alone.get(name, ())
        return list(dict.fromkeys(str(value) for test in tests for value in test.values))

    def _sets(self, name: str) -> list[Value]:
        """Every choice among the elements that rules ask for, with another element in place of none."""
        asked = self._elements(name)[:_MOST_ELEMENTS]
        options = options_of(self._reach.facts[name], self._reach.words_of(name))
        others = [str(word) for word in options if word not in asked]
        neither: Value = frozenset(others[:1])
        chosen = [
            frozenset(some) for count in range(1, len(asked) + 1) for some in combinations(asked, count)
        ]
        return [neither, *chosen]

    def _numbers(self, fact: Fact, known: Facts) -> list[Value]:
        """Every limit, the step before and after it, and a value between each two neighbours."""
        scale = scale_of(fact)
        low, high = fact.possible or (0.0, 1_000_000.0)
        steps = {scale.first_above(low, itself=True), scale.last_below(high, itself=True)}
        if fact.usual is not None:
            steps |= {scale.nearest(limit) for limit in fact.usual}
        for limit in self._limits(fact.name, known):
            steps |= {scale.nearest(limit) + move for move in (-1, 0, 1)}
        inside = sorted(step for step in steps if low <= scale.value(step) <= high)
        between = [(one + other) // 2 for one, other in pairwise(inside) if other - one > 1]
        exact = [
            limit
            for limit in self._limits(fact.name, known)
            if low <= limit <= high and not scale.is_on(limit)
        ]
        return [*_usual_first(scale, sorted({*inside, *between})), *exact]

    def _limits(self, name: str, known: Facts) -> list[float]:
        limits = [float(value) for test in self._alone.get(name, ()) for value in test.values]
        for test in self._between.get(name, ()):
            put_in = against_value(test, known, self._reach.facts)
            if put_in is not None:
                limits += [float(value) for value in put_in.values]
        return limits


def _usual_first(scale: Scale, steps: Sequence[int]) -> list[Value]:
    """The values of steps, those in the usual range before those that are merely possible."""
    values: list[Value] = [scale.value(step) for step in steps]
    return sorted(values, key=scale.fact.is_unusual)
