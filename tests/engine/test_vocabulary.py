"""Facts: what their values may look like, what is refused and how, how values compare and are shown."""

from __future__ import annotations

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_engine.vocabulary import Value, ValueRefused, in_unit_of, same_kind, to_json
from sideplate_engine.vocabulary_reading import read_vocabulary
from sideplate_engine.yaml_tree import read_tree


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("bolt.size", " m6 ", "M6"),
        ("bolt.size", "0125", "0125"),
        ("bolt.size", "a   b", "A B"),
        ("bolt.length", "1 1/2 in", 38.1),
        ("bolt.length", '5/8"', 15.875),
        ("bolt.grip", "25.4 mm", 1.0),
        ("bolt.turns", "007", 7),
        ("bolt.finish", "  Plated ", "plated"),
        ("bolt.greased", "Yes", True),
        ("bolt.greased", "no", False),
    ],
)
def test_a_value_is_read_as_its_fact_takes_it(
    bolts: KnowledgeBase, name: str, text: str, value: Value
) -> None:
    assert bolts.facts[name].read_element(text) == value


@pytest.mark.parametrize(
    ("name", "text", "message"),
    [
        ("bolt.size", "  ", "nothing is written here; leave the fact out if it is not known"),
        ("bolt.size", "x" * 201, "a value has at most 200 characters"),
        ("bolt.size", "M6\x1b[31m", "a character that cannot be seen stands in it; type the value anew"),
        ("bolt.length", "20", '"20" has no unit; write it as 20 mm or 0.787 in'),
        ("bolt.length", "20 kg", '"20 kg" is a mass; a length is wanted, such as 620 mm'),
        ("bolt.length", "0.5 mm", "0.5 mm cannot be: bolt.length lies between 1.0 mm and 500.0 mm"),
        ("bolt.turns", "2.5", "write a whole number, not '2.5'"),
        ("bolt.turns", "-2", "write a whole number, not '-2'"),
        ("bolt.turns", "101", "101 cannot be: bolt.turns lies between 1 and 100"),
        ("bolt.turns", "1234567890", "write a whole number, not '1234567890'"),
        ("bolt.finish", "platd", "'platd' is not bare, plated or painted; did you mean plated?"),
        ("bolt.finish", "chrome", "'chrome' is not bare, plated or painted"),
        ("bolt.greased", "true", "write yes or no, not 'true'"),
    ],
)
def test_what_is_no_value_is_refused_with_what_to_write_instead(
    bolts: KnowledgeBase, name: str, text: str, message: str
) -> None:
    with pytest.raises(ValueRefused) as caught:
        bolts.facts[name].read_element(text)
    assert str(caught.value) == message


def test_the_ends_of_the_possible_range_are_possible(bolts: KnowledgeBase) -> None:
    fact = bolts.facts["bolt.length"]
    assert [fact.read_element(text) for text in ("1 mm", "50 cm")] == [1.0, 500.0]


@pytest.mark.parametrize(
    ("name", "one", "other", "agree"),
    [
        ("bolt.pitch", 1.0, 1.05, True),  # within `agree`
        ("bolt.pitch", 1.0, 1.051, False),
        ("bolt.length", 100.0, 100.5, True),  # within half a per cent of the larger
        ("bolt.length", 100.0, 100.6, False),
        ("bolt.turns", 10, 11, False),
        ("bolt.size", "M4", "M6", False),
        ("bolt.greased", True, True, True),
        ("bolt.marks", frozenset({"rust"}), frozenset({"rust"}), True),
    ],
)
def test_two_values_agree_within_what_measuring_allows(
    bolts: KnowledgeBase, name: str, one: Value, other: Value, agree: bool
) -> None:
    assert bolts.facts[name].agrees(one, other) is agree
    assert bolts.facts[name].agrees(other, one) is agree


@pytest.mark.parametrize(
    ("name", "value", "metric", "us"),
    [
        ("bolt.length", 25.4, "25.4 mm", "1.000 in"),
        ("bolt.turns", 12, "12", "12"),
        ("bolt.size", "M6", "M6", "M6"),
        ("bolt.greased", False, "no", "no"),
        ("bolt.marks", frozenset({"stretched", "rust"}), "rust and stretched", "rust and stretched"),
        ("bolt.marks", frozenset(), "none", "none"),
        ("bolt.tags", frozenset({"B", "A"}), "A and B", "A and B"),
    ],
)
def test_a_value_is_shown_in_the_readers_units(
    bolts: KnowledgeBase, name: str, value: Value, metric: str, us: str
) -> None:
    assert (bolts.facts[name].show(value), bolts.facts[name].show(value, "us")) == (metric, us)


def test_a_fact_and_its_value_make_a_sentence(bolts: KnowledgeBase) -> None:
    facts = bolts.facts
    assert facts["bolt.length"].tell(25.4, "us") == "It is 1.000 in long."
    assert [facts["bolt.greased"].tell(answer) for answer in (True, False)] == [
        "It is greased.",
        "It is dry.",
    ]


def test_only_what_is_outside_the_usual_range_is_unusual(bolts: KnowledgeBase) -> None:
    length = bolts.facts["bolt.length"]
    assert [length.is_unusual(value) for value in (4.9, 5.0, 200.0, 200.1)] == [True, False, False, True]
    assert not bolts.facts["bolt.turns"].is_unusual(100)


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [
        ("bolt.length", "bolt.grip", True),
        ("bolt.length", "bolt.strength", False),
        ("bolt.turns", "bolt.nuts", True),
        ("bolt.turns", "bolt.length", False),
        ("bolt.size", "nut.size", True),
        ("bolt.finish", "bolt.verdict", False),
        ("bolt.marks", "bolt.marks", False),
    ],
)
def test_only_facts_of_one_kind_and_dimension_can_be_compared(
    bolts: KnowledgeBase, one: str, other: str, alike: bool
) -> None:
    assert same_kind(bolts.facts[one], bolts.facts[other]) is alike


def test_a_value_moves_between_the_units_of_two_facts(bolts: KnowledgeBase) -> None:
    assert in_unit_of(1.0, bolts.facts["bolt.grip"], bolts.facts["bolt.length"]) == 25.4
    assert in_unit_of(3, bolts.facts["bolt.turns"], bolts.facts["bolt.nuts"]) == 3


def test_json_holds_a_set_as_a_sorted_list() -> None:
    assert to_json(frozenset({"rust", "bent"})) == ["bent", "rust"]


ASKED = "means: m, ask: 'a?', says: 'It is {value}.'"


@pytest.mark.parametrize(
    ("entry", "message"),
    [
        (f"{{kind: quantity, {ASKED}}}", "a quantity has a `unit`, and nothing else has"),
        (f"{{kind: count, unit: mm, {ASKED}}}", "a quantity has a `unit`, and nothing else has"),
        (f"{{kind: quantity, unit: furlong, {ASKED}}}", '"furlong" is not a unit Sideplate knows'),
        (f"{{kind: choice, {ASKED}}}", "a choice has `choices`, and nothing else has"),
        (f"{{kind: count, many: yes, {ASKED}}}", "only a choice or a code can be `many`"),
        (f"{{kind: code, possible: [a, b], {ASKED}}}", "`possible` belongs to a quantity or a count"),
        (f"{{kind: count, agree: '1', {ASKED}}}", "`agree` belongs to a quantity"),
        (f"{{kind: code, decimals: '1', {ASKED}}}", "`decimals` belongs to a quantity"),
        ("{kind: code, means: m, says: '{value}'}", "a fact that can be given has `ask` and `says`"),
        (
            "{kind: flag, means: m, ask: a, says: {yes: it is}}",
            "a flag says one sentence for yes and one for no; other kinds one with {value}",
        ),
        (
            "{kind: code, means: m, ask: a, says: it is}",
            "a flag says one sentence for yes and one for no; other kinds one with {value}",
        ),
        (f"{{kind: quantity, unit: mm, possible: [2 mm, 1 mm], {ASKED}}}", "2 mm is more than 1 mm"),
        (
            f"{{kind: quantity, unit: mm, possible: [1 mm, 2], {ASKED}}}",
            '"2" has no unit; write it as 2 mm or 0.0787 in',
        ),
        (
            f"{{kind: quantity, unit: mm, possible: [1 mm, 2 mm], usual: [1 mm, 3 mm], {ASKED}}}",
            "what is usual lies within what is possible",
        ),
        (
            f"{{kind: quantity, unit: mm, agree: 1 kg, {ASKED}}}",
            '"1 kg" is a mass; a length is wanted, such as 620 mm',
        ),
    ],
)
def test_a_vocabulary_entry_that_cannot_be_is_left_out_and_told_once(entry: str, message: str) -> None:
    tree, _ = read_tree(f"a.good: {{kind: code, {ASKED}}}\na.bad: {entry}", "f")
    assert tree is not None
    facts, findings = read_vocabulary(tree)
    assert set(facts) == {"a.good"}
    assert [finding.message for finding in findings] == [message]


def test_a_name_that_is_not_dotted_lower_case_is_refused() -> None:
    tree, _ = read_tree(f"Chain.pitch: {{kind: code, {ASKED}}}", "f")
    assert tree is not None
    _, (finding,) = read_vocabulary(tree)
    assert finding.line() == (
        "f:1:1: error[fact-name]: 'Chain.pitch' is no fact name; write lower-case words, dotted, such as chain.pitch"
    )
