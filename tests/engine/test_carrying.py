"""Facts in the terms of another vocabulary: converted where that can be, left out where it cannot."""

from __future__ import annotations

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_engine.carrying import carried
from sideplate_engine.vocabulary import Fact, Value
from support.small_knowledge import VOCABULARY, LoadWith


def changed(loaded_of: LoadWith, old: str, new: str) -> dict[str, Fact]:
    assert old in VOCABULARY
    loaded = loaded_of(
        {"vocabulary/bolt.yaml": VOCABULARY.replace(old, new, 1), "formulas/travel.yaml": "x: y"}
    )
    return dict(loaded.knowledge.facts)


@pytest.mark.parametrize(
    ("old", "new", "name", "value", "there"),
    [
        ("unit: mm\n  possible: [1 mm, 500 mm]\n  usual: [5 mm, 200 mm]", "unit: in", "bolt.length", 25.4, 1.0),
        ("unit: mm\n  possible: [1 mm, 500 mm]\n  usual: [5 mm, 200 mm]", "unit: kg", "bolt.length", 25.4, None),
        ("bare: No coat., ", "", "bolt.finish", "bare", None),
        ("bare: No coat., ", "", "bolt.finish", "plated", "plated"),
        ("rust: Red dust., ", "", "bolt.marks", frozenset({"rust", "bent"}), frozenset({"bent"})),
        ("bolt.code:", "bolt.codes:", "bolt.code", "VX", None),
        ("kind: count\n  means: Nuts on it.", "kind: flag\n  means: Nuts on it.", "bolt.nuts", 2, None),
    ],
)  # fmt: skip
def test_a_value_is_carried_or_left_out(
    bolts: KnowledgeBase,
    loaded_of: LoadWith,
    old: str,
    new: str,
    name: str,
    value: Value,
    there: Value | None,
) -> None:
    target = changed(loaded_of, old, new)
    assert carried({name: value}, bolts.facts, target) == ({} if there is None else {name: there})


def test_facts_of_the_same_vocabulary_are_carried_as_they_are(bolts: KnowledgeBase) -> None:
    facts: dict[str, Value] = {"bolt.length": 12.0, "bolt.marks": frozenset(), "bolt.greased": False}
    assert carried(facts, bolts.facts, bolts.facts) == facts
