"""Which schema belongs to which knowledge file, and the first line by which a file says so to an editor."""

from __future__ import annotations

from pathlib import Path, PurePosixPath

PREFIX = "# yaml-language-server: $schema="
"""What editors look for at the top of a YAML file."""

SCHEMA_FOLDER = "schema"

OF_FOLDER = {
    "vocabulary": "vocabulary",
    "rules": "rule",
    "tables": "table",
    "formulas": "formula",
    "procedures": "procedure",
    "workshop/jobs": "job",
}
"""The schema of the files in each folder, and in the folders below it."""

OF_FILE = {
    "sources.yaml": "sources",
    "cautions.yaml": "cautions",
    "topics.yaml": "topics",
    "subjects.yaml": "subjects",
    "parts.yaml": "parts",
    "deny-list.yaml": "deny-list",
    "workshop/people.yaml": "people",
    "workshop/machines.yaml": "machines",
    "workshop/never.yaml": "never",
}
"""The schema of each single file of a knowledge folder."""


def schema_of(path: Path) -> str | None:
    """The name of the schema for a file, by its path within its knowledge folder; None when it has none."""
    written = path.as_posix()
    if written in OF_FILE:
        return OF_FILE[written]
    folders = [parent.as_posix() for parent in PurePosixPath(written).parents]
    return next((name for folder, name in OF_FOLDER.items() if folder in folders), None)


def expected_modeline(path: Path) -> str | None:
    """The first line of a file, by its path within its knowledge folder; None when it needs none."""
    name = schema_of(path)
    if name is None:
        return None
    up = "../" * (len(path.parts) - 1)
    return f"{PREFIX}{up or './'}{SCHEMA_FOLDER}/{name}.json"


def with_modeline(text: str, path: Path) -> str:
    """A file's text with the first line that belongs there, in place of another of its kind. `path` as above."""
    wanted = expected_modeline(path)
    if wanted is None:
        return text
    first, _, rest = text.partition("\n")
    return f"{wanted}\n{rest if first.startswith(PREFIX.rstrip('=')) else text}"
