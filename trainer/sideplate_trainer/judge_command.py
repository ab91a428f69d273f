"""`sideplate judge`: rulings on job sheets."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path

import click

from sideplate_engine import (
    JobSheet,
    Judge,
    Judgement,
    KnowledgeBase,
    UnreadableSheet,
    judgement_as_data,
    read_sheet_bytes,
    read_sheet_file,
)
from sideplate_engine.findings import did_you_mean, with_source_line
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import System
from sideplate_trainer.knowledge_option import UNREADABLE, knowledge_option, knowledge_or_exit
from sideplate_trainer.telling import all_why_lines, judgement_lines, reading_width, why_lines, why_not_lines

EVERYTHING = "*"
ACT = ("stop", "put right")
"""The standings that end with exit status 1."""


@click.command(
    epilog="""\b
Examples:
  sideplate judge renewal.yaml
  sideplate judge renewal.yaml --why
  sideplate judge renewal.yaml --why-not connector-code-differs
  cat renewal.yaml | sideplate judge - --json
Exit status: 0 clear or take care, 1 stop or put right, 2 not read."""
)
@click.argument("jobs", metavar="JOB...", nargs=-1, type=click.Path(path_type=Path, allow_dash=True))
@click.option(
    "--why",
    is_flag=False,
    flag_value=EVERYTHING,
    metavar="[RULE]",
    help="Show the proof of every ruling and result, or of one rule.",
)
@click.option("--why-not", metavar="RULE", help="Say why a rule does not fire here.")
@click.option("--json", "as_json", is_flag=True, help="Print the judgement as JSON.")
@click.option(
    "--units",
    type=click.Choice(["metric", "us"]),
    default="metric",
    help="The units to show (default metric).",
)
@knowledge_option
def command(
    jobs: tuple[Path, ...],
    why: str | None,
    why_not: str | None,
    as_json: bool,
    units: System,
    overlays: tuple[Path, ...],
) -> None:
    """Rule on job sheets: YAML or JSON files, or - for standard input."""
    knowledge = knowledge_or_exit(overlays)
    if why is not None and why != EVERYTHING and why not in knowledge.rules and _is_sheet(why):
        # `--why JOB`: the word after the option was meant as a sheet.
        jobs, why = (Path(why), *jobs), EVERYTHING
    if not jobs:
        raise click.UsageError("Name a job sheet, or - to read one from standard input.")
    wanted = None if why in (None, EVERYTHING) else _rule(knowledge, str(why), "--why")
    unwanted = None if why_not is None else _rule(knowledge, why_not, "--why-not")
    sheets = _read_all(jobs, knowledge)
    judge = Judge(knowledge)
    judgements = [
        judge.judge(sheet.facts, sheet.job, units, sheet.warnings(knowledge.facts, units)) for sheet in sheets
    ]
    if as_json:
        data = [judgement_as_data(judgement) for judgement in judgements]
        click.echo(json.dumps(data[0] if len(data) == 1 else data, indent=2, ensure_ascii=False))
    else:
        width = reading_width()
        for number, judgement in enumerate(judgements):
            if number:
                click.echo("\n" + "-" * min(width, 40) + "\n")
            for line in _lines(judgement, width, why == EVERYTHING, wanted, unwanted):
                click.echo(line)
    sys.exit(1 if any(judgement.standing in ACT for judgement in judgements) else 0)


def _is_sheet(word: str) -> bool:
    return word == "-" or Path(word).exists() or word.endswith((".yaml", ".yml", ".json"))


def _rule(knowledge: KnowledgeBase, name: str, option: str) -> Rule:
    rule = knowledge.rules.get(name)
    if rule is None:
        raise click.BadParameter(
            f"no rule is called {name}{did_you_mean(name, knowledge.rules)}", param_hint=option
        )
    return rule


def _read_all(jobs: tuple[Path, ...], knowledge: KnowledgeBase) -> list[JobSheet]:
    """Every sheet, or exit 2 with all that is wrong with any of them: nothing is judged on half-read input."""
    sheets: list[JobSheet] = []
    broken = False
    for job in jobs:
        try:
            if str(job) == "-":
                raw = sys.stdin.buffer.read(2 * 1024 * 1024)
                sheets.append(read_sheet_bytes(raw, "standard input", knowledge.facts))
            else:
                sheets.append(read_sheet_file(job, knowledge.facts))
        except UnreadableSheet as problem:
            broken = True
            for finding in problem.findings:
                click.echo(with_source_line(finding, problem.text), err=True)
    if broken:
        sys.exit(UNREADABLE)
    return sheets


def _lines(
    judgement: Judgement, width: int, why_all: bool, wanted: Rule | None, unwanted: Rule | None
) -> Iterator[str]:
    if wanted is not None:
        yield from why_lines(judgement, wanted, width)
    if unwanted is not None:
        yield from why_not_lines(judgement, unwanted, width)
    if wanted is None and unwanted is None:
        yield from judgement_lines(judgement, width)
        if why_all:
            yield from all_why_lines(judgement, width)
