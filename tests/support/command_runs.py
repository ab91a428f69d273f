"""Runs of the `sideplate` command inside this process, the built-in knowledge read once for all of them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from click.testing import CliRunner

from sideplate_engine import Loaded, load
from sideplate_trainer.main import cli

ROOMY = 88


@cache
def load_once(*folders: Path) -> Loaded:
    """What loading these folders finds; nothing changes them while a test runs."""
    return load(*folders)


@dataclass(frozen=True, slots=True)
class Run:
    """What a run left behind."""

    status: int
    out: str
    err: str

    @property
    def flat(self) -> str:
        """The output with its line breaks and indents undone."""
        return " ".join(self.out.split())

    @property
    def lines(self) -> list[str]:
        return self.out.splitlines()


def sideplate(*words: str | Path, stdin: str | bytes = "", columns: int = ROOMY, **environment: str) -> Run:
    """`sideplate` with these words on the command line, on a terminal so many columns wide."""
    result = CliRunner().invoke(
        cli,
        [str(word) for word in words],
        input=stdin,
        env={"COLUMNS": str(columns), "SIDEPLATE_KNOWLEDGE": "", **environment},
        catch_exceptions=False,
    )
    return Run(result.exit_code, result.stdout, result.stderr)


def is_path(line: str) -> bool:
    """Whether a line holds a file's path, which stays in one piece so that it can be copied."""
    return "/" in line.split()[-1] and ".yaml" in line.split()[-1]
