"""Threes of rules drawn so that each stands beside others as often as it is asked about."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sideplate_engine import Judge, KnowledgeBase
from sideplate_engine.rules import Rule
from sideplate_trainer.even_company import TOO_SELDOM, EvenCompany
from sideplate_trainer.situations.draws import Draws

MANY = 2000


@pytest.fixture(scope="module")
def rules(bench: Judge) -> list[Rule]:
    return [rule for rule in bench.knowledge.rules.values() if rule.is_ruling]


def all_alike(one: Rule, other: Rule) -> float:
    return 1.0


def stood_beside(company: EvenCompany, rules: list[Rule], times: int) -> Counter[str]:
    """How often each rule stands beside the others, each asked so many times; only the first pair is taken."""
    found: Counter[str] = Counter()
    for rule in rules:
        for seed in range(times):
            pair = next(company.beside(rule, Draws("a test", rule.id, seed)), ())
            found.update(each.id for each in pair)
    return found


def test_a_pair_is_never_the_rule_itself_and_comes_once(rules: list[Rule]) -> None:
    pairs = list(EvenCompany(rules, all_alike).beside(rules[0], Draws("a test")))
    assert pairs
    assert len({frozenset(each.id for each in pair) for pair in pairs}) == len(pairs)
    for one, other in pairs:
        assert len({one.id, other.id, rules[0].id}) == 3


def test_only_rules_that_go_together_with_each_other_too_stand_together(rules: list[Rule]) -> None:
    apart = {rules[0].id, rules[1].id}

    def going(one: Rule, other: Rule) -> float:
        return 0.0 if {one.id, other.id} == apart else 1.0

    company = EvenCompany(rules, going)
    for rule in rules:
        for pair in company.beside(rule, Draws("a test")):
            assert not apart <= {rule.id, *(each.id for each in pair)}


def test_a_rule_that_goes_with_none_or_with_one_only_is_left_out(rules: list[Rule]) -> None:
    def going(one: Rule, other: Rule) -> float:
        return float(rules[0].id not in (one.id, other.id))

    company = EvenCompany(rules, going)
    assert list(company.beside(rules[0], Draws("a test"))) == []
    assert rules[0].id not in company.times_drawn()
    assert EvenCompany(rules[:2], all_alike).times_drawn() == {}


def test_each_stands_beside_others_about_twice_as_often_as_it_is_asked(rules: list[Rule]) -> None:
    # Two stand beside each one asked: so each is the key in one showing of three.
    def going(one: Rule, other: Rule) -> float:
        return 9.0 if one.force == other.force else 1.0

    company = EvenCompany(rules, going)
    promised = company.times_drawn()
    drawn = stood_beside(company, rules, MANY)
    assert set(promised) == {rule.id for rule in rules}
    for id_, times in promised.items():
        assert times == pytest.approx(2, rel=1 - TOO_SELDOM)
        assert drawn[id_] / MANY == pytest.approx(times, abs=0.1)


@settings(max_examples=20)
@given(data=st.data())
def test_whatever_goes_with_what_two_stand_beside_each_one_asked(
    rules: list[Rule], data: st.DataObject
) -> None:
    few = rules[:6]
    weights = {
        frozenset({one.id, other.id}): data.draw(st.sampled_from([0.0, 1.0, 1.0, 4.0]))
        for place, one in enumerate(few)
        for other in few[:place]
    }
    times = EvenCompany(few, lambda one, other: weights[frozenset({one.id, other.id})]).times_drawn()
    assert sum(times.values()) == pytest.approx(2 * len(times))
    assert all(each > 0 for each in times.values())


def test_the_same_draws_give_the_same_company(knowledge: KnowledgeBase) -> None:
    many = [rule for rule in knowledge.rules.values() if rule.is_ruling][:30]
    pairs = [
        [(one.id, other.id) for one, other in EvenCompany(many, all_alike).beside(many[3], Draws("again"))]
        for _ in range(2)
    ]
    assert pairs[0] == pairs[1]
