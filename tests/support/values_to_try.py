"""Values that a fact might turn out to have: every word there is, and a number on either side of every figure known."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from sideplate_engine import KnowledgeBase
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Fact, Value

NEW_CODE = "ZZ99"
"""A code that stands nowhere else."""

MANY = 24
"""From so many figures on, what lies between and beside them is left out."""


class ValuesToTry:
    """The values of a base's facts that are worth trying."""

    def __init__(self, knowledge: KnowledgeBase) -> None:
        self._facts = knowledge.facts
        self._written: dict[str, set[Value]] = {}
        for rule in knowledge.rules.values():
            for name, value in _written_in(rule):
                self._written.setdefault(name, set()).add(value)
        self._found: dict[str, tuple[Value, ...]] = {}

    def of(self, name: str) -> tuple[Value, ...]:
        """Flags and choices whole; of sets none, each word alone and all; of codes every one that a rule writes.

        Numbers are the figures that rules write and the ends of ranges; where these are few, also what lies half way
        between two, and just beside them.
        """
        if name not in self._found:
            self._found[name] = _values(self._facts[name], self._written.get(name, set()))
        return self._found[name]


def _written_in(rule: Rule) -> Iterator[tuple[str, Value]]:
    """The values that stand in a rule's examples and conditions."""
    for example in rule.examples:
        yield from example.given.items()
    for test in (*rule.conditions.tests(), *(rule.unless.tests() if rule.unless else ())):
        for value in test.values:
            yield test.fact, value


def _values(fact: Fact, written: Iterable[Value]) -> tuple[Value, ...]:
    if fact.kind == "flag":
        return (True, False)
    if fact.is_number:
        return _numbers(fact, [float(str(value)) for value in written])
    words = {word for value in written for word in (value if isinstance(value, frozenset) else (str(value),))}
    choices = sorted(fact.choices or {*words, NEW_CODE})
    if not fact.many:
        return tuple(choices)
    return (frozenset(), *(frozenset({word}) for word in choices), frozenset(choices))


def _numbers(fact: Fact, written: Iterable[float]) -> tuple[Value, ...]:
    marks = sorted({*written, *(fact.possible or ()), *(fact.usual or ())})
    low, high = fact.possible or (0.0, float("inf"))
    least = 1.0 if fact.kind == "count" else 0.1
    tried = set(marks)
    if len(marks) < MANY:
        tried |= {mark + away for mark in marks for away in (-least, least)}
        tried |= {(one + other) / 2 for one, other in pairwise(marks)}
    fitting = sorted(value for value in tried if low <= value <= high)
    return tuple(dict.fromkeys(map(round, fitting))) if fact.kind == "count" else tuple(fitting)
