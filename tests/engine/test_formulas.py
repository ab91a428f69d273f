"""Formulas: what they give, how they are shown with numbers, and what is found wrong before any job is judged."""

from __future__ import annotations

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_engine.formulas import Formula, NotComputable, read_formula, worked_result
from sideplate_engine.yaml_tree import read_tree
from support.small_knowledge import FORMULA


def read(bolts: KnowledgeBase, *changes: tuple[str, str]) -> tuple[Formula | None, list[str]]:
    text = FORMULA
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    tree, _ = read_tree(text, "f")
    assert tree is not None
    formula, findings = read_formula(tree, bolts.facts)
    assert (formula is None) == bool(findings)
    return formula, [f"{found.at.line}:{found.at.column} {found.code}: {found.message}" for found in findings]


def test_a_formula_runs_on_stored_values_of_any_unit(bolts: KnowledgeBase) -> None:
    formula, _ = read(bolts, ("p: {fact: bolt.pitch", "p: {fact: bolt.grip"), ("p: 0.7 mm", "p: 0.7 in"))
    assert formula is not None
    assert formula.run({"n": 10, "p": 0.5}) == 127.0  # turns times inches, in the millimetres of bolt.travel
    assert formula.facts() == ("bolt.turns", "bolt.grip")


def test_the_arithmetic_is_shown_with_the_numbers_put_in(bolts: KnowledgeBase) -> None:
    formula = bolts.formulas["travel"]
    facts: dict[str, str | float] = {"bolt.turns": 10, "bolt.pitch": 1.27}
    assert formula.arithmetic(facts, bolts.facts, "metric") == "10×(1.27 mm)"
    assert formula.arithmetic(facts, bolts.facts, "us") == "10×(0.050 in)"


def test_a_formula_of_the_geometry_module_shows_its_name_and_numbers(bolts: KnowledgeBase) -> None:
    formula, told = read(
        bolts,
        ("  n: {fact: bolt.turns, means: turns}\n", "  slack: {fact: bolt.pitch, means: s}\n"),
        ("  p: {fact: bolt.pitch, means: pitch}\n", "  run: {fact: bolt.length, means: l}\n"),
        ("expression: n*p", "function: spare_from_slack"),
        ("with: {n: 10, p: 0.7 mm}", "with: {slack: 3 mm, run: 40 mm}"),
    )
    assert told == []
    assert formula is not None
    shown = formula.arithmetic({"bolt.pitch": 3.0, "bolt.length": 40.0}, bolts.facts, "metric")
    assert shown == "spare_from_slack(slack = 3.00 mm, run = 40.0 mm)"
    with pytest.raises(NotComputable, match="slack must not be negative"):
        formula.run({"slack": -1.0, "run": 40.0})


@pytest.mark.parametrize(("n", "p"), [(1e300, 1e12), (1e200, 1e200)])
def test_a_result_too_large_is_not_computable(bolts: KnowledgeBase, n: float, p: float) -> None:
    with pytest.raises(NotComputable, match="too large"):
        bolts.formulas["travel"].run({"n": n, "p": p})


@pytest.mark.parametrize(
    ("changes", "lines"),
    [
        ([("means: pitch}", "measn: pitch}")],
         ["5:25 unknown-key: no key is called `measn` here; did you mean means?"]),
        ([("  n: {", "  2n: {")], ["4:3 formula-symbol: '2n' is no symbol; write letters and digits"]),
        ([("fact: bolt.turns", "fact: bolt.turn")],
         ["4:3 unknown-fact: no fact is called bolt.turn; did you mean bolt.turns?"]),
        ([("fact: bolt.turns", "fact: bolt.size")], ["4:3 formula-symbol: bolt.size is a code, not a number"]),
        ([("fact: bolt.turns, means", "means")], ["4:3 formula-symbol: write either `fact` or `unit`"]),
        ([("fact: bolt.turns", "unit: turn")], ['4:3 unknown-unit: "turn" is not a unit Sideplate knows']),
        ([("gives: {fact: bolt.travel}", "gives: {unit: mm, fact: bolt.travel}")],
         ["7:1 formula-symbol: write either `fact` or `unit`"]),
        ([("expression: n*p\n", "")], ["1:1 formula: a formula has either an `expression` or a `function`"]),
        ([("n*p", "n*p\nfunction: run_length")], ["1:1 formula: a formula has either an `expression` or a `function`"]),
        ([("n*p", "n*^p")], ["6:1 formula-expression: ^ is not a power here; write ** (column 3)"]),
        ([("n*p", "n*q")], ["6:1 formula-symbol: the symbol q is not declared"]),
        ([("n*p", "n")], ["5:3 formula-symbol: the symbol p is declared but not used"]),
        ([("n*p", "n + p")], ["6:1 formula-dimension: a bare number and a length cannot be added"]),
        ([("n*p", "n*p*p")], ["6:1 formula-dimension: the result is an area, but a length is wanted"]),
        ([("gives: 7 mm", "gives: 7")], ['11:5 wrong-value: "7" has no unit; write it as 7 mm or 0.276 in']),
        ([("with: {n: 10, p: 0.7 mm}", "with: {n: 10}")],
         ["11:5 formula-worked: `with` must give n, p and nothing else"]),
        ([("expression: n*p", "function: run_lenght")], [
            "6:1 formula: geometry has no function run_lenght; did you mean run_length?"
        ]),
        ([("expression: n*p", "function: run_length")], [
            "4:3 formula-symbol: run_length takes no n",
            "5:3 formula-symbol: run_length takes no p",
        ]),
        ([("expression: n*p", "function: run_length"), ("  n: {", "  radius_difference: {"),
          ("  p: {fact: bolt.pitch, means: pitch}\n", ""),
          ("with: {n: 10, p: 0.7 mm}", "with: {radius_difference: 10}")],
         ["3:1 formula-symbol: run_length lacks its centre_distance"]),
        ([("expression: n*p", "function: run_length"), ("n: {fact: bolt.turns", "centre_distance: {unit: °C"),
          ("  p: {fact: bolt.pitch, means: pitch}\n", ""),
          ("with: {n: 10, p: 0.7 mm}", "with: {centre_distance: 1 °C}")],
         ["5:1 formula-dimension: °C does not start at absolute zero, so it cannot enter a formula"]),
    ],
)  # fmt: skip
def test_a_formula_that_does_not_come_out_is_found_when_it_is_read(
    bolts: KnowledgeBase, changes: list[tuple[str, str]], lines: list[str]
) -> None:
    assert read(bolts, *changes) == (None, lines)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ([], ""),
        ([("gives: 7 mm", "gives: 7.02 mm")], "the worked case 'ten turns' gives 7, not 7.02 within 0.01"),
        (
            [("expression: n*p", "expression: p/(n - 10)")],
            "the worked case 'ten turns' cannot be computed: It divides by zero.",
        ),
    ],
)
def test_a_worked_case_is_held_to_its_published_result(
    bolts: KnowledgeBase, changes: list[tuple[str, str]], sentence: str
) -> None:
    formula, _ = read(bolts, *changes)
    assert formula is not None
    assert worked_result(formula, formula.worked[0])[1] == sentence
