"""The invented workshop: who comes in, what machines it sees, and what it never sees together."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass
from pathlib import Path

from sideplate_engine.authored_conditions import AllOf, Vocabulary, read_conditions
from sideplate_engine.findings import Finding, Position
from sideplate_engine.rules import read_facts
from sideplate_engine.vocabulary import Value
from sideplate_engine.yaml_tree import Items, Mapping, Node, Text, read_text, read_tree


@dataclass(frozen=True, slots=True)
class Machine:
    """A machine of the workshop: facts that go together. `only_for` is set where it comes in only when asked for."""

    name: str
    facts: MappingABC[str, Value]
    only_when_asked: bool


@dataclass(frozen=True, slots=True)
class Workshop:
    """`people` and `openings` make the first sentence; `called` names a machine by its use; `never` are absurd."""

    people: tuple[str, ...]
    openings: MappingABC[str, tuple[str, ...]]
    called: MappingABC[str, tuple[str, ...]]
    machines: tuple[Machine, ...]
    never: tuple[AllOf, ...]


ANY = "any"
_DEFINING = ("bike.use", "bike.displacement")


def defines(fact: str) -> bool:
    """Whether a fact makes a machine what it is; the rest can be changed on it."""
    return fact in _DEFINING


def read_workshop(folder: Path, vocabulary: Vocabulary) -> tuple[Workshop, list[Finding]]:
    """The workshop of a knowledge folder, in the terms of a vocabulary; what that does not know is left out.

    The findings tell what is wrong with the rest. Raises UnreadableFile when a file is missing or is no YAML.
    """
    reader = _Reader(folder / "workshop", vocabulary)
    people = reader.tree("people.yaml")
    machines = reader.tree("machines.yaml")
    never = reader.tree("never.yaml")
    workshop = Workshop(
        people=tuple(reader.words(people, "people")),
        openings=reader.lists(people, "openings"),
        called=reader.lists(people, "called"),
        machines=tuple(reader.machines(machines)),
        never=tuple(reader.never(never)),
    )
    return workshop, reader.findings


class _Reader:
    """Reads the workshop's files, gathering findings."""

    def __init__(self, folder: Path, vocabulary: Vocabulary) -> None:
        self.folder = folder
        self.vocabulary = vocabulary
        self.findings: list[Finding] = []

    def tree(self, name: str) -> Mapping:
        path = self.folder / name
        node, found = read_tree(read_text(path), f"workshop/{name}")
        self.findings += found
        if isinstance(node, Mapping):
            return node
        self.wrong("this file is a mapping", Position(f"workshop/{name}"))
        return Mapping(at=Position(f"workshop/{name}"))

    def wrong(self, message: str, at: Position) -> None:
        self.findings.append(Finding("workshop", message, at))

    def words(self, tree: Mapping, key: str) -> list[str]:
        return self.texts(tree.entries.get(key), key, tree.at)

    def texts(self, node: Node | None, key: str, at: Position) -> list[str]:
        if isinstance(node, Items) and node.items and all(isinstance(item, Text) for item in node.items):
            return [item.value for item in node.items if isinstance(item, Text)]
        self.wrong(f"`{key}` is a list of texts", at)
        return []

    def lists(self, tree: Mapping, key: str) -> dict[str, tuple[str, ...]]:
        node = tree.entries.get(key)
        if not isinstance(node, Mapping) or ANY not in node.entries:
            self.wrong(f"`{key}` is a mapping to lists of texts, one of them for `{ANY}`", tree.at)
            return {}
        return {
            name: tuple(self.texts(texts, name, node.key_at[name])) for name, texts in node.entries.items()
        }

    def machines(self, tree: Mapping) -> list[Machine]:
        machines: list[Machine] = []
        for name, node in tree.entries.items():
            at = tree.key_at[name]
            stated = node.entries.get("facts") if isinstance(node, Mapping) else None
            if not isinstance(node, Mapping) or not isinstance(stated, Mapping):
                self.wrong(f"{name} is a mapping with `facts`", at)
                continue
            asked = node.entries.get("only_when_asked")
            facts, found = read_facts(_known(stated, self.vocabulary), self.vocabulary)
            self.findings += found
            machines.append(Machine(name, facts, isinstance(asked, Text) and asked.value == "yes"))
        return machines

    def never(self, tree: Mapping) -> list[AllOf]:
        combinations: list[AllOf] = []
        node = tree.entries.get("never")
        for item in node.items if isinstance(node, Items) else ():
            if not isinstance(item, Mapping) or not _speaks(item, self.vocabulary):
                continue
            conditions, found = read_conditions(item, self.vocabulary)
            self.findings += found
            if not found:
                combinations.append(conditions)
        return combinations


def _known(stated: Mapping, vocabulary: Vocabulary) -> Mapping:
    """The facts that the vocabulary has: a small knowledge base need not know all that the workshop does."""
    kept = [name for name in stated.entries if name in vocabulary]
    return Mapping(
        {name: stated.entries[name] for name in kept}, {name: stated.key_at[name] for name in kept}, stated.at
    )


def _speaks(conditions: Mapping, vocabulary: Vocabulary) -> bool:
    """Whether a combination is in the vocabulary's terms: every fact named first, and every fact compared with."""
    for name, node in conditions.entries.items():
        if name not in vocabulary:
            return False
        others = [node] if isinstance(node, Mapping) else []
        for tests in others:
            for word, other in tests.entries.items():
                compared = word.endswith(" fact") or word in ("same as", "differs from")
                if compared and isinstance(other, Text) and other.value not in vocabulary:
                    return False
    return True
