"""What a round plans to ask: when practised, placed and examined."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_trainer.answers import Grade, LoggedAnswer, Purpose
from sideplate_trainer.asked_about import fingerprint_of, is_procedure, topic_of
from sideplate_trainer.companions import companions_in
from sideplate_trainer.posing import SPARES
from sideplate_trainer.round_planning import (
    PLACEMENT_A_TOPIC,
    Learned,
    by_turns,
    plans_for,
    terms_for,
)
from sideplate_trainer.round_preparing import rules_of
from sideplate_trainer.round_request import Request
from sideplate_trainer.schedule import replay
from sideplate_trainer.way import Level
from sideplate_trainer.way_choice import level_of, ways_of
from sideplate_trainer.ways import all_ways

DAY = date(2026, 3, 2)


@pytest.fixture(scope="module")
def rules(knowledge: KnowledgeBase) -> tuple[str, ...]:
    return rules_of(knowledge, ())


def known(
    knowledge: KnowledgeBase, rules: Iterable[str], *met: str, days_ago: int = 30, printed: str | None = None
) -> Learned:
    log = [
        LoggedAnswer(
            rule,
            printed or fingerprint_of(knowledge, rule),
            "w",
            Grade.SOUND,
            None,
            DAY - timedelta(days=days_ago),
        )
        for rule in met
    ]
    fingerprints = {id_: fingerprint_of(knowledge, id_) for id_ in rules}
    return Learned("a-learner", replay(log), fingerprints, DAY)


PRACTICE = Request(questions=10)


def test_rules_not_met_are_introduced_in_their_simplest_way(
    knowledge: KnowledgeBase, rules: tuple[str, ...]
) -> None:
    learned = known(knowledge, rules)
    plans = plans_for(knowledge, rules, PRACTICE, learned, 0)
    assert [plan.rule for plan in plans] == list(rules[: 10 * SPARES])
    for plan in plans:
        assert level_of(plan.way) == min(map(level_of, ways_of(knowledge, plan.rule)))
    assert terms_for(PRACTICE, plans, knowledge, learned).new == {plan.rule for plan in plans}


def test_a_rule_that_was_met_is_not_introduced_again_unless_it_decides_otherwise(
    knowledge: KnowledgeBase, rules: tuple[str, ...]
) -> None:
    for printed, new in ((None, False), ("older", True)):
        learned = known(knowledge, rules, rules[0], printed=printed)
        plans = plans_for(knowledge, rules, PRACTICE, learned, 0)
        assert plans[0].rule == rules[0]
        assert (rules[0] in terms_for(PRACTICE, plans, knowledge, learned).new) is new


def test_a_rule_that_decides_otherwise_is_met_again_in_its_simplest_way_however_far_up_it_was(
    knowledge: KnowledgeBase, rules: tuple[str, ...]
) -> None:
    rule = "petrol-on-rings"
    learned = known(knowledge, rules, rule)
    for printed, level in ((learned.standings[rule].fingerprint, Level.REASON), ("older", Level.VERDICT)):
        far_up = {rule: replace(learned.standings[rule], rung=3, fingerprint=printed)}
        plans = plans_for(knowledge, rules, PRACTICE, replace(learned, standings=far_up), 0)
        assert (plans[0].rule, level_of(plans[0].way)) == (rule, level)


def test_a_procedure_comes_after_the_rules_of_its_topic(
    knowledge: KnowledgeBase, rules: tuple[str, ...]
) -> None:
    place = {id_: number for number, id_ in enumerate(rules)}
    procedures = [id_ for id_ in rules if is_procedure(id_)]
    assert len(procedures) == len(knowledge.procedures)
    for procedure in procedures:
        topic = topic_of(knowledge, procedure)
        of_topic = [
            id_ for id_ in rules if not is_procedure(id_) and topic in (None, topic_of(knowledge, id_))
        ]
        assert place[procedure] > max(place[id_] for id_ in of_topic)


def test_a_round_on_a_topic_has_its_procedures(knowledge: KnowledgeBase) -> None:
    rules = rules_of(knowledge, ("wear",))
    assert {id_ for id_ in rules if is_procedure(id_)} == {"procedure:measure-wear"}
    learned = known(knowledge, rules, *(id_ for id_ in rules if not is_procedure(id_)), days_ago=1)
    first = plans_for(knowledge, rules, PRACTICE, learned, 0)[0]
    assert (first.rule, first.way) == ("procedure:measure-wear", "steps_in_order")
    assert "procedure:measure-wear" in terms_for(PRACTICE, [first], knowledge, learned).new


def test_a_procedure_can_be_asked_for_by_name(knowledge: KnowledgeBase) -> None:
    (only,) = rules_of(knowledge, (), "procedure:cut-a-chain")
    learned = known(knowledge, (only,))
    (planned,) = plans_for(knowledge, (only,), Request(rule=only), learned, 0)
    assert (planned.rule, planned.way) == (only, "steps_in_order")


def test_a_known_look_alike_is_asked_beside_a_new_rule(
    knowledge: KnowledgeBase, rules: tuple[str, ...]
) -> None:
    new = "petrol-on-rings"
    # All but one were met yesterday; none of them is due, so that the new one comes first.
    learned = known(knowledge, rules, *(set(rules) - {new}), days_ago=1)
    plans = plans_for(knowledge, rules, PRACTICE, learned, 0)
    companion = next(id_ for id_ in companions_in(knowledge).of(new) if id_ in rules)
    assert [plan.rule for plan in plans[:2]] == [new, companion]
    assert "rings" in companion


def test_in_the_full_pass_the_longest_unasked_come_first(
    knowledge: KnowledgeBase, rules: tuple[str, ...]
) -> None:
    early, late = rules[5], rules[9]
    log = [
        LoggedAnswer(
            rule, fingerprint_of(knowledge, rule), "w", Grade.SOUND, None, DAY - timedelta(days=days)
        )
        for rule, days in [(rule, 3) for rule in rules if rule not in (early, late)] + [(late, 8), (early, 9)]
    ]
    learned = replace(known(knowledge, rules), standings=replay(log), in_full_pass=True)
    plans = plans_for(knowledge, rules, PRACTICE, learned, 0)
    assert [plan.rule for plan in plans[:2]] == [early, late]
    assert plans[2].rule == rules[0]


PLACEMENT = Request(purpose=Purpose.PLACEMENT)


def test_a_placement_round_asks_a_few_rules_of_each_topic_by_turns_and_only_those_not_met(
    knowledge: KnowledgeBase, rules: tuple[str, ...]
) -> None:
    met = {id_ for id_ in rules if topic_of(knowledge, id_) == "wear"}
    plans = plans_for(knowledge, rules, PLACEMENT, known(knowledge, rules, *met), 0)
    topics = [topic_of(knowledge, plan.rule) for plan in plans]
    assert "wear" not in topics
    turn = len(set(topics))
    assert len(set(topics[:turn])) == turn
    assert all(topics.count(topic) <= PLACEMENT_A_TOPIC for topic in topics)
    terms = terms_for(PLACEMENT, plans, knowledge, known(knowledge, rules))
    assert (terms.purpose, terms.new) == (Purpose.PLACEMENT, frozenset())
    assert set(terms.topics) == {plan.rule for plan in plans}


def test_a_placement_round_is_the_same_for_a_seed_and_another_for_another(
    knowledge: KnowledgeBase, rules: tuple[str, ...]
) -> None:
    learned = known(knowledge, rules)
    one, again, other = (
        plans_for(knowledge, rules, replace(PLACEMENT, seed=seed), learned, 0) for seed in (1, 1, 2)
    )
    assert one == again != other


EXAM = Request(questions=12, purpose=Purpose.EXAM)


def test_an_exams_paper_depends_on_its_number_and_on_no_record(
    knowledge: KnowledgeBase, rules: tuple[str, ...]
) -> None:
    beginner, old_hand = known(knowledge, rules), known(knowledge, rules, *rules[:200])
    paper = plans_for(knowledge, rules, EXAM, beginner, 7)
    assert paper == plans_for(knowledge, rules, EXAM, replace(old_hand, learner="another"), 7)
    assert paper != plans_for(knowledge, rules, EXAM, beginner, 8)


def test_a_paper_is_drawn_over_all_ways_of_asking(knowledge: KnowledgeBase, rules: tuple[str, ...]) -> None:
    everything = replace(EXAM, questions=200)
    paper = plans_for(knowledge, rules, everything, known(knowledge, rules), 7)
    assert {plan.way for plan in paper} == {*all_ways()}


def test_an_exam_goes_over_all_topics_and_repeats_no_rule(
    knowledge: KnowledgeBase, rules: tuple[str, ...]
) -> None:
    paper = plans_for(knowledge, rules, EXAM, known(knowledge, rules), 7)
    asked = [plan.rule for plan in paper]
    assert len(set(asked)) == len(asked)
    named = {topic for id_ in rules if (topic := topic_of(knowledge, id_)) is not None}
    assert {topic_of(knowledge, id_) for id_ in asked[: len(named)]} == named
    assert terms_for(EXAM, paper, knowledge, known(knowledge, rules)).new == frozenset()


def test_a_single_rule_is_asked_about_whether_it_is_due_or_not(
    knowledge: KnowledgeBase, rules: tuple[str, ...]
) -> None:
    request = Request(rule="petrol-on-rings")
    learned = known(knowledge, rules, "petrol-on-rings", days_ago=0)
    plans = plans_for(knowledge, ("petrol-on-rings",), request, learned, 0)
    assert [plan.rule for plan in plans] == ["petrol-on-rings"]


def test_turns_are_taken_until_the_longest_topic_is_through(
    knowledge: KnowledgeBase, rules: tuple[str, ...]
) -> None:
    assert sorted(by_turns(knowledge, rules, "x", len(rules))) == sorted(rules)
    assert by_turns(knowledge, (), "x", 4) == ()


@pytest.mark.parametrize(
    ("request_", "wanted"),
    [
        (Request(), 10),
        (Request(minutes=5), 200),
        (Request(minutes=5, questions=3), 3),
        (Request(purpose=Purpose.EXAM), 20),
        (Request(purpose=Purpose.PLACEMENT), 36),
        (Request(rule="a", questions=9), 1),
    ],
)
def test_a_round_has_as_many_questions_as_its_kind_unless_it_is_told(request_: Request, wanted: int) -> None:
    assert request_.wanted == wanted
