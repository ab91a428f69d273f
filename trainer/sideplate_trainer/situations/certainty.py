"""What is certain on a sheet that leaves facts open: the same in every completion, or not the same in two of them."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass, field
from itertools import product
from typing import Literal

from sideplate_engine import Judge
from sideplate_engine.chaining import Chained
from sideplate_engine.judging import FORCE_ORDER
from sideplate_engine.vocabulary import Value
from sideplate_trainer.situations.building import SituationBuilder
from sideplate_trainer.situations.consistency import contradiction
from sideplate_trainer.situations.representatives import Representatives
from sideplate_trainer.situations.still_open import StillOpen
from sideplate_trainer.situations.witnesses import witness

FIRES, NEVER, CANNOT_TELL, NOT_SETTLED = "fires", "never", "cannot tell", "not settled"
NOTHING = "nothing"
MOST_TRIED = 3000

Facts = MappingABC[str, Value]


@dataclass(frozen=True, slots=True)
class Certainty:
    """`fires` or `never`: proved for every completion; `cannot tell`: two completions disagree.

    `not settled`: neither was shown, because there are too many completions or a formula stands in between.
    `completions` holds one for each outcome that is shown to be possible: of a rule `fires` and `never`, of a
    subject the gravest force that stands on it, or `nothing`. Each gives the sheet's facts and those that decide.
    """

    verdict: Literal["fires", "never", "cannot tell", "not settled"]
    completions: MappingABC[str, Facts]


class TooMany(Exception):
    """More completions than can be gone through."""


def completions(
    builder: SituationBuilder, facts: Facts, open_facts: Collection[str], most: int = MOST_TRIED
) -> Iterator[dict[str, Value]]:
    """Completions of a sheet, one for each way in which any rule could tell values of the open facts apart.

    Those that contradict themselves are left out. Raises TooMany, before the first, when there are more than `most`.
    Of a measured fact that enters a formula these are samples, not all there is.
    """
    representatives = Representatives(builder.reach, builder.knowledge.rules)
    names = sorted(set(open_facts) - facts.keys())
    values = [representatives.of(name, facts) for name in names]
    count = 1
    for options in values:
        count *= len(options)
    if count > most:
        raise TooMany(f"{count} completions are more than the {most} that are gone through")
    for chosen in product(*values):
        completed = {**facts, **dict(zip(names, chosen, strict=True))}
        if contradiction(builder.knowledge, builder.judge.outcome(completed)) is None:
            yield completed


def verdict_certainty(
    builder: SituationBuilder,
    facts: Facts,
    about: str,
    open_facts: Collection[str] | None = None,
    most: int = MOST_TRIED,
) -> Certainty:
    """Whether a rule, or rulings on a subject, come out alike in every completion of a sheet.

    Open are the facts named, or else all that could still decide. What could only set a rule aside may also stay
    unknown: a manual may give no figure. A fact that a rule asks to be unknown counts as open only when it is named:
    there, not knowing is itself what the rule goes by. Raises KeyError for a name that is neither a rule nor a
    subject.
    """
    return _Search(builder, about, None if open_facts is None else frozenset(open_facts), most).run(facts)


@dataclass
class _Search:
    builder: SituationBuilder
    about: str
    open_facts: frozenset[str] | None
    most: int
    found: dict[str, Facts] = field(default_factory=dict)
    supposed: dict[str, Facts] = field(default_factory=dict)
    tried: int = 0
    complete: bool = True

    def __post_init__(self) -> None:
        knowledge = self.builder.knowledge
        if self.about in knowledge.rules:
            self.targets = [self.about]
        elif self.about in knowledge.subjects:
            self.targets = [id_ for id_, rule in sorted(knowledge.rules.items()) if rule.about == self.about]
        else:
            raise KeyError(self.about)
        self.quick: Judge = self.builder.quick_judge(self.targets)
        below = self.builder.reach.rules_below(self.targets)
        self.representatives = Representatives(self.builder.reach, below)

    def run(self, facts: Facts) -> Certainty:
        self._explore(dict(facts), supposed=False, closed=frozenset())
        for outcome, supposed in self.supposed.items():
            if outcome not in self.found and len(self.found) < 2:
                real = witness(self.builder, self.quick, self.targets, facts, supposed, self.open_facts)
                if real is not None:
                    self.found.setdefault(self._outcome(self.quick.outcome(real)), real)
        outcomes = {*self.found, *self.supposed}
        if len(self.found) > 1:
            return Certainty("cannot tell", self.found)
        if len(outcomes) != 1 or not self.complete:
            return Certainty("not settled", self.found)
        return Certainty("never" if outcomes <= {NEVER, NOTHING} else "fires", self.found or self.supposed)

    def _explore(self, facts: dict[str, Value], *, supposed: bool, closed: frozenset[str]) -> None:
        """Goes through the completions of a sheet, as far as they can still differ.

        On a `supposed` one a number that only a formula gives was put in by hand. `closed` facts stay unknown.
        """
        if len(self.found) > 1:
            return
        self.tried += 1
        if self.tried > self.most:
            self.complete = False
            return
        chained = self.quick.outcome(facts)
        if contradiction(self.builder.knowledge, chained) is not None:
            return
        open_ = StillOpen(self.builder.reach, chained, self.open_facts, closed).deciding(self.targets)
        if not open_:
            into = self.supposed if supposed else self.found
            into.setdefault(self._outcome(chained), facts)
            return
        name = open_[0].fact
        given = self.builder.knowledge.facts[name].given
        if given and not self.representatives.are_all_there_is(name):
            self.complete = False
        if open_[0].may_stay_unknown:
            self._explore(facts, supposed=supposed, closed=closed | {name})
        for value in self.representatives.of(name, facts):
            self._explore({**facts, name: value}, supposed=supposed or not given, closed=closed)

    def _outcome(self, chained: Chained) -> str:
        """What an outcome is to the question asked."""
        if self.about in self.builder.knowledge.rules:
            return FIRES if self.about in chained.live else NEVER
        forces = {self.builder.knowledge.rules[id_].force for id_ in self.targets if id_ in chained.live}
        return next((force for force in FORCE_ORDER if force in forces), NOTHING)
