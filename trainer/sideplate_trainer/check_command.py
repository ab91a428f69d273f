"""`sideplate check`: everything that can be wrong with a knowledge base."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from sideplate_engine import Judge, Severity, load
from sideplate_engine.check_context import context_of
from sideplate_engine.checks import run_checks
from sideplate_engine.findings import Finding, in_order
from sideplate_engine.provenance import account_as_data, account_of
from sideplate_trainer.knowledge_option import any_error, knowledge_folders, knowledge_option, tell_findings
from sideplate_trainer.provenance_lines import account_lines
from sideplate_trainer.telling import reading_width, wrapped


@click.command(
    epilog="""\b
Examples:
  sideplate check
  sideplate check my-knowledge
  sideplate check --knowledge my-overlay
Exit status: 0 no errors, 1 errors."""
)
@click.argument("folder", required=False, type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print findings and counts as JSON.")
@knowledge_option
def command(folder: Path | None, as_json: bool, overlays: tuple[Path, ...]) -> None:
    """Check a knowledge base: the built-in one, or the one in FOLDER."""
    folders = (folder, *overlays) if folder is not None else knowledge_folders(overlays)
    loaded = load(*folders)
    findings: list[Finding] = list(loaded.findings)
    if not any_error(loaded.findings):
        # Examples are judged with the whole base, so they say nothing while a part of it is missing.
        findings += run_checks(context_of(loaded, Judge(loaded.knowledge), folders))
    ordered = in_order(findings)
    knowledge = loaded.knowledge
    counts = {
        "rules": len(knowledge.rules),
        "facts": len(knowledge.facts),
        "tables": len(knowledge.tables),
        "formulas": len(knowledge.formulas),
        "procedures": len(knowledge.procedures),
        "sources": len(knowledge.sources),
        "examples": sum(len(rule.examples) for rule in knowledge.rules.values()),
        "worked cases": sum(len(formula.worked) for formula in knowledge.formulas.values()),
    }
    account = account_of(knowledge)
    errors = sum(finding.severity is Severity.ERROR for finding in ordered)
    if as_json:
        data = {
            "findings": [
                {
                    "path": finding.at.path,
                    "line": finding.at.line,
                    "column": finding.at.column,
                    "severity": finding.severity.value,
                    "code": finding.code,
                    "message": finding.message,
                }
                for finding in ordered
            ],
            "counts": counts,
            "rules by topic": {topic: len(knowledge.rules_of(topic)) for topic in knowledge.topics},
            "provenance": account_as_data(account),
        }
        click.echo(json.dumps(data, indent=2, ensure_ascii=False))
    else:
        tell_findings(ordered, loaded.texts, to_stdout=True)
        width = reading_width()
        for line in wrapped(", ".join(f"{number} {what}" for what, number in counts.items()), width):
            click.echo(line)
        for line in account_lines(account, width):
            click.echo(line)
        click.echo(f"{errors} errors, {len(ordered) - errors} warnings")
    sys.exit(1 if errors else 0)
