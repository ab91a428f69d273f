"""`sideplate ask`: the adviser's interview, which ends in a judgement and a job card."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from sideplate_engine import JobSheet, Judge, Judgement, KnowledgeBase, UnreadableSheet, read_sheet_file
from sideplate_engine.findings import with_source_line
from sideplate_engine.interview import Interview
from sideplate_engine.sheet_writing import sheet_as_yaml
from sideplate_engine.vocabulary import System
from sideplate_trainer.front.choosing import face_for
from sideplate_trainer.interview.conversation import Conversation
from sideplate_trainer.job_card import card_lines, job_card
from sideplate_trainer.job_card_page import card_page
from sideplate_trainer.judge_command import ACT
from sideplate_trainer.knowledge_option import UNREADABLE, knowledge_option, knowledge_or_exit

INTERRUPTED = 130
"""Exit status after Ctrl-C, as shells give it."""


@click.command(
    epilog="""\b
Examples:
  sideplate ask
  sideplate ask --start renewal.yaml --save renewal-asked.yaml
  sideplate ask --job "Rattling commuter" --card card.html
Exit status: 0 clear or take care, 1 stop or put right, 2 not read."""
)
@click.option(
    "--start", type=click.Path(path_type=Path), metavar="JOB", help="Begin with what a job sheet states."
)
@click.option("--job", "title", default="", metavar="TEXT", help="A line that names the job.")
@click.option(
    "--save", type=click.Path(path_type=Path), metavar="FILE", help="Save the job sheet, for `judge`."
)
@click.option(
    "--card",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Save the job card as an HTML page to print.",
)
@click.option(
    "--units",
    type=click.Choice(["metric", "us"]),
    default="metric",
    help="The units to show (default metric); answers may be in any.",
)
@click.option("--plain", is_flag=True, help="Plain lines, for screen readers and simple terminals.")
@knowledge_option
def command(
    start: Path | None,
    title: str,
    save: Path | None,
    card: Path | None,
    units: System,
    plain: bool,
    overlays: tuple[Path, ...],
) -> None:
    """Ask about a job, only what can still change the rulings; then judge it and print a job card."""
    knowledge = knowledge_or_exit(overlays)
    sheet = JobSheet("", "", {}) if start is None else _started(start, knowledge)
    for path, option in ((save, "--save"), (card, "--card")):
        _writable(path, option, start)
    judge = Judge(knowledge)
    conversation = Conversation(judge, face_for(plain), Interview(dict(sheet.facts)), units)
    interrupted = wanted = False
    try:
        wanted = conversation.run()
    except KeyboardInterrupt:
        interrupted = True
    facts = conversation.interview.facts
    asked = JobSheet(
        title or sheet.job,
        sheet.note,
        facts,
        tuple(sorted(name for name, value in facts.items() if knowledge.facts[name].is_unusual(value))),
    )
    if facts and save is not None:
        save.write_text(sheet_as_yaml(asked, knowledge.facts), encoding="utf-8")
        click.echo(f"\nThe job sheet is in {save}.")
    if not wanted or not facts:
        click.echo("\nNothing was judged." if facts else "\nNothing was stated, so nothing was judged.")
        sys.exit(INTERRUPTED if interrupted else 0)
    judgement = judge.judge(facts, asked.job, units, asked.warnings(knowledge.facts, units))
    sys.exit(_tell(judgement, conversation, card))


def _tell(judgement: Judgement, conversation: Conversation, card: Path | None) -> int:
    made = job_card(judgement)
    conversation.face.tell_lines(("", *card_lines(made, conversation.face.width)))
    if card is not None:
        card.write_text(card_page(made), encoding="utf-8")
        click.echo(f"\nThe job card is in {card}.")
    return 1 if judgement.standing in ACT else 0


def _started(start: Path, knowledge: KnowledgeBase) -> JobSheet:
    try:
        return read_sheet_file(start, knowledge.facts)
    except UnreadableSheet as problem:
        for finding in problem.findings:
            click.echo(with_source_line(finding, problem.text), err=True)
        sys.exit(UNREADABLE)


def _writable(path: Path | None, option: str, start: Path | None) -> None:
    """Refuses, before anything is asked, a file that could not be written or would be lost."""
    if path is None:
        return
    if not path.absolute().parent.is_dir():
        raise click.BadParameter(f"there is no folder {path.absolute().parent}", param_hint=option)
    is_own = start is not None and path.exists() and path.samefile(start)
    if path.exists() and not is_own:
        raise click.BadParameter(f"{path} is there already; name another file", param_hint=option)
