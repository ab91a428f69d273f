"""What there is to choose from: values that fit, and values to which exactly one rule objects."""

from __future__ import annotations

from pathlib import Path

import pytest

from sideplate_engine import Judge
from sideplate_trainer.mixed_sheets import SheetMixer
from sideplate_trainer.rule_index import rule_index
from sideplate_trainer.shelf import Shelf, goes_beside, shelf_of, shelf_of_codes
from sideplate_trainer.situations import build
from sideplate_trainer.situations.draws import Draws
from support.bench_practice import CUTS, bench_judge, mixer_of, one_fact_rule, sheet_of

ALSO_SAWN = one_fact_rule(
    "sawn-again", "cut.tool: saw", "cut.tool: saw", "cut.tool: knife", "must", "A sawn end is filed smooth."
)


@pytest.fixture(scope="module")
def cuts(tmp_path_factory: pytest.TempPathFactory) -> Judge:
    return bench_judge(tmp_path_factory.mktemp("cuts"), *CUTS)


def shelf(judge: Judge, facts: str = "cut.tool: saw", rule_id: str = "sawn-bolt") -> Shelf:
    mixer = mixer_of(judge, rule_id, facts)
    own = rule_index(judge).mendings[rule_id][0]
    return shelf_of(mixer, sheet_of(mixer, facts), own, Draws("a test"))


def test_every_value_either_fits_or_is_objected_to_by_one_rule(cuts: Judge) -> None:
    found = shelf(cuts, "cut.tool: saw, bolt.nuts: 0")
    assert {each.value for each in found.fitting} == {"shears", "knife", "wire"}
    assert {(each.value, each.objector) for each in found.objected} == {
        ("saw", "sawn-bolt"),
        ("torch", "burnt-bolt"),
    }


def test_the_rest_of_the_sheet_decides_with_what_fits(cuts: Judge) -> None:
    found = shelf(cuts, "cut.tool: saw, bolt.nuts: 2")
    assert ("wire", "wire-at-a-nut") in {(each.value, each.objector) for each in found.objected}


def test_what_is_not_told_of_the_work_is_in_order_and_objects_to_nothing(cuts: Judge) -> None:
    # Of the nuts nothing is told, and a wire would be objected to beside one.
    assert "wire" in {each.value for each in shelf(cuts).fitting}


def test_what_two_rules_object_to_is_left_out(tmp_path: Path) -> None:
    found = shelf(bench_judge(tmp_path, *CUTS, ALSO_SAWN))
    assert "saw" not in {each.value for each in (*found.fitting, *found.objected)}


def test_each_candidates_sheet_is_the_sheet_with_that_value_and_nothing_else_changed(cuts: Judge) -> None:
    found = shelf(cuts, "cut.tool: saw, bolt.nuts: 2")
    for each in (*found.fitting, *found.objected):
        assert each.sheet.facts == {"cut.tool": each.value, "bolt.nuts": 2}
        assert each.sheet.asking == ({each.objector} if each.objector else set())


def test_rules_that_object_to_values_on_each_others_shelves_go_beside_each_other(cuts: Judge) -> None:
    assert goes_beside(cuts, "sawn-bolt", "cut.tool") == ("burnt-bolt",)
    assert goes_beside(cuts, "burnt-bolt", "cut.tool") == ("sawn-bolt",)
    assert goes_beside(cuts, "dry-bolt", "bolt.greased") == ()


def test_counts_near_the_one_on_the_sheet_are_tried(bench: Judge) -> None:
    found = shelf(bench, "bolt.turns: 3", "few-turns")
    objected = {each.value for each in found.objected}
    assert objected == {1, 2, 3, 4}
    assert {each.value for each in found.fitting} >= {5, 6, 7, 8}


def test_of_three_codes_just_one_fits_and_each_is_it_in_its_turn(chain_judge: Judge) -> None:
    fitting: set[object] = set()
    for seed in range(12):
        mixer = SheetMixer(chain_judge, build(chain_judge, "connector-size-differs", seed))
        sheet = mixer.plain()
        assert sheet is not None
        draws = Draws("a test", seed)
        for own in mixer.own_mendings(sheet, draws):
            found = shelf_of_codes(mixer, sheet, own, draws) if own.fact == "connector.size" else None
            if found is not None:
                shelf_ = found[1]
                assert [len(shelf_.fitting), len(shelf_.objected)] == [1, 2]
                assert "connector-size-differs" in {each.objector for each in shelf_.objected}
                fitting.add(shelf_.fitting[0].value)
    assert len(fitting) > 2
