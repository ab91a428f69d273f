"""`sideplate show`: one thing of the knowledge base, or a search when the name is not exact."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from sideplate_engine.vocabulary import System
from sideplate_trainer.describing import describe
from sideplate_trainer.finding_names import exact, search
from sideplate_trainer.knowledge_option import knowledge_option, knowledge_or_exit
from sideplate_trainer.telling import labelled, reading_width

NOTHING_FOUND = 1


@click.command(
    epilog="""\b
Examples:
  sideplate show 520
  sideplate show chain.sealing
  sideplate show connector-code-differs
  sideplate show always-holds
  sideplate show half link"""
)
@click.argument("name", nargs=-1, required=True)
@click.option(
    "--units",
    type=click.Choice(["metric", "us"]),
    default="metric",
    help="The units to show (default metric).",
)
@knowledge_option
def command(name: tuple[str, ...], units: System, overlays: tuple[Path, ...]) -> None:
    """Show a rule, fact, size, table, formula, procedure, source, caution, topic or check; or search for words."""
    knowledge = knowledge_or_exit(overlays)
    width = reading_width()
    query = " ".join(name)
    found = exact(knowledge, query)
    for number, entry in enumerate(found):
        if number:
            click.echo()
        for line in describe(knowledge, entry, width, units):
            click.echo(line)
    if found:
        return
    hits = search(knowledge, query)
    if not hits:
        click.echo(f"Nothing is called {query!r} and nothing holds these words.", err=True)
        sys.exit(NOTHING_FOUND)
    click.echo(f"Nothing is called {query!r}. Near it:")
    for entry in hits:
        for line in labelled(entry.kind, f"{entry.name}: {entry.line}", width):
            click.echo(line)
