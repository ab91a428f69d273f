"""Which ways of asking suit a rule or a procedure, and which of them is due: the easy ones on the low rungs."""

from __future__ import annotations

from collections.abc import Sequence

from sideplate_engine import KnowledgeBase
from sideplate_trainer.asked_about import procedure_of
from sideplate_trainer.way import Level
from sideplate_trainer.ways import all_ways, ways_for

LEVELS_BY_RUNG = (
    (Level.VERDICT,),
    (Level.PICK,),
    (Level.FAULT,),
    (Level.REASON,),
    (Level.FAULT, Level.REASON),
)
"""What is asked for on each rung of the schedule. On the last one, where a rule stays, the two hardest take turns."""


def ways_of(knowledge: KnowledgeBase, id_: str) -> tuple[str, ...]:
    """The ways in which a rule or a procedure can be asked about. Raises KeyError for an id that is not known."""
    if procedure_of(knowledge, id_) is None:
        return ways_for(knowledge.rules[id_])
    return tuple(name for name, way in all_ways().items() if way.of_procedures)


def way_at(ways: Sequence[str], rung: int, turn: int) -> str:
    """The way of the rung, ways of one level taking turns; where none is of its level, one of the nearest."""
    wanted = LEVELS_BY_RUNG[min(rung, len(LEVELS_BY_RUNG) - 1)]
    fitting = [name for name in ways if level_of(name) in wanted]
    if not fitting:
        nearest = level_of(min(ways, key=lambda name: _distance(level_of(name), wanted[0])))
        fitting = [name for name in ways if level_of(name) is nearest]
    return fitting[turn % len(fitting)]


def instead_of(way: str, ways: Sequence[str], turn: int) -> tuple[str, ...]:
    """These ways in the order in which to try them: the one named, then those nearest in level, the harder first.

    Where it is none of them, those of the lowest level come first.
    """
    level = level_of(way) if way in ways else Level.VERDICT
    place = {name: (number - turn) % len(ways) for number, name in enumerate(ways)}
    return tuple(sorted(ways, key=lambda name: (name != way, *_distance(level_of(name), level), place[name])))


def level_of(way: str) -> Level:
    """How much a way asks for."""
    return all_ways()[way].level


def _distance(level: Level, wanted: Level) -> tuple[int, int]:
    """How far a level is from the one wanted; of two as far, the harder is the nearer."""
    return abs(level - wanted), wanted - level
