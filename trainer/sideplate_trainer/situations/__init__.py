"""Situations: job sheets of the invented workshop, built backwards from a rule so that it fires."""

from __future__ import annotations

from functools import lru_cache

from sideplate_engine import Judge
from sideplate_trainer.situations.building import SituationBuilder
from sideplate_trainer.situations.situation import NearMiss, NoSituation, Situation

__all__ = ["NearMiss", "NoSituation", "Situation", "SituationBuilder", "build", "builder_of"]


@lru_cache(maxsize=4)
def builder_of(judge: Judge) -> SituationBuilder:
    """The builder of a judge's knowledge base and the built-in workshop, made once a judge."""
    return SituationBuilder(judge)


def build(judge: Judge, rule_id: str, seed: int) -> Situation:
    """A situation in which a rule fires: always the same for one knowledge base, rule and seed.

    Raises NoSituation where none is found, and KeyError for a rule that is not in the base.
    """
    return builder_of(judge).build(rule_id, seed)
