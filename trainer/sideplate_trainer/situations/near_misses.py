"""Near misses: for each condition that carries a rule, the smallest single change of the sheet that silences it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass

from sideplate_engine import Judge
from sideplate_engine.authored_conditions import FactTest, Test
from sideplate_engine.authored_reading import truth_of
from sideplate_engine.chaining import Chained
from sideplate_engine.open_facts import status_of
from sideplate_engine.plain_reading import Truth
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Value
from sideplate_trainer.situations.consistency import asking, contradiction, is_absurd, unusual, writable
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.limit_search import first_past
from sideplate_trainer.situations.rule_reach import RuleReach
from sideplate_trainer.situations.scales import scale_of, spans_of
from sideplate_trainer.situations.situation import NearMiss
from sideplate_trainer.situations.test_algebra import against_value, holds, mirrored, opposite
from sideplate_trainer.situations.value_drawing import Hints, draw_value, options_of
from sideplate_trainer.situations.workshop import Workshop

Facts = MappingABC[str, Value]

_TRIED_AT_MOST = 12


@dataclass(frozen=True, slots=True)
class _Change:
    """One changed value of one fact (None takes it away), and how far it goes: less is a nearer miss."""

    fact: str
    value: Value | None
    size: float


@dataclass
class NearMissFinder:
    """Finds the near misses of one sheet. `quick` judges the rule's own dependencies, `judge` the whole base."""

    judge: Judge
    quick: Judge
    reach: RuleReach
    workshop: Workshop
    rule: Rule
    facts: Facts
    draws: Draws

    def __post_init__(self) -> None:
        self.chained = self.judge.outcome(self.facts)
        self.vocabulary = self.reach.facts

    def find(self) -> tuple[NearMiss, ...]:
        """The near misses: for each condition a change and a taking away, then what the exception comes to."""
        found: list[NearMiss] = []
        for test in self._branch():
            changed = self._nearest(test, list(self._changes(test)))
            taken = self._nearest(test, list(self._takings_away(test)))
            found += [miss for miss in (changed, taken) if miss is not None]
        found += self._exceptions()
        kept: dict[tuple[str, object], NearMiss] = {}
        for miss in found:
            kept.setdefault((miss.changed, miss.facts.get(miss.changed)), miss)
        return tuple(kept.values())

    def _branch(self) -> tuple[FactTest, ...]:
        """The tests of a branch of the rule's conditions that holds here."""
        for branch in self.rule.requirement.spread():
            if all(holds(test, self.chained.facts, self.vocabulary) for test in branch):
                return branch
        return ()

    def _nearest(self, test: FactTest, changes: list[_Change]) -> NearMiss | None:
        """The best of the changes that silence the rule by breaking this test.

        One that settles the rule comes before one that leaves it open, then the one that leaves fewest rulings
        standing, then the smallest.
        """
        best: tuple[tuple[bool, int, float], NearMiss] | None = None
        for change in sorted(changes, key=lambda each: each.size)[:_TRIED_AT_MOST]:
            facts = self._with(change)
            chained = self.judge.outcome(facts)
            if not self._silenced(test, facts, chained):
                continue
            status = status_of(self.judge.knowledge, chained, self.rule).status
            standing = len(asking(self.judge.knowledge, chained))
            odd = unusual(self.judge.knowledge, chained) > unusual(self.judge.knowledge, self.chained)
            rank = (status == "open", standing + odd, change.size)
            if best is None or rank < best[0]:
                best = (rank, NearMiss(facts, change.fact, test, status))
            if rank[:2] == (False, 0):
                break
        return None if best is None else best[1]

    def _with(self, change: _Change) -> dict[str, Value]:
        facts = {name: value for name, value in self.facts.items() if name != change.fact}
        if change.value is not None:
            facts[change.fact] = change.value
        return facts

    def _silenced(self, test: FactTest, facts: Facts, chained: Chained) -> bool:
        knowledge = self.judge.knowledge
        return (
            self.rule.id not in chained.live
            and self.rule.id not in chained.overridden
            and truth_of(test, chained.facts, self.vocabulary) is not Truth.TRUE
            and contradiction(knowledge, chained) is None
            and writable(knowledge, facts)
            and (
                not is_absurd(knowledge, self.workshop, chained.facts)
                or is_absurd(knowledge, self.workshop, self.chained.facts)
            )
        )

    def _changes(self, test: FactTest) -> Iterator[_Change]:
        """Single changes of given values that could break a test."""
        if test.test is Test.UNKNOWN:
            yield from self._additions(opposite(test))
            return
        for name in test.facts():
            if name in self.facts:
                yield from self._other_values(test, name)
        for name in self.reach.given_below(self.chained, test.facts()):
            if name not in test.facts():
                yield from self._other_values(test, name)

    def _other_values(self, test: FactTest, name: str) -> Iterator[_Change]:
        fact, value = self.vocabulary[name], self.facts[name]
        if isinstance(value, frozenset):
            yield from self._other_sets(test, name, value)
        elif fact.is_number and not isinstance(value, str) and not self.reach.standard(name):
            yield from self._other_numbers(test, name, value)
        else:
            every: Sequence[Value] = self.reach.standard(name) or options_of(fact, self.reach.words_of(name))
            common = {
                machine.facts.get(name) for machine in self.workshop.machines if not machine.only_when_asked
            }
            for option in self.draws.shuffled([option for option in every if option != value]):
                if self._breaks(test, name, option):
                    yield _Change(name, option, 1.0 if option in common else 2.0)

    def _breaks(self, test: FactTest, name: str, value: Value) -> bool:
        chained = self.quick.outcome({**self.facts, name: value})
        return (
            self.rule.id not in chained.live and truth_of(test, chained.facts, self.vocabulary) is Truth.FALSE
        )

    def _other_numbers(self, test: FactTest, name: str, value: int | float) -> Iterator[_Change]:
        """The nearest graduation on either side at which the rule no longer stands."""
        scale = scale_of(self.vocabulary[name])
        start = scale.nearest(value)

        def stands(step: int) -> int | None:
            return 0 if self._stands_with(name, scale.value(step)) else None

        for usual in (True, False):
            found = False
            for span in spans_of(scale, (), usual=usual):
                ends = (span.first, span.last) if span.first <= start <= span.last else ()
                for end in ends:
                    step = first_past(stands, scale, start, end)
                    if step is not None and self._breaks(test, name, scale.value(step)):
                        found = True
                        yield _Change(name, scale.value(step), abs(step - start) / (span.last - span.first))
            if found:
                return

    def _stands_with(self, name: str, value: Value) -> bool:
        return self.rule.id in self.quick.outcome({**self.facts, name: value}).live

    def _other_sets(self, test: FactTest, name: str, value: frozenset[str]) -> Iterator[_Change]:
        """A set with one element more, or without those asked for (another in their place where none is left)."""
        asked = {str(element) for element in test.values}
        choices = [str(word) for word in options_of(self.vocabulary[name], self.reach.words_of(name))]
        if test.test is Test.NONE_OF:
            for word in sorted(asked):
                yield _Change(name, value | {word}, 1.0)
            return
        rest = value - asked
        if rest:
            yield _Change(name, rest, float(len(value - rest)))
            return
        for word in self.draws.shuffled(
            [word for word in choices if word not in value and word not in asked]
        ):
            yield _Change(name, frozenset({word}), 2.0)
        yield _Change(name, frozenset(), 1.0 if self.reach.can_be_empty(name) else 3.0)

    def _takings_away(self, test: FactTest) -> Iterator[_Change]:
        names = [name for name in test.facts() if name in self.facts]
        for name in names or self.reach.given_below(self.chained, test.facts()):
            yield _Change(name, None, 1.0)

    def _additions(self, test: FactTest) -> Iterator[_Change]:
        """A value for a fact not on the sheet, that satisfies a test."""
        fact = self.vocabulary[test.fact]
        if not fact.given or test.fact in self.facts:
            return
        tests = [test]
        if test.other is not None:
            put_in = against_value(test, self.chained.facts, self.vocabulary)
            tests = [put_in] if put_in is not None else []
        if not tests:
            return
        hints = Hints(words=self.reach.words_of(test.fact))
        for _ in range(4):
            value = draw_value(fact, tests, hints, self.draws, self.vocabulary)
            if value is not None:
                yield _Change(test.fact, value, 1.0)

    def _exceptions(self) -> Iterator[NearMiss]:
        """Changes of one fact by which the rule's own exception comes to hold."""
        for branch in self.rule.unless.spread() if self.rule.unless is not None else ():
            lacking = [test for test in branch if not holds(test, self.chained.facts, self.vocabulary)]
            if len(lacking) != 1:
                continue
            test = lacking[0]
            changes = list(self._additions(test))
            if test.other is not None:
                changes += self._additions(mirrored(test))
            if test.fact in self.facts:
                changes += self._changes(opposite(test))
            for change in changes:
                chained = self.judge.outcome(self._with(change))
                if self.rule.id in chained.excepted and contradiction(self.judge.knowledge, chained) is None:
                    yield NearMiss(self._with(change), change.fact, test, "excepted")
                    break
