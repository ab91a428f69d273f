"""Situations: job sheets of the invented workshop, built backwards from a rule so that it fires.

>>> from sideplate_engine import Judge, load
>>> judge = Judge(load().sound())
>>> situation = build(judge, "connector-code-differs", 1)
>>> "connector-code-differs" in judge.outcome(situation.facts).live
True
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from functools import lru_cache

from sideplate_engine import Judge
from sideplate_engine.findings import Finding
from sideplate_engine.vocabulary import Value
from sideplate_trainer.situations import certainty
from sideplate_trainer.situations.building import SituationBuilder
from sideplate_trainer.situations.certainty import Certainty, TooMany
from sideplate_trainer.situations.situation import NearMiss, NoSituation, Situation
from sideplate_trainer.situations.unbuildable import find_unbuildable

__all__ = [
    "Certainty",
    "NearMiss",
    "NoSituation",
    "Situation",
    "SituationBuilder",
    "TooMany",
    "build",
    "builder_of",
    "completions",
    "unbuildable",
    "verdict_certainty",
]


@lru_cache(maxsize=4)
def builder_of(judge: Judge) -> SituationBuilder:
    """The builder of a judge's knowledge base and the built-in workshop, made once a judge."""
    return SituationBuilder(judge)


def build(judge: Judge, rule_id: str, seed: int) -> Situation:
    """A situation in which a rule fires: always the same for one knowledge base, rule and seed.

    Raises NoSituation where none is found, and KeyError for a rule that is not in the base.
    """
    return builder_of(judge).build(rule_id, seed)


def unbuildable(judge: Judge) -> list[Finding]:
    """A warning `no-situation` at the place of every rule for which no situation is found."""
    return find_unbuildable(builder_of(judge))


def completions(
    judge: Judge,
    facts: Mapping[str, Value],
    open_facts: Collection[str],
    most: int = certainty.MOST_TRIED,
) -> Iterator[dict[str, Value]]:
    """Completions of a sheet over the open facts, as `certainty.completions` tells. Raises TooMany."""
    return certainty.completions(builder_of(judge), facts, open_facts, most)


def verdict_certainty(
    judge: Judge,
    facts: Mapping[str, Value],
    about: str,
    open_facts: Collection[str] | None = None,
    most: int = certainty.MOST_TRIED,
) -> Certainty:
    """Whether a rule or rulings on a subject come out alike however open facts turn out.

    The meaning of `open_facts` and of the four verdicts stands with `certainty.verdict_certainty`. Raises KeyError.
    """
    return certainty.verdict_certainty(builder_of(judge), facts, about, open_facts, most)
