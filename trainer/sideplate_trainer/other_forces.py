"""Rules of another force than a rule's own, to stand beside it where a question names the force alone.

They come from the same bench. Whether two go together is decided by their examples, and alike from either side, so that
each can stand beside others as often as it is asked about. A rule for which that cannot be had is not asked about so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache

from sideplate_engine import Judge
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Fact
from sideplate_trainer.even_company import EvenCompany
from sideplate_trainer.mendings import Mending
from sideplate_trainer.mixed_sheets import Sheet, SheetMixer
from sideplate_trainer.rule_index import rule_index
from sideplate_trainer.situations.draws import Draws

SAME_TOPIC = 3.0
"""How much better two rules of one topic go together on a sheet than two of different topics."""

LENGTHS_APART = 1.6
"""How many times as long the longer of two choices may be."""

Tells = Callable[[Fact, Mending], str]
CanBeAsked = Callable[[SheetMixer, Sheet, Mending], bool]


class OtherForces:
    """The rules that can stand on one sheet with a rule, drawn evenly. `tells` is the choice that a mending makes.

    `can_be_asked` says whether a mending can be the key of such a question on a sheet. `unable`: no answer about the
    fact of one brings a ruling of the other's force by itself. Otherwise rules that permit something are left out,
    since there is nothing to put right.
    """

    def __init__(self, judge: Judge, tells: Tells, can_be_asked: CanBeAsked, *, unable: bool) -> None:
        self.can_be_asked = can_be_asked
        self.index = rule_index(judge)
        self.tells = tells
        self.unable = unable
        self._companies: dict[int, EvenCompany] = {}

    def pair_beside(self, rule: Rule, draws: Draws) -> tuple[Rule, Rule] | None:
        """Two rules of other forces to stand beside a rule; None where it cannot be asked about so.

        Only the first pair drawn counts. Were another tried where one does not go on a sheet, those that go on every
        sheet would stand beside others too often.
        """
        number = self.index.bench_of(rule)
        if number is None:
            return None
        if number not in self._companies:
            able = [each for each in self.index.benches[number] if self.unable or each.force != "may"]
            self._companies[number] = EvenCompany(able, self._going_together)
        return next(self._companies[number].beside(rule, draws), None)

    def mendings_beside(self, own: Mending, other: Rule, draws: Draws) -> list[Mending]:
        """What mends another rule by its examples and can stand beside `own`, fact by fact in a drawn order."""
        found = [each for each in self.index.mendings[other.id] if self._can_stand_together(own, each)]
        facts = draws.shuffled(sorted({each.fact for each in found}))
        return sorted(draws.shuffled(found), key=lambda each: facts.index(each.fact))

    def look_alike(self, mendings: Iterable[Mending]) -> bool:
        """Whether no choice is so much longer that it stands out, nor has a figure where another has none."""
        facts = self.index.knowledge.facts
        told = [self.tells(facts[each.fact], each) for each in mendings]
        lengths = [len(each) for each in told]
        with_figures = {any(map(str.isdigit, each)) for each in told}
        return max(lengths) <= LENGTHS_APART * min(lengths) and len(with_figures) == 1

    def _can_stand_together(self, one: Mending, other: Mending) -> bool:
        """Whether the choices look alike, and neither decides about the other's force."""
        if self.unable:
            forces = [str(self.index.knowledge.rules[each.rule].force) for each in (one, other)]
            if self.index.can_bring_alone(one.fact, forces[1]) or self.index.can_bring_alone(
                other.fact, forces[0]
            ):
                return False
        return not (self._repeats(one) or self._repeats(other)) and self.look_alike((one, other))

    def _repeats(self, mending: Mending) -> bool:
        """Whether what mends is a number that stands on the sheet already: in examples that is always the same one."""
        is_number = self.index.knowledge.facts[mending.fact].is_number
        return not self.unable and is_number and mending.good in mending.given.values()

    def _going_together(self, one: Rule, other: Rule) -> float:
        if one.force == other.force:
            return 0.0
        on_one_sheet = any(
            self.index.agree(mine, theirs, mended=False) and self._can_stand_together(mine, theirs)
            for mine in self.index.mendings[one.id]
            for theirs in self.index.mendings[other.id]
        )
        if not on_one_sheet:
            return 0.0
        return SAME_TOPIC if one.topic == other.topic else 1.0


@lru_cache(maxsize=8)
def other_forces(judge: Judge, tells: Tells, can_be_asked: CanBeAsked, *, unable: bool) -> OtherForces:
    """Made once a judge."""
    return OtherForces(judge, tells, can_be_asked, unable=unable)
