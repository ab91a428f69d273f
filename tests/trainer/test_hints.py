"""Hints lead to the key, one step at a time, and never hold it."""

from __future__ import annotations

from sideplate_engine import Judge
from sideplate_trainer.hints import hints_to_a_number, hints_to_a_verdict
from support.small_knowledge import given


def test_a_verdicts_hints_say_what_to_look_at_and_what_to_ask(judge: Judge) -> None:
    facts = given(judge, "bolt.code: A, nut.code: B")
    assert hints_to_a_verdict(judge, judge.knowledge.rules["codes-differ"], facts) == (
        "Look at nut.code (The maker's code on the nut); bolt.code (The maker's code on the head).",
        "Ask whether this is so: nut.code differs from bolt.code.",
    )


def test_a_formulas_hints_go_from_its_name_over_its_symbols_to_the_numbers(judge: Judge) -> None:
    rule = judge.knowledge.rules["travel-by-turns"]
    facts = given(judge, "bolt.size: M6, bolt.turns: 12")
    assert hints_to_a_number(judge, rule.derivations[0], facts) == (
        "Travel of a nut gives it.",
        "Work out n*p, where n is turns; p is pitch.",
        "bolt.pitch comes to 1.00 mm, by the rule pitch-by-table: table threads, row M6, column pitch.",
        "Work out 12×(1.00 mm).",
    )


def test_a_look_ups_hints_name_the_table_and_the_row_but_not_the_cell(judge: Judge) -> None:
    rule = judge.knowledge.rules["pitch-by-table"]
    hints = hints_to_a_number(judge, rule.derivations[0], given(judge, "bolt.size: M8"))
    assert hints == (
        "It stands in a table: Threads by size.",
        "Find the row by this: bolt.size (The size stamped on the head).",
    )
