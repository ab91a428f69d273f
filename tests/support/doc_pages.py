"""Documentation pages taken apart: their blocks, and the comments that say how each is tried out.

Before a block may stand, in HTML comments of their own:

- `file: PATH`: the block is written there, in the page's own folder, where its commands run.
- `read as: KIND`: the block is read as that kind of file (or as a `piece` of YAML), and nothing must be wrong with it.
- `exit: N`: the status the last command of the block ends with, 0 if nothing is said.
- `typed: TEXT`: what the commands read from standard input; `\\n` ends a line.
- `output`: each line of the block stands in what the commands before printed, in this order; `...` stands for any.
- `not run: REASON`: the block is left alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]

COMMANDS = frozenset({"sh", "zsh", "fish"})
_BLOCK = re.compile(
    r"(?P<before>(?:^<!-- .+? -->\n)*)^```(?P<language>\w*)\n(?P<text>.*?)^```$", re.MULTILINE | re.DOTALL
)
_COMMENT = re.compile(r"^<!-- (?P<key>[a-z ]+?)(?:: (?P<value>.+))? -->$", re.MULTILINE)
_INLINE = re.compile(r"`(sideplate [^`\n]+)`")


@dataclass(frozen=True)
class Block:
    """A fenced block: its language, its text, the comments before it, and its line in the page."""

    language: str
    text: str
    says: dict[str, str]
    line: int


def pages() -> list[Path]:
    """Every page: the README and what lies under docs."""
    return [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]


def blocks(page: Path) -> Iterator[Block]:
    """The page's fenced blocks, in order."""
    text = page.read_text(encoding="utf-8")
    for found in _BLOCK.finditer(text):
        says = {comment["key"]: comment["value"] or "" for comment in _COMMENT.finditer(found["before"])}
        line = text.count("\n", 0, found.start("language")) + 1
        yield Block(found["language"], found["text"], says, line)


def inline_commands(page: Path) -> list[str]:
    """The commands written within sentences and tables, each once."""
    prose = _BLOCK.sub("", page.read_text(encoding="utf-8"))
    return list(dict.fromkeys(_INLINE.findall(prose)))
