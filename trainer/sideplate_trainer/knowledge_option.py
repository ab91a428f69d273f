"""The knowledge a command works with: the built-in base, and folders laid over it."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from sideplate_engine import BrokenKnowledge, KnowledgeBase, Severity, load
from sideplate_engine.findings import Finding, with_source_line
from sideplate_engine.knowledge_folders import VARIABLE, knowledge_folders
from sideplate_engine.knowledge_keeping import keep_knowledge, kept_knowledge, state_of

Function = TypeVar("Function", bound=Callable[..., Any])

UNREADABLE = 2
"""Exit status when the input could not be read."""


def knowledge_option(function: Function) -> Function:
    """Adds `--knowledge DIR`, repeatable, to a command."""
    return click.option(
        "--knowledge",
        "overlays",
        multiple=True,
        type=click.Path(path_type=Path),
        metavar="DIR",
        help=f"Lay a folder of knowledge over the built-in one (repeatable; also {VARIABLE}).",
    )(function)


def knowledge_or_exit(overlays: tuple[Path, ...]) -> KnowledgeBase:
    """The knowledge base; what is wrong with it goes to standard error, and nothing is done with it (exit 2).

    A sound one is kept ready for the next start, for as long as none of its files changes.
    """
    folders = knowledge_folders(overlays)
    cache = cache_folder()
    if cache is None:
        return _read_or_exit(folders)
    state = state_of(folders)
    kept = kept_knowledge(state, cache)
    if kept is not None:
        return kept
    knowledge = _read_or_exit(folders)
    # Only when the command is done: nobody is to wait for what saves time another day.
    click.get_current_context().call_on_close(lambda: keep_knowledge(knowledge, state, cache))
    return knowledge


def _read_or_exit(folders: tuple[Path, ...]) -> KnowledgeBase:
    loaded = load(*folders)
    try:
        return loaded.sound()
    except BrokenKnowledge as problem:
        tell_findings(problem.findings, loaded.texts)
        sys.exit(UNREADABLE)


def cache_folder() -> Path | None:
    """Where knowledge is kept ready: SIDEPLATE_CACHE (nowhere if it is empty), else the platform's folder for that."""
    named = os.environ.get("SIDEPLATE_CACHE")
    if named is not None:
        return Path(named) if named else None
    from platformdirs import user_cache_path

    return user_cache_path("sideplate", appauthor=False)


def tell_findings(findings: tuple[Finding, ...], texts: dict[str, str], to_stdout: bool = False) -> None:
    """Prints findings with their source lines, on standard error unless told otherwise."""
    for finding in findings:
        click.echo(with_source_line(finding, texts.get(finding.at.path)), err=not to_stdout)


def any_error(findings: tuple[Finding, ...]) -> bool:
    """Whether one of the findings is an error."""
    return any(finding.severity is Severity.ERROR for finding in findings)
