"""Conditions in plain words, for "why not", explanations and the site."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC

from sideplate_engine.authored_conditions import AllOf, AnyOf, FactTest, Test
from sideplate_engine.findings import listed
from sideplate_engine.vocabulary import Fact, System

Vocabulary = MappingABC[str, Fact]

_BETWEEN = {
    Test.SAME_AS: "is the same as",
    Test.DIFFERS_FROM: "differs from",
    Test.ABOVE_FACT: "is more than",
    Test.BELOW_FACT: "is less than",
    Test.AT_LEAST_FACT: "is at least",
    Test.AT_MOST_FACT: "is at most",
}


def words_of_test(test: FactTest, vocabulary: Vocabulary, system: System = "metric") -> str:
    """One test as a clause: `slack.measured is below 15 mm`."""
    fact = vocabulary[test.fact]
    values = [fact.show_element(value, system) for value in test.values]
    if test.other is not None:
        return f"{test.fact} {_BETWEEN[test.test]} {test.other}"
    match test.test:
        case Test.KNOWN | Test.NEEDED:
            return f"{test.fact} is known"
        case Test.UNKNOWN:
            return f"{test.fact} is not known"
        case Test.EQUALS | Test.ONE_OF:
            return f"{test.fact} {'includes' if fact.many else 'is'} {listed(values)}"
        case Test.NONE_OF:
            return f"{test.fact} {'includes none of' if fact.many else 'is none of'} {listed(values, 'and')}"
        case Test.WITHIN:
            return f"{test.fact} is within {values[0]} to {values[1]}"
        case Test.OUTSIDE:
            return f"{test.fact} is outside {values[0]} to {values[1]}"
        case _:
            return f"{test.fact} is {test.test.value} {values[0]}"


def conditions_in_words(conditions: AllOf, vocabulary: Vocabulary, system: System = "metric") -> list[str]:
    """Each part of the conditions as a clause; all must hold. Branches of an `any` are joined by `or`."""
    return [
        words_of_test(part, vocabulary, system)
        if isinstance(part, FactTest)
        else _branches_in_words(part, vocabulary, system)
        for part in conditions.parts
    ]


def _branches_in_words(part: AnyOf, vocabulary: Vocabulary, system: System) -> str:
    branches = [" and ".join(conditions_in_words(branch, vocabulary, system)) for branch in part.branches]
    return "either " + ", or ".join(branches)
