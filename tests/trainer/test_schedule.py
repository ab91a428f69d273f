"""The ladder of check intervals, replayed from the log: whole days, no chance."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from sideplate_engine import Judge, KnowledgeBase
from sideplate_trainer.answers import Grade, LoggedAnswer, grade_of
from sideplate_trainer.schedule import (
    CHECK_INTERVALS,
    Standing,
    State,
    is_due,
    order_of_asking,
    replay,
    rung_after,
    state_of,
    teaching_order,
)

DAY = date(2026, 3, 2)


def answer(
    grade: Grade = Grade.SOUND,
    days: int = 0,
    *,
    rule: str = "a-rule",
    printed: str = "f1",
    way: str = "w1",
    blamed: str | None = None,
) -> LoggedAnswer:
    return LoggedAnswer(rule, printed, way, grade, blamed, DAY + timedelta(days=days))


def standing(*answers: LoggedAnswer, rule: str = "a-rule") -> Standing:
    return replay(answers)[rule]


def test_right_answers_climb_through_every_interval_and_stay_on_the_last() -> None:
    days, intervals = 0, []
    answers: list[LoggedAnswer] = []
    for _ in range(7):
        answers.append(answer(days=days))
        intervals.append(standing(*answers).interval)
        days += intervals[-1]
    assert intervals == [2, 5, 12, 30, 60, 60, 60]
    assert intervals[:5] == list(CHECK_INTERVALS)


@pytest.mark.parametrize(
    ("rung", "grade", "after"),
    [
        (None, Grade.SOUND, 0),
        (None, Grade.BLIND_SPOT, 0),
        (1, Grade.SOUND, 2),
        (4, Grade.SOUND, 4),
        (3, Grade.SHAKY, 3),
        (4, Grade.MISSED, 2),
        (3, Grade.BLIND_SPOT, 1),
        (1, Grade.MISSED, 0),
        (0, Grade.MISSED, 0),
    ],
)
def test_right_and_sure_goes_up_unsure_stays_and_wrong_goes_down_two(
    rung: int | None, grade: Grade, after: int
) -> None:
    assert rung_after(rung, grade) == after


@pytest.mark.parametrize(
    ("right", "helped", "unsure", "grade"),
    [
        (True, False, False, Grade.SOUND),
        (True, True, False, Grade.SHAKY),
        (True, False, True, Grade.SHAKY),
        (False, False, True, Grade.MISSED),
        (False, True, False, Grade.MISSED),
        (False, False, False, Grade.BLIND_SPOT),
    ],
)
def test_only_a_right_unaided_sure_answer_is_sound(
    right: bool, helped: bool, unsure: bool, grade: Grade
) -> None:
    assert grade_of(right, helped, unsure) is grade


def test_the_next_check_is_counted_from_the_last_answer() -> None:
    late = standing(answer(), answer(days=9))
    assert late.due == DAY + timedelta(days=9 + 5)


def test_a_rule_goes_through_its_states() -> None:
    assert state_of(None, "f1", DAY) is State.UNMET
    fresh = standing(answer())
    assert state_of(fresh, "f1", DAY) is State.IN_SERVICE
    assert state_of(fresh, "f1", DAY + timedelta(days=2)) is State.DUE_FOR_CHECK
    assert state_of(standing(answer(Grade.MISSED)), "f1", DAY) is State.ON_THE_BENCH
    assert state_of(standing(answer(Grade.SHAKY)), "f1", DAY) is State.ON_THE_BENCH
    assert state_of(fresh, "f2", DAY) is State.REOPENED


def test_a_rule_is_signed_off_after_three_days_two_ways_and_twelve_days_interval() -> None:
    answers = (answer(way="w1"), answer(days=2, way="w2"), answer(days=7, way="w1"))
    assert standing(*answers).interval == 12
    assert state_of(standing(*answers), "f1", DAY + timedelta(days=8)) is State.SIGNED_OFF
    one_way = (answer(), answer(days=2), answer(days=7))
    assert state_of(standing(*one_way), "f1", DAY + timedelta(days=8)) is State.IN_SERVICE
    missed = (*answers, answer(Grade.MISSED, days=19))
    assert state_of(standing(*missed), "f1", DAY + timedelta(days=20)) is State.ON_THE_BENCH


def test_a_rule_that_decides_otherwise_now_is_due_and_begins_again() -> None:
    known = (answer(), answer(days=2), answer(days=7))
    assert is_due(standing(*known), "f2", DAY + timedelta(days=8))
    begun_again = standing(*known, answer(days=8, printed="f2"))
    assert (begun_again.rung, begun_again.asked) == (0, 4)
    assert begun_again.right_days == {DAY + timedelta(days=8)}


def test_a_miss_blamed_on_another_rule_is_that_rules_miss() -> None:
    before = (
        answer(rule="other"),
        answer(days=2, rule="other"),
        answer(days=7, rule="other"),
        answer(days=7),
    )
    blamed = replay([*before, answer(Grade.MISSED, days=9, blamed="other")])
    assert blamed["other"].rung == 0
    assert blamed["a-rule"].rung == 0
    assert blamed["a-rule"].grade is Grade.SOUND
    assert not blamed["other"].grade.is_right


def test_what_is_due_comes_first_then_what_is_new_then_what_is_due_soonest() -> None:
    standings = replay(
        [
            answer(rule="due-late"),
            answer(rule="due-early", days=-10),
            answer(rule="not-yet", days=-1),
            answer(rule="not-yet", days=4),
            answer(rule="sooner", days=4),
            answer(rule="today", days=5),
        ]
    )
    rules = ("new-b", "new-a", "not-yet", "sooner", "today", "due-late", "due-early")
    order = order_of_asking(rules, standings, dict.fromkeys(rules, "f1"), DAY + timedelta(days=5))
    assert order == ("due-early", "due-late", "new-b", "new-a", "sooner", "not-yet")


def test_a_rule_comes_at_most_once_a_day() -> None:
    standings = replay([answer(Grade.MISSED)])
    assert order_of_asking(("a-rule",), standings, {"a-rule": "f1"}, DAY) == ()
    assert order_of_asking(("a-rule",), standings, {"a-rule": "f2"}, DAY) == ()


def test_no_rule_is_taught_before_one_whose_conclusion_it_reads(knowledge: KnowledgeBase) -> None:
    order = teaching_order(knowledge)
    place = {id_: number for number, id_ in enumerate(order)}
    assert sorted(order) == sorted(knowledge.rules)
    for rule in knowledge.rules.values():
        for fact in rule.reads():
            for deriver in knowledge.derivers(fact):
                assert place[deriver.id] < place[rule.id]


def test_topics_are_taught_in_their_order_where_nothing_else_speaks(judge: Judge) -> None:
    order = teaching_order(judge.knowledge)
    assert order.index("bent-bolt") < order.index("grease-it")
    assert order.index("pitch-by-table") < order.index("travel-by-turns")
