"""The conditions of a rule as an instructor writes them, read and typed by the vocabulary.

`when:` becomes an AllOf of tests and `any:` groups. Spreading it out gives conjunctions for the matcher.
"""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass
from enum import Enum
from itertools import product
from typing import TypeAlias

from sideplate_engine.findings import Finding, Position, did_you_mean, listed
from sideplate_engine.vocabulary import Element, Fact, ValueRefused, same_kind
from sideplate_engine.yaml_tree import Items, Mapping, Node, Text

MAX_BRANCHES = 64
MAX_NESTED = 8
MAX_TESTED = 500
"""Tests and the values in them that one set of conditions holds; people write a few dozen."""


class Test(Enum):
    """The words of a condition, as written in a rule file."""

    __test__ = False

    EQUALS = "equals"
    ONE_OF = "one of"
    NONE_OF = "none of"
    ABOVE = "above"
    BELOW = "below"
    AT_LEAST = "at least"
    AT_MOST = "at most"
    WITHIN = "within"
    OUTSIDE = "outside"
    SAME_AS = "same as"
    DIFFERS_FROM = "differs from"
    ABOVE_FACT = "above fact"
    BELOW_FACT = "below fact"
    AT_LEAST_FACT = "at least fact"
    AT_MOST_FACT = "at most fact"
    KNOWN = "known"
    UNKNOWN = "unknown"
    NEEDED = "needed"
    """Not written: a derivation's input. Where it is missing, the rule is open, not quiet."""


UNWRITTEN = (Test.EQUALS, Test.KNOWN, Test.UNKNOWN, Test.NEEDED)
"""The tests that are not words with values behind them."""

LIMITS = (Test.ABOVE, Test.BELOW, Test.AT_LEAST, Test.AT_MOST)
RANGES = (Test.WITHIN, Test.OUTSIDE)
LISTS = (Test.ONE_OF, Test.NONE_OF)
SAMENESS = (Test.SAME_AS, Test.DIFFERS_FROM)
FACT_LIMITS = (Test.ABOVE_FACT, Test.BELOW_FACT, Test.AT_LEAST_FACT, Test.AT_MOST_FACT)
BETWEEN_FACTS = SAMENESS + FACT_LIMITS


@dataclass(frozen=True, slots=True)
class FactTest:
    """One test of one fact. `values` are in the fact's stored unit; `other` is the fact compared with."""

    fact: str
    test: Test
    at: Position
    values: tuple[Element, ...] = ()
    other: str | None = None

    def facts(self) -> tuple[str, ...]:
        """The facts it reads."""
        return (self.fact,) if self.other is None else (self.fact, self.other)


@dataclass(frozen=True, slots=True)
class AnyOf:
    """Branches of which one must hold."""

    branches: tuple[AllOf, ...]
    at: Position


@dataclass(frozen=True, slots=True)
class AllOf:
    """Parts that must all hold; without parts it always does."""

    parts: tuple[FactTest | AnyOf, ...] = ()

    def tests(self) -> Iterator[FactTest]:
        """Every test in it, nested ones too, in the order written."""
        for part in self.parts:
            if isinstance(part, FactTest):
                yield part
            else:
                for branch in part.branches:
                    yield from branch.tests()

    def facts(self) -> tuple[str, ...]:
        """Every fact it reads, once."""
        return tuple(dict.fromkeys(name for test in self.tests() for name in test.facts()))

    def spread(self) -> list[tuple[FactTest, ...]]:
        """The alternatives it stands for, each a plain conjunction of tests."""
        choices: list[list[tuple[FactTest, ...]]] = []
        for part in self.parts:
            if isinstance(part, FactTest):
                choices.append([(part,)])
            else:
                choices.append([tests for branch in part.branches for tests in branch.spread()])
        return [tuple(test for tests in combination for test in tests) for combination in product(*choices)]

    def branch_count(self) -> int:
        """How many alternatives the matcher gets, without making them: being outside a range is two."""
        count = 1
        for part in self.parts:
            if isinstance(part, AnyOf):
                count *= sum(branch.branch_count() for branch in part.branches)
            elif part.test is Test.OUTSIDE:
                count *= 2
        return count


Vocabulary: TypeAlias = MappingABC[str, Fact]


def read_conditions(node: Node | None, vocabulary: Vocabulary) -> tuple[AllOf, list[Finding]]:
    """A `when:` or `unless:` mapping as an AllOf, and all that is wrong in it."""
    if node is None:
        return AllOf(), []
    reader = _Reader(vocabulary)
    conditions = reader.all_of(node, depth=1)
    if not reader.findings and conditions.branch_count() > MAX_BRANCHES:
        message = f"`any` and `outside` multiply out to more than {MAX_BRANCHES} alternatives; split the rule"
        reader.findings.append(Finding("too-many-branches", message, node.at))
    if sum(1 + len(test.values) for test in conditions.tests()) > MAX_TESTED:
        message = (
            f"more than {MAX_TESTED} tests and values stand here; split the rule, or look them up in a table"
        )
        reader.findings.append(Finding("too-many-tests", message, node.at))
    return conditions, reader.findings


class _Reader:
    """Reads one mapping of conditions, gathering findings."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.findings: list[Finding] = []

    def wrong(self, code: str, message: str, at: Position) -> None:
        self.findings.append(Finding(code, message, at))

    def all_of(self, node: Node, depth: int) -> AllOf:
        if not isinstance(node, Mapping):
            self.wrong("wrong-shape", "conditions are a mapping of facts to tests", node.at)
            return AllOf()
        parts: list[FactTest | AnyOf] = []
        for name, value in node.entries.items():
            at = node.key_at[name]
            if name == "any":
                parts += self.any_of(value, at, depth)
            elif (fact := known_fact(name, self.vocabulary, at, self.findings)) is not None:
                parts += self.fact_tests(fact, value, at)
        return AllOf(tuple(parts))

    def any_of(self, node: Node, at: Position, depth: int) -> list[AnyOf]:
        if not isinstance(node, Items) or len(node.items) < 2:
            self.wrong("wrong-shape", "`any` takes a list of two or more mappings", at)
            return []
        if depth > MAX_NESTED:
            self.wrong("too-deep", f"`any` is nested more than {MAX_NESTED} levels deep", at)
            return []
        for item in node.items:
            if isinstance(item, Mapping) and not item.entries:
                self.wrong("wrong-shape", "a branch of `any` without tests always holds", item.at)
        return [AnyOf(tuple(self.all_of(item, depth + 1) for item in node.items), at)]

    def fact_tests(self, fact: Fact, node: Node, at: Position) -> list[FactTest]:
        if isinstance(node, Text):
            if node.value in ("known", "unknown") and not node.quoted:
                return [FactTest(fact.name, Test(node.value), at)]
            return self.valued(fact, Test.EQUALS, (node,), at)
        if isinstance(node, Items):
            self.wrong("wrong-shape", f"write {{one of: [...]}} to give {fact.name} several values", node.at)
            return []
        if not node.entries:
            self.wrong("wrong-shape", f"no test is written for {fact.name}", node.at)
        return [
            test
            for word, value in node.entries.items()
            for test in self.worded(fact, word, value, node.key_at[word])
        ]

    def worded(self, fact: Fact, word: str, node: Node, at: Position) -> list[FactTest]:
        words = [test.value for test in Test if test not in UNWRITTEN]
        if word not in words:
            hint = did_you_mean(word, words) or f"; the tests are {listed(words, 'and', 20)}"
            self.wrong("unknown-test", f"no test is called `{word}`{hint}", at)
            return []
        test = Test(word)
        if test in BETWEEN_FACTS:
            return self.between(fact, test, node, at)
        if (test in LIMITS or test in RANGES) and not fact.is_number:
            self.wrong("wrong-test", f"`{word}` needs a number, and {fact.name} is a {fact.kind}", at)
            return []
        if test in LIMITS:
            if not isinstance(node, Text):
                self.wrong("wrong-shape", f"`{word}` takes one value", node.at)
                return []
            return self.valued(fact, test, (node,), at)
        if not isinstance(node, Items) or not node.items or not all(isinstance(i, Text) for i in node.items):
            self.wrong("wrong-shape", f"`{word}` takes a list of values", node.at)
            return []
        texts = tuple(item for item in node.items if isinstance(item, Text))
        if test in RANGES and len(texts) != 2:
            self.wrong("wrong-shape", f"`{word}` takes two values, the lower first", node.at)
            return []
        return self.valued(fact, test, texts, at)

    def valued(self, fact: Fact, test: Test, nodes: tuple[Text, ...], at: Position) -> list[FactTest]:
        values: list[Element] = []
        for node in nodes:
            try:
                values.append(fact.read_element(node.value))
            except ValueRefused as problem:
                self.wrong("wrong-value", f"{fact.name}: {problem}", node.at)
        if len(values) != len(nodes):
            return []
        if len(set(values)) != len(values):
            self.wrong("repeated-value", "a value is listed twice", nodes[0].at)
            return []
        if test in RANGES and not float(values[0]) < float(values[1]):
            self.wrong("wrong-value", "the lower value comes first", nodes[0].at)
            return []
        return [FactTest(fact.name, test, at, tuple(values))]

    def between(self, fact: Fact, test: Test, node: Node, at: Position) -> list[FactTest]:
        if not isinstance(node, Text):
            self.wrong("wrong-shape", f"`{test.value}` takes the name of a fact", node.at)
            return []
        other = known_fact(node.value, self.vocabulary, node.at, self.findings)
        if other is None:
            return []
        if other.name == fact.name:
            self.wrong("wrong-test", f"{fact.name} is compared with itself", node.at)
            return []
        if not same_kind(fact, other):
            message = f"{fact.name} and {other.name} cannot be compared: they are not of one kind"
            self.wrong("wrong-test", message, node.at)
            return []
        if test in FACT_LIMITS and not fact.is_number:
            self.wrong("wrong-test", f"`{test.value}` needs numbers, and {fact.name} is a {fact.kind}", at)
            return []
        return [FactTest(fact.name, test, at, other=other.name)]


def known_fact(name: str, vocabulary: Vocabulary, at: Position, findings: list[Finding]) -> Fact | None:
    """The fact of that name, or None and a finding that names the nearest one."""
    fact = vocabulary.get(name)
    if fact is None:
        message = f"no fact is called {name}{did_you_mean(name, vocabulary)}"
        findings.append(Finding("unknown-fact", message, at, names=name))
    return fact
