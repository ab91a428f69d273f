"""The log of answers: append-only, on disk before anything is shown, safe between terminals."""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path

import pytest

from sideplate_trainer.answer_log import AnswerLog, LogRefused
from sideplate_trainer.answers import Answer, Draft, Grade, LoggedAnswer, Purpose
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
    assert log.answers() == (
        LoggedAnswer(
            "a-rule", "f1", "is_this_allowed", Grade.MISSED, "a-rule", DAY, unsure=True, response="must",
            key="must not", seed=7,
        ),
    )  # fmt: skip


@pytest.mark.parametrize("purpose", list(Purpose))
def test_an_answer_tells_what_it_was_for_and_whether_the_way_was_told(
    log: AnswerLog, purpose: Purpose
) -> None:
    log.add(begun(log), replace(answer(), purpose=purpose, guided=True), "f1", 1, DAY, NOW)
    (kept,) = log.answers()
    assert (kept.purpose, kept.guided) == (purpose, True)


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
    assert tables == [("answer", 1), ("draft", 1), ("learner", 1), ("round", 1), ("setting", 1)]
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


def test_the_help_taken_on_a_question_is_kept_until_it_is_answered(log: AnswerLog) -> None:
    round_id = begun(log)
    log.keep_draft(round_id, Draft("a-rule", 1, helped=False, unsure=False))
    log.keep_draft(round_id, Draft("a-rule", 2, helped=True, unsure=True))
    found = log.open_round(ASKED_FOR, DAY)
    assert found is not None
    assert found.draft == Draft("a-rule", 2, helped=True, unsure=True)
    log.add(round_id, answer(), "f1", 4200, DAY, NOW)
    found = log.open_round(ASKED_FOR, DAY)
    assert found is not None
    assert (found.draft, found.ms) == (None, 4200)


def test_a_round_remembers_the_seed_of_its_paper(log: AnswerLog) -> None:
    log.begin_round(ASKED_FOR, PLANS, 10, DAY, NOW, seed=482913)
    found = log.open_round(ASKED_FOR, DAY)
    assert found is not None
    assert found.seed == 482913


def test_settings_are_kept_with_the_record_and_can_be_taken_away(path: Path) -> None:
    with AnswerLog(path, "0.1") as log:
        assert log.setting("assessment") is None
        log.keep_setting("assessment", {"on": "2026-12-20"})
        log.keep_setting("schedule", "ladder")
        log.keep_setting("schedule", "adaptive")
    with AnswerLog(path, "0.1") as log:
        assert (log.setting("assessment"), log.setting("schedule")) == ({"on": "2026-12-20"}, "adaptive")
        log.keep_setting("assessment", None)
        assert log.setting("assessment") is None


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


RECORDS = Path(__file__).parent / "records"


def of_version(path: Path, version: int) -> None:
    """A record as that version of the schema left it, from the dump kept of it."""
    path.parent.mkdir(parents=True, exist_ok=True)
    connection = sqlite3.connect(path)
    connection.executescript((RECORDS / f"version-{version}.sql").read_text(encoding="utf-8"))
    connection.close()


def test_a_record_of_every_earlier_version_is_kept_to_be_opened() -> None:
    kept = {path.name for path in RECORDS.iterdir()}
    assert kept == {f"version-{version}.sql" for version in range(1, len(MIGRATIONS) + 1)}


@pytest.mark.parametrize("version", range(1, len(MIGRATIONS) + 1))
def test_a_record_of_an_earlier_version_is_brought_up_to_date_with_nothing_lost(
    path: Path, version: int
) -> None:
    of_version(path, version)
    before = rows(path, "SELECT uuid, rule, grade, response, at_utc FROM answer ORDER BY number")
    with AnswerLog(path, "0.2") as log:
        first, second = log.answers()
        assert (first.rule, first.grade, first.purpose) == (
            "connector-code-differs",
            Grade.SOUND,
            Purpose.PRACTICE,
        )
        assert (second.misses, second.unsure, second.guided) == ("chain-pitch-from-size", True, False)
        log.add(begun(log), answer(), "f1", 1, DAY, NOW)
        log.keep_setting("schedule", "ladder")
    assert rows(path, "SELECT uuid, rule, grade, response, at_utc FROM answer ORDER BY number")[:2] == before
    assert rows(path, "PRAGMA user_version") == [(len(MIGRATIONS),)]
    assert rows(path, "PRAGMA integrity_check") == [("ok",)]
    assert rows(path, "PRAGMA foreign_key_check") == []


def test_a_round_begun_before_an_update_is_gone_on_with_after_it(path: Path) -> None:
    of_version(path, 1)
    with AnswerLog(path, "0.2") as log:
        found = log.open_round({"questions": 3, "seed": None, "topic": None}, DAY)
        assert found is not None
        assert (len(found.planned), len(found.answered)) == (3, 2)


def test_the_record_is_copied_before_it_is_brought_up_to_date(path: Path) -> None:
    of_version(path, 1)
    AnswerLog(path, "0.2").close()
    copy = path.with_name(f"{path.name}.version-1")
    assert rows(copy, "PRAGMA user_version") == [(1,)]
    assert rows(copy, "SELECT count(*) FROM answer") == [(2,)]
    assert sorted(each.name for each in path.parent.iterdir() if "version" in each.name) == [copy.name]


def test_two_terminals_bring_a_record_up_to_date_once(path: Path) -> None:
    of_version(path, 1)
    with ThreadPoolExecutor(4) as pool:
        learners = list(pool.map(opened_for, [path] * 4))
    assert len(set(learners)) == 1
    assert rows(path, "SELECT count(*) FROM answer") == [(2,)]


def opened_for(path: Path) -> str:
    with AnswerLog(path, "0.2") as log:
        return log.learner


def test_a_record_whose_copy_cannot_be_kept_is_left_as_it_is(path: Path) -> None:
    of_version(path, 1)
    in_the_way = path.with_name(f"{path.name}.version-1")
    in_the_way.mkdir()
    with pytest.raises(LogRefused, match="cannot be copied"):
        AnswerLog(path, "0.2")
    assert rows(path, "PRAGMA user_version") == [(1,)]
    assert [each for each in path.parent.iterdir() if "version" in each.name] == [in_the_way]


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


def test_a_terminal_that_turns_on_the_write_ahead_log_waits_for_another_that_does(path: Path) -> None:
    of_version(path, 1)
    other = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
    other.execute("PRAGMA locking_mode = EXCLUSIVE")
    other.execute("BEGIN EXCLUSIVE")
    with ThreadPoolExecutor(1) as pool:
        opening = pool.submit(opened_for, path)
        time.sleep(0.3)
        assert not opening.done()
        other.execute("COMMIT")
        other.close()
        assert opening.result(timeout=10)
