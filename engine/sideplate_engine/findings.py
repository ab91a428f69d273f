"""What is found wrong with a file, where it stands, and how that is told to the person who wrote it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from enum import Enum
from itertools import islice
from typing import NamedTuple

MOST_TOLD = 100
"""How many findings one mapping or list gives. A file with more is not what it is taken for."""

TOO_MANY = "too-many-findings"
"""The code that says so."""

MANY_NAMES = 1000
"""With more names than this the nearest to a word is looked for among some of them only."""

LONGEST_NAME = 60
"""A word longer than this was never meant as a name: no nearest one is looked for, and it is cut when shown."""


class Severity(Enum):
    """An error keeps the file from being used; a warning goes on."""

    ERROR = "error"
    WARNING = "warning"


class Position(NamedTuple):
    """A place in a file; lines and columns count from 1. Places compare as they follow each other.

    A tuple, because a base has tens of thousands of them and a dataclass takes thrice as long to make.
    """

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
    # A tab would shift the caret, and what cannot be seen may do anything to a terminal.
    source = "".join(letter if letter.isprintable() else " " for letter in lines[finding.at.line - 1])
    if len(source) > 200:
        return finding.line()
    number = str(finding.at.line)
    gutter = " " * len(number)
    caret = " " * (finding.at.column - 1) + "^"
    return f"{finding.line()}\n  {number} | {source}\n  {gutter} | {caret}"


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """`; did you mean X?` when a known word is close enough to be the one meant, else nothing."""
    meant = nearest(word, known)
    return f"; did you mean {meant}?" if meant else ""


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word that is close enough to be the one meant, whatever its capitals; empty when none is.

    Among very many words only some that begin alike and are of like length are looked at.
    """
    if len(word) > LONGEST_NAME:
        return ""
    lowered = word.lower()
    names = {name.lower(): name for name in known}
    if len(names) > MANY_NAMES:
        alike = (name for name in names if name[:2] == lowered[:2] and abs(len(name) - len(lowered)) <= 2)
        names = {name: names[name] for name in islice(alike, MANY_NAMES // 4)}
    # In a short word two letters that changed places make too much of a difference for difflib.
    turned = [name for name in names if sorted(name) == sorted(lowered)]
    close = turned or get_close_matches(lowered, names, n=1, cutoff=0.7)
    return names[close[0]] if close else ""


def cut(word: str) -> str:
    """A word as a message shows it: a very long one only begins."""
    return word if len(word) <= LONGEST_NAME else f"{word[:LONGEST_NAME]}..."


def too_many(at: Position) -> Finding:
    """Says that what follows the first hundred findings is not told."""
    return Finding(TOO_MANY, f"more than {MOST_TOLD} things are wrong here; the rest is not told", at)


def no_more_than_told(findings: Iterable[Finding]) -> Iterator[Finding]:
    """The findings, of one file a hundred at the most and then that there are more."""
    seen: Counter[str] = Counter()
    for finding in findings:
        seen[finding.at.path] += 1
        if seen[finding.at.path] <= MOST_TOLD or finding.code == TOO_MANY:
            yield finding
        elif seen[finding.at.path] == MOST_TOLD + 1:
            yield too_many(finding.at)


def listed(words: Sequence[str], conjunction: str = "or", limit: int = 12) -> str:
    """`a, b or c`; a long list is cut and says how many more there are."""
    if len(words) > limit:
        return ", ".join(words[:limit]) + f" and {len(words) - limit} more"
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {conjunction} {words[-1]}"
