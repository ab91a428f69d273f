"""Boxes of states: what conditions admit, meet and cover, checked against trying every combination of states."""

from __future__ import annotations

from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from sideplate_engine import KnowledgeBase
from sideplate_engine.authored_conditions import AllOf, AnyOf, FactTest, Test, read_conditions
from sideplate_engine.authored_reading import read_conditions_of
from sideplate_engine.condition_regions import Regions, regions_of
from sideplate_engine.findings import Position
from sideplate_engine.plain_reading import Truth
from sideplate_engine.vocabulary import Value
from sideplate_engine.yaml_tree import read_tree

AT = Position("here")


def conditions(bolts: KnowledgeBase, written: str) -> AllOf:
    tree, _ = read_tree(f"{{{written}}}", "here")
    read, findings = read_conditions(tree, bolts.facts)
    assert not findings
    return read


def covers(bolts: KnowledgeBase, inner: str, *outer: str) -> bool:
    """Whether what the inner conditions admit lies in what one or another of the outer ones do."""
    whole = conditions(bolts, inner)
    parts = [conditions(bolts, written) for written in outer]
    regions = regions_of(bolts.facts, whole, *parts)
    boxes = [box for part in parts for box in regions.boxes(part)]
    return all(regions.covers(boxes, box) for box in regions.boxes(whole))


def test_limits_that_exclude_each_other_admit_nothing(bolts: KnowledgeBase) -> None:
    regions = regions_of(bolts.facts, read := conditions(bolts, "bolt.length: {above: 60 mm, below: 50 mm}"))
    assert regions.boxes(read) == []


def test_two_overlapping_stretches_cover_a_longer_one(bolts: KnowledgeBase) -> None:
    long = "bolt.length: {within: [10 mm, 90 mm]}"
    assert covers(bolts, long, "bolt.length: {at most: 50 mm}", "bolt.length: {above: 50 mm}")
    assert not covers(bolts, long, "bolt.length: {below: 50 mm}", "bolt.length: {above: 50 mm}")


def test_a_cover_may_need_to_be_split_along_two_facts(bolts: KnowledgeBase) -> None:
    assert covers(
        bolts,
        "bolt.greased: known, bolt.finish: known",
        "bolt.greased: yes",
        "bolt.greased: no, bolt.finish: bare",
        "bolt.finish: {one of: [plated, painted]}",
    )
    assert not covers(
        bolts,
        "bolt.greased: known, bolt.finish: known",
        "bolt.greased: yes",
        "bolt.greased: no, bolt.finish: bare",
        "bolt.finish: plated",
    )


def test_a_fact_that_may_be_missing_is_not_covered_by_tests_of_its_value(bolts: KnowledgeBase) -> None:
    assert not covers(bolts, "bolt.size: known", "bolt.size: known, bolt.greased: yes", "bolt.greased: no")
    assert covers(bolts, "bolt.size: known", "bolt.greased: known", "bolt.greased: unknown")


def test_comparisons_of_two_facts_are_read_from_either_side(bolts: KnowledgeBase) -> None:
    assert covers(bolts, "bolt.length: {above fact: bolt.grip}", "bolt.grip: {below fact: bolt.length}")
    assert covers(bolts, "bolt.length: {same as: bolt.grip}", "bolt.grip: {at least fact: bolt.length}")
    assert not covers(
        bolts, "bolt.length: {at least fact: bolt.grip}", "bolt.grip: {below fact: bolt.length}"
    )
    assert covers(bolts, "bolt.size: {differs from: nut.size}", "bolt.size: known, nut.size: known")


FACTS: dict[str, list[FactTest]] = {
    "bolt.turns": [
        FactTest("bolt.turns", test, AT, (value,))
        for test in (Test.ABOVE, Test.AT_MOST, Test.EQUALS)
        for value in (3, 4, 7)
    ],
    "bolt.finish": [
        FactTest("bolt.finish", Test.ONE_OF, AT, ("bare", "plated")),
        FactTest("bolt.finish", Test.NONE_OF, AT, ("bare",)),
        FactTest("bolt.finish", Test.UNKNOWN, AT),
    ],
    "bolt.marks": [
        FactTest("bolt.marks", Test.ONE_OF, AT, ("rust", "bent")),
        FactTest("bolt.marks", Test.NONE_OF, AT, ("bent",)),
    ],
}
tests = st.sampled_from([test for of_fact in FACTS.values() for test in of_fact])
all_of = st.lists(tests, min_size=1, max_size=3).map(lambda parts: AllOf(tuple(parts)))
with_any = st.builds(
    lambda parts, one, other: AllOf((*parts.parts, AnyOf((one, other), AT))), all_of, all_of, all_of
)


def holds(bolts: KnowledgeBase, of: AllOf, facts: dict[str, Value]) -> bool:
    return read_conditions_of(of, facts, bolts.facts).truth is Truth.TRUE


@settings(max_examples=150)
@given(inner=with_any, outer=with_any)
def test_covering_is_what_trying_every_combination_of_states_shows(
    bolts: KnowledgeBase, inner: AllOf, outer: AllOf
) -> None:
    regions: Regions = regions_of(bolts.facts, inner, outer)
    boxes = regions.boxes(outer)
    found = all(regions.covers(boxes, box) for box in regions.boxes(inner))
    expected = True
    for values in product(*regions.states.values()):
        facts = {name: value for name, value in zip(regions.states, values, strict=True) if value is not None}
        if holds(bolts, inner, facts) and not holds(bolts, outer, facts):
            expected = False
    assert found is expected
