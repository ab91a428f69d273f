"""What may still become of a test: never denied wrongly, and never claimed to be certain wrongly."""

from __future__ import annotations

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_engine.authored_conditions import read_conditions
from sideplate_engine.outlook import (
    ANYTHING,
    NEVER,
    Outlook,
    Prospect,
    askable_outlook,
    prospect_of_all,
    settled,
)
from sideplate_engine.yaml_tree import read_tree

NO = Prospect(may=False, must=False)
MAYBE = Prospect(may=True, must=False)
YES = Prospect(may=True, must=True)

ONE_OR_TWO = Outlook(frozenset({1.0, 2.0}), may_be_absent=False)
ONE_OR_NONE = Outlook(frozenset({1.0}), may_be_absent=True)


def prospect(bolts: KnowledgeBase, conditions: str, **outlooks: Outlook) -> Prospect:
    tree, _ = read_tree(conditions, "here")
    read, findings = read_conditions(tree, bolts.facts)
    assert not findings
    named = {name.replace("__", "."): outlook for name, outlook in outlooks.items()}
    return prospect_of_all(read, named, bolts.facts)


@pytest.mark.parametrize(
    ("condition", "outlook", "expected"),
    [
        ("{above: 3 mm}", ANYTHING, MAYBE),
        ("{above: 3 mm}", NEVER, NO),
        ("{above: 3 mm}", settled(4.0), YES),
        ("{above: 3 mm}", settled(2.0), NO),
        ("{above: 1.5 mm}", ONE_OR_TWO, MAYBE),
        ("{at least: 1 mm}", ONE_OR_TWO, YES),
        ("{at least: 1 mm}", ONE_OR_NONE, MAYBE),
        ("{above: 3 mm}", ONE_OR_TWO, NO),
        ("known", ANYTHING, MAYBE),
        ("known", NEVER, NO),
        ("known", ONE_OR_TWO, YES),
        ("known", ONE_OR_NONE, MAYBE),
        ("unknown", ANYTHING, MAYBE),
        ("unknown", NEVER, YES),
        ("unknown", ONE_OR_TWO, NO),
        ("unknown", ONE_OR_NONE, MAYBE),
    ],
)
def test_a_test_holds_for_certain_only_where_every_value_makes_it_hold(
    bolts: KnowledgeBase, condition: str, outlook: Outlook, expected: Prospect
) -> None:
    assert prospect(bolts, f"bolt.length: {condition}", bolt__length=outlook) == expected


def test_two_facts_are_compared_in_every_combination(bolts: KnowledgeBase) -> None:
    inch = settled(1.0)  # bolt.grip is stored in inches
    assert (
        prospect(bolts, "bolt.length: {below fact: bolt.grip}", bolt__length=ONE_OR_TWO, bolt__grip=inch)
        == YES
    )
    some = Outlook(frozenset({1.0, 30.0}), may_be_absent=False)
    assert (
        prospect(bolts, "bolt.length: {below fact: bolt.grip}", bolt__length=some, bolt__grip=inch) == MAYBE
    )
    assert prospect(bolts, "bolt.length: {below fact: bolt.grip}", bolt__length=some) == NO
    assert (
        prospect(bolts, "bolt.length: {below fact: bolt.grip}", bolt__length=ANYTHING, bolt__grip=inch)
        == MAYBE
    )


def test_many_combinations_count_as_any(bolts: KnowledgeBase) -> None:
    many = Outlook(frozenset(float(number) for number in range(1, 12)), may_be_absent=False)
    assert (
        prospect(bolts, "bolt.length: {below fact: bolt.grip}", bolt__length=many, bolt__grip=many) == MAYBE
    )


def test_branches_of_an_any_may_each_hold(bolts: KnowledgeBase) -> None:
    either = "any: [{bolt.length: {above: 3 mm}}, {bolt.greased: yes}]"
    assert prospect(bolts, either, bolt__length=NEVER, bolt__greased=ANYTHING) == MAYBE
    assert prospect(bolts, either, bolt__length=NEVER, bolt__greased=settled(True)) == YES
    assert prospect(bolts, either) == NO
    assert prospect(bolts, f"{either}\nnut.size: M4", bolt__greased=settled(True)) == NO


def test_a_choice_that_can_be_asked_for_has_only_its_choices(bolts: KnowledgeBase) -> None:
    finish = askable_outlook(bolts.facts["bolt.finish"], frozenset({"bare"}))
    assert finish == Outlook(frozenset({"plated", "painted"}), may_be_absent=True)
    assert prospect(bolts, "bolt.finish: bare", bolt__finish=finish) == NO
    assert prospect(bolts, "bolt.finish: plated", bolt__finish=finish) == MAYBE
    greased = askable_outlook(bolts.facts["bolt.greased"], frozenset({True, False}))
    assert greased == NEVER
    for name in ("bolt.length", "bolt.marks", "bolt.size"):
        assert askable_outlook(bolts.facts[name], frozenset()) == ANYTHING
