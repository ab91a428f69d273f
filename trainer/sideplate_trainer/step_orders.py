"""What order there is among a few steps of a procedure: which come before which, by way of steps left out too."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from math import factorial

from sideplate_engine.procedures import Procedure, Step


def all_before(procedure: Procedure) -> Mapping[str, frozenset[str]]:
    """For each step, every step that has to be done before it, however many others lie between."""
    direct = {step.id: step.after for step in procedure.steps}

    @cache
    def before(step: str) -> frozenset[str]:
        return frozenset(direct[step]).union(*(before(other) for other in direct[step]))

    return {step: before(step) for step in direct}


def places_before(procedure: Procedure, steps: Sequence[Step]) -> tuple[frozenset[int], ...]:
    """For each of these steps, the places (from 0) of those of them that come before it."""
    before = all_before(procedure)
    return tuple(
        frozenset(place for place, other in enumerate(steps) if other.id in before[step.id]) for step in steps
    )


def right_orders(after: Sequence[frozenset[int]]) -> int:
    """How many orders are right, where place n may come only after the places `after[n]`."""

    @cache
    def ways_on(done: frozenset[int]) -> int:
        if len(done) == len(after):
            return 1
        return sum(
            ways_on(done | {place})
            for place in range(len(after))
            if place not in done and after[place] <= done
        )

    return ways_on(frozenset())


def chance_of_a_right_order(after: Sequence[frozenset[int]]) -> float:
    """The share of all orders that are right."""
    return right_orders(after) / factorial(len(after))


def a_right_order(after: Sequence[frozenset[int]]) -> tuple[int, ...]:
    """The right order that takes, of the steps that may come next, the first one shown."""
    order: list[int] = []
    while len(order) < len(after):
        order.append(
            next(place for place, needed in enumerate(after) if place not in order and needed <= set(order))
        )
    return tuple(order)


def first_too_early(after: Sequence[frozenset[int]], order: Sequence[int]) -> tuple[int, int] | None:
    """The first place of an order that comes too early, and the first one shown that it waits for; None if right."""
    done: set[int] = set()
    for place in order:
        lacking = after[place] - done
        if lacking:
            return place, min(lacking)
        done.add(place)
    return None
