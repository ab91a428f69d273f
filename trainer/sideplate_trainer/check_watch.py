"""`sideplate check --watch`: checks what changed within a second, then the whole base."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import click

from sideplate_engine import KnowledgeBase
from sideplate_engine.dependence import Dependence
from sideplate_engine.knowledge_folders import shown
from sideplate_engine.loading import Trees
from sideplate_trainer.checking import Checked, check_folders
from sideplate_trainer.finding_formats import as_lines
from sideplate_trainer.watching import changes, times_of

Echo = Callable[[str], None]


def watch(folders: tuple[Path, ...], echo: Echo = click.echo) -> None:
    """Checks the folders, and again after every change, until Ctrl-C."""
    trees: Trees = {}
    before = times_of(folders)
    try:
        checked = check_folders(folders, trees=trees)
        _tell(checked, echo)
        echo("Watching for changes; Ctrl-C ends.")
        for changed, _ in changes(folders, before):
            checked = check_again(folders, checked, changed, trees, echo)
    except KeyboardInterrupt:
        echo("")


def check_again(
    folders: tuple[Path, ...], before: Checked, changed: list[Path], trees: Trees, echo: Echo
) -> Checked:
    """Tells what is found about what changed, at once; then checks everything and tells what else there is."""
    began = time.monotonic()
    echo(f"\n{', '.join(shown(path) for path in changed)}")
    quick = check_folders(folders, trees=trees, focus=lambda base: touched(before, base, changed))
    echo_findings(quick, echo)
    if quick.context is None or quick.context.focus is None:
        echo(f"{_summary(quick)} ({time.monotonic() - began:.1f} s)")
        return quick
    echo(f"{len(quick.context.focus)} rules looked at in {time.monotonic() - began:.1f} s")
    whole = check_folders(folders, trees=trees)
    told = set(quick.findings)
    for line in as_lines((finding for finding in whole.findings if finding not in told), whole.texts):
        echo(line)
    echo(_summary(whole))
    return whole


def touched(before: Checked, base: KnowledgeBase, changed: list[Path]) -> frozenset[str] | None:
    """The rules that changed and those they decide about; None when more than rules changed, or there is no telling."""
    by_path = {rule.at.path: rule.id for rule in base.rules.values()}
    names = {shown(path) for path in changed}
    if before.context is None or not names <= by_path.keys():
        return None
    ids = {by_path[name] for name in names}
    dependence = Dependence(base)
    return frozenset(ids).union(*(dependence.above(id_) for id_ in ids))


def echo_findings(checked: Checked, echo: Echo) -> None:
    """Tells every finding of a check."""
    for line in as_lines(checked.findings, checked.texts):
        echo(line)


def _tell(checked: Checked, echo: Echo) -> None:
    echo_findings(checked, echo)
    echo(_summary(checked))


def _summary(checked: Checked) -> str:
    return f"{checked.errors} errors, {len(checked.findings) - checked.errors} warnings"
