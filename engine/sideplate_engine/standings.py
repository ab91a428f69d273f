"""How a job stands: the gravest of what its rulings ask for, and which rulings contradict each other."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations

from sideplate_engine.chaining import Chained
from sideplate_engine.judgement import STANDINGS
from sideplate_engine.knowledge_base import KnowledgeBase

_OPPOSED = {
    ("must", "must not"),
    ("must", "should not"),
    ("should", "must not"),
    ("should", "should not"),
    ("may", "must not"),
}
_STANDING = {"must not": "stop", "must": "put right", "should": "take care", "should not": "take care"}


def are_opposed(one: str, other: str) -> bool:
    """Whether rulings of these two forces about one subject contradict each other."""
    return (one, other) in _OPPOSED or (other, one) in _OPPOSED


def gravest(forces: Iterable[str], has_conflicts: bool) -> str:
    """The gravest of what rulings of these forces ask for; a conflict has to be put right before anything is clear."""
    standings = [_STANDING.get(force, "clear") for force in forces]
    if has_conflicts:
        standings.append("put right")
    return max(standings, key=STANDINGS.index, default="clear")


def standing_of(knowledge: KnowledgeBase, outcome: Chained) -> str:
    """The standing of an outcome, without making its judgement."""
    rulings = [
        (str(rule.force), rule.about) for rule in map(knowledge.rules.__getitem__, outcome.live) if rule.force
    ]
    is_contradicted = any(
        one_about is not None and one_about == other_about and are_opposed(one, other)
        for (one, one_about), (other, other_about) in combinations(rulings, 2)
    )
    return gravest((force for force, _ in rulings), bool(outcome.conflicts) or is_contradicted)
