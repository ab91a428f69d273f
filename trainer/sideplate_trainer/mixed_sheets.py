"""A sheet on which one rule rules, with lines mixed in at which other rules look: in order, or faults of their own.

The sheet is a situation's, kept to what its rule rests on. What is mixed in comes from the other rules' own examples.
Every step is judged by the whole base: the rule goes on ruling, nothing contradicts, and nothing rules unasked for.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from sideplate_engine import Judge
from sideplate_engine.chaining import Chained
from sideplate_engine.open_facts import status_of
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Value
from sideplate_trainer.mendings import Mending, mendings_in
from sideplate_trainer.parts_to_choose import is_a_description
from sideplate_trainer.rule_index import rule_index
from sideplate_trainer.situations import builder_of
from sideplate_trainer.situations.consistency import asking, contradiction, is_absurd, rulings
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.scales import scale_of
from sideplate_trainer.situations.situation import Situation
from sideplate_trainer.situations.stories import USE, tell_facts

FURTHEST, FURTHEST_COUNT = 30, 5
"""By how many graduations a measure that mends is moved on at most, and by how many a count is."""

Facts = Mapping[str, Value]


@dataclass(frozen=True, slots=True)
class Sheet:
    """Facts, and what the whole base makes of them: the rules that rule, and those of them that ask for something."""

    facts: Facts
    ruling: frozenset[str]
    asking: frozenset[str]
    chained: Chained


class SheetMixer:
    """Mixes sheets for one situation."""

    def __init__(self, judge: Judge, situation: Situation) -> None:
        self.judge = judge
        self.situation = situation
        self.rule: Rule = judge.knowledge.rules[situation.rule]
        self._builder = builder_of(judge)
        self._index = rule_index(judge)
        self.touching = self._index.touching(situation.rule)
        self._absurd_anyway = self._is_absurd(judge.outcome(situation.facts))

    @classmethod
    def on_example(cls, judge: Judge, example: Mending) -> SheetMixer:
        """For the sheet of a rule's example, which no story tells."""
        facts = {**example.given, example.fact: example.bad}
        return cls(judge, Situation(example.rule, 0, facts, ("",), ()))

    def plain(self) -> Sheet | None:
        """The situation without the facts that its rule does not rest on; None where it does not stand without them.

        The use of the machine stays: the story's opening may name it.
        """
        facts = self.situation.facts
        return self.sheet(
            {name: value for name, value in facts.items() if name in self.touching or name == USE}
        )

    def starts(self, draws: Draws) -> Iterator[Sheet]:
        """The plain sheet, then those of the rule's examples in a drawn order, on which it rules.

        An example goes on one sheet with what the examples of other rules say where a drawn situation does not. One
        on which the machine is used otherwise than the story's opening may say is left out.
        """
        plain = self.plain()
        if plain is not None and self.rule.id in plain.ruling:
            yield plain
        for sheet, _ in self.example_starts(draws):
            yield sheet

    def example_starts(self, draws: Draws) -> Iterator[tuple[Sheet, Mending]]:
        """The sheets of the rule's examples in a drawn order, with what mends each, a number moved on a little."""
        use = {name: value for name, value in self.situation.facts.items() if name == USE}
        for example in draws.shuffled(list(self._index.mendings.get(self.rule.id, ()))):
            facts = {**use, **example.given, example.fact: example.bad}
            told = {name: value for name, value in facts.items() if self.judge.knowledge.facts[name].given}
            found = self.sheet(told) if told.get(USE) == use.get(USE) else None
            if found is not None and self.rule.id in found.ruling and self._mends(found, example):
                yield found, self._moved_on(found, example, draws)

    def own_mendings(self, sheet: Sheet, draws: Draws, *, by_example: bool = False) -> Iterator[Mending]:
        """What mends the rule asked about on this sheet, fact by fact in a drawn order, and brings no other fault.

        The facts of the rule's examples are tried before those of its near misses; `by_example` keeps to them, so that
        what mends it here is what mends it where it stands beside others.
        """
        near = mendings_in(self.situation, self.judge.knowledge.facts)
        examples = self._index.mendings.get(self.rule.id, ())
        first = sorted({each.fact for each in examples} & sheet.facts.keys())
        then = sorted(({each.fact for each in near} & sheet.facts.keys()) - set(first))
        for fact in (*draws.shuffled(first), *draws.shuffled([] if by_example else then)):
            close = [each.good for each in near if each.fact == fact]
            beside = {name: value for name, value in sheet.facts.items() if name != fact}
            fault = Mending(self.rule.id, fact, sheet.facts[fact], sheet.facts[fact], beside)
            yield from self.mended(sheet, fault, draws, close)

    def mended(
        self, sheet: Sheet, fault: Mending, draws: Draws, close: Sequence[Value] = ()
    ) -> Iterator[Mending]:
        """The fault with values that mend it: of the rule's examples, then those that come close, then any words."""
        fact = self.judge.knowledge.facts[fault.fact]
        examples = [each.good for each in self._index.mendings.get(fault.rule, ()) if each.fact == fault.fact]
        for goods in (examples, close, self._index.words_for(fact, fault.bad)):
            for good in draws.shuffled(list(dict.fromkeys(goods))):
                mending = replace(fault, good=good)
                if good != fault.bad and fact.tell(good) and self._mends(sheet, mending):
                    yield self._moved_on(sheet, mending, draws)

    def _mends(self, sheet: Sheet, mending: Mending) -> bool:
        mended = self.changed(sheet, mending.fact, mending.good)
        if mended is None or mending.rule in mended.ruling:
            return False
        return self.judge.knowledge.rules[mending.rule].force == "may" or mended.asking <= sheet.asking

    def _moved_on(self, sheet: Sheet, mending: Mending, draws: Draws) -> Mending:
        """A number that mends, moved a little further from the fault where that mends as well; a word as it is.

        So a figure that comes back is no sign of being right or wrong.
        """
        fact = self.judge.knowledge.facts[mending.fact]
        if not fact.is_number or self._builder.reach.standard(fact.name):
            return mending
        scale = scale_of(fact)
        good, bad = float(str(mending.good)), float(str(mending.bad))
        low, high = fact.usual or fact.possible or (0.0, good)
        for furthest in (FURTHEST if fact.kind == "quantity" else FURTHEST_COUNT, FURTHEST_COUNT):
            further = draws.whole(0, furthest) * (scale.hand if good > bad else -scale.hand)
            moved = replace(mending, good=scale.value(scale.nearest(good) + further))
            if low <= float(str(moved.good)) <= high and self._mends(sheet, moved):
                return moved
        return mending

    def sheet(self, facts: Facts) -> Sheet | None:
        """The facts as a sheet; None where they contradict each other or make no sense together."""
        chained = self.judge.outcome(facts)
        if contradiction(self.judge.knowledge, chained) is not None:
            return None
        if not self._absurd_anyway and self._is_absurd(chained):
            return None
        knowledge = self.judge.knowledge
        return Sheet(facts, rulings(knowledge, chained), asking(knowledge, chained), chained)

    def with_line(self, sheet: Sheet, mending: Mending) -> Sheet | None:
        """The sheet with a line that another rule looks at and finds in order; None where anything else changes.

        What a rule permits is in order by that rule itself.
        """
        permits = self.judge.knowledge.rules[mending.rule].force == "may"
        value = mending.bad if permits else mending.good
        mixed = self._mixed(sheet, mending, value)
        if mixed is None or mixed.asking != sheet.asking or not sheet.ruling <= mixed.ruling:
            return None
        if self.may_be_a_fault(mixed, mending.fact, value):
            return None
        return mixed if (mending.rule in mixed.ruling) is permits else None

    def with_fault(self, sheet: Sheet, mending: Mending, *, of_any_force: bool = False) -> Sheet | None:
        """The sheet with a line on which another rule rules as well; None where that changes what is asked about.

        Others may rule on that line too, if none of them has the force of the rule asked about.
        """
        mixed = self._mixed(sheet, mending, mending.bad)
        if mixed is None or not mixed.ruling >= sheet.ruling | {mending.rule}:
            return None
        rules = self.judge.knowledge.rules
        more = () if of_any_force else mixed.ruling - sheet.ruling
        return None if any(rules[id_].force == self.rule.force for id_ in more) else mixed

    def may_be_a_fault(self, sheet: Sheet, fact: str, value: Value) -> bool:
        """Whether some rule would find fault with this value on one make of machine or part and not on another.

        That is so where the rule is open for want of what the parts are. Of how the work is done, what is not told
        is in order.
        """
        knowledge = self.judge.knowledge
        elements = value if isinstance(value, frozenset) else frozenset({value})
        return any(
            is_a_description(knowledge.facts[name])
            for element in elements
            for id_ in self._index.finding_fault.get((fact, element), ())
            for name in status_of(knowledge, sheet.chained, knowledge.rules[id_]).missing
        )

    def changed(self, sheet: Sheet, fact: str, value: Value) -> Sheet | None:
        """The sheet with one fact at another value, or None where that makes no sense."""
        return self.sheet({**sheet.facts, fact: value})

    def has_force(self, sheet: Sheet, force: str) -> bool:
        """Whether a ruling of that force stands on the sheet."""
        return any(self.judge.knowledge.rules[id_].force == force for id_ in sheet.ruling)

    def told(self, facts: Facts, names: Collection[str] | None = None) -> tuple[str, ...]:
        """The facts as sentences of a story, all of them or those named."""
        kept = {name: value for name, value in facts.items() if names is None or name in names}
        return tell_facts(self.judge.knowledge.facts, kept)

    def opening(self) -> str:
        """The first sentence of the situation's story: who comes in, with what."""
        return self.situation.story[0]

    def _mixed(self, sheet: Sheet, mending: Mending, value: Value) -> Sheet | None:
        """The sheet with a fact of another rule, and with what goes with it where the sheet does not say otherwise."""
        if mending.fact in sheet.facts or mending.fact in self.touching:
            return None
        vocabulary = self.judge.knowledge.facts
        told = {name: given for name, given in mending.given.items() if vocabulary[name].given}
        return self.sheet({**told, mending.fact: value, **sheet.facts})

    def _is_absurd(self, chained: Chained) -> bool:
        return is_absurd(self.judge.knowledge, self._builder.workshop, chained.facts)
