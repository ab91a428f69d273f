"""What is left until an assessment: sessions, the last full pass, and whether the questions suffice."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_trainer.answers import Grade, LoggedAnswer
from sideplate_trainer.assessment import (
    QUESTIONS_A_RULE,
    Assessment,
    Outlook,
    Pace,
    core_topics,
    habit,
    outlook,
)
from sideplate_trainer.schedule import order_of_full_pass, replay

DAY = date(2026, 3, 2)
RULES = tuple(f"rule-{number}" for number in range(20))


def answers(days: Iterable[int], a_day: int = 5) -> list[LoggedAnswer]:
    return [
        LoggedAnswer(RULES[number % len(RULES)], "f1", "w", Grade.SOUND, None, DAY + timedelta(days=day))
        for day in days
        for number in range(a_day)
    ]


def ahead(days: int, *given: LoggedAnswer, a_week: int | None = 7, questions: int = 5) -> Outlook:
    assessment = Assessment(DAY + timedelta(days=days), (), a_week)
    return outlook(assessment, RULES, given, DAY, questions)


def test_a_habit_is_the_sessions_and_questions_of_the_last_four_weeks() -> None:
    assert habit(answers(range(-28, 0, 2)), DAY) == Pace(14 / 4, 5.0)
    assert habit(answers((-60, -50, -40)), DAY) is None
    assert habit(answers((-3, -1), 9), DAY) is None


def test_a_habit_of_some_days_is_not_blown_up_to_more_than_was_done_in_a_week() -> None:
    assert habit(answers((-3, -2, -1)), DAY) == Pace(3.0, 5.0)


def test_what_is_asked_today_is_no_habit_yet() -> None:
    assert habit(answers((-9, -5, -1, 0, 0, 0)), DAY) == Pace(3 / (9 / 7), 5.0)


def test_sessions_are_counted_from_today_to_the_day_before() -> None:
    assert ahead(8).sessions_left == 8
    assert ahead(1).sessions_left == 1
    assert ahead(14, a_week=5).sessions_left == 10
    assert (ahead(0).sessions_left, ahead(-3).sessions_left) == (0, 0)


def test_the_habit_of_the_record_counts_unless_sessions_are_given() -> None:
    practised = answers(range(-28, 0, 4), 10)
    by_habit = ahead(28, *practised, a_week=None)
    assert (by_habit.sessions_left, by_habit.planned) == (7, 70)
    assert ahead(28, *practised, a_week=3).sessions_left == 12
    assert ahead(28, a_week=None).sessions_left == 20


@pytest.mark.parametrize(("days", "begun"), [(5, False), (4, True), (1, True), (0, False), (-1, False)])
def test_the_full_pass_is_the_last_sessions_that_ask_every_rule_once(days: int, begun: bool) -> None:
    # 20 rules at 5 a session are 4 sessions.
    assert ahead(days).in_full_pass is begun


def test_in_the_pass_every_rule_is_asked_exactly_once() -> None:
    log = [
        LoggedAnswer(rule, "f1", "w", Grade.SOUND, None, DAY - timedelta(days=1 + number % 9))
        for number, rule in enumerate(RULES[:15])
    ]
    asked: list[str] = []
    for session in range(4):
        today = DAY + timedelta(days=session)
        left = outlook(Assessment(DAY + timedelta(days=4), (), 7), RULES, log, today, 5)
        assert left.in_full_pass
        for rule in order_of_full_pass(RULES, replay(log), today)[:5]:
            asked.append(rule)
            log.append(LoggedAnswer(rule, "f1", "w", Grade.MISSED, rule, today))
    assert sorted(asked) == sorted(RULES)
    assert asked[:5] == list(RULES[15:])


def test_too_few_questions_are_under_four_a_rule_with_those_answered_already() -> None:
    assert QUESTIONS_A_RULE == 4
    assert ahead(15).is_short
    assert not ahead(16).is_short
    assert not ahead(15, *answers((-40,), 5)).is_short
    assert not ahead(-1).is_short


def test_answers_about_other_rules_are_not_counted() -> None:
    other = [LoggedAnswer("other", "f1", "w", Grade.SOUND, None, DAY) for _ in range(99)]
    assert ahead(10, *other).asked == 0


def test_a_core_set_fits_and_begins_with_what_keeps_from_harm(knowledge: KnowledgeBase) -> None:
    sizes = {topic: len(knowledge.rules_of(topic)) for topic in knowledge.topics}
    for room in (400, 800, 1200):
        topics = core_topics(knowledge, knowledge.rules, room)
        assert "safety" in topics
        assert QUESTIONS_A_RULE * sum(sizes[topic] for topic in topics) <= room
        assert list(topics) == [topic for topic in knowledge.topics if topic in topics]
    everything = core_topics(knowledge, knowledge.rules, QUESTIONS_A_RULE * len(knowledge.rules))
    assert everything == tuple(knowledge.topics)


def test_a_core_set_is_never_empty(knowledge: KnowledgeBase) -> None:
    assert len(core_topics(knowledge, knowledge.rules, 0)) == 1
