"""Runs of `sideplate practise` as a program of its own, over a pipe or on a pseudo-terminal, on a record of its own."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from collections.abc import Iterable
from datetime import datetime, timedelta
from itertools import chain, permutations
from pathlib import Path

import pexpect

from sideplate_engine import Judge, KnowledgeBase
from sideplate_trainer.answer_log import AnswerLog
from sideplate_trainer.answers import Answer, Grade
from sideplate_trainer.asked_about import fingerprint_of
from sideplate_trainer.posing import posed
from sideplate_trainer.questions import AnswerRefused, NoQuestion, Question
from sideplate_trainer.round_planning import Learned, plans_for
from sideplate_trainer.round_preparing import rules_of
from sideplate_trainer.round_request import Request
from sideplate_trainer.schedule import replay
from sideplate_trainer.sitting import units_for
from sideplate_trainer.ways import mark

PROGRAM = (sys.executable, "-c", "from sideplate_trainer.main import main; main()", "practise")
BEFORE = "before the test"
"""The version of the tool that wrote what a test begins with."""

TOPIC = "cleaning"
SEED = 5
SECONDS = 60
"""Far more than a step takes, so that only a program that hangs runs into it."""


def environment(**more: str) -> dict[str, str]:
    """The variables a program runs with, whatever those of the tests are."""
    kept = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "COLUMNS", "LINES")}
    return {**kept, "PROMPT_TOOLKIT_NO_CPR": "1", "TERM": "xterm", "PYTHONIOENCODING": "utf-8", **more}


def arguments(record: Path, *more: str) -> list[str]:
    """A round of three questions on one topic from one seed."""
    fixed = ("--topic", TOPIC, "--seed", str(SEED), "--questions", "3", "--record", str(record))
    return [*PROGRAM, *fixed, *more]


def piped(record: Path, text: str, *more: str) -> subprocess.CompletedProcess[str]:
    """The round with these lines on standard input."""
    return subprocess.run(
        arguments(record, *more),
        input=text,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=SECONDS,
        env=environment(COLUMNS="80"),
        check=False,
    )


def on_terminal(record: Path, *more: str, columns: int = 80, **variables: str) -> pexpect.spawn[str]:
    """The round on a pseudo-terminal."""
    command, *rest = arguments(record, *more)
    return pexpect.spawn(
        command,
        rest,
        encoding="utf-8",
        timeout=SECONDS,
        dimensions=(40, columns),
        env=environment(**variables),
    )


def logged(record: Path) -> list[tuple[str, str]]:
    """The rule and the grade of every answer on disk but those of `make_met`, in order."""
    connection = sqlite3.connect(record)
    try:
        return connection.execute(
            "SELECT rule, grade FROM answer WHERE tool_version <> ? ORDER BY number", (BEFORE,)
        ).fetchall()
    finally:
        connection.close()


def is_whole(record: Path) -> bool:
    """Whether the database is in order."""
    connection = sqlite3.connect(record)
    try:
        return bool(connection.execute("PRAGMA integrity_check").fetchone() == ("ok",))
    finally:
        connection.close()


def make_met(record: Path, knowledge: KnowledgeBase, rules: Iterable[str], days_ago: int = 30) -> None:
    """Writes down that these rules were answered soundly some days ago, so that they are due and none is new."""
    now = datetime.now().astimezone() - timedelta(days=days_ago)
    with AnswerLog(record, BEFORE) as log:
        round_id = log.begin_round({}, [], 1, now.date(), now)
        for rule in rules:
            answer = Answer(rule, "which_reason", 1, "", "", True, Grade.SOUND, None, 0, False)
            log.add(round_id, answer, fingerprint_of(knowledge, rule), 1, now.date(), now)
        log.end_round(round_id, now)


def questions_of(record: Path, judge: Judge, request: Request) -> list[Question]:
    """The questions that the record is asked in a round of practice that begins now."""
    with AnswerLog(record, "0") as log:
        answers = log.answers()
        rules = rules_of(judge.knowledge, request.topics)
        fingerprints = {id_: fingerprint_of(judge.knowledge, id_) for id_ in rules}
        learned = Learned(log.learner, replay(answers), fingerprints, datetime.now().astimezone().date())
        plans = plans_for(judge.knowledge, rules, request, learned, request.seed or 0)
    found: list[Question] = []
    for plan in plans:
        try:
            found.append(posed(judge, plan))
        except NoQuestion:
            continue
        if len(found) == request.wanted:
            break
    return found


def entry(question: Question, *, right: bool) -> str:
    """What to type to answer a question rightly or wrongly, whatever the way of asking."""
    places = [str(place) for place in range(1, len(question.options) + 1)]
    orders = (" ".join(order) for order in permutations(places)) if question.order else iter(places)
    units = units_for(question)
    numbers = (question.key, f"1 {units[0]}" if units else "1")
    for typed in chain(numbers if question.number else (), orders):
        try:
            marked = mark(question, typed)
        except AnswerRefused:
            continue
        if marked.right == right and not marked.again:
            return typed
    raise AssertionError(f"nothing answers {question.asks} so")
