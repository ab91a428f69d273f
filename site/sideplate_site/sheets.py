"""The workshop's job sheets, which the page of the rule graph lights up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from sideplate_engine import KnowledgeBase, read_sheet_file
from sideplate_engine.vocabulary import Value
from sideplate_engine.workshop_sheets import sheet_files


@dataclass(frozen=True, slots=True)
class Sheet:
    """A job sheet: its name, the line that says what the job is, and its facts."""

    name: str
    job: str
    facts: Mapping[str, Value]


def sheets_in(folders: Iterable[Path], knowledge: KnowledgeBase) -> tuple[Sheet, ...]:
    """The job sheets of the folders' workshops, by name. Raises UnreadableSheet."""
    return tuple(_sheet(path, knowledge) for path in sorted(sheet_files(folders)))


def _sheet(path: Path, knowledge: KnowledgeBase) -> Sheet:
    read = read_sheet_file(path, knowledge.facts)
    return Sheet(path.stem, read.job or path.stem, read.facts)
