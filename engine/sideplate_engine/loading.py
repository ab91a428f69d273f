"""Reads knowledge folders into a knowledge base, finding all that is wrong: a broken file never stops the others."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeAlias, TypeVar

from sideplate_engine.file_models import CautionEntry, FileModel, SourceEntry, TopicEntry
from sideplate_engine.findings import Finding, Position, in_order, no_more_than_told
from sideplate_engine.formulas import Formula, read_formula
from sideplate_engine.job_parts import Part, read_parts
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.knowledge_folders import built_in_folder, shown
from sideplate_engine.layers import layer_of
from sideplate_engine.matcher_room import check_room
from sideplate_engine.placeholder_check import check_placeholders
from sideplate_engine.procedures import Procedure, read_procedure
from sideplate_engine.references import (
    check_citations,
    check_rules,
    check_topic_order,
    in_force,
    unknown_name,
)
from sideplate_engine.rules import Rule, read_rule
from sideplate_engine.shape_check import read_as
from sideplate_engine.strata import CyclicRules, Strata, stratify
from sideplate_engine.tables import Table, read_table
from sideplate_engine.vocabulary import Fact
from sideplate_engine.vocabulary_reading import read_vocabulary
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


Trees: TypeAlias = dict[str, tuple[str, Node | None, list[Finding]]]
"""Files read before, by shown path: the text, the tree it gave, and what was wrong with it."""


def load(*folders: Path, trees: Trees | None = None) -> Loaded:
    """The knowledge of the folders, later ones laid over earlier ones; of the built-in folder when none is named.

    Never raises for what is wrong inside a file; that is in the findings. A folder that is not there is a finding.
    `trees`, kept from one call to the next, saves reading again what has not changed.
    """
    return _Loader(trees).load(folders or (built_in_folder(),))


@dataclass
class _Loader:
    """Gathers the parts; one use.

    What only follows from another slip is held back: `broken` are the names of what could not be kept, and
    `unread` the codes of findings that say nothing, because a file of names could not be read at all.
    """

    trees: Trees | None = None
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
    parts: dict[str, Part] = field(default_factory=dict)
    topic_at: dict[str, Position] = field(default_factory=dict)
    broken: set[str] = field(default_factory=set)
    unread: set[str] = field(default_factory=set)

    def load(self, folders: Sequence[Path]) -> Loaded:
        for folder in folders:
            if not folder.is_dir():
                self.findings.append(
                    Finding("no-such-folder", "there is no such folder", Position(shown(folder)))
                )
        folders = [folder for folder in folders if folder.is_dir()]
        for folder in folders:
            self._vocabulary(folder)
            self._entries(folder / "sources.yaml", "source", SourceEntry, self.sources)
            self._entries(folder / "cautions.yaml", "caution", CautionEntry, self.cautions)
            self._entries(folder / "topics.yaml", "topic", TopicEntry, self.topics)
            self._subjects(folder / "subjects.yaml")
        self.findings += check_topic_order(self.topics, self.topic_at)
        for folder in folders:
            self._parts(folder / "parts.yaml")
            self._named(folder / "tables", read_table, self.tables)
            self._named(folder / "formulas", lambda tree: read_formula(tree, self.facts), self.formulas)
            self._named(
                folder / "procedures",
                lambda tree: read_procedure(tree, self.cautions, self.topics),
                self.procedures,
            )
        for folder in folders:
            self._rules(folder / "rules")
        self._references()
        strata = self._strata()
        if not self.broken and not self.unread:
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
            self.parts,
            tuple(layer_of(folder, shown(folder), built_in_folder()) for folder in folders),
        )
        self.findings += check_room(knowledge)
        told = (finding for finding in self.findings if not self._follows(finding))
        return Loaded(knowledge, tuple(no_more_than_told(in_order(told))), self.texts)

    def _follows(self, finding: Finding) -> bool:
        """Whether a finding says no more than that another file, which has its own finding, is broken."""
        return bool(finding.names) and (finding.names in self.broken or finding.code in self.unread)

    def _tree(self, path: Path) -> Node | None:
        name = shown(path)
        try:
            text = read_text(path, name)
            self.texts[name] = text
            tree, found = self._read(text, name)
        except UnreadableFile as problem:
            self.findings.append(problem.finding)
            return None
        self.findings += found
        if tree is None:
            self.findings.append(Finding("empty", "the file is empty", Position(name)))
        return tree

    def _read(self, text: str, name: str) -> tuple[Node | None, list[Finding]]:
        """The text's tree, read again only if it is not the one read before."""
        if self.trees is None:
            return read_tree(text, name)
        if name not in self.trees or self.trees[name][0] != text:
            self.trees[name] = (text, *read_tree(text, name))
        _, tree, found = self.trees[name]
        return tree, found

    def _files(self, folder: Path) -> Iterator[Path]:
        yield from sorted(folder.glob("*.yaml"))
        for stray in sorted(folder.glob("*.yml")):
            self.findings.append(Finding("file-name", "knowledge files end in .yaml", Position(shown(stray))))
        for stray in sorted(folder.glob("*/**/*.yaml")):
            message = "nothing is read from this folder; move the file up"
            self.findings.append(Finding("file-name", message, Position(shown(stray))))

    def _vocabulary(self, folder: Path) -> None:
        for path in self._files(folder / "vocabulary"):
            tree = self._tree(path)
            if not isinstance(tree, Mapping):
                self.unread |= {"unknown-fact", "unknown-placeholder"}
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

    def _listing(self, path: Path, what: str) -> Mapping:
        """The mapping in a file that names things of one kind; an empty one when there is no such file."""
        tree = self._tree(path) if path.is_file() else Mapping()
        if isinstance(tree, Mapping):
            return tree
        self.unread.add(f"unknown-{what}")
        if tree is not None:
            self.findings.append(Finding("wrong-shape", "this file is a mapping", tree.at))
        return Mapping()

    def _entries(self, path: Path, what: str, model: type[Entry], into: dict[str, Entry]) -> None:
        tree = self._listing(path, what)
        for name, at in tree.key_at.items():
            entry, found = read_as(model, tree, (name,))
            self.findings += found
            if entry is None:
                self.broken.add(name)
            elif name in into:
                self.findings.append(Finding("repeated-id", f"{name} is declared twice", at))
            else:
                into[name] = entry
                if model is TopicEntry:
                    self.topic_at[name] = at

    def _subjects(self, path: Path) -> None:
        for name, node in self._listing(path, "subject").entries.items():
            if isinstance(node, Text) and node.value.strip():
                self.subjects[name] = node.value.strip()
            else:
                self.broken.add(name)
                self.findings.append(Finding("wrong-shape", f"`{name}` must be text", node.at))

    def _parts(self, path: Path) -> None:
        parts, found = read_parts(self._listing(path, "part"), self.facts, self.parts)
        self.findings += found
        self.parts |= parts

    def _named(
        self,
        folder: Path,
        read: Callable[[Node], tuple[Named | None, list[Finding]]],
        into: dict[str, Named],
    ) -> None:
        for path in self._files(folder):
            tree = self._tree(path)
            thing, found = (None, []) if tree is None else read(tree)
            self.findings += found
            if thing is None:
                self.broken.add(path.stem)
            elif thing.id != path.stem:
                self.broken |= {thing.id, path.stem}
                message = f"the id is {thing.id} but the file is called {path.stem}; they must be the same"
                self.findings.append(Finding("id-differs-from-file", message, thing.at))
            elif thing.id in into:
                message = f"{thing.id} is declared twice; the first is at {into[thing.id].at}"
                self.findings.append(Finding("repeated-id", message, thing.at))
            else:
                into[thing.id] = thing

    def _rules(self, folder: Path) -> None:
        for stray in sorted(folder.glob("*.yaml")):
            message = "a rule lies in the folder of its topic"
            self.findings.append(Finding("file-name", message, Position(shown(stray))))
        for topic_folder in sorted(path for path in folder.glob("*") if path.is_dir()):
            topic = topic_folder.name
            if topic != RETIRED and topic not in self.topics:
                self.findings += unknown_name(topic, "topic", self.topics, Position(shown(topic_folder)))
            for path in self._files(topic_folder):
                tree = self._tree(path)
                rule, found = (
                    (None, [])
                    if tree is None
                    else read_rule(tree, topic, path.stem, self.facts, self.tables, self.formulas)
                )
                self.findings += found
                if rule is None or not self._kept(rule):
                    self.broken |= {path.stem, _own_id(tree)}

    def _kept(self, rule: Rule) -> bool:
        """Keeps a rule that lies where it belongs under an id of its own, and tells whether its id is in use then."""
        is_retired = rule.topic == RETIRED
        if not is_retired and rule.topic not in self.topics:
            return False
        if is_retired != (rule.status == "retired"):
            message = "a retired rule lies in rules/retired/, and only retired ones do"
            self.findings.append(Finding("retired", message, rule.place("status")))
            return False
        for other in (self.rules, self.retired):
            if rule.id in other:
                message = f"the id {rule.id} is taken by {other[rule.id].at.path}"
                self.findings.append(Finding("repeated-id", message, rule.place("id")))
                return True
        (self.retired if is_retired else self.rules)[rule.id] = rule
        return True

    def _references(self) -> None:
        """Looks up what each part names of another; a rule that cannot be told in full is left out."""
        self.rules, found = in_force(self.rules)
        self.findings += found
        self.findings += check_rules(self.rules, self.sources, self.cautions, self.subjects)
        for kind in (self.tables, self.formulas, self.procedures):
            self.findings += check_citations(kind.values(), self.sources)
        untold = {
            rule.id
            for rule in self.rules.values()
            if (rule.caution is not None and rule.caution not in self.cautions)
            or (rule.about is not None and rule.about not in self.subjects)
        }
        self.broken |= untold
        self.rules = {id_: rule for id_, rule in self.rules.items() if id_ not in untold}

    def _strata(self) -> Strata:
        while True:
            try:
                return stratify(self.rules.values())
            except CyclicRules as problem:
                first = self.rules[problem.rules[0]]
                alone = len(problem.rules) == 1
                whose = (
                    "this rule needs its own conclusion"
                    if alone
                    else "these rules need each other's conclusions"
                )
                self.findings.append(Finding("cycle", f"{whose}: {problem}", first.at))
                self.broken.update(problem.rules)
                for id_ in problem.rules:
                    del self.rules[id_]


def _own_id(tree: Node | None) -> str:
    """What a rule that could not be kept calls itself; others may name it so."""
    own = tree.entries.get("id") if isinstance(tree, Mapping) else None
    return own.value if isinstance(own, Text) else ""
