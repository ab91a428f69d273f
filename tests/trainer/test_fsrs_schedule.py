"""The adaptive schedule, and what its library (fsrs 6.3.2) does that the adapter has to keep clear of."""

from __future__ import annotations

import random
import re
import subprocess
import sys
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from time import perf_counter
from zoneinfo import ZoneInfo

import pytest
from fsrs import Card, Rating, Scheduler

from sideplate_trainer.answers import Grade, LoggedAnswer
from sideplate_trainer.fsrs_schedule import LONGEST_INTERVAL, AdaptiveSchedule
from sideplate_trainer.gap_ladder import CHECK_INTERVALS
from sideplate_trainer.schedule import Standing, replay
from sideplate_trainer.scheduler import ADAPTIVE, LADDER, Check, ScheduleMissing, scheduler_named

DAY = date(2026, 3, 2)
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
ROOT = Path(__file__).parents[2]


def answer(grade: Grade = Grade.SOUND, days: int = 0, rule: str = "a-rule") -> LoggedAnswer:
    return LoggedAnswer(rule, "f1", "w1", grade, None, DAY + timedelta(days=days))


def standing(*answers: LoggedAnswer) -> Standing:
    return replay(answers, AdaptiveSchedule())["a-rule"]


def plain(**settings: object) -> Scheduler:
    wanted: dict[str, object] = {"learning_steps": (), "relearning_steps": (), "enable_fuzzing": False}
    return Scheduler(**(wanted | settings))  # type: ignore[arg-type]  # settings of several types by name


def test_the_schedules_are_had_by_name_and_the_ladder_comes_first() -> None:
    assert type(scheduler_named(ADAPTIVE)) is AdaptiveSchedule
    assert type(scheduler_named(LADDER)).__name__ == "GapLadder"
    with pytest.raises(ScheduleMissing, match="ladder and adaptive"):
        scheduler_named("cramming")


def test_right_answers_on_the_due_day_come_ever_further_apart_up_to_a_season() -> None:
    answers, intervals, days = [answer()], [standing(answer()).interval], 0
    for _ in range(4):
        days += intervals[-1]
        answers.append(answer(days=days))
        intervals.append(standing(*answers).interval)
    # Run with fsrs 6.3.2 at a recall of 0.80: 8, 75, then more than the longest.
    assert intervals == [8, 75, 90, 90, 90]
    assert max(intervals) == LONGEST_INTERVAL


def test_a_better_answer_is_never_checked_earlier() -> None:
    dues = [
        standing(answer(), answer(grade, days=8)).due
        for grade in (Grade.BLIND_SPOT, Grade.MISSED, Grade.SHAKY, Grade.SOUND)
    ]
    assert dues == sorted(dues)
    assert dues[0] == dues[1] < dues[2] < dues[3]


def test_what_it_says_is_derived_from_the_log_alone() -> None:
    answers = [answer(), answer(Grade.SHAKY, days=5), answer(Grade.MISSED, days=11), answer(days=13)]
    random.seed(1)
    first = standing(*answers)
    random.seed(2)
    assert standing(*answers) == first


def test_both_schedules_read_the_same_log() -> None:
    answers = [answer(), answer(days=8)]
    assert replay(answers)["a-rule"].right_days == standing(*answers).right_days
    assert replay(answers)["a-rule"].due != standing(*answers).due


def test_the_rung_that_ways_of_asking_go_by_is_the_ladders_for_the_same_interval() -> None:
    for days in (0, 8, 83, 173):
        answers = [answer(days=each) for each in (0, 8, 83, 173) if each <= days]
        found = standing(*answers)
        assert CHECK_INTERVALS[found.rung] <= found.interval
        assert found.rung == len(CHECK_INTERVALS) - 1 or CHECK_INTERVALS[found.rung + 1] > found.interval
    assert standing(answer(Grade.MISSED)).rung == 0


def test_a_second_right_answer_of_a_day_moves_nothing() -> None:
    assert standing(answer(), answer()).due == standing(answer()).due


def test_trap_elapsed_time_is_floored_to_whole_days() -> None:
    card, _ = plain().review_card(Card(card_id=1), Rating.Good, NOON)
    almost_a_day = plain().get_card_retrievability(card, NOON + timedelta(hours=23, minutes=59))
    assert almost_a_day == 1.0
    assert plain().get_card_retrievability(card, NOON + timedelta(days=1)) < 1.0
    # So the adapter counts whole days itself: every answer is given at noon.
    assert standing(answer()).due == DAY + timedelta(days=8)


def test_trap_only_one_kind_of_utc_is_taken() -> None:
    elsewhere = NOON.replace(tzinfo=ZoneInfo("UTC"))
    with pytest.raises(ValueError, match="UTC"):
        plain().review_card(Card(card_id=1), Rating.Good, elsewhere)
    memory = AdaptiveSchedule().next(None, answer(), DAY).memory
    assert isinstance(memory, Card)
    assert memory.last_review == NOON


def test_trap_an_id_that_is_no_number_is_written_but_cannot_be_read_back() -> None:
    written = Card(card_id="a-rule").to_dict()  # type: ignore[arg-type]  # the trap
    with pytest.raises(ValueError, match="a-rule"):
        Card.from_dict(written)
    memory = AdaptiveSchedule().next(None, answer(), DAY).memory
    assert isinstance(memory, Card)
    assert Card.from_dict(memory.to_dict()) == memory


def test_trap_a_card_without_an_id_waits_a_millisecond() -> None:
    started = perf_counter()
    for _ in range(5):
        Card()
    assert perf_counter() - started >= 0.005
    slept = perf_counter()
    for _ in range(5):
        Card(card_id=1)
    assert perf_counter() - slept < 0.005


def test_trap_a_recall_above_one_is_accepted() -> None:
    assert plain(desired_retention=1.5).desired_retention == 1.5
    assert 0 < AdaptiveSchedule()._scheduler.desired_retention < 1


def test_trap_a_clock_set_back_moves_the_next_check_into_the_past() -> None:
    card, _ = plain().review_card(Card(card_id=1), Rating.Good, NOON)
    back, _ = plain().review_card(card, Rating.Good, NOON - timedelta(days=40))
    assert back.due < NOON
    assert standing(answer(), answer(Grade.MISSED, days=-40)).due > DAY


def test_trap_fuzz_draws_from_the_chance_that_all_share_and_overshoots() -> None:
    def due(seed: int) -> datetime:
        random.seed(seed)
        card, _ = plain().review_card(Card(card_id=1), Rating.Good, NOON)
        fuzzed, _ = plain(enable_fuzzing=True).review_card(card, Rating.Good, card.due)
        return fuzzed.due

    assert len({due(seed) for seed in range(30)}) > 1
    assert due(1) == due(1)
    assert not AdaptiveSchedule()._scheduler.enable_fuzzing


def test_trap_steps_within_a_day_are_on_unless_they_are_taken_away() -> None:
    card, _ = Scheduler(enable_fuzzing=False).review_card(Card(card_id=1), Rating.Good, NOON)
    assert card.due - NOON < timedelta(hours=1)
    assert AdaptiveSchedule()._scheduler.learning_steps == ()
    assert AdaptiveSchedule()._scheduler.relearning_steps == ()


def test_trap_the_longest_interval_is_a_century_unless_it_is_cut() -> None:
    assert Scheduler().maximum_interval == 36500
    assert AdaptiveSchedule()._scheduler.maximum_interval == LONGEST_INTERVAL == 90


def test_the_card_that_was_handed_in_is_not_changed() -> None:
    before = AdaptiveSchedule().next(None, answer(), DAY)
    kept = Check(before.rung, before.last, before.due, before.memory)
    AdaptiveSchedule().next(before, answer(Grade.MISSED, days=8), DAY + timedelta(days=8))
    assert before == kept


def test_only_the_adapter_speaks_of_the_library() -> None:
    words = re.compile(r"fsrs|retrievability|relearning|stability", re.IGNORECASE)
    files = list((ROOT / "trainer" / "sideplate_trainer").rglob("*.py"))
    assert len(files) > 50
    speaking = {path.name for path in files if words.search(path.read_text(encoding="utf-8"))}
    # `scheduler.py` has the adapter's name, to import it by.
    assert speaking == {"fsrs_schedule.py", "scheduler.py"}


def test_without_the_extra_a_message_says_what_to_install() -> None:
    lines = (
        "import sys; sys.modules['fsrs'] = None\n"
        "from sideplate_trainer.scheduler import ScheduleMissing, scheduler_named\n"
        "try: scheduler_named('adaptive')\n"
        "except ScheduleMissing as missing: print(missing)"
    )
    done = subprocess.run(
        [sys.executable, "-c", lines], capture_output=True, text=True, timeout=60, check=True
    )
    assert "pip install 'sideplate[fsrs]'" in done.stdout
    assert "--schedule ladder" in done.stdout
