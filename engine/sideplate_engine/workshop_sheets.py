"""The job sheets of the workshop: those in the `workshop/jobs` of knowledge folders."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as MappingABC
from pathlib import Path

from sideplate_engine.findings import Finding
from sideplate_engine.job_sheet import JobSheet, UnreadableSheet, read_sheet_file
from sideplate_engine.vocabulary import Fact


def sheet_files(folders: Iterable[Path]) -> list[Path]:
    """The files of the workshops' job sheets, folder by folder, by name."""
    return [path for folder in folders for path in sorted((folder / "workshop" / "jobs").glob("*.yaml"))]


def workshop_sheets(
    folders: Iterable[Path], vocabulary: MappingABC[str, Fact]
) -> tuple[list[tuple[str, JobSheet]], list[Finding]]:
    """The sheets that can be read, by name, and what is wrong with the others."""
    sheets: list[tuple[str, JobSheet]] = []
    findings: list[Finding] = []
    for path in sheet_files(folders):
        try:
            sheets.append((path.stem, read_sheet_file(path, vocabulary)))
        except UnreadableSheet as problem:
            findings += problem.findings
    return sheets, findings
