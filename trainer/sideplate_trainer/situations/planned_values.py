"""Works the derived facts of a plan out from given ones, by the rules the plan goes through and no others.

Quicker than a judgement, and it also says how far an impossible result misses. What it finds is only used to choose
values; the engine judges the sheet afterwards.
"""

from __future__ import annotations

from collections.abc import Mapping as MappingABC

from sideplate_engine.derivations import Computation, Derivation, NoValue, derive
from sideplate_engine.formulas import NotComputable
from sideplate_engine.quantities import convert
from sideplate_engine.vocabulary import Value
from sideplate_trainer.situations.plans import Plan
from sideplate_trainer.situations.rule_reach import RuleReach

Facts = MappingABC[str, Value]


class PlannedValues:
    """The derivations of one plan, in an order in which each comes after what it reads."""

    def __init__(self, reach: RuleReach, plan: Plan) -> None:
        self._vocabulary = reach.facts
        self._derivations: list[Derivation] = []
        placed: set[str] = set()

        def place(fact: str) -> None:
            rule = plan.via.get(fact)
            if rule is None or fact in placed:
                return
            placed.add(fact)
            derivation = reach.derivation(rule, fact)
            for read in derivation.reads():
                place(read)
            self._derivations.append(derivation)

        for fact in plan.via:
            place(fact)

    def worked_out(self, given: Facts) -> dict[str, Value]:
        """The given facts and what follows from them along the plan; impossible numbers are kept as they come out."""
        known = dict(given)
        for derivation in self._derivations:
            if not all(read in known for read in derivation.reads()):
                continue
            value = self._value(derivation, known)
            if value is not None:
                known[derivation.fact] = value
        return known

    def _value(self, derivation: Derivation, known: Facts) -> Value | None:
        if not isinstance(derivation, Computation):
            try:
                return derive(derivation, known, self._vocabulary).value
            except NoValue:
                return None
        formula, target = derivation.formula, self._vocabulary[derivation.fact]
        inputs = {
            name: float(value)
            for name, symbol in formula.symbols.items()
            if symbol.fact is not None and isinstance(value := known[symbol.fact], (int, float))
        }
        try:
            result = convert(formula.run(inputs), formula.gives_unit, target.unit)
        except NotComputable:
            return None
        return round(result) if target.kind == "count" else result

    def beyond_possible(self, fact: str, known: Facts) -> int:
        """-1 where a number lies below what its fact can be, 1 above, else 0."""
        possible = self._vocabulary[fact].possible
        value = known.get(fact)
        if possible is None or not isinstance(value, (int, float)):
            return 0
        return -1 if value < possible[0] else int(value > possible[1])
