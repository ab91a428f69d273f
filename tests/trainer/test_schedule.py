"""The ladder of check intervals, replayed from the log: whole days, no chance."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from sideplate_engine import Judge, KnowledgeBase
from sideplate_trainer.answers import Grade, LoggedAnswer, Purpose, grade_of
from sideplate_trainer.gap_ladder import CHECK_INTERVALS, PLACED, rung_after
from sideplate_trainer.schedule import (
    Standing,
    State,
    is_due,
    is_new,
    order_of_asking,
    order_of_full_pass,
    replay,
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
    guided: bool = False,
    purpose: Purpose = Purpose.PRACTICE,
) -> LoggedAnswer:
    return LoggedAnswer(
        rule, printed, way, grade, blamed, DAY + timedelta(days=days), guided=guided, purpose=purpose
    )


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


def test_a_rule_climbs_at_most_once_a_day() -> None:
    twice = standing(answer(), answer(days=2), answer(days=2))
    assert (twice.rung, twice.due) == (1, DAY + timedelta(days=2 + 5))
    missed = standing(answer(), answer(days=2), answer(Grade.MISSED, days=2))
    assert missed.rung == 0


def test_a_clock_that_was_set_back_makes_nothing_due_earlier() -> None:
    assert standing(answer(), answer(days=2), answer(Grade.SHAKY, days=-40)).due == DAY + timedelta(days=7)


KNOWN = (answer(way="w1"), answer(days=2, way="w2"), answer(days=7, way="w1"), answer(days=19, way="w2"))
"""A rule known on four days in two ways, the last time after twelve days."""


def after(*answers: LoggedAnswer, days: int = 20) -> State:
    return state_of(standing(*answers), "f1", DAY + timedelta(days=days))


def test_a_rule_is_signed_off_after_three_days_two_ways_and_a_gap_of_twelve_days() -> None:
    assert after(*KNOWN) is State.SIGNED_OFF
    assert after(*KNOWN[:3], days=8) is State.IN_SERVICE
    assert after(KNOWN[0], KNOWN[1], answer(days=14, way="w1"), days=15) is State.SIGNED_OFF
    assert after(KNOWN[0], answer(days=14, way="w2"), days=15) is State.IN_SERVICE
    assert after(answer(), answer(days=2), answer(days=7), answer(days=19)) is State.IN_SERVICE


def test_what_can_be_asked_about_in_one_way_only_is_signed_off_in_that_way() -> None:
    known = standing(answer(), answer(days=2), answer(days=7), answer(days=19))
    day = DAY + timedelta(days=20)
    assert [state_of(known, "f1", day, ways) for ways in (1, 2)] == [State.SIGNED_OFF, State.IN_SERVICE]
    missed = standing(answer(), answer(days=2), answer(days=7), answer(Grade.MISSED, days=19))
    assert state_of(missed, "f1", day, 1) is State.ON_THE_BENCH


@pytest.mark.parametrize("grade", [Grade.MISSED, Grade.BLIND_SPOT])
def test_a_miss_takes_the_sign_off_away_until_a_gap_of_twelve_days_is_passed_again(grade: Grade) -> None:
    missed = (*KNOWN, answer(grade, days=49))
    assert after(*missed, days=50) is State.ON_THE_BENCH
    again = (*missed, answer(days=54), answer(days=60))
    assert after(*again, days=61) is State.IN_SERVICE
    assert after(*again, answer(days=72), days=73) is State.SIGNED_OFF


def test_an_early_check_does_not_take_a_sign_off_away() -> None:
    assert after(*KNOWN, answer(days=22), days=23) is State.SIGNED_OFF


def test_a_helped_or_unsure_answer_proves_nothing() -> None:
    shaky = tuple(answer(Grade.SHAKY, days=days, way=way) for days, way in ((0, "w1"), (2, "w2"), (16, "w1")))
    assert after(*shaky, answer(days=18), days=19) is State.IN_SERVICE
    assert standing(*shaky).right_days == frozenset()


def test_an_answer_to_which_the_way_was_told_leaves_the_rule_on_the_bench_and_proves_nothing() -> None:
    told = standing(answer(guided=True))
    assert (told.rung, told.right_days, told.right_ways) == (0, frozenset(), frozenset())
    assert state_of(told, "f1", DAY) is State.ON_THE_BENCH
    assert after(answer(guided=True), answer(days=2), days=3) is State.IN_SERVICE


@pytest.mark.parametrize("purpose", [Purpose.PLACEMENT, Purpose.EXAM])
def test_a_rule_known_when_it_is_first_met_in_a_test_begins_higher(purpose: Purpose) -> None:
    known = standing(answer(purpose=purpose))
    assert (known.rung, known.interval) == (PLACED, 12)
    assert not is_new(known, "f1")


@pytest.mark.parametrize("grade", [Grade.SHAKY, Grade.MISSED, Grade.BLIND_SPOT])
def test_a_rule_not_known_when_first_met_in_a_test_has_still_to_be_introduced(grade: Grade) -> None:
    unknown = standing(answer(grade, purpose=Purpose.PLACEMENT))
    assert (unknown.rung, is_new(unknown, "f1")) == (0, True)
    assert not is_new(standing(answer(grade, purpose=Purpose.PLACEMENT), answer(grade, days=2)), "f1")


def test_a_rule_is_new_when_it_was_not_met_and_when_it_decides_otherwise_now() -> None:
    assert is_new(None, "f1")
    assert is_new(standing(answer()), "f2")
    assert not is_new(standing(answer()), "f1")


def test_the_last_pass_asks_every_rule_the_longest_unasked_first() -> None:
    standings = replay([answer(rule="b", days=-3), answer(rule="a", days=-9), answer(rule="today")])
    order = order_of_full_pass(("today", "a", "b", "unmet"), standings, DAY)
    assert order == ("unmet", "a", "b")


def test_a_rule_that_decides_otherwise_now_is_due_and_begins_again() -> None:
    known = (answer(), answer(days=2), answer(days=7))
    assert is_due(standing(*known), "f2", DAY + timedelta(days=8))
    begun_again = standing(*known, answer(days=8, printed="f2"))
    assert (begun_again.rung, begun_again.asked) == (0, 4)
    assert begun_again.right_days == {DAY + timedelta(days=8)}


def test_a_miss_is_charged_to_the_rule_that_was_misapplied_and_the_one_asked_about_is_held() -> None:
    before = (
        answer(rule="other"),
        answer(days=2, rule="other"),
        answer(days=7, rule="other"),
        answer(days=7),
        answer(days=9),
    )
    charged = replay([*before, answer(Grade.MISSED, days=10, blamed="other")])
    assert (charged["other"].rung, charged["other"].due) == (0, DAY + timedelta(days=12))
    assert charged["other"].grade is Grade.MISSED
    assert (charged["a-rule"].rung, charged["a-rule"].due) == (1, DAY + timedelta(days=15))
    assert charged["a-rule"].grade is Grade.SOUND
    assert (charged["a-rule"].asked, charged["other"].asked) == (3, 3)


def test_a_miss_charged_to_a_rule_that_is_signed_off_puts_it_back_on_the_bench() -> None:
    charged = standing(*KNOWN, answer(Grade.BLIND_SPOT, days=20, rule="another", blamed="a-rule"))
    assert state_of(charged, "f1", DAY + timedelta(days=21)) is State.ON_THE_BENCH


def test_a_rule_that_was_never_met_is_not_charged_but_the_one_asked_about_is_met() -> None:
    charged = replay([answer(Grade.MISSED, blamed="other")])
    assert "other" not in charged
    assert (charged["a-rule"].rung, charged["a-rule"].asked) == (0, 1)
    assert state_of(charged["a-rule"], "f1", DAY) is State.ON_THE_BENCH


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
