"""The log of answers: append-only, on disk before anything is shown, safe between terminals."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path

import pytest

from sideplate_trainer.answer_log import AnswerLog, LogRefused
from sideplate_trainer.answers import Answer, Grade, LoggedAnswer
from sideplate_trainer.log_schema import MIGRATIONS

DAY = date(2026, 3, 2)
NOW = datetime(2026, 3, 2, 19, 30, tzinfo=timezone(timedelta(hours=1)))
ASKED_FOR: dict[str, object] = {"topic": None, "questions": 10}
PLANS = (("a-rule", "is_this_allowed", 7), ("b-rule", "how_much", 8))


def answer(rule: str = "a-rule", grade: Grade = Grade.SOUND) -> Answer:
    blamed = None if grade.is_right else rule
    return Answer(rule, "is_this_allowed", 7, "must", "must not", grade.is_right, grade, blamed, 1, True)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "new folder" / "record.sqlite3"


@pytest.fixture
def log(path: Path) -> Iterator[AnswerLog]:
    with AnswerLog(path, "0.1") as opened:
        yield opened


def rows(path: Path, query: str) -> list[tuple[object, ...]]:
    connection = sqlite3.connect(path)
    try:
        return connection.execute(query).fetchall()
    finally:
        connection.close()


def begun(log: AnswerLog, day: date = DAY) -> str:
    return log.begin_round(ASKED_FOR, PLANS, 10, day, NOW)


def test_an_answer_comes_back_as_it_was_given(log: AnswerLog) -> None:
    log.add(begun(log), answer(grade=Grade.MISSED), "f1", 4200, DAY, NOW)
    assert log.answers() == (LoggedAnswer("a-rule", "f1", "is_this_allowed", Grade.MISSED, "a-rule", DAY),)


def test_an_answer_is_on_disk_for_others_as_soon_as_it_is_added(log: AnswerLog, path: Path) -> None:
    round_id = begun(log)
    log.add(round_id, answer(), "f1", 4200, DAY, NOW)
    kept = rows(
        path, "SELECT round, seed, response, key, is_right, hints, unsure, ms, at_utc, day_local FROM answer"
    )
    assert kept == [
        (round_id, 7, "must", "must not", 1, 1, 1, 4200, "2026-03-02T18:30:00.000+00:00", "2026-03-02")
    ]


def test_answers_come_back_in_the_order_given(log: AnswerLog) -> None:
    round_id = begun(log)
    for number in range(20):
        log.add(round_id, answer(f"rule-{number}"), "f1", 1, DAY, NOW)
    assert [each.rule for each in log.answers()] == [f"rule-{number}" for number in range(20)]


def test_an_answer_is_never_changed(log: AnswerLog, path: Path) -> None:
    log.add(begun(log), answer(), "f1", 1, DAY, NOW)
    connection = sqlite3.connect(path)
    try:
        with pytest.raises(sqlite3.IntegrityError, match="never changed"):
            connection.execute("UPDATE answer SET grade = 'sound'")
    finally:
        connection.close()


def test_the_log_is_kept_in_strict_tables_and_a_write_ahead_log(path: Path, log: AnswerLog) -> None:
    assert rows(path, "PRAGMA journal_mode") == [("wal",)]
    tables = rows(
        path, "SELECT name, strict FROM pragma_table_list WHERE name NOT LIKE 'sqlite%' ORDER BY name"
    )
    assert tables == [("answer", 1), ("learner", 1), ("round", 1)]
    with pytest.raises(LogRefused, match="TEXT"):
        log.add(begun(log), answer(), "f1", "soon", DAY, NOW)  # type: ignore[arg-type]  # a time that is no number


def test_every_write_waits_for_the_disk(log: AnswerLog) -> None:
    # 2 is FULL: the log is flushed at every commit. https://www.sqlite.org/pragma.html#pragma_synchronous
    assert log._connection.execute("PRAGMA synchronous").fetchone() == (2,)


def test_the_learner_keeps_one_nameless_id(path: Path) -> None:
    with AnswerLog(path, "0.1") as first, AnswerLog(path, "0.1") as second:
        assert first.learner == second.learner
        assert len(first.learner) == 36


def test_a_round_broken_off_is_found_with_its_answers(log: AnswerLog) -> None:
    round_id = begun(log)
    log.add(round_id, answer(), "f1", 1, DAY, NOW)
    found = log.open_round(ASKED_FOR, DAY)
    assert found is not None
    assert (found.id, found.planned, found.wanted) == (round_id, PLANS, 10)
    assert [each.rule for each in found.answered] == ["a-rule"]
    assert log.count_in_round(round_id) == 1


def test_a_round_that_ended_or_was_asked_for_otherwise_or_is_of_another_day_is_not_gone_on_with(
    log: AnswerLog,
) -> None:
    round_id = begun(log)
    assert log.open_round({**ASKED_FOR, "topic": "slack"}, DAY) is None
    assert log.open_round(ASKED_FOR, DAY + timedelta(days=1)) is None
    log.end_round(round_id, NOW)
    assert log.open_round(ASKED_FOR, DAY) is None


def test_two_terminals_lose_no_answer(path: Path) -> None:
    def write(terminal: int) -> None:
        with AnswerLog(path, "0.1") as log:
            round_id = begun(log)
            for number in range(25):
                log.add(round_id, answer(f"rule-{terminal}-{number}"), "f1", 1, DAY, NOW)

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(write, range(4)))
    with AnswerLog(path, "0.1") as log:
        assert {each.rule for each in log.answers()} == {f"rule-{t}-{n}" for t in range(4) for n in range(25)}


def test_a_log_of_a_newer_version_is_refused_and_left_alone(path: Path) -> None:
    AnswerLog(path, "0.1").close()
    connection = sqlite3.connect(path)
    connection.execute(f"PRAGMA user_version = {len(MIGRATIONS) + 1}")
    connection.close()
    with pytest.raises(LogRefused, match="newer Sideplate"):
        AnswerLog(path, "0.1")
    assert rows(path, "PRAGMA user_version") == [(len(MIGRATIONS) + 1,)]


def test_a_database_of_something_else_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "other.sqlite3"
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE shopping (thing TEXT)")
    connection.close()
    with pytest.raises(LogRefused, match="database of something else"):
        AnswerLog(path, "0.1")
    assert rows(path, "SELECT name FROM sqlite_schema") == [("shopping",)]


def test_what_is_no_database_a_folder_and_a_barred_place_are_refused_in_words(tmp_path: Path) -> None:
    text = tmp_path / "notes.txt"
    text.write_text("not a database, and long enough to be seen to be none" * 40)
    for path in (text, tmp_path, text / "record.sqlite3"):
        with pytest.raises(LogRefused, match=r"notes\.txt|record"):
            AnswerLog(path, "0.1")
    assert text.read_text().startswith("not a database")


def test_moments_are_kept_in_utc(log: AnswerLog, path: Path) -> None:
    round_id = begun(log)
    log.end_round(round_id, datetime(2026, 3, 2, 20, 0, tzinfo=UTC))
    assert rows(path, "SELECT begun_at, ended_at FROM round") == [
        ("2026-03-02T18:30:00.000+00:00", "2026-03-02T20:00:00.000+00:00")
    ]
