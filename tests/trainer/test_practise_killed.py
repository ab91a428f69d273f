"""Nothing that was acknowledged is lost: processes killed at any moment, and two terminals at once on one record."""

from __future__ import annotations

import random
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from threading import Timer

import pytest

from sideplate_engine import Judge, KnowledgeBase
from sideplate_trainer.questions import Question
from sideplate_trainer.round_preparing import rules_of
from sideplate_trainer.round_request import Request
from support.practice_runs import (
    SECONDS,
    SEED,
    TOPIC,
    arguments,
    entry,
    environment,
    is_whole,
    logged,
    make_met,
    on_terminal,
    piped,
    questions_of,
)

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="a process is killed otherwise there"),
]

KILLS_OF_THE_WRITER = 180
KILLS_OF_THE_PROGRAM = 20
"""Two hundred in all. The program takes long to start, its writer does not: most kills are of the writer."""

WRITER = """
import sys
from datetime import datetime, timezone
from pathlib import Path
from sideplate_trainer.answer_log import AnswerLog
from sideplate_trainer.answers import Answer, Draft, Grade

now = datetime.now(timezone.utc)
with AnswerLog(Path(sys.argv[1]), "0") as log:
    round_id = log.begin_round({}, [], 1, now.date(), now)
    number = 0
    while True:
        rule = f"{sys.argv[2]}-{number}"
        log.keep_draft(round_id, Draft(rule, 1, False, False))
        answer = Answer(rule, "w", 1, "a", "k", True, Grade.SOUND, None, 0, False)
        log.add(round_id, answer, "f", 1, now.date(), now)
        print(rule, flush=True)
        number += 1
"""
"""Writes answers as the program does, each acknowledged by a line once it is on disk."""


@pytest.fixture
def record(tmp_path: Path) -> Path:
    return tmp_path / "record.sqlite3"


def writer(record: Path, name: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        (sys.executable, "-c", WRITER, str(record), name), stdout=subprocess.PIPE, text=True
    )


def killed_after(process: subprocess.Popen[str], seconds: float) -> Iterator[str]:
    """What a process acknowledges until it is killed so many seconds from now. The last line may be cut short."""
    assert process.stdout is not None
    with process:
        killing = Timer(seconds, process.send_signal, (signal.SIGKILL,))
        killing.start()
        for line in process.stdout:
            if line.endswith("\n"):
                yield line.strip()
        killing.join()
        process.wait(SECONDS)


def test_no_acknowledged_answer_is_lost_however_often_its_writer_is_killed(record: Path) -> None:
    moments = random.Random(20)
    acknowledged: list[str] = []
    for kill in range(KILLS_OF_THE_WRITER):
        # Some are killed while they start or migrate, most in the midst of writing.
        acknowledged += killed_after(writer(record, str(kill)), moments.uniform(0.02, 0.3))
    kept = [rule for rule, _ in logged(record)]
    assert len(acknowledged) > KILLS_OF_THE_WRITER
    assert set(acknowledged) <= set(kept)
    # Of each writer at most the answer it was about to acknowledge is there besides.
    assert len(kept) - len(acknowledged) <= KILLS_OF_THE_WRITER
    assert len(set(kept)) == len(kept)
    assert is_whole(record)


def test_the_program_killed_at_any_moment_loses_no_answer_whose_ruling_was_shown(
    record: Path, knowledge: KnowledgeBase
) -> None:
    make_met(record, knowledge, rules_of(knowledge, (TOPIC,)))
    moments = random.Random(21)
    # Every line answers some question, confirms it, or is refused: what is typed matters less than that much is.
    lines = "1\n1 mm\n2 1\n2 1 3\n2 1 3 4\n\n\nh\n" * 60
    shown = 0
    for kill in range(KILLS_OF_THE_PROGRAM):
        before = len(logged(record))
        process = subprocess.Popen(
            [*arguments(record), "--questions", "60"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            encoding="utf-8",
            env=environment(COLUMNS="80"),
        )
        assert process.stdin is not None
        assert process.stdout is not None
        with process:
            with suppress(BrokenPipeError):
                # Killed before it has read everything, it leaves the rest unread.
                process.stdin.write(lines)
                process.stdin.close()
            if kill % 5:
                # Wherever it is in answering; one in five is killed while it starts.
                process.stdout.readline()
            killing = Timer(moments.uniform(0.0, 0.8), process.send_signal, (signal.SIGKILL,))
            killing.start()
            rulings = sum(line.startswith("The answer is: ") for line in process.stdout)
            killing.join()
            process.wait(SECONDS)
        shown += rulings
        assert len(logged(record)) - before >= rulings
        assert is_whole(record)
    rules = [rule for rule, _ in logged(record)]
    assert len(rules) == len(set(rules))
    assert shown > 0


def test_a_killed_program_goes_on_after_the_last_answer(
    record: Path, knowledge: KnowledgeBase, chain_judge: Judge
) -> None:
    make_met(record, knowledge, rules_of(knowledge, (TOPIC,)))
    question = first_question(record, chain_judge)
    process = subprocess.Popen(
        arguments(record),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        encoding="utf-8",
        env=environment(COLUMNS="80"),
    )
    assert process.stdin is not None
    assert process.stdout is not None
    with process:
        process.stdin.write(f"{entry(question, right=True)}\n\n")
        process.stdin.flush()
        for line in process.stdout:
            if "The answer is: " in line:
                break
        process.send_signal(signal.SIGKILL)
        process.wait(SECONDS)
    assert logged(record) == [(question.rule, "sound")]
    assert "Going on with the round after 1 answer." in piped(record, "q\n").stdout


def first_question(record: Path, judge: Judge) -> Question:
    return questions_of(record, judge, Request((TOPIC,), questions=3, seed=SEED))[0]


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_a_terminal_that_is_closed_loses_nothing(
    record: Path, knowledge: KnowledgeBase, chain_judge: Judge, name: str
) -> None:
    make_met(record, knowledge, rules_of(knowledge, (TOPIC,)))
    question = first_question(record, chain_judge)
    with on_terminal(record) as child:
        child.expect_exact("Answer:")
        child.send(f"{entry(question, right=True)}\r")
        child.expect_exact("Sure?:")
        child.send("\r")
        child.expect_exact("Next:")
        child.kill(getattr(signal, name))
        child.wait()
    assert logged(record) == [(question.rule, "sound")]


def test_two_writers_at_once_lose_nothing_of_each_other(record: Path) -> None:
    processes = [writer(record, name) for name in ("left", "right")]
    acknowledged: list[str] = []
    for process in processes:
        assert process.stdout is not None
        # Both have begun before either ends.
        acknowledged += [process.stdout.readline().strip() for _ in range(5)]
    for process in processes:
        acknowledged += killed_after(process, 0)
    kept = {rule for rule, _ in logged(record)}
    assert set(acknowledged) <= kept
    assert {rule.partition("-")[0] for rule in acknowledged} == {"left", "right"}
    assert is_whole(record)


def test_two_terminals_at_once_on_one_record_lose_no_answer(
    record: Path, knowledge: KnowledgeBase, chain_judge: Judge
) -> None:
    make_met(record, knowledge, rules_of(knowledge, (TOPIC, "slack")))
    question = first_question(record, chain_judge)
    (other,) = questions_of(record, chain_judge, Request((TOPIC, "slack"), questions=1, seed=8))
    with (
        on_terminal(record) as left,
        on_terminal(record, "--topic", "slack", "--seed", "8", "--questions", "1") as right,
    ):
        for child, asked in ((left, question), (right, other)):
            child.expect_exact("Answer:")
            child.send(f"{entry(asked, right=True)}\r")
            child.expect_exact("Sure?:")
        for child in (right, left):
            child.send("\r")
            child.expect_exact("Next:")
    assert sorted(logged(record)) == sorted([(question.rule, "sound"), (other.rule, "sound")])
