"""Which rules are taken for each other."""

from __future__ import annotations

from pathlib import Path

import pytest

from sideplate_engine import Judge
from sideplate_trainer.look_alikes import LENGTHS_APART, LookAlikes, likeness, look_alikes
from sideplate_trainer.rule_index import rule_index
from sideplate_trainer.situations.draws import Draws
from support.bench_practice import bench_judge, one_fact_rule

SAME_REASON = one_fact_rule(
    "bent-nut", "bolt.pitch: {above: 5 mm}", "bolt.pitch: 6 mm", "bolt.pitch: 1 mm", "must",
    "A crooked shank carries its load on one side and cracks beneath the head, all at once.",
)  # fmt: skip
SHORT_REASON = one_fact_rule(
    "short", "bolt.pitch: {above: 5 mm}", "bolt.pitch: 6 mm", "bolt.pitch: 1 mm", "must", "It slips."
)


def company(judge: Judge, rule_id: str, *, by_reason: bool) -> set[str]:
    alikes = look_alikes(judge, by_reason=by_reason)
    pairs = alikes.of(judge.knowledge.rules[rule_id], Draws("a test"))
    return {each.id for pair in pairs for each in pair}


def test_two_reasons_that_say_the_same_do_not_stand_side_by_side(tmp_path: Path) -> None:
    judge = bench_judge(tmp_path, SAME_REASON)
    assert not look_alikes(judge, by_reason=True).reasons_differ("bent-bolt", "bent-nut")
    assert "bent-nut" not in company(judge, "bent-bolt", by_reason=True)
    assert "bent-nut" in company(judge, "bent-bolt", by_reason=False)


def test_two_reasons_of_very_different_length_do_not_stand_side_by_side(tmp_path: Path) -> None:
    judge = bench_judge(tmp_path, SHORT_REASON)
    assert not look_alikes(judge, by_reason=True).reasons_go_together("bent-bolt", "short")
    assert "short" not in company(judge, "bent-bolt", by_reason=True)


def test_every_pair_of_reasons_shown_is_about_as_long(bench: Judge) -> None:
    reasons = rule_index(bench).reasons
    for rule in rule_index(bench).rules:
        for pair in look_alikes(bench, by_reason=True).of(rule, Draws("a test")):
            lengths = [len(reasons[each.id]) for each in (rule, *pair)]
            assert max(lengths) <= LENGTHS_APART * min(lengths)


def test_rules_whose_examples_contradict_each_other_are_not_put_together(tmp_path: Path) -> None:
    judge = bench_judge(
        tmp_path,
        one_fact_rule(
            "other-codes", "{bolt.code: Z, bolt.pitch: {above: 5 mm}}", "bolt.code: Z, bolt.pitch: 6 mm",
            "bolt.code: Z, bolt.pitch: 1 mm", "must", "Coarse threads of that maker strip under a load.",
        ),
    )  # fmt: skip
    assert "other-codes" not in company(judge, "codes-differ", by_reason=False)
    assert "other-codes" in company(judge, "bent-bolt", by_reason=False)


def test_a_rule_and_one_that_it_sets_aside_are_not_put_together(tmp_path: Path) -> None:
    judge = bench_judge(
        tmp_path,
        one_fact_rule(
            "coarse", "bolt.pitch: {above: 5 mm}", "bolt.pitch: 6 mm", "bolt.pitch: 1 mm", "must",
            "Coarse threads of any maker strip under a sudden load.", overrides="[bent-bolt]",
        ),
    )  # fmt: skip
    assert "coarse" not in company(judge, "bent-bolt", by_reason=False)


def test_rules_of_one_topic_are_likelier_to_be_taken_for_each_other(judge: Judge) -> None:
    rules = judge.knowledge.rules
    there = likeness(rules["bent-bolt"], rules["codes-differ"])
    assert there > likeness(rules["bent-bolt"], rules["grease-it"])
    assert there == likeness(rules["codes-differ"], rules["bent-bolt"])


def test_rules_about_one_deed_are_likelier_still(judge: Judge) -> None:
    rules = judge.knowledge.rules
    assert likeness(rules["codes-differ"], rules["paint-is-allowed"]) > likeness(
        rules["codes-differ"], rules["bent-bolt"]
    )


def test_one_by_one_those_of_the_even_company_come_first_and_none_twice(bench: Judge) -> None:
    alikes = look_alikes(bench, by_reason=False)
    rule = bench.knowledge.rules["bent-bolt"]
    found = [each.id for each in alikes.anyone(rule, Draws("a test"))]
    assert len(found) == len(set(found))
    assert rule.id not in found
    evenly = company(bench, "bent-bolt", by_reason=False)
    assert set(found[: len(evenly)]) == evenly


@pytest.mark.parametrize("by_reason", [True, False])
def test_in_the_whole_base_no_rule_stands_much_oftener_beside_others_than_it_is_asked(
    chain_judge: Judge, by_reason: bool
) -> None:
    alikes = LookAlikes(chain_judge, by_reason=by_reason)
    for rule in rule_index(chain_judge).rules:
        next(alikes.of(rule, Draws("a test")), None)
    times = [each for company in alikes._companies.values() for each in company.times_drawn().values()]
    # Two for each one asked would be quite even.
    assert len(times) > 0.9 * len(rule_index(chain_judge).rules)
    assert min(times) > 1.5
    assert max(times) < 2.5
