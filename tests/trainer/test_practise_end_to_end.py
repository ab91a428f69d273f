"""`sideplate practise` as a whole: over a pipe, on a pseudo-terminal, broken off, killed, and gone on with."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pexpect
import pytest

from sideplate_engine import Judge, KnowledgeBase
from sideplate_trainer.posing import askable, plan, posed
from sideplate_trainer.questions import NoQuestion, Question
from sideplate_trainer.schedule import teaching_order

pytestmark = pytest.mark.slow

PROGRAM = (sys.executable, "-c", "from sideplate_trainer.main import main; main()", "practise")
TOPIC = "cleaning"
SEED = "5"
SECONDS = 30
"""Far more than a step takes, so that only a program that hangs runs into it."""


def environment(**more: str) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "COLUMNS", "LINES")}
    return {**kept, "PROMPT_TOOLKIT_NO_CPR": "1", "TERM": "xterm", "PYTHONIOENCODING": "utf-8", **more}


@pytest.fixture
def record(tmp_path: Path) -> Path:
    return tmp_path / "record.sqlite3"


@pytest.fixture(scope="module")
def questions(chain_judge: Judge, knowledge: KnowledgeBase) -> list[Question]:
    """The first questions that a new record is asked on the topic with the seed."""
    rules = askable(knowledge, teaching_order(knowledge), TOPIC)
    found: list[Question] = []
    for each in plan(knowledge, rules, {}, SEED, 3):
        try:
            found.append(posed(chain_judge, each))
        except NoQuestion:
            continue
    return found[:3]


def arguments(record: Path, *more: str) -> list[str]:
    return [*PROGRAM, "--topic", TOPIC, "--seed", SEED, "--questions", "3", "--record", str(record), *more]


def piped(record: Path, text: str, *more: str) -> subprocess.CompletedProcess[str]:
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


def wrong(question: Question) -> str:
    return next(option.word for option in question.options if option.word != question.key)


def logged(record: Path) -> list[tuple[str, str]]:
    connection = sqlite3.connect(record)
    try:
        return connection.execute("SELECT rule, grade FROM answer ORDER BY number").fetchall()
    finally:
        connection.close()


def test_a_round_over_a_pipe_is_answered_right_wrong_and_with_help(
    record: Path, questions: list[Question]
) -> None:
    first, second, third = questions
    lines = ["perhaps", first.key, "", "w", "", wrong(second), "", "s", "", "h", third.key, "u", ""]
    done = piped(record, "\n".join(lines) + "\n")
    assert (done.returncode, done.stderr) == (0, "")
    for part in (
        "Question 1 of 3",
        "Type the number of a choice, 1 to ",
        "Right\n",
        f"Why {first.rule}",
        "Wrong, though you were sure",
        "Hint 1 of ",
        "Right, but not unaided and sure",
        "2 of 3 right.",
        "Next check in 2 days.",
    ):
        assert part in done.stdout or part.startswith("Why"), part
    assert logged(record) == [(first.rule, "sound"), (second.rule, "blind spot"), (third.rule, "shaky")]


def test_over_a_pipe_nothing_but_printable_lines_of_the_pages_width_comes_out(record: Path) -> None:
    text = piped(record, "1\n\n\n2\n\n\n").stdout
    assert all(sign.isprintable() or sign == "\n" for sign in text)
    assert max(map(len, text.splitlines())) <= 80


def test_input_that_ends_leaves_the_round_to_be_gone_on_with(record: Path, questions: list[Question]) -> None:
    left = piped(record, f"{questions[0].key}\n\n\n{questions[1].key}\n")
    assert left.returncode == 0
    assert "Left after 1 answer." in left.stdout
    on = piped(record, f"{questions[1].key}\n\n\n{questions[2].key}\n\n\n")
    assert "Going on with the round after 1 answer." in on.stdout
    assert "Question 2 of 3" in on.stdout
    assert "3 of 3 right." in on.stdout
    assert [rule for rule, _ in logged(record)] == [question.rule for question in questions]


def test_a_round_that_was_left_with_q_is_over(record: Path) -> None:
    assert "You left before the end." in piped(record, "1\n\nq\n").stdout
    assert "Going on" not in piped(record, "q\n").stdout


def test_no_rule_is_asked_twice_on_one_day(record: Path) -> None:
    everything = ("--questions", "200")
    # `1` answers a choice, `1 %` a number of any bare kind, and what is refused is simply asked for again.
    piped(record, "1\n1 %\n1 mm\n\n\n" * 300, *everything)
    again = piped(record, "1\n", *everything)
    assert "Come back tomorrow." in again.stdout
    rules = [rule for rule, _ in logged(record)]
    assert len(set(rules)) == len(rules) > 10


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (("--topic", "cleanin"), "did you mean cleaning?"),
        (("--questions", "0"), "0 is not in the range"),
        (("--record", "."), "is a directory"),
    ],
)
def test_arguments_that_cannot_be_are_refused_in_words(
    record: Path, more: tuple[str, ...], says: str
) -> None:
    done = piped(record, "", *more)
    assert done.returncode == 2
    assert says in done.stderr
    assert "Traceback" not in done.stderr


def test_a_record_that_is_none_is_refused_in_words(tmp_path: Path) -> None:
    notes = tmp_path / "notes.txt"
    notes.write_text("these are notes, and no record of answers\n" * 50)
    done = piped(notes, "")
    assert (done.returncode, done.stdout) == (2, "")
    assert "cannot be used" in done.stderr
    assert notes.read_text().startswith("these are notes")


@pytest.fixture
def terminal(record: Path) -> Iterator[pexpect.spawn[str]]:
    with on_terminal(record) as child:
        yield child


def on_terminal(record: Path, columns: int = 80, **more: str) -> pexpect.spawn[str]:
    command, *rest = arguments(record)
    return pexpect.spawn(
        command, rest, encoding="utf-8", timeout=SECONDS, dimensions=(40, columns), env=environment(**more)
    )


def test_a_round_on_a_terminal_from_first_question_to_summary(
    terminal: pexpect.spawn[str], record: Path, questions: list[Question]
) -> None:
    for number, question in enumerate(questions, 1):
        terminal.expect_exact(f"Question {number} of 3")
        terminal.expect_exact("Answer:")
        terminal.send(f"{question.key}\r")
        terminal.expect_exact(f"Your answer: {question.key}.")
        terminal.expect_exact("Sure?:")
        terminal.send("\r")
        terminal.expect_exact(f"The answer is: {question.key}.")
        terminal.expect_exact("Next:")
        terminal.send("\r")
    terminal.expect_exact("3 of 3 right.")
    terminal.expect(pexpect.EOF)
    terminal.close()
    assert terminal.exitstatus == 0
    assert [grade for _, grade in logged(record)] == ["sound"] * 3


def test_on_a_terminal_an_answer_is_refused_taken_back_and_given_again(
    terminal: pexpect.spawn[str], record: Path, questions: list[Question]
) -> None:
    terminal.expect_exact("Answer:")
    terminal.send("9\r")
    terminal.expect_exact("There is no choice 9")
    terminal.send(f"\x15{wrong(questions[0])}\r")
    terminal.expect_exact("Sure?:")
    terminal.send("b\r")
    terminal.expect_exact("Taken back.")
    terminal.send(f"{questions[0].key}\r")
    terminal.expect_exact("Sure?:")
    terminal.send("\r")
    terminal.expect_exact("Next:")
    terminal.send("q\r")
    terminal.expect(pexpect.EOF)
    terminal.close()
    assert logged(record) == [(questions[0].rule, "sound")]


@pytest.mark.parametrize(("key", "status"), [("\x03", 130), ("\x04", 0)])
def test_ctrl_c_and_ctrl_d_leave_cleanly_and_lose_nothing(
    record: Path, questions: list[Question], key: str, status: int
) -> None:
    with on_terminal(record) as child:
        child.expect_exact("Answer:")
        child.send(f"{questions[0].key}\r")
        child.expect_exact("Sure?:")
        child.send("\r")
        child.expect_exact("Next:")
        child.send("\r")
        child.expect_exact("Question 2 of 3")
        child.expect_exact("Answer:")
        child.send(key)
        child.expect_exact("Left after 1 answer.")
        child.expect(pexpect.EOF)
        child.close()
        assert child.exitstatus == status
    with on_terminal(record, columns=60) as child:
        child.expect_exact("Going on with the round after 1 answer.")
        child.expect_exact("Question 2 of 3")


def test_a_dumb_terminal_gets_plain_lines(record: Path) -> None:
    with on_terminal(record, TERM="dumb") as child:
        child.expect_exact("Answer:")
        assert "\x1b" not in str(child.before)
        child.send("\x03")
        child.expect_exact("Left after 0 answers.")
        child.expect(pexpect.EOF)
        child.close()
        assert child.exitstatus == 130


def test_no_color_leaves_no_colour_on_a_terminal(record: Path) -> None:
    with on_terminal(record, NO_COLOR="1") as child:
        child.expect_exact("Answer:")
        assert "\x1b[0;3" not in str(child.before)
        assert "\x1b[0;4" not in str(child.before)


@pytest.mark.skipif(sys.platform == "win32", reason="a process is killed otherwise there")
def test_a_killed_program_loses_no_answer_whose_ruling_was_shown(
    record: Path, questions: list[Question]
) -> None:
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
        process.stdin.write(f"{questions[0].key}\n\n")
        process.stdin.flush()
        for line in process.stdout:
            if "The answer is: " in line:
                break
        process.send_signal(signal.SIGKILL)
        process.wait(SECONDS)
    assert logged(record) == [(questions[0].rule, "sound")]
    assert "Going on with the round after 1 answer." in piped(record, "q\n").stdout


WRITER = """
import sys
from datetime import date, datetime, timezone
from pathlib import Path
from sideplate_trainer.answer_log import AnswerLog
from sideplate_trainer.answers import Answer, Grade

now = datetime.now(timezone.utc)
with AnswerLog(Path(sys.argv[1]), "0") as log:
    round_id = log.begin_round({}, [], 1, now.date(), now)
    number = 0
    while True:
        rule = f"{sys.argv[2]}-{number}"
        answer = Answer(rule, "w", 1, "a", "k", True, Grade.SOUND, None, 0, False)
        log.add(round_id, answer, "f", 1, now.date(), now)
        print(rule, flush=True)
        number += 1
"""


@pytest.mark.skipif(sys.platform == "win32", reason="a process is killed otherwise there")
def test_no_acknowledged_answer_is_lost_however_often_the_writer_is_killed(record: Path) -> None:
    acknowledged: list[str] = []
    for kill in range(8):
        process = subprocess.Popen(
            (sys.executable, "-c", WRITER, str(record), str(kill)), stdout=subprocess.PIPE, text=True
        )
        assert process.stdout is not None
        with process:
            for number, line in enumerate(process.stdout):
                acknowledged.append(line.strip())
                if number == 3 + 17 * kill:
                    process.send_signal(signal.SIGKILL)
            process.wait(SECONDS)
    kept = {rule for rule, _ in logged(record)}
    # The last line may be cut short by the kill; what was acknowledged in full is there.
    assert {rule for rule in acknowledged if rule} <= kept | {acknowledged[-1]}
    connection = sqlite3.connect(record)
    try:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    finally:
        connection.close()
