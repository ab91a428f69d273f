"""`sideplate practise` inside this process: what its options come to."""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

import sideplate_trainer.practise_command
import sideplate_trainer.practising
import sideplate_trainer.progress_command
from sideplate_engine import KnowledgeBase
from sideplate_trainer.answer_log import AnswerLog
from sideplate_trainer.answers import Answer, Grade, Purpose
from sideplate_trainer.asked_about import fingerprint_of
from sideplate_trainer.assessment import Assessment
from sideplate_trainer.record_settings import keep_assessment, kept_assessment, kept_schedule
from sideplate_trainer.round_entries import Command
from sideplate_trainer.round_preparing import rules_of
from sideplate_trainer.schedule import is_new, replay
from sideplate_trainer.scheduler import ScheduleMissing
from support.built_in import knowledge as built_in
from support.practice_runs import make_met

TODAY = datetime.now().astimezone().date()
LATER = TODAY + timedelta(days=60)

Practise = Callable[..., Result]


@pytest.fixture
def record(tmp_path: Path) -> Path:
    return tmp_path / "record.sqlite3"


@pytest.fixture
def practise(record: Path, knowledge: KnowledgeBase, monkeypatch: pytest.MonkeyPatch) -> Practise:
    """Runs the command on the record with lines typed; the knowledge is read once for all."""
    monkeypatch.setattr(sideplate_trainer.practise_command, "knowledge_or_exit", lambda overlays: knowledge)
    monkeypatch.setattr(sideplate_trainer.progress_command, "knowledge_or_exit", lambda overlays: knowledge)

    def run(*words: str, lines: str = "") -> Result:
        arguments = [*words, "--record", str(record)]
        return CliRunner().invoke(
            sideplate_trainer.practise_command.command, arguments, input=lines, env={"COLUMNS": "80"}
        )

    return run


def progress(record: Path, *words: str, columns: int = 60) -> Result:
    return CliRunner().invoke(
        sideplate_trainer.progress_command.command,
        [*words, "--record", str(record)],
        env={"COLUMNS": str(columns)},
    )


def progress_data(record: Path) -> dict[str, Any]:
    data = json.loads(progress(record, "--json").stdout)
    assert isinstance(data, dict)
    return data


def flat(result: Result) -> str:
    return " ".join(result.output.split())


def rows(record: Path, query: str) -> list[tuple[object, ...]]:
    connection = sqlite3.connect(record)
    try:
        return connection.execute(query).fetchall()
    finally:
        connection.close()


def test_an_exam_tells_its_paper_explains_nothing_before_the_end_and_then_what_was_missed(
    practise: Practise, record: Path
) -> None:
    result = practise("--exam", "--seed", "7", "--questions", "3", lines="1\n\n" * 3 + "\n\n\n")
    assert result.exit_code == 0
    before, _, after = result.output.partition("Result sheet")
    assert "Paper 7, all topics, 3 questions." in before
    assert "The answer is" not in before
    assert "Because" not in before
    assert f"Paper 7, all topics, 3 questions, {TODAY.isoformat()}." in after
    missed = [grade for (grade,) in rows(record, "SELECT grade FROM answer") if grade == "blind spot"]
    assert f"{3 - len(missed)} of 3 right." in after
    assert after.count("You answered (sure, wrong): ") == len(missed)
    assert after.count("Because") == len(missed) > 0
    assert {purpose for (purpose,) in rows(record, "SELECT purpose FROM answer")} == {"exam"}


def test_the_same_number_is_the_same_paper_for_everybody(
    practise: Practise, record: Path, knowledge: KnowledgeBase
) -> None:
    once = practise("--exam", "--seed", "7", "--questions", "2", lines="1\n\n1\n\n")
    record.unlink()
    make_met(record, knowledge, rules_of(knowledge, ()))
    again = practise("--exam", "--seed", "7", "--questions", "2", lines="1\n\n1\n\n")
    assert once.output.partition("Result sheet")[0] == again.output.partition("Result sheet")[0]


def test_an_exam_without_a_number_draws_one_and_keeps_to_it_when_it_is_gone_on_with(
    practise: Practise,
) -> None:
    first = practise("--exam", "--questions", "2", lines="1\n\n")
    second = practise("--exam", "--questions", "2", lines="1\n\nq\n")
    papers = [re.findall(r"Paper (\d+)", result.output) for result in (first, second)]
    assert len({*papers[0], *papers[1]}) == 1
    assert "Going on with the round after 1 answer." in second.output
    assert "of 2 right." in second.output


def test_an_exam_handed_in_early_counts_what_was_not_answered(practise: Practise) -> None:
    result = practise("--exam", "--seed", "7", "--questions", "4", lines="1\n\nq\nq\n")
    assert "3 not answered." in result.output


def test_the_paper_and_its_key_are_written_as_text_without_a_record(
    practise: Practise, record: Path, tmp_path: Path
) -> None:
    paper = tmp_path / "paper.txt"
    result = practise("--exam", "--seed", "7", "--questions", "3", "--paper", str(paper))
    assert (result.exit_code, record.exists()) == (0, False)
    sheet, key = paper.read_text(encoding="utf-8").split("\f")
    assert sheet.startswith("Paper 7, all topics, 3 questions\n")
    assert sheet.count("Answer: ____") == 3
    assert "Because" not in sheet
    assert key.count("Because") >= 3
    assert max(map(len, paper.read_text(encoding="utf-8").splitlines())) <= 80
    exam = practise("--exam", "--seed", "7", "--questions", "3", lines="1\n\n1\n\n1\n\n")
    asked = exam.output.partition("Question 1 of 3\n")[2].partition("\n\n")[0]
    assert " ".join(asked.split()) in " ".join(sheet.split())


def test_a_paper_can_be_piped_and_one_that_cannot_be_written_is_told(
    practise: Practise, tmp_path: Path
) -> None:
    assert practise("--exam", "--seed", "7", "--questions", "1", "--paper", "-").stdout.startswith("Paper 7")
    nowhere = practise("--exam", "--questions", "1", "--paper", str(tmp_path / "no folder" / "paper.txt"))
    assert nowhere.exit_code == 2
    assert "cannot be written" in nowhere.stderr


def test_a_placement_round_places_what_is_known_and_leaves_the_rest_to_be_introduced(
    practise: Practise, record: Path
) -> None:
    lines = ("1\n" + "1 mm\n" + "2 1\n" + "2 1 3\n2 1 3 4\n" + "\n\n") * 12
    result = practise("--placement", "--seed", "3", "--questions", "6", lines=lines)
    assert result.exit_code == 0
    assert "New to you" not in result.output
    assert "Question 1 of at most 6" in result.output
    assert "By topic" in result.output.partition("End of the round")[2]
    graded = {str(rule): grade for rule, grade in rows(record, "SELECT rule, grade FROM answer")}
    assert set(rows(record, "SELECT DISTINCT purpose, guided FROM answer")) == {("placement", 0)}
    with AnswerLog(record, "0") as log:
        for rule, standing in replay(log.answers()).items():
            known = graded[rule] == Grade.SOUND.value
            assert is_new(standing, standing.fingerprint) is not known
            assert standing.interval == (12 if known else 2)


def test_a_placement_round_where_all_was_met_says_so(
    practise: Practise, record: Path, knowledge: KnowledgeBase
) -> None:
    make_met(record, knowledge, rules_of(knowledge, ()))
    assert "Every rule here was met already" in flat(practise("--placement"))


def test_a_day_to_work_towards_is_kept_shown_and_taken_away(practise: Practise, record: Path) -> None:
    practise("--assessment", LATER.isoformat(), "--topic", "slack", "--topic", "wear", "--sessions", "3")
    with AnswerLog(record, "0") as log:
        assert kept_assessment(log) == Assessment(LATER, ("slack", "wear"), 3)
    shown = " ".join(progress(record).output.split())
    assert f"{LATER.isoformat()}, on Slack and Wear." in shown
    assert "25 sessions until then hold 250 questions" in shown
    practise("--assessment", "none")
    assert "Assessment" not in progress(record).output
    assert progress_data(record)["assessment"] is None


def test_until_the_assessment_practice_keeps_to_its_topics(practise: Practise, record: Path) -> None:
    practise("--assessment", LATER.isoformat(), "--topic", "slack")
    practise(lines="")
    planned = json.loads(str(rows(record, "SELECT planned FROM round ORDER BY begun_at DESC")[0][0]))
    with_slack = set(rules_of_topic("slack"))
    assert {rule for rule, _, _ in planned} <= with_slack


def rules_of_topic(topic: str) -> tuple[str, ...]:
    return rules_of(built_in(), (topic,))


def test_that_there_is_too_little_room_is_said_once_with_a_core_set_that_fits(practise: Practise) -> None:
    first = practise("--assessment", LATER.isoformat())
    assert "It takes 4" in flat(first).replace("it takes", "It takes")
    assert "--topic safety" in flat(first)
    assert "it takes 4" not in flat(practise())
    core = re.findall(r"--topic (\S+)", first.output)
    words = [word for topic in core for word in ("--topic", topic)]
    assert "it takes 4" not in flat(practise("--assessment", LATER.isoformat(), *words))


def test_the_last_pass_is_told_and_asks_the_longest_unasked_first(
    practise: Practise, record: Path, knowledge: KnowledgeBase
) -> None:
    rules = rules_of(knowledge, ("slack",))
    make_met(record, knowledge, rules[:-1], days_ago=1)
    make_met(record, knowledge, rules[-1:], days_ago=40)
    soon = TODAY + timedelta(days=3)
    result = practise("--assessment", soon.isoformat(), "--topic", "slack", "--sessions", "7")
    assert f"The last pass before the assessment on {soon.isoformat()}" in flat(result)
    planned = json.loads(str(rows(record, "SELECT planned FROM round ORDER BY begun_at DESC")[0][0]))
    assert planned[0][0] == rules[-1]
    assert "The last pass is on" in progress(record).output


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--assessment", "soon"), "write it as 2026-12-20, or none"),
        (("--assessment", (TODAY - timedelta(days=1)).isoformat()), "is not ahead"),
        (("--sessions", "3"), "there is no day to work towards yet"),
        (("--exam", "--placement"), "do not go together"),
        (("--exam", "--rule", "petrol-on-rings"), "do not go together"),
        (("--paper", "paper.txt"), "--paper goes with --exam"),
        (("--minutes", "0"), "0 is not in the range"),
        (("--schedule", "cramming"), "ladder"),
    ],
)
def test_what_does_not_go_together_is_refused_in_words(
    practise: Practise, words: tuple[str, ...], says: str
) -> None:
    result = practise(*words)
    assert result.exit_code == 2
    assert says in flat(result)


def test_the_schedule_chosen_is_kept_and_progress_goes_by_it(
    practise: Practise, record: Path, knowledge: KnowledgeBase
) -> None:
    make_met(record, knowledge, rules_of(knowledge, ("slack",))[:1], days_ago=5)
    by_ladder = progress_data(record)
    practise("--schedule", "adaptive")
    with AnswerLog(record, "0") as log:
        assert kept_schedule(log) == "adaptive"
    by_model = progress_data(record)
    assert (by_ladder["schedule"], by_model["schedule"]) == ("ladder", "adaptive")
    # After five days the ladder asks again; the model expects recall to have lasted.
    assert by_ladder["rules"]["due"] == 1
    assert by_model["rules"]["due"] == 0
    practise("--schedule", "ladder")
    assert progress_data(record)["schedule"] == "ladder"


def test_the_librarys_words_are_on_no_screen_and_in_no_table(practise: Practise, record: Path) -> None:
    result = practise("--schedule", "adaptive", "--topic", "slack", lines="\n1\n\n\n")
    schema = " ".join(str(sql) for (sql,) in rows(record, "SELECT sql FROM sqlite_schema"))
    values = " ".join(
        str(row) for table in ("answer", "round", "setting") for row in rows(record, f"SELECT * FROM {table}")
    )
    for text in (result.output, schema, values, progress(record).output, progress(record, "--json").output):
        assert not re.search(r"fsrs|retrievab|relearn|\bstability\b|\bRating\b|\bAgain\b", text)


def test_a_schedule_that_is_not_installed_is_told_and_not_kept(
    practise: Practise, record: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing(name: str) -> object:
        raise ScheduleMissing("It needs an extra: pip install 'sideplate[more]'")

    monkeypatch.setattr(sideplate_trainer.practise_command, "scheduler_named", missing)
    result = practise("--schedule", "adaptive")
    assert (result.exit_code, record.exists()) == (2, False)
    assert "pip install" in result.stderr


def test_a_round_of_minutes_begins_no_question_after_them(
    practise: Practise, record: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Late(datetime):
        calls = 0

        @classmethod
        def now(cls, tz: object = None) -> datetime:  # type: ignore[override]  # as it is called here
            cls.calls += 1
            return datetime.now() + timedelta(minutes=6 if cls.calls > 1 else 0)

    monkeypatch.setattr(sideplate_trainer.practising, "datetime", Late)
    result = practise("--topic", "slack", "--minutes", "5", lines="\n1\n1 mm\n\n\n\n\n")
    assert "The time is up: this question is the last." in flat(result)
    assert "End of the round" in result.output
    assert len(rows(record, "SELECT * FROM answer")) == 1


def test_several_topics_may_be_named(practise: Practise, record: Path) -> None:
    practise("--topic", "slack", "--topic", "wear")
    planned = json.loads(str(rows(record, "SELECT planned FROM round")[0][0]))
    allowed = {*rules_of_topic("slack"), *rules_of_topic("wear")}
    assert {rule for rule, _, _ in planned} <= allowed


def test_progress_counts_what_is_sure_shaky_due_and_unmet(
    record: Path, practise: Practise, knowledge: KnowledgeBase
) -> None:
    rules = rules_of(knowledge, ("slack",))
    now = datetime.now().astimezone()
    with AnswerLog(record, "0") as log:
        round_id = log.begin_round({}, [], 1, TODAY, now)

        def answered(
            rule: str, grade: Grade, days_ago: int, *, unsure: bool = False, printed: str = ""
        ) -> None:
            answer = Answer(rule, "w", 1, "a", "k", grade.is_right, grade, None, 0, unsure)
            log.add(
                round_id,
                answer,
                printed or fingerprint_of(knowledge, rule),
                1,
                TODAY - timedelta(days=days_ago),
                now,
            )

        answered(rules[0], Grade.SOUND, 1)
        answered(rules[1], Grade.SHAKY, 1, unsure=True)
        answered(rules[2], Grade.BLIND_SPOT, 9)
        answered(rules[3], Grade.SOUND, 1, printed="older")
    data = progress_data(record)
    counted = data["rules"]
    assert isinstance(counted, dict)
    assert (counted["sure"], counted["shaky"], counted["due"]) == (1, 1, 2)
    assert counted["unmet"] == counted["total"] - 4
    assert data["calibration"] == {
        "sure": {"answers": 3, "right": 2, "share": 0.6667},
        "unsure": {"answers": 1, "right": 1, "share": 1.0},
    }
    first, second, third, *_ = data["next"]
    assert (first["rule"], first["why"]) == (rules[2], "missed though you were sure, 7 days overdue")
    assert (second["rule"], second["why"]) == (rules[3], "decides otherwise since you answered it")
    assert third["why"] == "not met yet"
    assert data["weakest_topic"] == "slack"
    text = progress(record).output
    assert "Sure: 1, of which 0 signed off." in text
    assert "When you were sure: right in 2 of 3, 67 %." in text
    assert max(map(len, text.splitlines())) <= 60


def test_progress_without_a_record_says_so_and_makes_none(record: Path, practise: Practise) -> None:
    result = progress(record)
    assert (result.exit_code, record.exists()) == (2, False)
    assert "begins one" in result.stderr


def test_progress_on_a_past_assessment_says_how_to_take_it_away(record: Path, practise: Practise) -> None:
    with AnswerLog(record, "0") as log:
        keep_assessment(log, Assessment(TODAY - timedelta(days=3)))
    assert "It is past." in progress(record).output
    assert "last pass" not in flat(practise())


@pytest.mark.parametrize("purpose", [Purpose.PRACTICE, Purpose.EXAM])
def test_nothing_asked_leaves_the_round_to_be_gone_on_with(practise: Practise, purpose: Purpose) -> None:
    words = ("--exam",) if purpose is Purpose.EXAM else ()
    assert "Left after 0 answers." in practise(*words, "--topic", "slack").output
    assert "Going on with the round after 0 answers." in practise(*words, "--topic", "slack").output


def test_every_option_and_every_key_is_on_the_page_about_practice() -> None:
    page = (Path(__file__).parents[2] / "docs" / "how-to" / "practise.md").read_text(encoding="utf-8")
    for command in (sideplate_trainer.practise_command.command, sideplate_trainer.progress_command.command):
        for parameter in command.params:
            assert max(parameter.opts, key=len) in page
    assert all(f"`{key.value}`" in page for key in Command)
