"""Tells a sheet as a short story of the workshop: who comes in, and what the vocabulary says of each fact."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC

from sideplate_engine.authored_conditions import Vocabulary
from sideplate_engine.vocabulary import System, Value
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.workshop import ANY, Workshop

_MACHINE = "bike"
USE = "bike.use"


def tell_story(
    workshop: Workshop,
    vocabulary: Vocabulary,
    topic: str,
    facts: MappingABC[str, Value],
    draws: Draws,
    system: System = "metric",
) -> tuple[str, ...]:
    """The sentences of a story. The opening names the machine by its use only if the sheet gives the use."""
    opening = draws.pick(workshop.openings.get(topic) or workshop.openings[ANY])
    use = facts.get(USE)
    called = workshop.called.get(str(use)) if use is not None else None
    machine = draws.pick(called or workshop.called[ANY])
    first = opening.replace("{person}", draws.pick(workshop.people)).replace("{machine}", machine)
    return (first, *tell_facts(vocabulary, facts, system))


def tell_facts(
    vocabulary: Vocabulary, facts: MappingABC[str, Value], system: System = "metric"
) -> tuple[str, ...]:
    """One sentence a fact: the machine first, then in the vocabulary's order."""
    order = {name: number for number, name in enumerate(vocabulary)}
    names = sorted(facts, key=lambda name: (vocabulary[name].subject != _MACHINE, order[name]))
    return tuple(sentence for name in names if (sentence := vocabulary[name].tell(facts[name], system)))
