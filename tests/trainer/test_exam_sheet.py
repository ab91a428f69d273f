"""What an exam comes to: its result sheet, and going through what was missed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date

import pytest

from sideplate_engine import Judge
from sideplate_trainer.answers import Grade, LoggedAnswer, Purpose
from sideplate_trainer.blocks import Block
from sideplate_trainer.exam_review import review
from sideplate_trainer.exam_sheet import paper_lines, paper_title, result_sheet
from sideplate_trainer.front.face import Asking
from sideplate_trainer.posing import posed
from sideplate_trainer.questions import Question
from sideplate_trainer.round_events import Planned

DAY = date(2026, 3, 2)


def answer(
    rule: str,
    grade: Grade,
    *,
    blamed: str | None = None,
    way: str = "w",
    response: str = "must",
    key: str = "must not",
    seed: int = 0,
) -> LoggedAnswer:
    return LoggedAnswer(
        rule, "f1", way, grade, blamed, DAY, purpose=Purpose.EXAM, response=response, key=key, seed=seed
    )


def test_a_result_sheet_counts_by_topic_and_names_the_rules_missed(judge: Judge) -> None:
    answered = [
        answer("codes-differ", Grade.BLIND_SPOT, blamed="bent-bolt"),
        answer("grease-it", Grade.SOUND),
        answer("bent-bolt", Grade.MISSED, blamed="bent-bolt", response="should not."),
    ]
    title = paper_title(7, "all topics", 4)
    topics = judge.knowledge.topics
    assert result_sheet(title, DAY, 4, answered, judge.knowledge) == (
        Block(
            "Result sheet",
            ("Paper 7, all topics, 4 questions, 2026-03-02.", "1 of 4 right.", "1 not answered."),
        ),
        Block("By topic", (f"{topics['fitting'].title}: 0 of 2.", f"{topics['checking'].title}: 1 of 1.")),
        Block(
            "Rules missed",
            (
                "Question 1: The nut carries the bolt's own code.",
                "You answered (sure, wrong): must.",
                "The answer is: must not.",
                f"What was misapplied: {judge.knowledge.rules['bent-bolt'].title.rstrip('.')}.",
                f"Question 3: {judge.knowledge.rules['bent-bolt'].title.rstrip('.')}.",
                "You answered (wrong): should not.",
                "The answer is: must not.",
            ),
        ),
    )


def test_a_sheet_on_which_all_is_right_says_that_none_was_missed(judge: Judge) -> None:
    sheet = result_sheet("Paper 7", DAY, 1, [answer("grease-it", Grade.SOUND)], judge.knowledge)
    assert sheet[-1] == Block("Rules missed", ("None.",))


def test_one_question_is_no_questions() -> None:
    assert paper_title(7, "Slack", 1) == "Paper 7, Slack, 1 question"


class Reader:
    """A front end that gives lines and keeps what it is told."""

    width = 80

    def __init__(self, lines: Sequence[str]) -> None:
        self._lines: Iterator[str] = iter(lines)
        self.headings: list[str] = []
        self.told: list[str] = []

    def tell(self, blocks: Sequence[Block]) -> None:
        self.told += [sentence for block in blocks for sentence in block.sentences]

    def tell_lines(self, lines: Iterable[str]) -> None:
        self.told += lines

    def show(self, question: Question, heading: str) -> None:
        self.headings.append(heading)

    def ask(self, asking: Asking) -> str:
        for line in self._lines:
            return line
        raise EOFError


@pytest.fixture(scope="module")
def paper(chain_judge: Judge) -> list[LoggedAnswer]:
    """Three questions, of which the first and the last were missed."""
    rules = ("petrol-on-rings", "connector-code-differs", "kerosene-on-rings")
    answered = []
    for rule, grade in zip(rules, (Grade.BLIND_SPOT, Grade.SOUND, Grade.MISSED), strict=True):
        question = posed(chain_judge, Planned(rule, "is_this_allowed", 3))
        wrong = next(option.word for option in question.options if option.word != question.key)
        response = question.key if grade.is_right else wrong
        answered.append(
            answer(rule, grade, way=question.way, response=response, key=question.key, seed=question.seed)
        )
    return answered


@pytest.mark.parametrize(
    ("lines", "shown"),
    [
        (("", ""), ["Question 1, missed", "Question 3, missed"]),
        (("", "q"), ["Question 1, missed"]),
        (("",), ["Question 1, missed"]),
        ((), []),
    ],
)
def test_what_was_missed_is_gone_through_until_the_learner_leaves(
    chain_judge: Judge,
    paper: list[LoggedAnswer],
    lines: tuple[str, ...],
    shown: list[str],
) -> None:
    reader = Reader(lines)
    review(chain_judge, reader, paper)
    assert reader.headings == shown


def test_a_missed_question_is_explained_with_what_was_answered(
    chain_judge: Judge, paper: list[LoggedAnswer]
) -> None:
    reader = Reader([""])
    review(chain_judge, reader, paper)
    assert f"Your answer: {paper[0].response}." in reader.told
    assert f"The answer is: {paper[0].key}." in reader.told


def test_an_answer_that_reads_otherwise_since_is_explained_all_the_same(
    chain_judge: Judge, paper: list[LoggedAnswer]
) -> None:
    reader = Reader([""])
    review(chain_judge, reader, [replace(paper[0], response="no such choice")])
    assert "Your answer: no such choice." in reader.told


def test_a_paper_and_its_key_hold_an_order_of_steps(chain_judge: Judge) -> None:
    question = posed(chain_judge, Planned("procedure:fit-a-clip-link", "steps_in_order", 4))
    text = "\n".join(paper_lines("Paper 7", [question], chain_judge))
    paper, key = text.split("\f")
    assert "In what order are these steps done?" in paper
    assert question.key not in paper
    assert f"Question 1: {question.key}\nProcedure fit-a-clip-link\n\nIn order\n" in key


def test_a_procedure_missed_in_an_exam_is_gone_through_like_a_rule(chain_judge: Judge) -> None:
    question = posed(chain_judge, Planned("procedure:fit-a-clip-link", "steps_in_order", 4))
    wrong = " ".join(reversed(question.key.split()))
    missed = answer(
        question.rule, Grade.MISSED, way=question.way, response=wrong, key=question.key, seed=question.seed
    )
    sheet = result_sheet("Paper 7", DAY, 1, [missed], chain_judge.knowledge)
    assert sheet[1].sentences == ("Connecting links: 0 of 1.",)
    assert sheet[2].sentences[0] == "Question 1: Fit a clip link."
    reader = Reader([""])
    review(chain_judge, reader, [missed])
    assert any(sentence.startswith("Too early: ") for sentence in reader.told)
