"""Facts that decide nothing: told by the rules that could still come or go by them."""

from __future__ import annotations

from pathlib import Path

import pytest

from sideplate_engine import Judge
from sideplate_trainer.idle_facts import all_values, idle_facts
from sideplate_trainer.situations.draws import Draws
from support.small_knowledge import given, rule
from support.small_practice import practice_judge


def is_idle(judge: Judge, name: str, facts: str, subject: str | None = None) -> bool:
    return idle_facts(judge, subject).is_idle(name, judge.outcome(given(judge, facts)))


def test_a_fact_that_no_ruling_on_the_deed_looks_at_is_idle(judge: Judge) -> None:
    assert is_idle(judge, "bolt.greased", "bolt.size: M4", "use-the-bolt")


def test_a_fact_that_some_ruling_on_the_job_waits_for_is_not_idle(judge: Judge) -> None:
    assert not is_idle(judge, "bolt.greased", "bolt.size: M4")


def test_a_fact_is_idle_once_another_has_settled_the_rule_that_looks_at_it(tmp_path: Path) -> None:
    judge = practice_judge(
        tmp_path,
        rule(
            "long-m4",
            when="{bolt.size: M4, bolt.length: {above: 50 mm}}",
            ruling="must",
            about="use-the-bolt",
        ),
    )
    assert not is_idle(judge, "bolt.length", "bolt.size: M4", "use-the-bolt")
    assert is_idle(judge, "bolt.length", "bolt.size: M6", "use-the-bolt")


def test_a_fact_that_counts_by_being_known_is_never_idle(judge: Judge) -> None:
    assert not is_idle(judge, "bolt.grip", "bolt.nuts: 2")


def test_a_fact_that_rules_derive_is_never_idle_nor_one_they_derive_what_is_told_from(judge: Judge) -> None:
    assert not is_idle(judge, "bolt.pitch", "bolt.greased: no", "use-the-bolt")
    assert not is_idle(judge, "bolt.size", "bolt.pitch: 2 mm", "use-the-bolt")
    assert is_idle(judge, "bolt.size", "bolt.greased: no", "use-the-bolt")


def test_what_might_be_idle_is_drawn_from_what_decides_in_the_topic_before_anything_else(
    judge: Judge,
) -> None:
    outcome = judge.outcome(given(judge, "bolt.greased: no"))
    names = list(idle_facts(judge, "use-the-bolt").not_told("fitting", outcome, Draws("idle", 1)))
    assert "bolt.greased" not in names
    assert set(names[:6]) == {"bolt.code", "nut.code", "bolt.marks", "bolt.finish", "bolt.grip", "bolt.nuts"}


@pytest.mark.parametrize(("name", "count"), [("bolt.greased", 2), ("bolt.length", 0), ("bolt.code", 0)])
def test_only_flags_and_short_choices_have_values_to_go_through(judge: Judge, name: str, count: int) -> None:
    assert len(all_values(judge.knowledge.facts[name])) == count
