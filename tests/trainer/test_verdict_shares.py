"""How often each kind of verdict is asked for, where some rules of a topic can only permit."""

from __future__ import annotations

from pathlib import Path

import pytest

from sideplate_engine import Judge
from sideplate_trainer.verdict_cases import ALLOWED, MORE, RULED
from sideplate_trainer.verdict_shares import LEAST, SHARES, verdict_shares
from support.small_knowledge import Files, rule
from support.small_practice import practice_judge

RIDING: Files = {"subjects.yaml": "use-the-bolt: Using the bolt that is at hand.\nride: Riding.\n"}


def permission(id_: str) -> Files:
    return rule(id_, status="checked", when="bolt.greased: yes", ruling="may", about="ride")


def test_a_topic_in_which_every_deed_is_objected_to_by_some_rule_is_drawn_by_the_shares_themselves(
    judge: Judge,
) -> None:
    assert verdict_shares(judge)["fitting"] == pytest.approx(SHARES)


def test_a_rule_that_can_only_permit_leaves_the_topic_as_spread_as_the_others(tmp_path: Path) -> None:
    judge = practice_judge(tmp_path, RIDING, permission("ride-on"))
    rules = [each for each in judge.knowledge.rules.values() if each.is_ruling and each.topic == "fitting"]
    count = sum(each.status != "draft" for each in rules)
    drawn = verdict_shares(judge)["fitting"]
    assert sum(drawn.values()) == pytest.approx(1)
    assert 1 + drawn[ALLOWED] * (count - 1) == pytest.approx(SHARES[ALLOWED] * count)
    assert drawn[RULED] * (count - 1) == pytest.approx(SHARES[RULED] * count)
    assert drawn[MORE] * (count - 1) == pytest.approx(SHARES[MORE] * count)


def test_every_kind_is_drawn_now_and_then_however_much_a_topic_permits(tmp_path: Path) -> None:
    judge = practice_judge(tmp_path, RIDING, *(permission(f"ride-on-{number}") for number in range(9)))
    assert verdict_shares(judge)["fitting"][ALLOWED] == LEAST
