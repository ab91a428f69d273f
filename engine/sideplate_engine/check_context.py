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
from sideplate_engine.knowledge_folders import shown
from sideplate_engine.loading import Loaded
from sideplate_engine.rules import Example, Rule
from sideplate_engine.shape_check import read_as
from sideplate_engine.workshop_sheets import sheet_files
from sideplate_engine.yaml_tree import Mapping, UnreadableFile, read_text, read_tree

DENY_LIST = "deny-list.yaml"
"""The file of a knowledge folder that lists names which are not to appear in it."""


@dataclass(frozen=True)
class CheckContext:
    """A knowledge base without errors, and what is worked out for several checks once.

    `folders` are the knowledge folders, the later laid over the earlier; `texts` the files' texts by shown path,
    and `other_texts` those of files that are no knowledge but are checked with it, as far as they have been read.
    `focus`, when set, holds the rules to look at; what takes every rule's examples together is then left out.
    """

    knowledge: KnowledgeBase
    judge: Judge
    texts: MappingABC[str, str]
    folders: tuple[Path, ...] = ()
    focus: frozenset[str] | None = None
    other_texts: dict[str, str] = field(default_factory=dict, repr=False)
    _outcomes: dict[tuple[str, str], Chained] = field(default_factory=dict, repr=False)

    @property
    def rules(self) -> Iterator[Rule]:
        """The rules to look at, by id."""
        for id_, rule in self.knowledge.rules.items():
            if self.focus is None or id_ in self.focus:
                yield rule

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
        for path in sheet_files(self.folders):
            try:
                sheet = read_sheet(self._read(path), shown(path), self.knowledge.facts)
                sheets.append((shown(path), sheet))
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
        return tuple(self._deny_list(folder / DENY_LIST) for folder in self.folders)

    def _deny_list(self, path: Path) -> tuple[list[str], list[Finding]]:
        if not path.is_file():
            return [], []
        try:
            tree, findings = read_tree(self._read(path), shown(path))
        except UnreadableFile as problem:
            return [], [problem.finding]
        if tree is None:
            return [], [*findings, Finding("empty", "the file is empty", Position(shown(path)))]
        shape, found = read_as(DenyListFile, tree)
        return ([] if shape is None else list(shape.names)), [*findings, *found]

    def outcomes(self) -> dict[str, list[tuple[Example, Chained]]]:
        """Every example with what the base makes of it, by the id of its rule."""
        return {
            id_: [(example, self.outcome(rule, example)) for example in rule.examples]
            for id_, rule in self.knowledge.rules.items()
        }

    @cached_property
    def corpus(self) -> tuple[Chained, ...]:
        """What the base makes of every sheet it has: the workshop's, and those of the rules' examples."""
        examples = [
            self.outcome(rule, example) for rule in self.knowledge.rules.values() for example in rule.examples
        ]
        return (*(self.judge.outcome(sheet.facts) for _, sheet in self.sheets), *examples)

    def text_of(self, path: Path) -> str | None:
        """A file's text, as it was read or read now; None when it cannot be."""
        try:
            return self._read(path)
        except UnreadableFile:
            return None

    def _read(self, path: Path) -> str:
        """A file's text, read once. Raises UnreadableFile."""
        name = shown(path)
        if name in self.texts:
            return self.texts[name]
        if name not in self.other_texts:
            self.other_texts[name] = read_text(path, name)
        return self.other_texts[name]

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


def context_of(
    loaded: Loaded, judge: Judge, folders: tuple[Path, ...], focus: frozenset[str] | None = None
) -> CheckContext:
    """The context of a loaded knowledge base. `folders` are those it was loaded from."""
    return CheckContext(loaded.knowledge, judge, loaded.texts, folders, focus)
