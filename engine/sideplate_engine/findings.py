"""What is found wrong with a file, where it stands, and how that is told to the person who wrote it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from enum import Enum


class Severity(Enum):
    """An error keeps the file from being used; a warning goes on."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, slots=True, order=True)
class Position:
    """A place in a file; lines and columns count from 1."""

    path: str
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing to put right: a stable code, a sentence, and the place it speaks of.

    `names` is what an `unknown-...` finding looked for in vain, so that what only follows from a broken file can
    be held back.
    """

    code: str
    message: str
    at: Position
    severity: Severity = Severity.ERROR
    names: str = ""

    def line(self) -> str:
        """The finding as one line, the form editors and build logs recognise."""
        return f"{self.at}: {self.severity.value}[{self.code}]: {self.message}"


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings sorted by place, none repeated."""
    return tuple(
        sorted(
            dict.fromkeys(findings),
            key=lambda finding: (finding.at, finding.code, finding.message),
        )
    )


def with_source_line(finding: Finding, text: str | None) -> str:
    """The finding's line, then the source line it speaks of with a caret below its column.

    `text` is the file's text, or None where it could not be read; then the line stands alone.
    """
    if text is None:
        return finding.line()
    lines = text.splitlines()
    if not 1 <= finding.at.line <= len(lines):
        return finding.line()
    source = lines[finding.at.line - 1].replace("\t", " ")
    if len(source) > 200:
        return finding.line()
    number = str(finding.at.line)
    gutter = " " * len(number)
    caret = " " * (finding.at.column - 1) + "^"
    return f"{finding.line()}\n  {number} | {source}\n  {gutter} | {caret}"


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """`; did you mean X?` when a known word is close enough to be the one meant, else nothing."""
    close = get_close_matches(word.lower(), {name.lower(): name for name in known}, n=1, cutoff=0.7)
    if not close:
        return ""
    return f"; did you mean {next(name for name in known_by_lower(known, close[0]))}?"


def known_by_lower(known: Iterable[str], lowered: str) -> Iterable[str]:
    """The names among `known` that read `lowered` in lower case."""
    return (name for name in known if name.lower() == lowered)


def listed(words: Sequence[str], conjunction: str = "or", limit: int = 12) -> str:
    """`a, b or c`; a long list is cut and says how many more there are."""
    if len(words) > limit:
        return ", ".join(words[:limit]) + f" and {len(words) - limit} more"
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {conjunction} {words[-1]}"
