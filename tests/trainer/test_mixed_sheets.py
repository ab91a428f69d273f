"""A sheet on which one rule rules, with lines of other rules mixed in: nothing else may change by them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from sideplate_engine import Judge
from sideplate_trainer.mendings import Mending
from sideplate_trainer.mixed_sheets import SheetMixer
from sideplate_trainer.rule_index import rule_index
from sideplate_trainer.situations.draws import Draws
from support.bench_practice import TOOLS, bench_judge, mixer_of, one_fact_rule, sheet_of
from support.small_knowledge import rule

SAWN_BARE = one_fact_rule(
    "sawn-bare", "{bolt.finish: bare, cut.tool: saw}", "bolt.finish: bare, cut.tool: saw",
    "bolt.finish: plated, cut.tool: saw", "must", "Where teeth tore the skin off, rust begins within days.",
)  # fmt: skip
CODES = "bolt.code: A, nut.code: B"


@pytest.fixture
def mixer(bench: Judge) -> SheetMixer:
    return mixer_of(bench, "codes-differ", f"{CODES}, bolt.turns: 9", ("nut.code", "A"))


def fault_of(judge: Judge, rule_id: str) -> Mending:
    (found,) = rule_index(judge).mendings[rule_id]
    return found


def test_the_plain_sheet_keeps_what_the_rule_rests_on_and_no_more(mixer: SheetMixer) -> None:
    plain = mixer.plain()
    assert plain is not None
    assert plain.facts == {"bolt.code": "A", "nut.code": "B"}
    assert plain.ruling == plain.asking == {"codes-differ"}


def test_what_is_permitted_rules_and_asks_for_nothing(mixer: SheetMixer) -> None:
    sheet = sheet_of(mixer, "bolt.tags: [SPARE]")
    assert sheet.ruling == {"tagged-bolt"}
    assert not sheet.asking
    assert mixer.has_force(sheet, "may")
    assert not mixer.has_force(sheet, "must not")


def test_facts_on_which_opposed_rulings_stand_make_no_sheet(tmp_path: Path) -> None:
    judge = bench_judge(
        tmp_path,
        rule("use-it", status="checked", when="bolt.greased: yes", ruling="must", about="use-the-bolt"),
    )
    mixer = mixer_of(judge, "codes-differ", CODES)
    assert mixer.sheet({"bolt.code": "A", "nut.code": "B", "bolt.greased": True}) is None
    assert mixer.sheet({"bolt.code": "A", "nut.code": "A", "bolt.greased": True}) is not None


def test_every_own_mending_silences_the_rule_and_brings_no_other_fault(bench: Judge) -> None:
    mixer = mixer_of(bench, "few-turns", "bolt.turns: 2")
    sheet = sheet_of(mixer, "bolt.turns: 2, bolt.greased: no")
    found = list(mixer.own_mendings(sheet, Draws("a test")))
    assert {each.fact for each in found} == {"bolt.turns"}
    for mending in found:
        mended = mixer.changed(sheet, mending.fact, mending.good)
        assert mended is not None
        assert mended.asking == {"dry-bolt"}
        assert mending.bad == 2
        assert mending.given == {"bolt.greased": False}


def test_a_number_that_mends_is_moved_on_so_that_it_is_not_always_the_same(bench: Judge) -> None:
    mixer = mixer_of(bench, "few-turns", "bolt.turns: 2")
    sheet = sheet_of(mixer, "bolt.turns: 2")
    goods = {each.good for seed in range(40) for each in mixer.own_mendings(sheet, Draws("a test", seed))}
    assert len(goods) > 3
    # The example mends with 8 turns; it is only ever moved away from the fault.
    assert all(8 <= float(str(good)) <= 100 for good in goods)


def test_near_misses_come_after_the_examples_and_are_left_out_where_those_alone_count(bench: Judge) -> None:
    mixer = mixer_of(bench, "codes-differ", CODES, ("nut.code", "A"), ("bolt.code", "B"))
    sheet = sheet_of(mixer, CODES)
    facts = list(dict.fromkeys(each.fact for each in mixer.own_mendings(sheet, Draws("a test"))))
    assert facts == ["nut.code", "bolt.code"]
    by_example = mixer.own_mendings(sheet, Draws("a test"), by_example=True)
    assert {each.fact for each in by_example} == {"nut.code"}


def test_a_line_in_order_changes_nothing_of_what_is_asked_for(bench: Judge, mixer: SheetMixer) -> None:
    sheet = sheet_of(mixer, CODES)
    mixed = mixer.with_line(sheet, fault_of(bench, "bent-bolt"))
    assert mixed is not None
    assert mixed.facts == {**sheet.facts, "bolt.marks": frozenset({"rust"})}
    assert mixed.ruling == sheet.ruling


def test_what_a_rule_permits_is_mixed_in_as_permitted(bench: Judge, mixer: SheetMixer) -> None:
    mixed = mixer.with_line(sheet_of(mixer, CODES), fault_of(bench, "tagged-bolt"))
    assert mixed is not None
    assert mixed.facts["bolt.tags"] == frozenset({"SPARE"})
    assert mixed.ruling == {"codes-differ", "tagged-bolt"}


def test_a_line_on_which_another_rule_rules_is_not_in_order(bench: Judge, mixer: SheetMixer) -> None:
    line = replace(fault_of(bench, "bent-bolt"), good=frozenset({"bent", "rust"}))
    assert mixer.with_line(sheet_of(mixer, CODES), line) is None


def test_a_fact_that_stands_on_the_sheet_or_that_the_rule_reads_is_not_mixed_in(
    bench: Judge, mixer: SheetMixer
) -> None:
    sheet = sheet_of(mixer, f"{CODES}, bolt.greased: yes")
    assert mixer.with_line(sheet, fault_of(bench, "dry-bolt")) is None
    assert mixer.with_fault(sheet_of(mixer, "bolt.turns: 9"), fault_of(bench, "codes-differ")) is None


def test_a_fault_of_another_force_is_mixed_in_and_one_of_the_same_force_only_on_demand(
    bench: Judge, mixer: SheetMixer
) -> None:
    sheet = sheet_of(mixer, CODES)
    dry = mixer.with_fault(sheet, fault_of(bench, "dry-bolt"))
    assert dry is not None
    assert dry.ruling == {"codes-differ", "dry-bolt"}
    stacked = fault_of(bench, "many-nuts")
    assert mixer.with_fault(sheet, stacked) is None
    both = mixer.with_fault(sheet, stacked, of_any_force=True)
    assert both is not None
    assert both.asking == {"codes-differ", "many-nuts"}


def test_facts_are_told_as_sentences_all_of_them_or_those_named(mixer: SheetMixer) -> None:
    facts = {"bolt.code": "A", "nut.code": "B"}
    assert set(mixer.told(facts)) == {"Its code is A.", "The nut's code is B."}
    assert mixer.told(facts, {"nut.code"}) == ("The nut's code is B.",)
    assert mixer.opening() == "A bolt."


def test_a_word_is_a_fault_on_some_make_where_its_rule_waits_for_what_the_part_is(tmp_path: Path) -> None:
    judge = bench_judge(tmp_path, TOOLS, SAWN_BARE)
    mixer = mixer_of(judge, "codes-differ", CODES)
    # What tool it is describes a part; of that nothing is told, so a bare bolt may be one that was sawn.
    assert mixer.may_be_a_fault(sheet_of(mixer, "bolt.finish: bare"), "bolt.finish", "bare")
    assert not mixer.may_be_a_fault(
        sheet_of(mixer, "bolt.finish: bare, cut.tool: knife"), "bolt.finish", "bare"
    )
    # Of the work, what is not told is in order: nothing waits for a part here.
    assert not mixer.may_be_a_fault(sheet_of(mixer, "bolt.greased: yes"), "bolt.greased", True)
