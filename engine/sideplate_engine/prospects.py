"""Which rules may still fire, and which facts may still be derived, while some facts are yet to be asked for.

It goes through the strata as judging does, but over outlooks in place of values. A fact that rules derive for
certain counts as known even where it could be asked for too: stating it could only contradict them, and whether it
may do so is looked at separately (see `stakes`).
"""

from __future__ import annotations

from collections.abc import Mapping as MappingABC

from sideplate_engine.authored_conditions import AllOf
from sideplate_engine.derivations import Derivation, NoValue, derive
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.outlook import (
    ANYTHING,
    Outlook,
    Prospect,
    askable_outlook,
    possible_facts,
    prospect_of_all,
    settled,
)
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Element, Value

IMPOSSIBLE = Prospect(may=False, must=False)


class Prospects:
    """The prospects of every rule and fact of a base, for facts given and facts that can still be asked for.

    `denied` holds, for facts that can be asked for, values that they are known not to have.
    """

    def __init__(
        self,
        knowledge: KnowledgeBase,
        given: MappingABC[str, Value],
        askable: frozenset[str],
        denied: MappingABC[str, frozenset[Element]],
    ) -> None:
        self.knowledge = knowledge
        self.given = given
        self.askable = askable - given.keys()
        self.above = knowledge.overriders
        self.outlooks: dict[str, Outlook] = {name: settled(value) for name, value in given.items()}
        for name in self.askable:
            self.outlooks[name] = askable_outlook(knowledge.facts[name], denied.get(name, frozenset()))
        self._fires: dict[str, Prospect] = {}
        self._set_aside: dict[str, Prospect] = {}
        self._results: dict[tuple[str, str], Outlook] = {}
        self._run()

    def _run(self) -> None:
        strata = self.knowledge.strata
        rules: dict[int, list[Rule]] = {}
        for id_, stratum in strata.of_rule.items():
            rules.setdefault(stratum, []).append(self.knowledge.rules[id_])
        for stratum in range(1, strata.count + 1):
            for rule in rules.get(stratum, ()):
                self._fires[rule.id] = self._firing(rule)
            for name in self.knowledge.facts_complete_after.get(stratum, ()):
                self._complete(name)

    def _firing(self, rule: Rule) -> Prospect:
        applies = self.of(rule.requirement)
        excepted = IMPOSSIBLE if rule.unless is None else self.of(rule.unless)
        if not applies.may or excepted.must:
            return IMPOSSIBLE
        results = [self._result(derivation) for derivation in rule.derivations]
        for derivation, result in zip(rule.derivations, results, strict=True):
            self._results[(rule.id, derivation.fact)] = result
        return Prospect(
            all(result.may_be_present for result in results),
            applies.must and not excepted.may and not any(result.may_be_absent for result in results),
        )

    def _result(self, derivation: Derivation) -> Outlook:
        """What a derivation may give, should its rule fire; absent where it may have no value."""
        combinations = possible_facts(derivation.reads(), self.outlooks)
        if combinations is None:
            return ANYTHING
        values: set[Value] = set()
        may_fail = False
        for facts in combinations:
            try:
                values.add(derive(derivation, facts, self.knowledge.facts).value)
            except NoValue:
                may_fail = True
        return Outlook(frozenset(values), may_fail)

    def _complete(self, name: str) -> None:
        deriving = self.deriving(name)
        if not deriving:
            return
        is_certain = name in self.given or any(stands.must for _, stands, _ in deriving)
        if self.knowledge.facts[name].many:
            self.outlooks[name] = self._gathered(name, is_certain)
        elif name not in self.given:
            values: frozenset[Value] | None = frozenset()
            for _, _, result in deriving:
                values = None if values is None or result.values is None else values | result.values
            # Values that differ would contradict each other, and the fact be known to nobody.
            may_be_absent = not is_certain or values is None or len(values) > 1
            outlook = Outlook(values, may_be_absent)
            is_open = name in self.askable and not outlook.is_settled
            self.outlooks[name] = Outlook(None, may_be_absent) if is_open else outlook

    def _gathered(self, name: str, is_certain: bool) -> Outlook:
        """The outlook of a set that is put together by the sheet and by rules."""
        deriving = self.deriving(name)
        if name in self.askable or not all(
            stands.must and result.is_settled for _, stands, result in deriving
        ):
            return Outlook(None, not is_certain)
        values = [value for _, _, result in deriving for value in result.values or ()]
        if name in self.given:
            values.append(self.given[name])
        return settled(frozenset[str]().union(*map(_as_set, values)))

    def of(self, conditions: AllOf) -> Prospect:
        """Whether conditions may and must hold."""
        return prospect_of_all(conditions, self.outlooks, self.knowledge.facts)

    def may_fire(self, rule: str) -> bool:
        """Whether a rule fires in some future."""
        return self._fires[rule].may

    def stands(self, rule: str) -> Prospect:
        """Whether a rule fires and is not set aside by one that overrides it."""
        fires, aside = self._fires[rule], self._aside(rule)
        return Prospect(fires.may and not aside.must, fires.must and not aside.may)

    def _aside(self, rule: str) -> Prospect:
        found = self._set_aside.get(rule)
        if found is None:
            others = [self.stands(other) for other in self.above.get(rule, ())]
            found = Prospect(any(other.may for other in others), any(other.must for other in others))
            self._set_aside[rule] = found
        return found

    def result(self, rule: str, fact: str) -> Outlook:
        """What a rule that may fire may derive for a fact."""
        return self._results[(rule, fact)]

    def deriving(self, name: str) -> list[tuple[Rule, Prospect, Outlook]]:
        """The rules that may give a fact a value that stands: whether they do, and what value."""
        return [
            (rule, stands, self.result(rule.id, name))
            for rule in self.knowledge.derivers(name)
            if (stands := self.stands(rule.id)).may
        ]


def _as_set(value: Value) -> frozenset[str]:
    return value if isinstance(value, frozenset) else frozenset({str(value)})
