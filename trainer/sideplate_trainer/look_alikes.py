"""Which rules are taken for each other, to stand beside each other in a question, drawn evenly from one bench.

Two rules go together where their examples go on one sheet: where reasons are compared the faults of both, else the
fault of the one with the other's line in order.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from sideplate_engine import Judge
from sideplate_engine.rules import Rule
from sideplate_trainer.even_company import EvenCompany
from sideplate_trainer.rule_index import rule_index
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.wording import alikeness, telling_words

LENGTHS_APART = 1.5
"""How many times as long the longer of two reasons may be."""

REASONS_ALIKE = 0.3
"""From this share of common words on, two reasons may both be right."""

SAME_TOPIC = 4.0
"""How much more easily two rules of one topic are taken for each other than two of different topics."""


class LookAlikes:
    """The look-alikes of every rule; `by_reason` where their reasons stand side by side as choices."""

    def __init__(self, judge: Judge, *, by_reason: bool) -> None:
        self.index = rule_index(judge)
        self.by_reason = by_reason
        self._words: dict[str, frozenset[str]] = {}
        self._companies: dict[int, EvenCompany] = {}

    def of(self, rule: Rule, draws: Draws) -> Iterator[tuple[Rule, Rule]]:
        """Pairs of look-alikes of a rule in a drawn order, likely ones first."""
        number = self.index.bench_of(rule)
        if number is None:
            return
        if number not in self._companies:
            self._companies[number] = EvenCompany(self.index.benches[number], self._going_together)
        yield from self._companies[number].beside(rule, draws)

    def anyone(self, rule: Rule, draws: Draws) -> Iterator[Rule]:
        """Look-alikes of a rule one by one, then all others that go on a sheet with it, those of its bench first."""
        evenly = dict.fromkeys(each.id for pair in self.of(rule, draws) for each in pair)
        rules = self.index.knowledge.rules
        yield from (rules[id_] for id_ in evenly)
        number = self.index.bench_of(rule)
        others = draws.shuffled([each for each in self.index.rules if each.id not in evenly])
        for other in sorted(others, key=lambda each: self.index.bench_of(each) != number):
            if other is not rule and (not self.index.mendings[rule.id] or self._going_together(rule, other)):
                yield other

    def with_reasons_as_long(self, rule: Rule, draws: Draws) -> Iterator[Rule]:
        """All rules whose reason could stand beside that of a rule, in a drawn order, those of its topic first."""
        able = [
            other
            for other in self.index.rules
            if other.id not in self.index.tied[rule.id] and self.reasons_go_together(rule.id, other.id)
        ]
        yield from sorted(draws.shuffled(able), key=lambda other: other.topic != rule.topic)

    def reasons_go_together(self, one: str, other: str) -> bool:
        """Whether the reasons of two rules are about as long, and not so alike that both may be right."""
        shorter, longer = sorted(len(self.index.reasons[id_]) for id_ in (one, other))
        return longer <= LENGTHS_APART * shorter and self.reasons_differ(one, other)

    def reasons_differ(self, one: str, other: str) -> bool:
        """Whether two reasons are not so alike that what is right for the one may be right for the other."""
        for id_ in (one, other):
            if id_ not in self._words:
                self._words[id_] = telling_words(self.index.knowledge.rules[id_].because_text.source)
        return alikeness(self._words[one], self._words[other]) <= REASONS_ALIKE

    def _going_together(self, one: Rule, other: Rule) -> float:
        if other.id in self.index.tied[one.id]:
            return 0.0
        if self.by_reason and not self.reasons_go_together(one.id, other.id):
            return 0.0
        on_one_sheet = any(
            self.index.agree(mine, theirs, mended=not self.by_reason)
            for mine in self.index.mendings[one.id]
            for theirs in self.index.mendings[other.id]
        )
        return likeness(one, other) if on_one_sheet else 0.0


@lru_cache(maxsize=8)
def look_alikes(judge: Judge, *, by_reason: bool) -> LookAlikes:
    """Made once a judge."""
    return LookAlikes(judge, by_reason=by_reason)


def likeness(one: Rule, other: Rule) -> float:
    """How easily two rules are taken for each other: by what they are about, what they read, and their force."""
    reads = [set(rule.reads()) for rule in (one, other)]
    parts = [{name.split(".", 1)[0] for name in names} for names in reads]
    shared = len(reads[0] & reads[1]) / min(len(names) for names in reads)
    alike = (
        0.5
        + 2.0 * (one.about is not None and one.about == other.about)
        + 2.0 * (one.family is not None and one.family == other.family)
        + 2.0 * shared
        + 1.0 * bool(parts[0] & parts[1])
        + 0.5 * (one.force == other.force)
    )
    return alike * (SAME_TOPIC if one.topic == other.topic else 1.0)
