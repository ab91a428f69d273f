"""Conditions in plain words, in the reader's units."""

from __future__ import annotations

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_engine.authored_conditions import read_conditions
from sideplate_engine.condition_words import conditions_in_words
from sideplate_engine.yaml_tree import read_tree


@pytest.mark.parametrize(
    ("condition", "words"),
    [
        ("bolt.size: M6", ["bolt.size is M6"]),
        ("bolt.greased: no", ["bolt.greased is no"]),
        ("bolt.marks: rust", ["bolt.marks includes rust"]),
        ("bolt.size: {one of: [M4, M6, M8]}", ["bolt.size is M4, M6 or M8"]),
        ("bolt.marks: {one of: [rust, bent]}", ["bolt.marks includes rust or bent"]),
        ("bolt.size: {none of: [M4, M6]}", ["bolt.size is none of M4 and M6"]),
        ("bolt.marks: {none of: [rust, bent]}", ["bolt.marks includes none of rust and bent"]),
        (
            "bolt.length: {above: 1 in, at most: 50 mm}",
            ["bolt.length is above 25.4 mm", "bolt.length is at most 50.0 mm"],
        ),
        ("bolt.turns: {at least: 3}", ["bolt.turns is at least 3"]),
        ("bolt.length: {within: [10 mm, 20 mm]}", ["bolt.length is within 10.0 mm to 20.0 mm"]),
        ("bolt.length: {outside: [10 mm, 20 mm]}", ["bolt.length is outside 10.0 mm to 20.0 mm"]),
        ("bolt.size: {same as: nut.size}", ["bolt.size is the same as nut.size"]),
        ("bolt.size: {differs from: nut.size}", ["bolt.size differs from nut.size"]),
        ("bolt.length: {below fact: bolt.grip}", ["bolt.length is less than bolt.grip"]),
        ("bolt.turns: {at most fact: bolt.nuts}", ["bolt.turns is at most bolt.nuts"]),
        ("bolt.turns: known", ["bolt.turns is known"]),
        ("bolt.turns: unknown", ["bolt.turns is not known"]),
        (
            "any: [{bolt.turns: 3, bolt.nuts: 1}, {bolt.size: M6}]",
            ["either bolt.turns is 3 and bolt.nuts is 1, or bolt.size is M6"],
        ),
    ],
)
def test_every_test_reads_as_a_clause(bolts: KnowledgeBase, condition: str, words: list[str]) -> None:
    tree, _ = read_tree(condition, "f")
    read, _ = read_conditions(tree, bolts.facts)
    assert conditions_in_words(read, bolts.facts) == words


def test_limits_are_told_in_the_readers_units(bolts: KnowledgeBase) -> None:
    tree, _ = read_tree("bolt.length: {above: 1 in}", "f")
    read, _ = read_conditions(tree, bolts.facts)
    assert conditions_in_words(read, bolts.facts, "us") == ["bolt.length is above 1.000 in"]
