"""Findings as lines for a person, as JSON, and as the annotations that continuous-integration logs show beside code."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from sideplate_engine.findings import Finding, with_source_line


def as_lines(findings: Iterable[Finding], texts: Mapping[str, str]) -> Iterator[str]:
    """Each finding as its line, the source line and a caret."""
    for finding in findings:
        yield with_source_line(finding, texts.get(finding.at.path))


def as_data(finding: Finding) -> dict[str, Any]:
    """A finding as JSON holds it."""
    return {
        "path": finding.at.path,
        "line": finding.at.line,
        "column": finding.at.column,
        "severity": finding.severity.value,
        "code": finding.code,
        "message": finding.message,
    }


def as_annotation(finding: Finding) -> str:
    """A finding as a workflow command: one line that a build log turns into a note beside the source line."""
    place = (
        f"file={_property(finding.at.path)},line={finding.at.line},col={finding.at.column},"
        f"title={_property(finding.code)}"
    )
    return f"::{finding.severity.value} {place}::{_message(finding.message)}"


def _message(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _message(text).replace(":", "%3A").replace(",", "%2C")
