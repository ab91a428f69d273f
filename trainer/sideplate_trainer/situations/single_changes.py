"""Single changes of a sheet that could break a condition: another value, one taken away, one added."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass

from sideplate_engine import Judge
from sideplate_engine.authored_conditions import FactTest, Test
from sideplate_engine.chaining import Chained
from sideplate_engine.condition_algebra import against_value, opposite, refuted
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Value
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.limit_search import first_past
from sideplate_trainer.situations.rule_reach import RuleReach
from sideplate_trainer.situations.scales import scale_of, spans_of
from sideplate_trainer.situations.value_drawing import Hints, draw_value, options_of
from sideplate_trainer.situations.workshop import Workshop

_ADDITIONS_TRIED = 4

Facts = MappingABC[str, Value]


@dataclass(frozen=True, slots=True)
class Change:
    """One changed value of one fact (None takes it away), and how far it goes: less is a nearer miss."""

    fact: str
    value: Value | None
    size: float

    def made_in(self, facts: Facts) -> dict[str, Value]:
        """The sheet with the change made."""
        kept = {name: value for name, value in facts.items() if name != self.fact}
        return kept if self.value is None else {**kept, self.fact: self.value}


@dataclass(frozen=True, slots=True)
class SingleChanges:
    """Makes changes to one sheet. `quick` judges the rule and all that it rests on; `chained` is the outcome."""

    quick: Judge
    reach: RuleReach
    workshop: Workshop
    rule: Rule
    chained: Chained
    draws: Draws

    def breaking(self, test: FactTest) -> Iterator[Change]:
        """Changes of one value that could break a test, of its own facts or of those they are derived from."""
        if test.test is Test.UNKNOWN:
            yield from self.added(opposite(test))
            return
        names = dict.fromkeys((*test.facts(), *self.reach.given_below(self.chained, test.facts())))
        for name in names:
            if name in self.chained.given:
                yield from self._other_values(test, name)

    def taken_away(self, test: FactTest) -> Iterator[Change]:
        """A fact of a test taken off the sheet; where it is derived, a fact it rests on."""
        names = [name for name in test.facts() if name in self.chained.given]
        for name in names or self.reach.given_below(self.chained, test.facts()):
            yield Change(name, None, 1.0)

    def added(self, test: FactTest) -> Iterator[Change]:
        """A value for a fact not on the sheet, that satisfies a test."""
        fact = self.reach.facts[test.fact]
        if not fact.given or test.fact in self.chained.given:
            return
        tests = [test]
        if test.other is not None:
            put_in = against_value(test, self.chained.facts, self.reach.facts)
            if put_in is None:
                return
            tests = [put_in]
        hints = Hints(words=self.reach.words_of(test.fact), standard=self.reach.standard(test.fact))
        for _ in range(_ADDITIONS_TRIED):
            value = draw_value(fact, tests, hints, self.draws, self.reach.facts)
            if value is not None:
                yield Change(test.fact, value, 1.0)

    def _other_values(self, test: FactTest, name: str) -> Iterator[Change]:
        fact, value = self.reach.facts[name], self.chained.given[name]
        if isinstance(value, frozenset):
            yield from self._other_sets(test, name, value)
        elif fact.is_number and not isinstance(value, str) and not self.reach.standard(name):
            yield from self._other_numbers(test, name, value)
        else:
            yield from self._other_words(test, name, value)

    def _other_words(self, test: FactTest, name: str, value: Value) -> Iterator[Change]:
        """Every other word or standard figure that breaks the test, those that common machines have first."""
        every: Sequence[Value] = self.reach.standard(name) or options_of(
            self.reach.facts[name], self.reach.words_of(name)
        )
        common = {
            machine.facts.get(name) for machine in self.workshop.machines if not machine.only_when_asked
        }
        for option in self.draws.shuffled([option for option in every if option != value]):
            if self._breaks(test, name, option):
                yield Change(name, option, 1.0 if option in common else 2.0)

    def _other_numbers(self, test: FactTest, name: str, value: int | float) -> Iterator[Change]:
        """The nearest graduation on either side at which the rule no longer stands."""
        scale = scale_of(self.reach.facts[name])
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
                        yield Change(name, scale.value(step), abs(step - start) / (span.last - span.first))
            if found:
                return

    def _other_sets(self, test: FactTest, name: str, value: frozenset[str]) -> Iterator[Change]:
        """A set with one element more, or without those asked for (another in their place where none is left)."""
        asked = {str(element) for element in test.values} if test.fact == name else set(value)
        if test.test is Test.NONE_OF:
            for word in sorted(asked - value):
                yield Change(name, value | {word}, 1.0)
            return
        rest = value - asked
        if rest:
            yield Change(name, rest, float(len(value - rest)))
            return
        words = [str(word) for word in options_of(self.reach.facts[name], self.reach.words_of(name))]
        for word in self.draws.shuffled([word for word in words if word not in value | asked]):
            yield Change(name, frozenset({word}), 2.0)
        yield Change(name, frozenset(), 1.0 if self.reach.can_be_empty(name) else 3.0)

    def _breaks(self, test: FactTest, name: str, value: Value) -> bool:
        """Whether with another value the test fails, and the rule does not stand by another branch."""
        chained = self.quick.outcome({**self.chained.given, name: value})
        return self.rule.id not in chained.live and refuted(test, chained.facts, self.reach.facts)

    def _stands_with(self, name: str, value: Value) -> bool:
        return self.rule.id in self.quick.outcome({**self.chained.given, name: value}).live
