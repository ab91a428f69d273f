"""Whether an outcome is fit for a practice sheet: nothing contradicts, nothing is absurd, and how odd the rest is."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from itertools import combinations

from sideplate_engine import KnowledgeBase
from sideplate_engine.authored_reading import read_conditions_of
from sideplate_engine.chaining import Chained
from sideplate_engine.plain_reading import Truth
from sideplate_engine.standings import are_opposed
from sideplate_engine.vocabulary import Value
from sideplate_trainer.situations.scales import scale_of
from sideplate_trainer.situations.workshop import Workshop


def contradiction(knowledge: KnowledgeBase, chained: Chained) -> str | None:
    """What contradicts in an outcome, as the rest of a sentence; None when nothing does."""
    for conflict in chained.conflicts:
        return f"the sheet contradicts itself about {conflict.fact}"
    about = [rule for id_ in sorted(chained.live) if (rule := knowledge.rules[id_]).about is not None]
    for one, other in combinations(about, 2):
        if one.about == other.about and are_opposed(str(one.force), str(other.force)):
            return f"{one.id} and {other.id} give opposed rulings about one thing"
    return None


def rulings(knowledge: KnowledgeBase, chained: Chained) -> frozenset[str]:
    """The rules whose rulings stand in an outcome."""
    return frozenset(id_ for id_ in chained.live if knowledge.rules[id_].is_ruling)


def asking(knowledge: KnowledgeBase, chained: Chained) -> frozenset[str]:
    """The rules whose rulings ask for something in an outcome: all but those that only say what may be done."""
    return frozenset(id_ for id_ in rulings(knowledge, chained) if knowledge.rules[id_].force != "may")


def is_absurd(knowledge: KnowledgeBase, workshop: Workshop, facts: MappingABC[str, Value]) -> bool:
    """Whether facts hold a combination that the workshop never sees."""
    return any(
        read_conditions_of(never, facts, knowledge.facts).truth is Truth.TRUE for never in workshop.never
    )


def unusual(knowledge: KnowledgeBase, chained: Chained) -> int:
    """How many facts of an outcome, given or worked out, lie outside their usual range."""
    return sum(knowledge.facts[name].is_unusual(value) for name, value in chained.facts.items())


def writable(knowledge: KnowledgeBase, facts: MappingABC[str, Value]) -> bool:
    """Whether every number is possible, and a story can print it exactly as the engine judges it."""
    for name, value in facts.items():
        fact = knowledge.facts[name]
        if not fact.is_number or isinstance(value, (str, frozenset)):
            continue
        if fact.possible is not None and not fact.possible[0] <= value <= fact.possible[1]:
            return False
        if not scale_of(fact).is_on(value):
            return False
    return True
