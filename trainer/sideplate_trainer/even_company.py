"""Draws the two rules that stand beside a rule in a question, so that each of the three is asked about as often.

Options come back. If one of them were right oftener than chance would have it, a learner who has seen many questions
would know the option and not the rule. So three rules that go together are drawn with a weight that does not depend on
which of them is asked about, and the weights are such that they add up alike for every rule.
"""

from __future__ import annotations

from bisect import bisect
from collections.abc import Callable, Iterator, Sequence
from itertools import accumulate, combinations
from zlib import crc32

from sideplate_engine.rules import Rule
from sideplate_trainer.situations.draws import Draws

PARTNERS = 16
"""How many others a rule is put together with, those it goes with best."""

TOO_SELDOM = 0.9
"""A rule whose threes cannot be brought to weigh this share of the usual sum is left out."""

ROUNDS = 60
TRIED_AT_MOST = 24
FINE = 1_000_000

Three = tuple[int, int, int]


class EvenCompany:
    """Rules that go together by threes. Those for which it cannot be even are left out."""

    def __init__(self, rules: Sequence[Rule], going_together: Callable[[Rule, Rule], float]) -> None:
        weights = _best_pairs(rules, going_together)
        self._threes = {
            three: weights[three[:2]] * weights[three[1:]] * weights[three[0], three[2]]
            for three in _threes(weights)
        }
        self._factors = [1.0] * len(rules)
        while self._threes:
            sums = self._even_out(len(rules))
            seldom = [place for place, total in enumerate(sums) if 0 < total < TOO_SELDOM]
            if not seldom:
                break
            # Where a few are left out, others find company again: so not all at once.
            worst = set(sorted(seldom, key=lambda place: (sums[place], place))[: 1 + len(seldom) // 4])
            self._threes = {
                three: weight for three, weight in self._threes.items() if worst.isdisjoint(three)
            }
        self._rules = list(rules)
        self._places = {rule.id: place for place, rule in enumerate(rules)}

    def beside(self, rule: Rule, draws: Draws) -> Iterator[tuple[Rule, Rule]]:
        """Pairs of others in a drawn order, none twice, and not without end; none for a rule that was left out."""
        place = self._places.get(rule.id)
        threes = [three for three in self._threes if place in three]
        sums = list(accumulate(self._weight(three) for three in threes))
        seen: set[int] = set()
        for _ in range(TRIED_AT_MOST if threes else 0):
            drawn = bisect(sums, draws.whole(0, FINE - 1) / FINE * sums[-1])
            if drawn not in seen:
                seen.add(drawn)
                one, other = draws.shuffled([each for each in threes[drawn] if each != place])
                yield self._rules[one], self._rules[other]

    def times_drawn(self) -> dict[str, float]:
        """How often each rule that is not left out stands beside others, for each time it is asked about."""
        sums = self._sums(len(self._rules))
        found = {place: 0.0 for place, total in enumerate(sums) if total}
        for three in self._threes:
            for asked, other in combinations(three, 2):
                found[other] += self._weight(three) / sums[asked]
                found[asked] += self._weight(three) / sums[other]
        return {self._rules[place].id: times for place, times in found.items()}

    def _weight(self, three: Three) -> float:
        one, other, third = three
        return self._threes[three] * self._factors[one] * self._factors[other] * self._factors[third]

    def _sums(self, count: int) -> list[float]:
        """For each rule, the weights of all threes that it is one of."""
        sums = [0.0] * count
        for three in self._threes:
            weight = self._weight(three)
            for place in three:
                sums[place] += weight
        return sums

    def _even_out(self, count: int) -> list[float]:
        """Gives each rule a factor that brings its threes to the usual sum, and tells the sums as shares of that.

        What weighs too little in sum gets a larger factor, round by round, as in scaling a matrix to even rows.
        """
        for _ in range(ROUNDS):
            sums = self._sums(count)
            usual = sum(sums) / sum(map(bool, sums))
            self._factors = [
                factor * (usual / total) ** 0.5 if total else 0.0
                for factor, total in zip(self._factors, sums, strict=True)
            ]
        sums = self._sums(count)
        usual = sum(sums) / sum(map(bool, sums))
        return [total / usual for total in sums]


def _best_pairs(
    rules: Sequence[Rule], going_together: Callable[[Rule, Rule], float]
) -> dict[tuple[int, int], float]:
    """How well two rules go together, for those that are among the best for one of the two."""
    weights: dict[tuple[int, int], float] = {}
    partners: dict[int, list[tuple[float, int, int]]] = {}
    for one, other in combinations(range(len(rules)), 2):
        weight = going_together(rules[one], rules[other])
        if weight:
            weights[one, other] = weight
            # Between equals chance decides, the same chance everywhere.
            lot = crc32(f"{rules[one].id} {rules[other].id}".encode())
            partners.setdefault(one, []).append((-weight, lot, other))
            partners.setdefault(other, []).append((-weight, lot, one))
    kept = {
        (min(place, other), max(place, other))
        for place, found in partners.items()
        for _, _, other in sorted(found)[:PARTNERS]
    }
    return {pair: weights[pair] for pair in sorted(kept)}


def _threes(weights: dict[tuple[int, int], float]) -> Iterator[Three]:
    """Every three of which each two are a pair, in order."""
    after: dict[int, list[int]] = {}
    for one, other in weights:
        after.setdefault(one, []).append(other)
    for one, others in after.items():
        for other, third in combinations(others, 2):
            if (other, third) in weights:
                yield one, other, third
