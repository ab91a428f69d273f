"""How far being sure can be trusted."""

from __future__ import annotations

from datetime import date

import pytest

from sideplate_trainer.answers import Grade, LoggedAnswer, grade_of
from sideplate_trainer.calibration import ENOUGH, Tally, calibration

DAY = date(2026, 3, 2)


def answers(
    right: int, wrong: int, *, unsure: bool = False, guided: bool = False, helped: bool = False
) -> list[LoggedAnswer]:
    return [
        LoggedAnswer(
            "a-rule",
            "f1",
            "w",
            grade_of(number < right, helped, unsure),
            None,
            DAY,
            unsure=unsure,
            guided=guided,
        )
        for number in range(right + wrong)
    ]


def told(*groups: list[LoggedAnswer]) -> str:
    return " ".join(calibration([answer for group in groups for answer in group]).lines())


def test_sure_and_unsure_answers_are_tallied_apart() -> None:
    found = calibration([*answers(9, 1), *answers(2, 3, unsure=True)])
    assert (found.sure, found.unsure) == (Tally(10, 9), Tally(5, 2))
    assert found.sure.share == pytest.approx(0.9)


def test_a_helped_answer_given_as_sure_counts_as_sure() -> None:
    assert calibration(answers(1, 0, helped=True)).sure == Tally(1, 1)


def test_answers_to_which_the_way_was_told_say_nothing() -> None:
    assert calibration(answers(5, 5, guided=True)).sure == Tally(0, 0)
    assert "When you were sure: none yet." in told(answers(5, 5, guided=True))


def test_who_is_surer_than_right_is_told_once_there_is_enough_to_go_by() -> None:
    assert "sure more often than you are right" in told(answers(ENOUGH - 3, 3))
    assert "sure more often" not in told(answers(ENOUGH, 1))
    assert "sure more often" not in told(answers(ENOUGH - 4, 3))


def test_who_doubts_without_need_is_told() -> None:
    assert "You doubt more than you need" in told(answers(ENOUGH, 1, unsure=True))
    assert "You doubt" not in told(answers(ENOUGH // 2, ENOUGH // 2, unsure=True))


def test_a_blind_spot_is_a_sure_answer_that_was_wrong() -> None:
    (only,) = answers(0, 1)
    assert only.grade is Grade.BLIND_SPOT
    assert "right in 0 of 1, 0 %" in told([only])
