"""Texts with places: values and quantities are put in, in the reader's own units."""

from __future__ import annotations

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_engine.texts import TextRefused, read_template
from sideplate_engine.vocabulary import Value

FACTS: dict[str, Value] = {
    "bolt.length": 25.4,
    "bolt.marks": frozenset({"rust", "bent"}),
    "bolt.greased": True,
}


@pytest.mark.parametrize(
    ("text", "metric", "us"),
    [
        ("plain words", "plain words", "plain words"),
        ("over\n  two   lines", "over two lines", "over two lines"),
        ("It is {bolt.length} long.", "It is 25.4 mm long.", "It is 1.000 in long."),
        ("{bolt.marks}; {bolt.greased}", "rust and bent; yes", "rust and bent; yes"),
        ("Leave {12 mm} to {0.5 in}.", "Leave 12 mm to 0.5 in.", "Leave 0.472 in to 0.5 in."),
        ("At { 5 kN } and {60 km/h}.", "At 5 kN and 60 km/h.", "At 1124 lbf and 37 mph."),
        ("{1/4 in} and {1 1/2 mm}", "1/4 in and 1 1/2 mm", "1/4 in and 0.059 in"),
        ("Every {1000 km}, {2.5 kg}", "Every 1000 km, 2.5 kg", "Every 621 mi, 5.5 lb"),
        ("{2 %} more", "2 % more", "2 % more"),
        ("Unknown: {bolt.size}.", "Unknown: [bolt.size].", "Unknown: [bolt.size]."),
    ],
)
def test_places_are_filled(bolts: KnowledgeBase, text: str, metric: str, us: str) -> None:
    template = read_template(text, bolts.facts)
    assert template.fill(FACTS, bolts.facts, "metric") == metric
    assert template.fill(FACTS, bolts.facts, "us") == us


def test_a_text_names_the_facts_it_puts_in_once_each(bolts: KnowledgeBase) -> None:
    template = read_template("{bolt.size} {bolt.length} {1 mm} {bolt.size}", bolts.facts)
    assert template.facts() == ("bolt.size", "bolt.length")


@pytest.mark.parametrize(
    ("text", "message", "name"),
    [
        ("{bolt.lenght}", "{bolt.lenght} names no fact; did you mean bolt.length?", "bolt.lenght"),
        ("{value}", "{value} names no fact", "value"),
        ("{}", "{} names no fact", ""),
        ("{12 furlongs}",
         '{12 furlongs} is neither a fact nor a quantity: "furlongs" is not a unit Sideplate knows', ""),
        ("a } b", "a brace stands alone; write {fact.name} or {12 mm}", ""),
        ("{{12 mm}}", "a brace stands alone; write {fact.name} or {12 mm}", ""),
    ],
)  # fmt: skip
def test_a_place_that_can_hold_nothing_is_refused(
    bolts: KnowledgeBase, text: str, message: str, name: str
) -> None:
    with pytest.raises(TextRefused) as caught:
        read_template(text, bolts.facts)
    assert (str(caught.value), caught.value.name) == (message, name)
