"""Checks a knowledge base whole: what loading finds, what the checks find, and whether each rule can be practised."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from sideplate_engine import Judge, KnowledgeBase, Severity, load
from sideplate_engine.check_context import CheckContext, context_of
from sideplate_engine.checks import every_check, run_checks
from sideplate_engine.finding_codes import ignorable
from sideplate_engine.findings import Finding
from sideplate_engine.ignoring import without_ignored
from sideplate_engine.knowledge_folders import shown
from sideplate_engine.loading import Trees
from sideplate_engine.yaml_tree import UnreadableFile
from sideplate_trainer.situations import unbuildable
from sideplate_trainer.situations.workshop import read_workshop

Step = Callable[[str], None]
"""Told what is about to be looked at."""

Focus = Callable[[KnowledgeBase], frozenset[str] | None]
"""From a base to the ids of the rules to look at; None for all of them."""

STEPS = len(every_check()) + 2
"""How many steps a check takes: loading, each check, practice."""


@dataclass(frozen=True, slots=True)
class Checked:
    """A knowledge base and all that was found in it, in order. `context` is None where errors kept it from judging."""

    knowledge: KnowledgeBase
    findings: tuple[Finding, ...]
    texts: Mapping[str, str]
    context: CheckContext | None

    @property
    def errors(self) -> int:
        """How many of the findings are errors."""
        return sum(finding.severity is Severity.ERROR for finding in self.findings)


def check_folders(
    folders: tuple[Path, ...],
    step: Step = lambda what: None,
    trees: Trees | None = None,
    focus: Focus = lambda knowledge: None,
) -> Checked:
    """Everything wrong with the knowledge in some folders, later ones laid over earlier ones.

    `focus` may narrow the look to some rules of the base; practice is then left out.
    """
    step("reading")
    loaded = load(*folders, trees=trees)
    if any(finding.severity is Severity.ERROR for finding in loaded.findings):
        # Examples are judged with the whole base, so they say nothing while a part of it is missing.
        return Checked(loaded.knowledge, loaded.findings, loaded.texts, None)
    narrowed = focus(loaded.knowledge)
    context = context_of(loaded, Judge(loaded.knowledge), folders, narrowed)
    findings = [*loaded.findings, *run_checks(context, lambda check: step(check.CODE))]
    if narrowed is None:
        step("practice")
        findings += [*unbuildable(context.judge), *_workshop(folders, context)]
    left = without_ignored(loaded.knowledge, findings, ignorable() | {"no-situation"})
    if narrowed is not None:
        # What was not looked at may still find what is ignored.
        left = tuple(finding for finding in left if finding.code != "idle-ignore")
    return Checked(loaded.knowledge, left, {**loaded.texts, **context.other_texts}, context)


def _workshop(folders: tuple[Path, ...], context: CheckContext) -> Iterator[Finding]:
    """What is wrong with the workshops of those folders that have one."""
    for folder in folders:
        if not (folder / "workshop" / "people.yaml").is_file():
            continue
        try:
            _, found = read_workshop(folder, context.knowledge.facts)
        except UnreadableFile as problem:
            found = [problem.finding]
        for finding in found:
            path = folder / finding.at.path
            if context.text_of(path) is not None:
                finding = replace(finding, at=finding.at._replace(path=shown(path)))
            yield finding
