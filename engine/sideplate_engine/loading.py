"""Reads knowledge folders into a knowledge base, finding all that is wrong: a broken file never stops the others."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from sideplate_engine.file_models import CautionEntry, FileModel, SourceEntry, TopicEntry
from sideplate_engine.findings import Finding, Position, did_you_mean, in_order
from sideplate_engine.formulas import Formula, read_formula
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.placeholder_check import check_placeholders
from sideplate_engine.procedures import Procedure, read_procedure
from sideplate_engine.rules import Rule, read_rule
from sideplate_engine.shape_check import read_as
from sideplate_engine.strata import CyclicRules, Strata, stratify
from sideplate_engine.tables import Table, read_table
from sideplate_engine.vocabulary import Fact, read_vocabulary
from sideplate_engine.yaml_tree import Mapping, Node, Text, UnreadableFile, read_text, read_tree

Entry = TypeVar("Entry", bound=FileModel)
Named = TypeVar("Named", Table, Formula, Procedure)

RETIRED = "retired"


class BrokenKnowledge(Exception):
    """A knowledge base with errors in it, where one without was needed."""

    def __init__(self, findings: Sequence[Finding]) -> None:
        super().__init__("\n".join(finding.line() for finding in findings))
        self.findings = tuple(findings)


@dataclass(frozen=True, slots=True)
class Loaded:
    """What was read: the knowledge base of all that is sound, every finding, and the files' texts by shown path."""

    knowledge: KnowledgeBase
    findings: tuple[Finding, ...]
    texts: dict[str, str]

    def sound(self) -> KnowledgeBase:
        """The knowledge base, if nothing is wrong with it. Raises BrokenKnowledge."""
        if self.findings:
            raise BrokenKnowledge(self.findings)
        return self.knowledge


def built_in_folder() -> Path:
    """The knowledge that comes with Sideplate: inside the installed package, or beside it in a checkout."""
    package = Path(__file__).resolve().parent
    inside = package / "knowledge"
    return inside if inside.is_dir() else package.parent.parent / "knowledge"


def load(*folders: Path) -> Loaded:
    """The knowledge of the folders, later ones laid over earlier ones; of the built-in folder when none is named.

    Never raises for what is wrong inside a file; that is in the findings. A folder that is not there is a finding.
    """
    return _Loader().load(folders or (built_in_folder(),))


@dataclass
class _Loader:
    """Gathers the parts; one use."""

    findings: list[Finding] = field(default_factory=list)
    texts: dict[str, str] = field(default_factory=dict)
    facts: dict[str, Fact] = field(default_factory=dict)
    tables: dict[str, Table] = field(default_factory=dict)
    formulas: dict[str, Formula] = field(default_factory=dict)
    procedures: dict[str, Procedure] = field(default_factory=dict)
    rules: dict[str, Rule] = field(default_factory=dict)
    retired: dict[str, Rule] = field(default_factory=dict)
    sources: dict[str, SourceEntry] = field(default_factory=dict)
    cautions: dict[str, CautionEntry] = field(default_factory=dict)
    topics: dict[str, TopicEntry] = field(default_factory=dict)
    subjects: dict[str, str] = field(default_factory=dict)
    broken: set[str] = field(default_factory=set)

    def load(self, folders: Sequence[Path]) -> Loaded:
        for folder in folders:
            if not folder.is_dir():
                self.findings.append(
                    Finding("no-such-folder", "there is no such folder", Position(shown(folder)))
                )
        folders = [folder for folder in folders if folder.is_dir()]
        for folder in folders:
            self._vocabulary(folder)
            self._entries(folder / "sources.yaml", SourceEntry, self.sources)
            self._entries(folder / "cautions.yaml", CautionEntry, self.cautions)
            self._entries(folder / "topics.yaml", TopicEntry, self.topics)
            self._subjects(folder / "subjects.yaml")
        for folder in folders:
            self._named(folder / "tables", read_table, self.tables)
            self._named(folder / "formulas", lambda tree: read_formula(tree, self.facts), self.formulas)
            self._named(
                folder / "procedures", lambda tree: read_procedure(tree, self.cautions), self.procedures
            )
        for folder in folders:
            self._rules(folder / "rules")
        self._replace()
        self._references()
        strata = self._strata()
        if not self.broken:
            self.findings += check_placeholders(self.rules, self.facts)
        knowledge = KnowledgeBase(
            self.facts,
            dict(sorted(self.rules.items())),
            self.retired,
            self.tables,
            self.formulas,
            self.procedures,
            self.sources,
            self.cautions,
            self.topics,
            self.subjects,
            strata,
        )
        told = (finding for finding in self.findings if not finding.names or finding.names not in self.broken)
        return Loaded(knowledge, in_order(told), self.texts)

    def _tree(self, path: Path) -> Node | None:
        name = shown(path)
        try:
            text = read_text(path, name)
            self.texts[name] = text
            tree, found = read_tree(text, name)
        except UnreadableFile as problem:
            self.findings.append(problem.finding)
            return None
        self.findings += found
        if tree is None and not found:
            self.findings.append(Finding("empty", "the file is empty", Position(name)))
        return None if found else tree

    def _files(self, folder: Path) -> Iterator[Path]:
        yield from sorted(folder.glob("*.yaml"))
        for stray in sorted(folder.glob("*.yml")):
            self.findings.append(Finding("file-name", "knowledge files end in .yaml", Position(shown(stray))))

    def _vocabulary(self, folder: Path) -> None:
        for path in self._files(folder / "vocabulary"):
            tree = self._tree(path)
            if tree is None:
                continue
            facts, found = read_vocabulary(tree)
            self.findings += found
            if isinstance(tree, Mapping):
                self.broken |= tree.entries.keys() - facts.keys()
            for name, fact in facts.items():
                if name in self.facts:
                    message = f"{name} is declared twice; the first is at {self.facts[name].at}"
                    self.findings.append(Finding("repeated-fact", message, fact.at))
                else:
                    self.facts[name] = fact

    def _entries(self, path: Path, model: type[Entry], into: dict[str, Entry]) -> None:
        tree = self._tree(path) if path.is_file() else None
        if tree is None:
            return
        if not isinstance(tree, Mapping):
            self.findings.append(Finding("wrong-shape", "this file is a mapping", tree.at))
            return
        for name in tree.entries:
            entry, found = read_as(model, tree, (name,))
            self.findings += found
            if entry is None:
                continue
            if name in into:
                self.findings.append(Finding("repeated-id", f"{name} is declared twice", tree.key_at[name]))
            else:
                into[name] = entry

    def _subjects(self, path: Path) -> None:
        tree = self._tree(path) if path.is_file() else None
        if not isinstance(tree, Mapping):
            return
        for name, node in tree.entries.items():
            if isinstance(node, Text) and node.value.strip():
                self.subjects[name] = node.value.strip()
            else:
                self.findings.append(Finding("wrong-shape", f"`{name}` must be text", node.at))

    def _named(
        self,
        folder: Path,
        read: Callable[[Node], tuple[Named | None, list[Finding]]],
        into: dict[str, Named],
    ) -> None:
        for path in self._files(folder):
            tree = self._tree(path)
            if tree is None:
                self.broken.add(path.stem)
                continue
            thing, found = read(tree)
            self.findings += found
            if thing is None:
                self.broken.add(path.stem)
                continue
            if thing.id != path.stem:
                message = f"the id is {thing.id} but the file is called {path.stem}; they must be the same"
                self.findings.append(Finding("id-differs-from-file", message, thing.at))
            elif thing.id in into:
                message = f"{thing.id} is declared twice; the first is at {into[thing.id].at}"
                self.findings.append(Finding("repeated-id", message, thing.at))
            else:
                into[thing.id] = thing

    def _rules(self, folder: Path) -> None:
        for topic_folder in sorted(path for path in folder.glob("*") if path.is_dir()):
            topic = topic_folder.name
            if topic != RETIRED and topic not in self.topics:
                message = f"no topic is called {topic}{did_you_mean(topic, self.topics)}"
                self.findings.append(Finding("unknown-topic", message, Position(shown(topic_folder))))
                continue
            for path in self._files(topic_folder):
                tree = self._tree(path)
                if tree is None:
                    self.broken.add(path.stem)
                    continue
                rule, found = read_rule(tree, topic, path.stem, self.facts, self.tables, self.formulas)
                self.findings += found
                if rule is None:
                    self.broken.add(path.stem)
                else:
                    self._keep(rule)

    def _keep(self, rule: Rule) -> None:
        is_retired = rule.topic == RETIRED
        if is_retired != (rule.status == "retired"):
            message = "a retired rule lies in rules/retired/, and only retired ones do"
            self.findings.append(Finding("retired", message, rule.place("status")))
            return
        for other in (self.rules, self.retired):
            if rule.id in other:
                message = f"the id {rule.id} is taken by {other[rule.id].at.path}"
                self.findings.append(Finding("repeated-id", message, rule.place("id")))
                return
        (self.retired if is_retired else self.rules)[rule.id] = rule

    def _replace(self) -> None:
        """Takes out the rules that an overlay's rules say they replace."""
        for rule in list(self.rules.values()):
            if rule.replaces is None:
                continue
            if rule.replaces == rule.id or rule.replaces not in self.rules:
                message = f"`replaces` names no other rule{did_you_mean(rule.replaces, self.rules)}"
                self.findings.append(Finding("unknown-rule", message, rule.place("replaces")))
            else:
                del self.rules[rule.replaces]

    def _references(self) -> None:
        for rule in self.rules.values():
            self._reference(rule, "caution", rule.caution, self.cautions, "caution")
            self._reference(rule, "about", rule.about, self.subjects, "subject")
            for citation in rule.sources:
                self._reference(rule, "sources", citation.work, self.sources, "source")
            for overridden in rule.overrides:
                self._reference(rule, "overrides", overridden, self.rules, "rule")
                if overridden == rule.id:
                    message = "a rule cannot override itself"
                    self.findings.append(Finding("self-override", message, rule.place("overrides")))
        for kind in (self.tables, self.formulas, self.procedures):
            for thing in kind.values():
                self._cited(thing)

    def _reference(self, rule: Rule, key: str, name: str | None, known: object, what: str) -> None:
        assert isinstance(known, dict)
        if name is not None and name not in known:
            message = f"no {what} is called {name}{did_you_mean(name, known)}"
            self.findings.append(Finding(f"unknown-{what}", message, rule.place(key), names=name))

    def _cited(self, thing: Table | Formula | Procedure) -> None:
        citations = [(citation.work, thing.at) for citation in getattr(thing, "sources", ())]
        if isinstance(thing, Table):
            citations += [(citation.work, row.at) for row in thing.rows.values() for citation in row.sources]
        if isinstance(thing, Formula):
            citations += [(citation.work, case.at) for case in thing.worked for citation in case.sources]
        for work, at in citations:
            if work not in self.sources:
                message = f"no source is called {work}{did_you_mean(work, self.sources)}"
                self.findings.append(Finding("unknown-source", message, at))

    def _strata(self) -> Strata:
        while True:
            try:
                return stratify(self.rules.values())
            except CyclicRules as problem:
                first = self.rules[problem.rules[0]]
                message = f"these rules need each other's conclusions: {problem}"
                self.findings.append(Finding("cycle", message, first.at))
                for id_ in problem.rules:
                    del self.rules[id_]


def shown(path: Path) -> str:
    """A path as findings show it: relative to where the reader stands, when it lies below."""
    absolute = path.resolve()
    here = Path.cwd()
    return os.fspath(absolute.relative_to(here)) if absolute.is_relative_to(here) else os.fspath(absolute)
