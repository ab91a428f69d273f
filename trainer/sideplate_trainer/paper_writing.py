"""`practise --exam --paper FILE`: the paper of a seed and its key, as text to print."""

from __future__ import annotations

import secrets
import sys
from collections.abc import Iterator
from pathlib import Path

import click

from sideplate_engine import Judge, KnowledgeBase
from sideplate_trainer.exam_sheet import paper_lines, paper_title
from sideplate_trainer.posing import posed
from sideplate_trainer.practising import topics_in_words
from sideplate_trainer.questions import NoQuestion, Question
from sideplate_trainer.round_planning import exam_plans
from sideplate_trainer.round_preparing import PAPERS, rules_of
from sideplate_trainer.round_request import Request

STANDARD_OUTPUT = "-"
CANNOT_WRITE = 2


def write_paper(knowledge: KnowledgeBase, request: Request, path: Path) -> None:
    """Writes the same questions that an exam of this seed asks; `-` is standard output. Exits where it cannot."""
    paper = secrets.randbelow(PAPERS) if request.seed is None else request.seed
    judge = Judge(knowledge)
    questions = list(_questions(judge, request, paper))
    title = paper_title(paper, topics_in_words(knowledge, request.topics), len(questions))
    text = "\n".join(paper_lines(title, questions, judge)) + "\n"
    if str(path) == STANDARD_OUTPUT:
        click.echo(text, nl=False)
        return
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as problem:
        click.echo(f"The paper cannot be written to {path}: {problem.strerror}.", err=True)
        sys.exit(CANNOT_WRITE)
    click.echo(f"{title}, is in {path}, the key behind it.")


def _questions(judge: Judge, request: Request, paper: int) -> Iterator[Question]:
    left = request.wanted
    seen: set[tuple[str, ...]] = set()
    rules = rules_of(judge.knowledge, request.topics)
    for plan in exam_plans(judge.knowledge, rules, paper, request.wanted):
        if left == 0:
            return
        try:
            question = posed(judge, plan, seen)
        except NoQuestion:
            continue
        seen.add(question.look)
        yield question
        left -= 1
