"""Rules of other forces than a rule's own, and their faults put beside its own."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations
from pathlib import Path

import pytest

from sideplate_engine import Judge
from sideplate_engine.vocabulary import Fact
from sideplate_trainer.faults_beside import faults_beside, stand_alike
from sideplate_trainer.mendings import Mending
from sideplate_trainer.mixed_sheets import Sheet, SheetMixer
from sideplate_trainer.other_forces import LENGTHS_APART, OtherForces
from sideplate_trainer.rule_index import rule_index
from sideplate_trainer.situations.draws import Draws
from support.bench_practice import bench_judge, mixer_of, one_fact_rule, sheet_of

SEEDS = range(30)


def change(fact: Fact, mending: Mending) -> str:
    return fact.tell(mending.good)


def any_can(mixer: SheetMixer, sheet: Sheet, own: Mending) -> bool:
    return True


def none_can(mixer: SheetMixer, sheet: Sheet, own: Mending) -> bool:
    return False


def forces_of(judge: Judge, *, unable: bool = False) -> OtherForces:
    return OtherForces(judge, change, any_can, unable=unable)


def own_of(judge: Judge, rule_id: str) -> Mending:
    (found,) = rule_index(judge).mendings[rule_id]
    return found


def test_the_three_are_of_three_forces(bench: Judge) -> None:
    forces, rules = forces_of(bench), bench.knowledge.rules
    for rule in rule_index(bench).rules:
        for seed in SEEDS:
            pair = forces.pair_beside(rule, Draws("a test", seed))
            if pair is not None:
                assert len({rules[each.id].force for each in (rule, *pair)}) == 3


def test_what_is_permitted_stands_beside_others_only_where_nothing_has_to_mend(bench: Judge) -> None:
    def met(*, unable: bool) -> set[str]:
        forces = forces_of(bench, unable=unable)
        pairs = (
            forces.pair_beside(rule, Draws("a test", seed))
            for rule in rule_index(bench).rules
            for seed in SEEDS
        )
        return {each.id for pair in pairs if pair is not None for each in pair}

    assert "tagged-bolt" not in met(unable=False)
    assert "tagged-bolt" in met(unable=True)


def test_a_choice_that_is_much_longer_does_not_stand_beside_the_others(bench: Judge) -> None:
    forces = forces_of(bench)
    short, long = own_of(bench, "dry-bolt"), replace(own_of(bench, "codes-differ"), good="A" * 40)
    assert forces.look_alike((short, own_of(bench, "bent-bolt")))
    assert not forces.look_alike((short, long))
    for rule in rule_index(bench).rules:
        for found in forces.mendings_beside(short, rule, Draws("a test")):
            facts = bench.knowledge.facts
            lengths = [len(change(facts[each.fact], each)) for each in (short, found)]
            assert max(lengths) <= LENGTHS_APART * min(lengths)


def test_a_fact_that_alone_brings_a_ruling_of_the_other_force_does_not_stand_beside_it(
    tmp_path: Path,
) -> None:
    # A dry bolt is a matter of should, and of must too: so its answer would decide about either.
    judge = bench_judge(
        tmp_path,
        one_fact_rule(
            "dry-for-good",
            "bolt.greased: no",
            "bolt.greased: no",
            "bolt.greased: yes",
            "must",
            "It will seize.",
        ),
    )
    dry, bent = own_of(judge, "dry-bolt"), judge.knowledge.rules["bent-bolt"]
    assert forces_of(judge, unable=True).mendings_beside(dry, bent, Draws("a test")) == []
    assert forces_of(judge, unable=False).mendings_beside(dry, bent, Draws("a test")) != []


def test_added_faults_all_stand_and_each_is_mended_by_its_own_change(bench: Judge) -> None:
    forces, rules = forces_of(bench), bench.knowledge.rules
    mixer = mixer_of(bench, "codes-differ", "bolt.code: A, nut.code: B")
    start = sheet_of(mixer, "bolt.code: A, nut.code: B")
    pair = (rules["dry-bolt"], rules["bent-bolt"])
    found = faults_beside(mixer, start, own_of(bench, "codes-differ"), pair, forces, Draws("a test"))
    assert found is not None
    sheet, others = found
    assert sheet.asking == {"codes-differ", "dry-bolt", "bent-bolt"}
    assert [each.rule for each in others] == ["dry-bolt", "bent-bolt"]
    for other in others:
        mended = mixer.changed(sheet, other.fact, other.good)
        assert mended is not None
        assert mended.asking == sheet.asking - {other.rule}


def test_a_fault_of_the_same_force_does_not_go_on_the_sheet(bench: Judge) -> None:
    forces, rules = forces_of(bench), bench.knowledge.rules
    mixer = mixer_of(bench, "codes-differ", "bolt.code: A, nut.code: B")
    start = sheet_of(mixer, "bolt.code: A, nut.code: B")
    pair = (rules["dry-bolt"], rules["many-nuts"])
    own = own_of(bench, "codes-differ")
    assert faults_beside(mixer, start, own, pair, forces, Draws("a test")) is None


@pytest.mark.parametrize(
    "three", [("codes-differ", "dry-bolt", "bent-bolt"), ("bent-bolt", "painted-bolt", "dry-bolt")]
)
def test_rules_on_facts_of_their_own_can_each_be_asked_about_beside_the_others(
    bench: Judge, three: tuple[str, str, str]
) -> None:
    rules = [bench.knowledge.rules[id_] for id_ in three]
    assert all(stand_alike(bench, forces_of(bench), order) for order in permutations(rules))


def test_rules_that_can_never_be_the_key_do_not_stand_beside_others(bench: Judge) -> None:
    forces = OtherForces(bench, change, none_can, unable=False)
    rules = [bench.knowledge.rules[id_] for id_ in ("codes-differ", "dry-bolt", "bent-bolt")]
    assert not stand_alike(bench, forces, rules)
