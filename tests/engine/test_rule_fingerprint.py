"""A rule's fingerprint follows what the rule decides, not how it is worded."""

from __future__ import annotations

from pathlib import Path

import pytest

from sideplate_engine.rule_fingerprint import fingerprint
from support.built_in import knowledge
from support.small_knowledge import FORMULA, TABLE, Files, load_with, rule

RULE = {
    "when": "{bolt.size: {one of: [M4, M6]}, bolt.length: {above: 20 mm}}",
    "unless": "bolt.greased: yes",
    "ruling": "must",
}


def printed(folder: Path, *more: Files, **keys: str) -> str:
    return fingerprint(load_with(folder, rule("a-rule", **{**RULE, **keys}), *more).sound().rules["a-rule"])


@pytest.mark.parametrize(
    "keys",
    [
        {"title": "Other words", "says": "Do it.", "if_ignored": "It breaks."},
        {"when": "{bolt.length: {above: 20 mm}, bolt.size: {one of: [M6, M4]}}"},
        {"when": "{bolt.length: {above: 2 cm}, bolt.size: {one of: [M4, M6]}}"},
        {"status": "checked"},
    ],
)
def test_other_words_another_order_and_other_units_leave_it_as_it_is(
    tmp_path: Path, keys: dict[str, str]
) -> None:
    assert printed(tmp_path / "a") == printed(tmp_path / "b", **keys)


@pytest.mark.parametrize(
    "keys",
    [
        {"when": "{bolt.size: {one of: [M4, M6]}, bolt.length: {above: 21 mm}}"},
        {"when": "{bolt.size: {one of: [M4, M6]}, bolt.length: {at least: 20 mm}}"},
        {"when": "{bolt.size: {one of: [M4, M8]}, bolt.length: {above: 20 mm}}"},
        {"unless": "bolt.greased: no"},
        {"ruling": "should"},
        {"about": "use-the-bolt"},
    ],
)
def test_another_condition_exception_force_or_subject_changes_it(
    tmp_path: Path, keys: dict[str, str]
) -> None:
    assert printed(tmp_path / "a") != printed(tmp_path / "b", **keys)


def test_another_figure_in_the_table_changes_it(tmp_path: Path) -> None:
    derive = {"derive": "bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}"}
    table = {"tables/threads.yaml": TABLE.replace("pitch: 0.7", "pitch: 0.75")}
    rules = [
        load_with(tmp_path / name, rule("a-rule", **derive), *more).sound().rules["a-rule"]
        for name, more in (("a", ()), ("b", (table,)))
    ]
    assert fingerprint(rules[0]) != fingerprint(rules[1])


def test_another_expression_in_the_formula_changes_it(tmp_path: Path) -> None:
    derive = {"derive": "bolt.travel: {formula: travel}"}
    formula = {"formulas/travel.yaml": FORMULA.replace("n*p", "2*n*p").replace("gives: 7 mm", "gives: 14 mm")}
    rules = [
        load_with(tmp_path / name, rule("a-rule", **derive), *more).sound().rules["a-rule"]
        for name, more in (("a", ()), ("b", (formula,)))
    ]
    assert fingerprint(rules[0]) != fingerprint(rules[1])


def test_no_two_rules_of_the_base_have_one_fingerprint() -> None:
    printed_ = [fingerprint(rule_) for rule_ in knowledge().rules.values()]
    assert len(set(printed_)) == len(printed_)
