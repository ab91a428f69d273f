"""Cases beside a situation: on which something is ruled, nothing is, or one fact that is not known decides."""

from __future__ import annotations

from pathlib import Path

from sideplate_engine import Judge
from sideplate_trainer.sheets_beside import SheetsBeside
from sideplate_trainer.situations.situation import Situation
from sideplate_trainer.verdict_cases import ALLOWED, MORE, RULED, Case, cases_of
from sideplate_trainer.verdicts import NOTHING
from support.small_knowledge import Files, given, rule
from support.small_practice import practice_judge, situation


def long_bolt(**keys: str) -> Files:
    return rule(
        "long-bolt",
        status="checked",
        when="bolt.length: {above: 50 mm}",
        ruling="must not",
        about="use-the-bolt",
        examples="[{name: long, given: {bolt.length: 60 mm}, expect: fires}]",
        **keys,
    )


LONG, LONG_BUT_PAINTED = long_bolt(), long_bolt(overrides="[paint-is-allowed]")


def first(judge: Judge, told: Situation, kind: str) -> tuple[SheetsBeside, Case]:
    sheets = SheetsBeside(judge, told)
    return sheets, next(cases_of(kind, sheets))


def test_a_ruling_on_something_the_rule_does_not_look_at_is_left_out_of_the_story(tmp_path: Path) -> None:
    judge = practice_judge(tmp_path, LONG)
    told = situation(
        judge, "codes-differ", "bolt.code: A, nut.code: B, bolt.length: 60 mm", ("nut.code", "A")
    )
    sheets, case = first(judge, told, ALLOWED)
    assert case.facts == given(judge, "bolt.code: A, nut.code: A")
    assert sheets.word(case.facts) == NOTHING
    assert [sheets.word(facts) for facts in case.beside] == ["must not"]


def test_a_graver_ruling_that_covers_the_rule_is_put_right_first(tmp_path: Path) -> None:
    graver = rule(
        "graver", status="checked", when="{bolt.greased: no, bolt.length: {above: 50 mm}}", ruling="must"
    )
    judge = practice_judge(
        tmp_path,
        graver,
        rule(
            "dry-and-long",
            status="checked",
            when="{bolt.greased: no, bolt.length: {above: 20 mm}}",
            ruling="should",
        ),
    )
    told = situation(judge, "dry-and-long", "bolt.greased: no, bolt.length: 60 mm", ("bolt.greased", "yes"))
    sheets, case = first(judge, told, RULED)
    assert 20 < float(str(case.facts["bolt.length"])) <= 50
    assert sheets.word(case.facts) == "should change"


def test_a_deed_that_is_permitted_is_forbidden_by_what_another_rule_looks_at(tmp_path: Path) -> None:
    judge = practice_judge(tmp_path, LONG_BUT_PAINTED)
    told = situation(judge, "paint-is-allowed", "bolt.finish: painted")
    sheets, case = first(judge, told, RULED)
    assert case.facts == given(judge, "bolt.finish: painted, bolt.length: 60 mm")
    assert (sheets.word(case.facts), [sheets.word(facts) for facts in case.beside]) == ("must not", [NOTHING])


def test_a_permission_and_a_ban_that_contradict_each_other_make_no_case(tmp_path: Path) -> None:
    judge = practice_judge(tmp_path, LONG)
    sheets = SheetsBeside(judge, situation(judge, "paint-is-allowed", "bolt.finish: painted"))
    assert sheets.word(given(judge, "bolt.finish: painted, bolt.length: 60 mm")) is None
    assert list(cases_of(RULED, sheets)) == []


def test_a_permitted_deed_cannot_be_told_yet_where_another_rule_waits_for_a_fact(tmp_path: Path) -> None:
    judge = practice_judge(tmp_path, LONG_BUT_PAINTED)
    told = situation(judge, "paint-is-allowed", "bolt.finish: painted")
    sheets, case = first(judge, told, MORE)
    assert (case.unknown, sheets.word(case.facts)) == ("bolt.length", NOTHING)
    assert {sheets.word(facts) for facts in case.beside} == {"must not", NOTHING}


def test_what_is_found_fault_with_is_not_mentioned_where_every_other_word_is_a_fault_too(
    tmp_path: Path,
) -> None:
    judge = practice_judge(
        tmp_path, rule("greased-too", status="checked", when="bolt.greased: yes", ruling="should")
    )
    told = situation(judge, "grease-it", "bolt.greased: no", ("bolt.greased", "yes"), ("bolt.greased", ""))
    _, case = first(judge, told, ALLOWED)
    assert case.facts == {}


def test_a_fact_that_decides_is_left_out_even_where_no_near_miss_changes_it(judge: Judge) -> None:
    told = situation(judge, "grease-it", "bolt.greased: no, bolt.size: M4")
    sheets, case = first(judge, told, MORE)
    assert case.unknown == "bolt.greased"
    assert case.unknown not in case.facts
    assert {sheets.word(facts) for facts in case.beside} == {"should change", NOTHING}
