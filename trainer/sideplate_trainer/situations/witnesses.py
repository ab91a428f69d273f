"""Finds a real completion for an outcome that was only supposed, with a worked-out number put in by hand."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from collections.abc import Sequence

from sideplate_engine import Judge
from sideplate_engine.authored_conditions import FactTest
from sideplate_engine.condition_algebra import holds, opposite
from sideplate_engine.vocabulary import Value
from sideplate_trainer.situations.building import SituationBuilder
from sideplate_trainer.situations.consistency import contradiction
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.plans import DeadEnd

_DRAWS = 12

Facts = MappingABC[str, Value]


def witness(
    builder: SituationBuilder,
    quick: Judge,
    targets: Sequence[str],
    facts: Facts,
    supposed: Facts,
    open_facts: frozenset[str] | None,
) -> dict[str, Value] | None:
    """A completion of the sheet on which the rules stand or fall as they do on the supposed one; None if not found."""
    wanted = quick.outcome(supposed).live.intersection(targets)
    vocabulary = builder.knowledge.facts
    draws = Draws("witness", *sorted(targets), *sorted(wanted))
    known = quick.outcome(supposed).facts
    tests = [test for id_ in targets for test in builder.knowledge.rules[id_].requirement.tests()]
    goals: list[FactTest] = []
    for test in tests:
        if any(name in supposed and not vocabulary[name].given for name in test.facts()):
            goals.append(test if holds(test, known, vocabulary) else opposite(test))
    pinned = {name: value for name, value in supposed.items() if vocabulary[name].given}
    for _ in range(_DRAWS):
        try:
            found = builder.solve(goals, (), draws, pinned, quick)
        except DeadEnd:
            continue
        chained = quick.outcome(found)
        if (
            chained.live.intersection(targets) == wanted
            and contradiction(builder.knowledge, chained) is None
            and (open_facts is None or found.keys() - facts.keys() <= open_facts)
        ):
            return found
    return None
