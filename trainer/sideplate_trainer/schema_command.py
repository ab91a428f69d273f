"""`sideplate schema`: the JSON Schemas by which an editor completes and explains knowledge files."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from sideplate_engine.knowledge_folders import knowledge_folders, shown
from sideplate_engine.modelines import SCHEMA_FOLDER, with_modeline
from sideplate_engine.schemas import texts_of
from sideplate_trainer.knowledge_option import knowledge_option, knowledge_or_exit

STALE = 1


@click.command(
    epilog="""\b
Examples:
  sideplate schema --knowledge my-overlay
  sideplate schema --knowledge my-overlay --first-lines
  sideplate schema --compare
Exit status: 0 done (or nothing to do), 1 --compare found a difference, 2 the knowledge has errors."""
)
@click.option(
    "--compare", is_flag=True, help="Write nothing; say which schemas are not as they would be written."
)
@click.option(
    "--first-lines", is_flag=True, help="Also give each knowledge file the first line that names its schema."
)
@knowledge_option
def command(compare: bool, first_lines: bool, overlays: tuple[Path, ...]) -> None:
    """Write the schemas of knowledge files into schema/ of the last knowledge folder.

    Facts, choices, sources, cautions and rules of all folders are in them, each with its meaning. An editor that
    knows YAML reads the schema that a file names in its first line.
    """
    folder = knowledge_folders(overlays)[-1]
    texts = {
        folder / SCHEMA_FOLDER / f"{name}.json": text
        for name, text in texts_of(knowledge_or_exit(overlays)).items()
    }
    differing = [path for path, text in texts.items() if _read(path) != text]
    if compare:
        for path in differing:
            click.echo(f"{shown(path)} is stale; run `sideplate schema`")
        sys.exit(STALE if differing else 0)
    for path in differing:
        path.parent.mkdir(exist_ok=True)
        path.write_text(texts[path], encoding="utf-8", newline="\n")
    changed = _first_lines(folder) if first_lines else 0
    click.echo(f"{len(differing)} of {len(texts)} schemas written, {changed} first lines changed")


def _read(path: Path) -> str | None:
    return path.read_text(encoding="utf-8") if path.is_file() else None


def _first_lines(folder: Path) -> int:
    """Gives the files of a folder their first lines, and says how many had another."""
    changed = 0
    for path in sorted(folder.rglob("*.yaml")):
        before = path.read_text(encoding="utf-8")
        after = with_modeline(before, path.relative_to(folder))
        if after != before:
            path.write_text(after, encoding="utf-8", newline="\n")
            changed += 1
    return changed
