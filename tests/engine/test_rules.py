"""Rules as written: what one must hold, facts nested or dotted, examples, and each slip told once."""

from __future__ import annotations

from typing import Any

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_engine.rules import Rule, read_facts, read_rule
from sideplate_engine.vocabulary import Value
from sideplate_engine.yaml_tree import read_tree
from support.small_knowledge import rule

WHEN = {"when": "bolt.size: M6"}


def read(bolts: KnowledgeBase, text: str, stem: str = "it") -> tuple[Rule | None, list[str]]:
    tree, _ = read_tree(text, "f")
    assert tree is not None
    found, findings = read_rule(tree, "fitting", stem, bolts.facts, bolts.tables, bolts.formulas)
    assert (found is None) == bool(findings)
    return found, [f"{f.at.line}:{f.at.column} {f.code}: {f.message}" for f in findings]


def text_of(**keys: str) -> str:
    (text,) = rule("it", **keys).values()
    return text


def test_a_rule_reads_every_fact_it_looks_at_once(bolts: KnowledgeBase) -> None:
    text = text_of(
        when="bolt.turns: {above: 3}",
        unless="bolt.greased: yes\nbolt.turns: 100",
        derive="bolt.travel: {formula: travel}",
    )
    it, _ = read(bolts, text)
    assert it is not None
    assert not it.is_ruling
    assert it.reads() == ("bolt.turns", "bolt.pitch", "bolt.greased")
    assert it.derives() == ("bolt.travel",)
    assert [test.fact for test in it.conditions.tests()] == ["bolt.turns"]
    assert [test.fact for test in it.requirement.tests()] == ["bolt.turns", "bolt.pitch"]


def test_an_input_tested_only_on_one_branch_is_required_all_the_same(bolts: KnowledgeBase) -> None:
    text = text_of(
        when="any: [{bolt.turns: 3}, {bolt.greased: yes}]", derive="bolt.travel: {formula: travel}"
    )
    it, _ = read(bolts, text)
    assert it is not None
    for branch in it.requirement.spread():
        assert {"bolt.turns", "bolt.pitch"} <= {test.fact for test in branch}


def test_an_empty_exception_is_none(bolts: KnowledgeBase) -> None:
    it, _ = read(bolts, text_of(**WHEN, unless="{}"))
    assert it is not None
    assert it.unless is None


@pytest.mark.parametrize(
    ("keys", "lines"),
    [
        ({**WHEN, "derive": "bolt.ready: yes", "ruling": "must", "if_ignored": "x"},
         ["11:1 no-outcome: a rule either gives a `ruling` or has `derive`, not both and not neither"]),
        ({**WHEN, "ruling": "must not", "instead": ""}, ["10:1 empty: `instead` is empty"]),
        ({**WHEN, "because": "{kind: safety, text: t}"},
         ["5:1 no-caution: a rule whose reason is safety names a `caution`"]),
        ({}, ["1:1 no-conditions: a ruling needs conditions under `when`"]),
        ({"when": "{}"}, ["1:1 no-conditions: a ruling needs conditions under `when`"]),
        ({"when": "bolt.sise: M6"}, ["8:3 unknown-fact: no fact is called bolt.sise; did you mean bolt.size?"]),
        ({**WHEN, "unless": "bolt.sise: M6"},
         ["10:3 unknown-fact: no fact is called bolt.sise; did you mean bolt.size?"]),
        ({**WHEN, "says": "Look at {bolt.sise}."},
         ["4:1 unknown-placeholder: `says`: {bolt.sise} names no fact; did you mean bolt.size?"]),
        ({**WHEN, "because": "{kind: cause, text: 'a } b'}"},
         ["5:24 unknown-placeholder: `because`: a brace stands alone; write {fact.name} or {12 mm}"]),
        ({**WHEN, "caveat": "x"},
         ["9:1 unknown-key: no key is called `caveat` here; the keys are id, title, status, when, unless, derive, "
          "ruling, about, says, instead, because, if_ignored, sources, caution, overrides, replaces, family, since, "
          "ignore and examples"]),
        ({"derive": "{}"}, ["7:9 wrong-shape: `derive` is a mapping of facts to where they come from"]),
        ({**WHEN, "examples": "[{name: a, given: {}, expect: quiet}, {name: a, given: {}, expect: quiet}]"},
         ["9:49 repeated-example: two examples are called 'a'"]),
        ({**WHEN, "examples": "[{name: a, given: {}, expect: open}]"},
         ["9:12 wrong-example: `missing` lists the facts an open example lacks, and goes with `expect: open` only"]),
        ({**WHEN, "examples": "[{name: a, given: {}, expect: quiet, missing: [bolt.size]}]"},
         ["9:12 wrong-example: `missing` lists the facts an open example lacks, and goes with `expect: open` only"]),
        ({**WHEN, "examples": "[{name: a, given: {}, expect: open, missing: [bolt.sise]}]"},
         ["9:47 unknown-fact: no fact is called bolt.sise; did you mean bolt.size?"]),
        ({**WHEN, "examples": "[{name: a, given: {bolt.turns: 0}, expect: quiet}]"},
         ["9:42 wrong-value: bolt.turns: 0 cannot be: bolt.turns lies between 1 and 100"]),
        ({**WHEN, "examples": "[{name: a, given: {}, expect: quiet, derives: {bolt.travel: [1]}}]"},
         ["9:71 wrong-value: bolt.travel takes one value, not a list"]),
    ],
)  # fmt: skip
def test_a_slip_in_a_rule_is_told_once_where_it_stands(
    bolts: KnowledgeBase, keys: dict[str, str], lines: list[str]
) -> None:
    assert read(bolts, text_of(**keys)) == (None, lines)


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ("instead: Take another.\n", "", "9:1 no-instead: `must not` needs `instead`: say what to do in place of it"),
        ("if_ignored: It comes loose.\n", "", "9:1 unexplained: a ruling needs `if_ignored`: say what breaks or hurts"),
        ("ruling: must not\n", "",
         "1:1 no-outcome: a rule either gives a `ruling` or has `derive`, not both and not neither"),
    ],
)  # fmt: skip
def test_a_ruling_lacks_nothing(bolts: KnowledgeBase, old: str, new: str, line: str) -> None:
    text = text_of(**WHEN, ruling="must not")
    assert old in text
    assert read(bolts, text.replace(old, new)) == (None, [line])


def test_may_needs_no_consequence(bolts: KnowledgeBase) -> None:
    text = text_of(**WHEN, ruling="may").replace("if_ignored: It comes loose.\n", "")
    assert read(bolts, text)[0] is not None


def test_the_id_is_the_name_of_the_file(bolts: KnowledgeBase) -> None:
    line = "1:1 id-differs-from-file: the id is it but the file is called that; they must be the same"
    assert read(bolts, text_of(**WHEN), "that") == (None, [line])


def test_an_example_may_state_what_a_set_comes_to(bolts: KnowledgeBase) -> None:
    example = "[{name: a, given: {}, expect: fires, derives: {bolt.marks: [rust, bent]}}]"
    it, _ = read(bolts, text_of(derive="bolt.marks: [rust, bent]", examples=example))
    assert it is not None
    assert it.examples[0].derives == {"bolt.marks": frozenset({"rust", "bent"})}


@pytest.mark.parametrize(
    ("text", "facts"),
    [
        ("{bolt.size: M6, bolt.turns: 3}", {"bolt.size": "M6", "bolt.turns": 3}),
        (
            "{bolt: {size: M6, turns: 3}, nut.size: M4}",
            {"bolt.size": "M6", "bolt.turns": 3, "nut.size": "M4"},
        ),
        ("{bolt.marks: rust}", {"bolt.marks": frozenset({"rust"})}),
        ("{bolt.marks: []}", {"bolt.marks": frozenset()}),
        ("{bolt.travel: 5 mm}", {"bolt.travel": 5.0}),  # a derived fact may be stated
    ],
)
def test_nested_facts_are_the_same_as_dotted_ones(
    bolts: KnowledgeBase, text: str, facts: dict[str, Value]
) -> None:
    tree, _ = read_tree(text, "f")
    assert tree is not None
    assert read_facts(tree, bolts.facts) == (facts, [])


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("[bolt.size]", "1:1 wrong-shape: facts are a mapping of names to values"),
        ("{bolt: {sise: M6}}", "1:9 unknown-fact: no fact is called bolt.sise; did you mean bolt.size?"),
        ("{blot: {size: M6}}", "1:2 unknown-fact: no fact's name begins with blot; did you mean bolt?"),
        ("{bolt: M6}", "1:2 unknown-fact: no fact is called bolt"),
        ("{bolt.size: M6, bolt: {size: M6}}", "1:24 repeated-fact: bolt.size is stated twice"),
        ("{bolt.size: {a: b}}", "1:13 wrong-value: bolt.size takes a plain value here"),
        ("{bolt.size: [M4, M6]}", "1:13 wrong-value: bolt.size takes one value, not a list"),
        ("{bolt.marks: [rust, bend]}",
         "1:21 wrong-value: bolt.marks: 'bend' is not rust, bent or stretched; did you mean bent?"),
        ("{bolt.marks: [[rust]]}", "1:15 wrong-value: bolt.marks takes a plain value here"),
    ],
)  # fmt: skip
def test_a_slip_in_the_facts_is_told_once(bolts: KnowledgeBase, text: str, line: str) -> None:
    tree, _ = read_tree(text, "f")
    assert tree is not None
    _, findings = read_facts(tree, bolts.facts)
    assert [f"{f.at.line}:{f.at.column} {f.code}: {f.message}" for f in findings] == [line]


@pytest.mark.parametrize("facts", [
    "{" + ", ".join(f"bolt.x{n}: 1" for n in range(500)) + "}",
    "{bolt.marks: [" + ", ".join(f"x{n}" for n in range(500)) + "]}",
])  # fmt: skip
def test_of_very_many_slips_a_hundred_are_told(bolts: KnowledgeBase, facts: Any) -> None:
    tree, _ = read_tree(facts, "f")
    assert tree is not None
    _, findings = read_facts(tree, bolts.facts)
    assert (len(findings), findings[-1].code) == (101, "too-many-findings")
