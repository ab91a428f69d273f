"""What may still become of a fact, and of a test of it, while some facts are yet to be asked for.

A future of a job gives each fact that can still be asked for a value, or none. A test that may hold does so in
some future, one that must hold does so in every one. Both are read on the safe side: "may" is never denied
wrongly, and "must" never claimed wrongly.
"""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass
from itertools import product
from math import prod

from sideplate_engine.authored_conditions import AllOf, AnyOf, FactTest, Test
from sideplate_engine.authored_reading import truth_of
from sideplate_engine.plain_reading import Truth
from sideplate_engine.vocabulary import Element, Fact, Value

MOST_COMBINED = 64
"""So many combinations of possible values are tried one by one; where there are more, any counts as possible."""


@dataclass(frozen=True, slots=True)
class Outlook:
    """The values a fact may have in the end, None standing for any, and whether it may stay unknown."""

    values: frozenset[Value] | None
    may_be_absent: bool

    @property
    def is_settled(self) -> bool:
        """Whether nothing about the fact can change any more."""
        return self.values is not None and len(self.values) + self.may_be_absent == 1

    @property
    def may_be_present(self) -> bool:
        """Whether the fact is known in some future."""
        return self.values is None or bool(self.values)


NEVER = Outlook(frozenset(), may_be_absent=True)
"""A fact that nobody will state and no rule derives."""

ANYTHING = Outlook(None, may_be_absent=True)
"""A fact that may have any value, or none."""


def settled(value: Value) -> Outlook:
    """The outlook of a fact that is known for good."""
    return Outlook(frozenset({value}), may_be_absent=False)


def askable_outlook(fact: Fact, denied: frozenset[Element]) -> Outlook:
    """The outlook of a fact that can be asked for. `denied` are values it is known not to have."""
    if fact.many or fact.kind not in ("choice", "flag"):
        return ANYTHING
    values: frozenset[Element] = frozenset((True, False) if fact.kind == "flag" else fact.choices or ())
    return Outlook(values - denied, may_be_absent=True)


Outlooks = MappingABC[str, Outlook]
Vocabulary = MappingABC[str, Fact]


@dataclass(frozen=True, slots=True)
class Prospect:
    """Whether something holds in some future, and whether it does in every one."""

    may: bool
    must: bool

    @property
    def is_open(self) -> bool:
        """Whether it depends on what is still asked."""
        return self.may and not self.must


def prospect_of(test: FactTest, outlooks: Outlooks, vocabulary: Vocabulary) -> Prospect:
    """Whether a test may and must hold."""
    outlook = outlooks.get(test.fact, NEVER)
    if test.test is Test.UNKNOWN:
        return Prospect(outlook.may_be_absent, not outlook.may_be_present)
    if test.test in (Test.KNOWN, Test.NEEDED):
        return Prospect(outlook.may_be_present, not outlook.may_be_absent)
    combinations = possible_facts(test.facts(), outlooks)
    if combinations is None:
        return Prospect(may=True, must=False)
    truths = [truth_of(test, facts, vocabulary) is Truth.TRUE for facts in combinations]
    may_lack = any(outlooks.get(name, NEVER).may_be_absent for name in test.facts())
    return Prospect(any(truths), all(truths) and not may_lack)


def prospect_of_all(conditions: AllOf, outlooks: Outlooks, vocabulary: Vocabulary) -> Prospect:
    """Whether conditions may and must hold. Whether one future suits every part at once is not looked into."""
    parts = [prospect_of_part(part, outlooks, vocabulary) for part in conditions.parts]
    return Prospect(all(part.may for part in parts), all(part.must for part in parts))


def prospect_of_part(part: FactTest | AnyOf, outlooks: Outlooks, vocabulary: Vocabulary) -> Prospect:
    """Whether one part of conditions, a test or an `any`, may and must hold."""
    if isinstance(part, FactTest):
        return prospect_of(part, outlooks, vocabulary)
    branches = [prospect_of_all(branch, outlooks, vocabulary) for branch in part.branches]
    return Prospect(any(branch.may for branch in branches), any(branch.must for branch in branches))


def possible_facts(names: tuple[str, ...], outlooks: Outlooks) -> list[dict[str, Value]] | None:
    """Every combination of values that these facts may have together; None where that is any, or too many to try."""
    found = [outlooks.get(name, NEVER).values for name in names]
    if any(values is not None and not values for values in found):
        return []
    known = [values for values in found if values is not None]
    if len(known) < len(found) or prod(map(len, known)) > MOST_COMBINED:
        return None
    return [dict(zip(names, combination, strict=True)) for combination in product(*known)]
