"""What a check looks at: the knowledge base, its judge, the files as they were read, and what its examples come to."""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from sideplate_engine.chaining import Chained
from sideplate_engine.file_models import DenyListFile
from sideplate_engine.findings import Finding, Position
from sideplate_engine.job_sheet import JobSheet, UnreadableSheet, read_sheet
from sideplate_engine.judging import Judge
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.loading import Loaded, shown
from sideplate_engine.rules import Example, Rule
from sideplate_engine.shape_check import read_as
from sideplate_engine.yaml_tree import Mapping, UnreadableFile, read_text, read_tree

DENY_LIST = "deny-list.yaml"
"""The file of a knowledge folder that lists names which are not to appear in it."""


@dataclass(frozen=True)
class CheckContext:
    """A knowledge base without errors, and what is worked out for several checks once.

    `folders` are the knowledge folders, the later laid over the earlier; `texts` the files' texts by shown path.
    """

    knowledge: KnowledgeBase
    judge: Judge
    texts: MappingABC[str, str]
    folders: tuple[Path, ...] = ()
    _outcomes: dict[tuple[str, str], Chained] = field(default_factory=dict, repr=False)

    def outcome(self, rule: Rule, example: Example) -> Chained:
        """What the whole base makes of an example."""
        key = (rule.id, example.name)
        if key not in self._outcomes:
            self._outcomes[key] = self.judge.outcome(example.given)
        return self._outcomes[key]

    @cached_property
    def sheets(self) -> tuple[tuple[str, JobSheet], ...]:
        """The workshop's job sheets that can be read, with their shown paths."""
        return self._read_sheets[0]

    @cached_property
    def sheet_findings(self) -> tuple[Finding, ...]:
        """What is wrong with those that cannot."""
        return self._read_sheets[1]

    @cached_property
    def _read_sheets(self) -> tuple[tuple[tuple[str, JobSheet], ...], tuple[Finding, ...]]:
        sheets: list[tuple[str, JobSheet]] = []
        findings: list[Finding] = []
        for folder in self.folders:
            for path in sorted((folder / "workshop" / "jobs").glob("*.yaml")):
                name = shown(path)
                try:
                    sheets.append((name, read_sheet(read_text(path, name), name, self.knowledge.facts)))
                except UnreadableFile as unreadable:
                    findings.append(unreadable.finding)
                except UnreadableSheet as problem:
                    findings += problem.findings
        return tuple(sheets), tuple(findings)

    @cached_property
    def denied_names(self) -> frozenset[str]:
        """The names on the folders' deny lists."""
        return frozenset(name for names, _ in self._deny_lists for name in names)

    @cached_property
    def deny_list_findings(self) -> tuple[Finding, ...]:
        """What is wrong with the deny lists themselves."""
        return tuple(finding for _, findings in self._deny_lists for finding in findings)

    @cached_property
    def _deny_lists(self) -> tuple[tuple[list[str], list[Finding]], ...]:
        return tuple(_deny_list(folder / DENY_LIST) for folder in self.folders)

    @cached_property
    def corpus(self) -> tuple[Chained, ...]:
        """What the base makes of every sheet it has: the workshop's, and those of the rules' examples."""
        examples = [
            self.outcome(rule, example) for rule in self.knowledge.rules.values() for example in rule.examples
        ]
        return (*(self.judge.outcome(sheet.facts) for _, sheet in self.sheets), *examples)

    def text_of(self, path: Path) -> str | None:
        """A file's text, as it was read or read now; None when it cannot be."""
        name = shown(path)
        if name in self.texts:
            return self.texts[name]
        try:
            return read_text(path, name)
        except UnreadableFile:
            return None

    def places(self, file_name: str) -> Iterator[tuple[str, Position]]:
        """The keys of a file that lies in a knowledge folder itself, such as `sources.yaml`, with their places."""
        for folder in self.folders:
            name = shown(folder / file_name)
            if name not in self.texts:
                continue
            try:
                tree, _ = read_tree(self.texts[name], name)
            except UnreadableFile:
                continue  # the loader has told
            if isinstance(tree, Mapping):
                yield from tree.key_at.items()


def _deny_list(path: Path) -> tuple[list[str], list[Finding]]:
    if not path.is_file():
        return [], []
    name = shown(path)
    try:
        tree, findings = read_tree(read_text(path, name), name)
    except UnreadableFile as problem:
        return [], [problem.finding]
    if tree is None:
        return [], [*findings, Finding("empty", "the file is empty", Position(name))]
    shape, found = read_as(DenyListFile, tree)
    return ([] if shape is None else list(shape.names)), [*findings, *found]


def context_of(loaded: Loaded, judge: Judge, folders: tuple[Path, ...]) -> CheckContext:
    """The context of a loaded knowledge base. `folders` are those it was loaded from."""
    return CheckContext(loaded.knowledge, judge, loaded.texts, folders)
