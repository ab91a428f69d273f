"""`sideplate check`: everything that can be wrong with a knowledge base."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click

from sideplate_engine.coverage import RuleCoverage, coverage_of_all
from sideplate_engine.knowledge_folders import knowledge_folders
from sideplate_engine.mutation import Strength, strength_of
from sideplate_engine.provenance import account_as_data, account_of
from sideplate_trainer.check_watch import watch
from sideplate_trainer.checking import STEPS, Checked, check_folders
from sideplate_trainer.example_strength_lines import (
    coverage_data,
    coverage_lines,
    strength_data,
    strength_lines,
)
from sideplate_trainer.finding_formats import as_annotation, as_data, as_lines
from sideplate_trainer.knowledge_option import knowledge_option
from sideplate_trainer.progress import Progress
from sideplate_trainer.provenance_lines import account_lines
from sideplate_trainer.telling import reading_width, wrapped

NOT_JUDGED = "Errors keep the rules from being judged, so their examples say nothing yet."


@dataclass(frozen=True, slots=True)
class Report:
    """What was found, and what was asked for besides."""

    checked: Checked
    coverage: tuple[RuleCoverage, ...] | None = None
    strength: Strength | None = None


@click.command(
    epilog="""\b
Examples:
  sideplate check
  sideplate check my-knowledge
  sideplate check --knowledge my-overlay
  sideplate check --watch --knowledge my-overlay
  sideplate check --mutation
What a code in square brackets means: sideplate show CODE
Exit status: 0 no errors, 1 errors."""
)
@click.argument("folder", required=False, type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="The same as --format json.")
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "annotations"]),
    default="text",
    help="text for a reader, json for a program, annotations for a continuous-integration log.",
)
@click.option("--coverage", is_flag=True, help="Say what the rules' examples show, and what they do not.")
@click.option(
    "--mutation", is_flag=True, help="Change each rule in small ways and say what no example notices."
)
@click.option("--watch", "watching", is_flag=True, help="Check again whenever a file changes; Ctrl-C ends.")
@knowledge_option
def command(
    folder: Path | None,
    as_json: bool,
    form: str,
    coverage: bool,
    mutation: bool,
    watching: bool,
    overlays: tuple[Path, ...],
) -> None:
    """Check a knowledge base: the built-in one, or the one in FOLDER."""
    form = "json" if as_json else form
    folders = (folder, *overlays) if folder is not None else knowledge_folders(overlays)
    if watching:
        if form != "text" or coverage or mutation:
            raise click.UsageError("--watch prints findings as text, and nothing besides.")
        watch(folders)
        return
    report = _report(folders, coverage=coverage, mutation=mutation)
    if form == "json":
        click.echo(json.dumps(_data(report), indent=2, ensure_ascii=False))
    elif form == "annotations":
        for finding in report.checked.findings:
            click.echo(as_annotation(finding))
    else:
        for line in _lines(report):
            click.echo(line)
    sys.exit(1 if report.checked.errors else 0)


def _report(folders: tuple[Path, ...], *, coverage: bool, mutation: bool) -> Report:
    with Progress("Checking", STEPS) as progress:
        checked = check_folders(folders, progress.step)
    if checked.context is None:
        return Report(checked)
    covered = coverage_of_all(checked.knowledge, checked.context.outcomes()) if coverage else None
    return Report(checked, covered, _strength(checked) if mutation else None)


def _strength(checked: Checked) -> Strength:
    total = Strength()
    with Progress("Changing rules", len(checked.knowledge.rules)) as progress:
        for id_, strength in strength_of(checked.knowledge):
            total += strength
            progress.step(id_)
    return total


def _counts(checked: Checked) -> dict[str, int]:
    knowledge = checked.knowledge
    return {
        "rules": len(knowledge.rules),
        "facts": len(knowledge.facts),
        "tables": len(knowledge.tables),
        "formulas": len(knowledge.formulas),
        "procedures": len(knowledge.procedures),
        "sources": len(knowledge.sources),
        "examples": sum(len(rule.examples) for rule in knowledge.rules.values()),
        "worked cases": sum(len(formula.worked) for formula in knowledge.formulas.values()),
    }


def _data(report: Report) -> dict[str, Any]:
    knowledge = report.checked.knowledge
    data = {
        "findings": [as_data(finding) for finding in report.checked.findings],
        "counts": _counts(report.checked),
        "rules by topic": {topic: len(knowledge.rules_of(topic)) for topic in knowledge.topics},
        "provenance": account_as_data(account_of(knowledge)),
    }
    if report.coverage is not None:
        data["coverage"] = coverage_data(report.coverage)
    if report.strength is not None:
        data["mutation"] = strength_data(report.strength)
    return data


def _lines(report: Report) -> Iterator[str]:
    checked, width = report.checked, reading_width()
    yield from as_lines(checked.findings, checked.texts)
    if report.coverage is not None:
        yield from coverage_lines(report.coverage)
    if report.strength is not None:
        yield from strength_lines(report.strength)
    counts = ", ".join(f"{number} {what}" for what, number in _counts(checked).items())
    yield from wrapped(counts, width)
    yield from account_lines(account_of(checked.knowledge), width)
    if checked.context is None:
        yield from wrapped(NOT_JUDGED, width)
    yield summary(checked)


def summary(checked: Checked) -> str:
    """How many errors and warnings there are."""
    return f"{checked.errors} errors, {len(checked.findings) - checked.errors} warnings"
