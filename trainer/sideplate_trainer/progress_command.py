"""`sideplate progress`: what is sure, shaky and due, how far to trust being sure, and what to practise next."""

from __future__ import annotations

import json
import sys
from datetime import datetime
from pathlib import Path

import click

from sideplate_trainer.answer_log import AnswerLog, LogRefused
from sideplate_trainer.answers import Purpose
from sideplate_trainer.asked_about import fingerprint_of
from sideplate_trainer.assessment import outlook
from sideplate_trainer.front.page import block_lines
from sideplate_trainer.knowledge_option import UNREADABLE, knowledge_option, knowledge_or_exit
from sideplate_trainer.progress_report import progress_of
from sideplate_trainer.progress_telling import progress_as_data, progress_blocks
from sideplate_trainer.record_option import record_option, usual_record
from sideplate_trainer.record_settings import kept_assessment, kept_schedule
from sideplate_trainer.round_preparing import rules_of
from sideplate_trainer.round_request import QUESTIONS
from sideplate_trainer.schedule import replay
from sideplate_trainer.scheduler import ScheduleMissing, scheduler_named
from sideplate_trainer.telling import reading_width


@click.command(
    epilog="""\b
Examples:
  sideplate progress
  sideplate progress --record anna.sqlite3
  sideplate progress --json"""
)
@click.option("--json", "as_json", is_flag=True, help="Print it as JSON.")
@record_option
@knowledge_option
def command(as_json: bool, record: Path | None, overlays: tuple[Path, ...]) -> None:
    """Show what is sure and what is shaky, by topic, and what to practise next."""
    path = record or usual_record()
    if not path.exists():
        # To look at a record is no reason to make one.
        click.echo(f"There is no record at {path} yet; `sideplate practise` begins one.", err=True)
        sys.exit(UNREADABLE)
    knowledge = knowledge_or_exit(overlays)
    today = datetime.now().astimezone().date()
    try:
        with AnswerLog(path) as log:
            answers = log.answers()
            schedule = kept_schedule(log)
            assessment = kept_assessment(log)
        standings = replay(answers, scheduler_named(schedule))
    except (LogRefused, ScheduleMissing) as problem:
        click.echo(str(problem), err=True)
        sys.exit(UNREADABLE)
    rules = rules_of(knowledge, ())
    ahead = None
    if assessment is not None:
        about = rules_of(knowledge, assessment.topics)
        ahead = outlook(assessment, about, answers, today, QUESTIONS[Purpose.PRACTICE])
    printed = {id_: fingerprint_of(knowledge, id_) for id_ in rules}
    progress = progress_of(knowledge, rules, answers, standings, printed, today, ahead)
    if as_json:
        click.echo(json.dumps(progress_as_data(progress, schedule), indent=2, ensure_ascii=False))
        return
    lines = block_lines(tuple(progress_blocks(progress, knowledge)), reading_width())
    click.echo("\n".join(line for _, line in lines).lstrip("\n"))
