"""`sideplate practise` as a program: over a pipe and on a pseudo-terminal, broken off and gone on with."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import filterfalse
from pathlib import Path

import pexpect
import pyte
import pytest

from sideplate_engine import Judge, KnowledgeBase
from sideplate_trainer.asked_about import is_procedure
from sideplate_trainer.questions import Question
from sideplate_trainer.round_preparing import rules_of
from sideplate_trainer.round_request import Request
from sideplate_trainer.way import Level
from sideplate_trainer.way_choice import level_of
from sideplate_trainer.ways import mark
from support.practice_runs import SEED, TOPIC, entry, logged, make_met, on_terminal, piped, questions_of

pytestmark = pytest.mark.slow

REQUEST = Request((TOPIC,), questions=3, seed=SEED)


@pytest.fixture
def fresh(tmp_path: Path) -> Path:
    """Where a record of somebody who never practised begins."""
    return tmp_path / "fresh.sqlite3"


@pytest.fixture
def record(tmp_path: Path, knowledge: KnowledgeBase) -> Path:
    """A record in which every rule of the topic was met a month ago, so that all are due and none is new."""
    path = tmp_path / "record.sqlite3"
    make_met(path, knowledge, rules_of(knowledge, (TOPIC,)))
    return path


@pytest.fixture
def questions(record: Path, chain_judge: Judge) -> list[Question]:
    """The questions that the round asks of the record."""
    return questions_of(record, chain_judge, REQUEST)


def test_a_round_over_a_pipe_is_answered_right_wrong_and_with_help(
    record: Path, questions: list[Question]
) -> None:
    first, second, third = questions
    lines = ["perhaps", entry(first, right=True), "", "w", "", entry(second, right=False), "", "s", ""]
    lines += ["h", entry(third, right=True), "u", ""]
    done = piped(record, "\n".join(lines) + "\n")
    assert (done.returncode, done.stderr) == (0, "")
    for part in (
        "Question 1 of 3",
        "Right\n",
        f"Why {first.rule}",
        "Wrong, though you were sure",
        "Hint 1 of ",
        "Right, but not unaided and sure",
        "2 of 3 right.",
        "Next check in 5 days.",
        "Next check in 2 days.",
    ):
        assert part in done.stdout, part
    assert logged(record) == [(first.rule, "sound"), (second.rule, "blind spot"), (third.rule, "shaky")]


@pytest.fixture
def far_up(tmp_path: Path, knowledge: KnowledgeBase) -> Path:
    """A record in which the work of the topic is due first, and then its rules, which are on a high rung."""
    path = tmp_path / "far_up.sqlite3"
    rules = rules_of(knowledge, (TOPIC,))
    for days_ago in (90, 85, 75, 60):
        make_met(path, knowledge, filterfalse(is_procedure, rules), days_ago)
    make_met(path, knowledge, filter(is_procedure, rules), 50)
    return path


@pytest.fixture
def harder(far_up: Path, chain_judge: Judge) -> list[Question]:
    """An order of steps, and two questions that ask for more than a verdict."""
    questions = questions_of(far_up, chain_judge, REQUEST)
    assert questions[0].way == "steps_in_order"
    assert {level_of(question.way) for question in questions[1:]} <= {Level.FAULT, Level.REASON}
    return questions


def says(text: str, sentences: Iterable[str]) -> bool:
    """Whether a text, however its lines are broken, has all of these sentences."""
    joined = " ".join(text.split())
    return all(" ".join(sentence.split()) in joined for sentence in sentences)


def test_an_order_of_steps_and_choices_over_a_pipe_are_answered_wrong_right_and_with_help(
    far_up: Path, harder: list[Question]
) -> None:
    order, choice, last = harder
    wrong = entry(order, right=False)
    wrong_choice = entry(choice, right=False)
    lines = [
        "1 1",
        wrong,
        "",
        "w",
        "s",
        "",
        "?",
        wrong_choice,
        "",
        "s",
        "",
        "h",
        entry(last, right=True),
        "",
        "",
    ]
    done = piped(far_up, "\n".join(lines) + "\n")
    assert (done.returncode, done.stderr) == (0, "")
    refused = "Step 1 stands twice."
    parts = (
        "order by numbers",
        refused,
        "Too early: ",
        "The whole work",
        "Its steps",
        "digits answer",
        "Hint 1",
    )
    assert says(done.stdout, parts)
    assert says(done.stdout, (*mark(order, wrong).said, *mark(choice, wrong_choice).said))
    assert "Change one fact" in done.stdout
    grades = [(order.rule, "blind spot"), (choice.rule, "blind spot"), (last.rule, "shaky")]
    assert logged(far_up) == grades


def test_an_order_of_steps_and_choices_on_a_terminal_of_sixty_columns(
    far_up: Path, harder: list[Question]
) -> None:
    order, choice, last = harder
    wrong_choice = entry(choice, right=False)
    with on_terminal(far_up, columns=60, NO_COLOR="1") as child:
        shown = ""

        def reach(text: str) -> None:
            nonlocal shown
            child.expect_exact(text)
            shown += f"{child.before}{child.after}"

        reach("Answer:")
        child.send("1 2\r")
        child.expect_exact("not in it")
        child.send(f"\x15{entry(order, right=True)}\r")
        for answered in (f"{wrong_choice}\r", "h\r"):
            child.expect_exact("Sure?:")
            child.send("\r")
            reach("Next:")
            child.send("\r")
            reach("Answer:")
            child.send(answered)
        reach("Hint 1 of")
        child.expect_exact("Answer:")
        child.send(f"{entry(last, right=True)}\r")
        child.expect_exact("Sure?:")
        child.send("\r")
        reach("Next:")
        child.send("\r")
        reach("2 of 3 right.")
        child.expect(pexpect.EOF)
    screen = pyte.Screen(200, 600)
    pyte.Stream(screen).feed(shown)
    lines = [line.rstrip() for line in screen.display]
    assert says("\n".join(lines), ["In order", *mark(choice, wrong_choice).said])
    told = [line for line in lines if line.strip() and not line.startswith(("Answer:", "Sure?:", "Next:"))]
    assert max(map(len, told)) <= 60
    assert "\x1b[0;3" not in shown
    grades = [(order.rule, "sound"), (choice.rule, "blind spot"), (last.rule, "shaky")]
    assert logged(far_up) == grades


def test_a_round_gone_on_with_asks_just_what_it_asked_before_it_was_broken_off(
    far_up: Path, harder: list[Question]
) -> None:
    order, choice, _ = harder
    left = piped(far_up, f"{entry(order, right=True)}\n\n\n")
    on = piped(far_up, "")
    heading = "Question 2 of 3"
    asked = left.stdout[left.stdout.index(heading) : left.stdout.index("(digits answer")]
    assert asked in on.stdout
    assert says(asked, choice.text)


def test_a_procedure_is_told_step_by_step_before_it_is_asked_about_for_the_first_time(
    fresh: Path, knowledge: KnowledgeBase
) -> None:
    make_met(fresh, knowledge, filterfalse(is_procedure, rules_of(knowledge, (TOPIC,))), days_ago=1)
    told = piped(fresh, "1 2 3\n\n").stdout
    met, step, asked = (
        told.index(part)
        for part in ("New to you: a piece of work", "1. ", "In what order are these steps done?")
    )
    assert met < step < asked
    assert "Read it through. Enter goes on to your question." in told


def test_a_procedure_is_asked_about_by_name(fresh: Path) -> None:
    assert "In what order" in piped(fresh, "", "--rule", "procedure:clean-and-lube").stdout
    misspelt = piped(fresh, "", "--rule", "procedure:clean-and-lub")
    assert misspelt.returncode == 2
    assert "did you mean procedure:clean-and-lube?" in " ".join(misspelt.stderr.split())


def test_whoever_never_practised_is_shown_a_solved_pair_first_and_told_the_way_to_the_answer(
    fresh: Path, chain_judge: Judge
) -> None:
    question = questions_of(fresh, chain_judge, REQUEST)[0]
    done = piped(fresh, f"\n{entry(question, right=True)}\n\nq\n")
    told = done.stdout
    pair, asked, way = (
        told.index(part) for part in ("New to you: two cases", "Question 1 of 3", "The way to the answer")
    )
    assert pair < asked < way
    assert logged(fresh) == [(question.rule, "sound")]
    assert "The rule is told last" not in told


def test_over_a_pipe_nothing_but_printable_lines_of_the_pages_width_comes_out(fresh: Path) -> None:
    text = piped(fresh, "\n1\n\n\n\n2\n\n\n").stdout
    assert all(sign.isprintable() or sign == "\n" for sign in text)
    assert max(map(len, text.splitlines())) <= 80


def test_input_that_ends_leaves_the_round_to_be_gone_on_with(record: Path, questions: list[Question]) -> None:
    first, second, third = (entry(question, right=True) for question in questions)
    left = piped(record, f"{first}\n\n\n{second}\n")
    assert left.returncode == 0
    assert "Left after 1 answer." in left.stdout
    on = piped(record, f"{second}\n\n\n{third}\n\n\n")
    assert "Going on with the round after 1 answer." in on.stdout
    assert "Question 2 of 3" in on.stdout
    assert "3 of 3 right." in on.stdout
    assert [rule for rule, _ in logged(record)] == [question.rule for question in questions]


def test_a_hint_taken_before_a_restart_counts_after_it(record: Path, questions: list[Question]) -> None:
    first = questions[0]
    assert "Hint 1 of" in piped(record, "h\n").stdout
    on = piped(record, f"{entry(first, right=True)}\n\nq\n")
    assert "The hints you had" in on.stdout
    assert first.hints[0].split()[0] in on.stdout
    assert logged(record) == [(first.rule, "shaky")]


def test_a_round_that_was_left_with_q_is_over(record: Path) -> None:
    assert "You left before the end." in piped(record, "1\n\nq\n").stdout
    assert "Going on" not in piped(record, "q\n").stdout


def test_no_rule_is_asked_twice_on_one_day(fresh: Path) -> None:
    everything = ("--questions", "200")
    # `1` answers a choice, `1 %` a number of any bare kind, and what is refused is simply asked for again.
    piped(fresh, "\n1\n1 %\n1 mm\n2 1\n2 1 3\n2 1 3 4\n2 1 3 4 5\n\n\n" * 400, *everything)
    again = piped(fresh, "1\n", *everything)
    assert "Come back tomorrow." in again.stdout
    rules = [rule for rule, _ in logged(fresh)]
    assert len(set(rules)) == len(rules) > 10


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (("--topic", "cleanin"), "did you mean cleaning?"),
        (("--questions", "0"), "0 is not in the range"),
        (("--record", "."), "is a directory"),
    ],
)
def test_arguments_that_cannot_be_are_refused_in_words(fresh: Path, more: tuple[str, ...], says: str) -> None:
    done = piped(fresh, "", *more)
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


def test_a_round_on_a_terminal_from_first_question_to_summary(
    record: Path, questions: list[Question]
) -> None:
    with on_terminal(record) as child:
        for number, question in enumerate(questions, 1):
            child.expect_exact(f"Question {number} of 3")
            child.expect_exact("Answer:")
            child.send(f"{entry(question, right=True)}\r")
            child.expect_exact("Sure?:")
            child.send("\r")
            child.expect_exact("The answer is: ")
            child.expect_exact("Next:")
            child.send("\r")
        child.expect_exact("3 of 3 right.")
        child.expect(pexpect.EOF)
        child.close()
        assert child.exitstatus == 0
    assert [grade for _, grade in logged(record)] == ["sound"] * 3


def test_a_round_on_a_terminal_answered_right_wrong_and_with_help_broken_off_and_gone_on_with(
    record: Path, questions: list[Question]
) -> None:
    first, second, third = questions
    with on_terminal(record, columns=60) as child:
        child.expect_exact("Answer:")
        child.send(f"{entry(first, right=True)}\r")
        child.expect_exact("Sure?:")
        child.send("\r")
        child.expect_exact("Right")
        child.expect_exact("Next:")
        child.send("\r")
        child.expect_exact("Question 2 of 3")
        child.expect_exact("Answer:")
        child.send(f"{entry(second, right=False)}\r")
        child.expect_exact("Sure?:")
        child.send("\r")
        child.expect_exact("Wrong, though you were sure")
        child.expect_exact("Next:")
        child.send("\r")
        child.expect_exact("Question 3 of 3")
        child.expect_exact("Answer:")
        child.send("h\r")
        child.expect_exact("Hint 1 of")
        child.expect_exact("Answer:")
        child.send("\x03")
        child.expect_exact("Left after 2 answers.")
        child.expect(pexpect.EOF)
    with on_terminal(record) as child:
        child.expect_exact("Going on with the round after 2 answers.")
        child.expect_exact("The hints you had")
        child.expect_exact("Answer:")
        child.send(f"{entry(third, right=True)}\r")
        child.expect_exact("Sure?:")
        child.send("\r")
        child.expect_exact("Right, but not unaided and sure")
        child.expect_exact("Next:")
        child.send("\r")
        child.expect_exact("2 of 3 right.")
        child.expect(pexpect.EOF)
    assert [grade for _, grade in logged(record)] == ["sound", "blind spot", "shaky"]


def test_a_new_rule_is_met_on_a_terminal(fresh: Path, chain_judge: Judge) -> None:
    question = questions_of(fresh, chain_judge, REQUEST)[0]
    with on_terminal(fresh) as child:
        child.expect_exact("New to you: two cases, solved")
        child.expect_exact("Next:")
        child.send("\r")
        child.expect_exact("Question 1 of 3")
        child.expect_exact("The way to the answer")
        child.expect_exact("Answer:")
        child.send(f"{entry(question, right=True)}\r")
        child.expect_exact("Sure?:")
        child.send("u\r")
        child.expect_exact("Right, but not unaided and sure")
        child.expect_exact("Next:")
        child.send("\x04")
        child.expect_exact("Left after 1 answer.")


def test_on_a_terminal_an_answer_is_refused_taken_back_and_given_again(
    record: Path, questions: list[Question]
) -> None:
    with on_terminal(record) as child:
        child.expect_exact("Answer:")
        child.send("perhaps\r")
        child.expect_exact("Type ")
        child.send(f"\x15{entry(questions[0], right=False)}\r")
        child.expect_exact("Sure?:")
        child.send("b\r")
        child.expect_exact("Taken back.")
        child.send(f"{entry(questions[0], right=True)}\r")
        child.expect_exact("Sure?:")
        child.send("\r")
        child.expect_exact("Next:")
        child.send("q\r")
        child.expect(pexpect.EOF)
        child.close()
    assert logged(record) == [(questions[0].rule, "sound")]


@pytest.mark.parametrize(("key", "status"), [("\x03", 130), ("\x04", 0)])
def test_ctrl_c_and_ctrl_d_leave_cleanly_and_lose_nothing(
    record: Path, questions: list[Question], key: str, status: int
) -> None:
    with on_terminal(record) as child:
        child.expect_exact("Answer:")
        child.send(f"{entry(questions[0], right=True)}\r")
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


@pytest.mark.parametrize("tenths", [1, 3, 6])
def test_ctrl_c_while_the_program_starts_ends_it_at_once_with_130(fresh: Path, tenths: int) -> None:
    with on_terminal(fresh) as child:
        child.expect(pexpect.TIMEOUT, timeout=0.25 + tenths / 10)
        child.sendintr()
        child.expect(pexpect.EOF)
        child.close()
        said = str(child.before)
        # Before the first line of ours is read, Python itself ends by the signal.
        assert (child.exitstatus, child.signalstatus) in ((130, None), (None, 2)), said
        assert child.exitstatus != 130 or "Traceback" not in said


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


def test_at_sixty_columns_every_line_of_a_meeting_fits_the_screen(fresh: Path) -> None:
    with on_terminal(fresh, columns=60) as child:
        child.expect_exact("Next:")
        seen = str(child.before)
    # On a wider screen a line that is too long for sixty columns would stand out, and not be broken by the terminal.
    screen = pyte.Screen(200, 200)
    pyte.Stream(screen).feed(seen)
    lines = [line.rstrip() for line in screen.display]
    assert "New to you: two cases, solved" in lines
    assert "The rule" in lines
    assert max(map(len, lines)) <= 60
