"""Where rules apply, as boxes of states, so that one rule can be held against another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sideplate_engine.authored_conditions import AllOf, FactTest, Test
from sideplate_engine.condition_regions import Box, Regions, regions_of
from sideplate_engine.derivations import Computation, LookUp
from sideplate_engine.fact_order import can_be_ordered
from sideplate_engine.grounding import Tests, grounded
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.rules import Rule
from sideplate_engine.value_states import TooManyStates


def firing(rule: Rule) -> AllOf:
    """What a rule needs to fire: its conditions, its inputs, and a filled cell for each of its look-ups.

    A formula may still have no result; that is not told here.
    """
    found = [_found(each) for each in rule.derivations if isinstance(each, LookUp)]
    return AllOf((*rule.requirement.parts, *found))


def _found(look_up: LookUp) -> FactTest:
    keys = tuple(key for key, row in look_up.table.rows.items() if look_up.take in row.cells)
    return FactTest(look_up.by, Test.ONE_OF, look_up.at, keys)


def regions_of_rules(knowledge: KnowledgeBase, *rules: Rule, ways: Sequence[Tests] = ()) -> Regions | None:
    """The regions that rules (and ways to bring them about) tell apart; None where those are too many to look at."""
    parts: list[AllOf | None] = [AllOf(way) for way in ways]
    for rule in rules:
        parts += [firing(rule), rule.unless]
    try:
        return regions_of(knowledge.facts, *parts)
    except TooManyStates:
        return None


def excepted(regions: Regions, rule: Rule) -> list[Box]:
    """The boxes in which a rule's exception holds."""
    return [] if rule.unless is None else regions.boxes(rule.unless)


def is_within(knowledge: KnowledgeBase, inner: Rule, outer: Rule) -> bool:
    """Whether the outer rule fires wherever the inner one does, exceptions and derivations taken in.

    A formula of the outer rule that the inner does not run could have no result; then there is no telling.
    """
    own = {each.formula.id for each in inner.derivations if isinstance(each, Computation)}
    if any(isinstance(each, Computation) and each.formula.id not in own for each in outer.derivations):
        return False
    ways = grounded(knowledge, firing(inner))
    regions = regions_of_rules(knowledge, inner, outer, ways=ways)
    if regions is None:
        return False
    boxes = regions.boxes(firing(outer))
    silent = excepted(regions, inner)
    holes = excepted(regions, outer)
    for way in ways:
        box = regions.box(way)
        if box is None:
            continue
        if not regions.covers([*boxes, *silent], box):
            return False
        met = [cut for hole in holes if (cut := regions.meet(box, hole)) is not None]
        if not all(regions.covers(silent, cut) for cut in met):
            return False
    return bool(ways)


def meeting(
    knowledge: KnowledgeBase, one: Rule, other: Rule, set_aside_by: Sequence[Rule] = ()
) -> Iterator[tuple[Regions, Box]]:
    """The boxes in which two rules both fire, neither excepted nor always set aside by one of these others.

    A rule that is itself excepted or set aside somewhere is not counted on to set another aside.
    """
    firm = [rule for rule in set_aside_by if rule.unless is None]
    first, second = grounded(knowledge, firing(one)), grounded(knowledge, firing(other))
    regions = regions_of_rules(knowledge, one, other, *firm, ways=[*first, *second])
    if regions is None:
        return
    holes = [*excepted(regions, one), *excepted(regions, other)]
    holes += [box for rule in firm for box in regions.boxes(firing(rule))]
    for way in first:
        for more in second:
            both = (*way, *more)
            box = regions.box(both)
            if box is not None and not regions.covers(holes, box) and can_be_ordered(both, knowledge.facts):
                yield regions, box
