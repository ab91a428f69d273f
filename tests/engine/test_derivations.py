"""Where derived values come from, when there is none, and what is wrong with a `derive:`."""

from __future__ import annotations

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_engine.derivation_reading import read_derivations
from sideplate_engine.vocabulary import Value
from sideplate_engine.yaml_tree import read_tree
from support.small_knowledge import JudgeWith, given, rule

PITCH = "bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}"
STRENGTH = "bolt.strength: {lookup: threads, by: bolt.size, take: strength}"
TRAVEL = "bolt.travel: {formula: travel}"
SHARE = "bolt.share: {formula: share}"
GROWN = """\
id: grown
title: Grown
symbols: {l: {fact: bolt.length, means: l}}
expression: l*1000
gives: {fact: bolt.travel}
basis: practice
sources: [{work: thread-book}]
"""
HALVED = """\
id: halved
title: Half the turns
symbols: {n: {fact: bolt.turns, means: n}}
expression: n/2
gives: {fact: bolt.nuts}
basis: practice
sources: [{work: thread-book}]
"""
BY_LENGTH = """\
id: by-length
title: Finish by length in inches
key: length
columns:
  length: {kind: quantity, unit: in, means: l}
  finish: {kind: choice, choices: {bare: b, plated: p}, means: f}
  huge: {kind: quantity, unit: m, means: h}
rows:
  - {length: 1, finish: plated, huge: 3, sources: [{work: thread-book}], basis: practice}
"""
EXTRA = {
    "formulas/grown.yaml": GROWN,
    "formulas/halved.yaml": HALVED,
    "tables/by-length.yaml": BY_LENGTH,
}


@pytest.mark.parametrize(
    ("derive", "facts", "value"),
    [
        ("bolt.verdict: worn", "", "worn"),
        ("bolt.pitch: 1/2 mm", "", 0.5),
        ("bolt.ready: no", "", False),
        ("bolt.marks: [rust, bent]", "", frozenset({"rust", "bent"})),
        (PITCH, "bolt.size: m6", 1.0),
        (STRENGTH, "bolt.size: M4", 4.0),  # newtons in the table, kilonewtons in the vocabulary
        (TRAVEL, "bolt.turns: 10, bolt.pitch: 0.5 mm", 5.0),
        ("bolt.nuts: {formula: halved}", "bolt.turns: 8", 4),
        ("bolt.finish: {lookup: by-length, by: bolt.length, take: finish}", "bolt.length: 25.4 mm", "plated"),
        ("bolt.length: {fact: bolt.grip}", "bolt.grip: 1 in", 25.4),
        ("nut.size: {fact: bolt.size}", "bolt.size: M6", "M6"),
        ("bolt.nuts: {fact: bolt.turns}", "bolt.turns: 5", 5),
    ],
)
def test_a_derived_value_is_in_its_facts_own_kind_and_unit(
    judge_of: JudgeWith, derive: str, facts: str, value: Value
) -> None:
    judge = judge_of(EXTRA, rule("it", derive=derive))
    outcome = judge.outcome(given(judge, facts))
    name = derive.split(":")[0]
    assert outcome.facts[name] == value
    assert type(outcome.facts[name]) is type(value)
    assert outcome.derived[name].by == ("it",)


@pytest.mark.parametrize(
    ("derive", "facts", "why", "doubtful"),
    [
        (PITCH, "bolt.size: M99", "the table threads has no row for bolt.size M99", True),
        (STRENGTH, "bolt.size: M8", "the table threads has no strength for bolt.size M8", False),
        (
            SHARE,
            "bolt.travel: 20 mm, bolt.length: 20 mm",
            "Travel as a part of the length cannot be computed here: it divides by zero",
            True,
        ),
        (
            "bolt.travel: {formula: grown}",
            "bolt.length: 1 mm",
            "Grown gives 1000.0 mm, which bolt.travel cannot be; look at the facts it reads",
            True,
        ),
        (
            "bolt.pitch: {lookup: by-length, by: bolt.length, take: huge}",
            "bolt.length: 25.4 mm",
            "the table by-length gives 3000.00 mm, which bolt.pitch cannot be; look at the facts it reads",
            True,
        ),
        (
            "bolt.length: {fact: bolt.grip}",
            "bolt.grip: 0 in",
            "bolt.grip, copied, gives 0.0 mm, which bolt.length cannot be; look at the facts it reads",
            True,
        ),
        (
            "bolt.nuts: {formula: halved}",
            "bolt.turns: 7",
            "Half the turns gives 3.5, and bolt.nuts is a whole number",
            True,
        ),
    ],
)
def test_a_derivation_without_a_value_leaves_its_rule_quiet_and_says_why(
    judge_of: JudgeWith, derive: str, facts: str, why: str, doubtful: bool
) -> None:
    judge = judge_of(EXTRA, rule("it", derive=derive))
    outcome = judge.outcome(given(judge, facts))
    assert "it" not in outcome.fired
    assert outcome.derived == {}
    assert outcome.no_value == {"it": why}
    assert outcome.doubts == ((why,) if doubtful else ())


def test_a_rule_of_several_derivations_fires_whole_or_not_at_all(judge_of: JudgeWith) -> None:
    judge = judge_of(rule("it", derive=f"{PITCH}\n{STRENGTH}"))
    assert judge.outcome({"bolt.size": "M6"}).facts == {
        "bolt.size": "M6",
        "bolt.pitch": 1.0,
        "bolt.strength": 9.0,
    }
    assert judge.outcome({"bolt.size": "M8"}).facts == {"bolt.size": "M8"}


def test_what_is_recalled_or_in_a_recalled_row_is_marked(judge_of: JudgeWith) -> None:
    judge = judge_of(rule("pitch", derive=PITCH), rule("strength", derive=STRENGTH))
    recalled = {
        (size, result.fact)
        for size in ("M4", "M6", "M8")
        for results in judge.outcome({"bolt.size": size}).results.values()
        for result in results
        if result.from_memory
    }
    assert recalled == {("M6", "bolt.strength"), ("M8", "bolt.pitch")}


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("[a]", ["1:1 wrong-shape: `derive` is a mapping of facts to where they come from"]),
        ("bolt.travle: 5 mm", ["1:1 unknown-fact: no fact is called bolt.travle; did you mean bolt.travel?"]),
        ("bolt.travel: 5", ['1:14 wrong-value: bolt.travel: "5" has no unit; write it as 5 mm or 0.197 in']),
        ("bolt.travel: 301 mm",
         ["1:14 wrong-value: bolt.travel: 301 mm cannot be: bolt.travel lies between 0.0 mm and 300.0 mm"]),
        ("bolt.travel: {formulas: travel}",
         ["1:1 wrong-derivation: bolt.travel is derived from a value, {lookup: table, by: fact, take: column}, "
          "{formula: id} or {fact: other}"]),
        ("bolt.travel: {formula: travl}", ["1:15 unknown-formula: no formula is called travl; did you mean travel?"]),
        ("bolt.size: {formula: travel}", ["1:1 wrong-derivation: bolt.size is a code, not a number"]),
        ("bolt.strength: {formula: travel}",
         ["1:1 formula-dimension: mm measures a length and kN a force; one cannot be turned into the other"]),
        ("bolt.pitch: {lookup: thread, by: bolt.size, take: pitch}",
         ["1:14 unknown-table: no table is called thread; did you mean threads?"]),
        ("bolt.pitch: {lookup: threads, by: bolt.size, take: pich}",
         ["1:46 unknown-column: threads has no column pich; did you mean pitch?"]),
        ("bolt.pitch: {lookup: threads, by: bolt.size, take: zz}",
         ["1:46 unknown-column: threads has no column zz; the columns are size, pitch, strength and note"]),
        ("bolt.pitch: {lookup: threads, by: bolt.sise, take: pitch}",
         ["1:31 unknown-fact: no fact is called bolt.sise; did you mean bolt.size?"]),
        ("bolt.pitch: {lookup: threads, by: bolt.finish, take: pitch}",
         ["1:31 wrong-derivation: bolt.finish cannot find rows by size: they are not of one kind"]),
        ("bolt.pitch: {lookup: threads, by: bolt.size, take: strength}",
         ["1:46 wrong-derivation: the column strength does not hold values of bolt.pitch"]),
        ("bolt.code: {lookup: threads, by: bolt.size, take: note}",
         ["1:45 wrong-derivation: the column note does not hold values of bolt.code"]),
        ("bolt.length: {fact: bolt.strength}",
         ["1:1 wrong-derivation: bolt.length and bolt.strength are not of one kind"]),
        ("bolt.length: {fact: bolt.gripe}",
         ["1:15 unknown-fact: no fact is called bolt.gripe; did you mean bolt.grip?"]),
    ],
)  # fmt: skip
def test_a_derivation_that_cannot_be_is_told_once_where_it_stands(
    bolts: KnowledgeBase, text: str, lines: list[str]
) -> None:
    tree, _ = read_tree(text, "f")
    assert tree is not None
    _, findings = read_derivations(tree, bolts.facts, bolts.tables, bolts.formulas)
    assert [f"{f.at.line}:{f.at.column} {f.code}: {f.message}" for f in findings] == lines


def test_a_formula_with_a_symbol_that_no_fact_fills_derives_nothing(judge_of: JudgeWith) -> None:
    free = HALVED.replace("{fact: bolt.turns, means: n}", "{unit: '1', means: n}")
    judge = judge_of({"formulas/halved.yaml": free})
    tree, _ = read_tree("bolt.nuts: {formula: halved}", "f")
    assert tree is not None
    knowledge = judge.knowledge
    _, (finding,) = read_derivations(tree, knowledge.facts, knowledge.tables, knowledge.formulas)
    assert finding.message == "the formula halved has symbols that no fact fills: n"
