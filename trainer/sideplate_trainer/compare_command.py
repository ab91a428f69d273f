"""`sideplate compare`: which rules and rulings change between two knowledge bases."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Mapping
from contextlib import ExitStack
from dataclasses import dataclass, replace
from importlib.metadata import version
from pathlib import Path

import click

from sideplate_engine import KnowledgeBase, built_in_folder, load
from sideplate_engine.comparing import Comparison, Sheets, compare, count_cases
from sideplate_engine.findings import Finding
from sideplate_engine.knowledge_folders import knowledge_folders
from sideplate_engine.workshop_sheets import workshop_sheets
from sideplate_trainer.answer_log import AnswerLog, LogRefused
from sideplate_trainer.asked_about import fingerprint_of, is_known
from sideplate_trainer.comparison_telling import LookAgain, comparison_data, comparison_lines
from sideplate_trainer.knowledge_option import (
    UNREADABLE,
    any_error,
    knowledge_option,
    tell_findings,
)
from sideplate_trainer.knowledge_revision import BUILT_IN, NoSuchKnowledge, knowledge_at
from sideplate_trainer.progress import Progress
from sideplate_trainer.telling import reading_width


@click.command(
    epilog="""\b
Examples:
  sideplate compare HEAD~3
  sideplate compare v1.2 knowledge
  sideplate compare old-rules new-rules --over-built-in
  sideplate compare built-in our-rules --over-built-in
  sideplate compare HEAD~3 --record anna.sqlite3 --json
Exit status: 0 nothing changes, 1 something does, 2 not read."""
)
@click.argument("old")
@click.argument("new", default=BUILT_IN)
@click.option(
    "--over-built-in", is_flag=True, help="OLD and NEW are overlays: lay each over the built-in knowledge."
)
@click.option(
    "--record",
    "records",
    multiple=True,
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    metavar="FILE",
    help="Say which rules of a learner's record need another look (repeatable).",
)
@click.option("--json", "as_json", is_flag=True, help="Print everything as JSON.")
@knowledge_option
def command(
    old: str,
    new: str,
    over_built_in: bool,
    records: tuple[Path, ...],
    as_json: bool,
    overlays: tuple[Path, ...],
) -> None:
    """Compare two knowledge bases: which rules change, and which rulings on the same jobs.

    OLD and NEW are folders, git revisions of the knowledge folder, or built-in. NEW is built-in when left out.
    """
    in_use = knowledge_folders(overlays)
    with ExitStack() as stack:
        try:
            newer = (
                built_in_folder()
                if new is None
                else stack.enter_context(knowledge_at(new, built_in_folder()))
            )
            is_folder = new is not None and Path(new).is_dir()
            older = stack.enter_context(knowledge_at(old, newer if is_folder else built_in_folder()))
        except NoSuchKnowledge as problem:
            click.echo(str(problem), err=True)
            sys.exit(UNREADABLE)
        below = (built_in_folder(),) if over_built_in else ()
        one = _side((*below, older, *in_use[1:]), old, older)
        other = _side((*below, newer, *in_use[1:]), new, newer)
        comparison = _compared(one, other)
        learners = [each for record in records for each in look_again(record, other.knowledge, comparison)]
    if as_json:
        click.echo(json.dumps(comparison_data(comparison, learners), indent=2, ensure_ascii=False))
    else:
        for line in comparison_lines(comparison, learners, reading_width()):
            click.echo(line)
    sys.exit(0 if comparison.is_same else 1)


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two bases, with the workshop's sheets in its terms."""

    knowledge: KnowledgeBase
    sheets: Sheets


def _side(folders: tuple[Path, ...], name: str, folder: Path) -> Side:
    """A base without errors, or exit 2. Places are told by the name it was called by, not by a temporary folder."""
    folders = tuple({folder.resolve(): folder for folder in folders}.values())
    loaded = load(*folders)
    sheets, unreadable = workshop_sheets(folders, loaded.knowledge.facts)
    findings = tuple(
        _named(finding, str(folder.resolve()), name) for finding in (*loaded.findings, *unreadable)
    )
    if any_error(findings):
        texts = {_called(path, str(folder.resolve()), name): text for path, text in loaded.texts.items()}
        tell_findings(findings, texts)
        sys.exit(UNREADABLE)
    return Side(loaded.knowledge, [(job, sheet.facts) for job, sheet in sheets])


def _named(finding: Finding, folder: str, name: str) -> Finding:
    return replace(finding, at=finding.at._replace(path=_called(finding.at.path, folder, name)))


def _called(path: str, folder: str, name: str) -> str:
    return path.replace(folder, name, 1) if path.startswith(folder) else path


def _compared(one: Side, other: Side) -> Comparison:
    sides = (one.knowledge, other.knowledge, one.sheets, other.sheets)
    with Progress("Judging by both", count_cases(*sides)) as progress:
        return compare(*sides, after=progress.step)


def look_again(record: Path, knowledge: KnowledgeBase, comparison: Comparison) -> Iterator[LookAgain]:
    """The rules of a learner's record that are gone, decide otherwise now, or come to other rulings on some job."""
    try:
        with AnswerLog(record, version("sideplate")) as log:
            answered: Mapping[str, str] = {answer.rule: answer.fingerprint for answer in log.answers()}
    except LogRefused as problem:
        click.echo(str(problem), err=True)
        sys.exit(UNREADABLE)
    differing = {ruling.rule for ruling in comparison.rulings}
    for rule, printed in sorted(answered.items()):
        if not is_known(knowledge, rule):
            yield LookAgain(str(record), rule, "which is no longer in force")
        elif fingerprint_of(knowledge, rule) != printed:
            yield LookAgain(str(record), rule, "which decides otherwise since it was answered")
        elif rule in differing:
            yield LookAgain(str(record), rule, "whose ruling changes on some job")
