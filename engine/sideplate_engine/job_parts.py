"""The parts of a job in the words of the trade, by which an interview keeps to what the job touches."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass

from sideplate_engine.file_models import PartEntry
from sideplate_engine.findings import Finding, did_you_mean
from sideplate_engine.shape_check import read_as
from sideplate_engine.vocabulary import Fact
from sideplate_engine.yaml_tree import Mapping, position_of


@dataclass(frozen=True, slots=True)
class Part:
    """A part as a file names it: `named` are facts or subjects. One that is `always` meant is not asked for.

    `tasks` are the kinds of work in which it usually comes up.
    """

    id: str
    title: str
    named: tuple[str, ...]
    tasks: tuple[str, ...] = ()
    always: bool = False


def read_parts(
    tree: Mapping, vocabulary: MappingABC[str, Fact], known: MappingABC[str, Part]
) -> tuple[dict[str, Part], list[Finding]]:
    """The parts of one file, and all that is wrong with it. `known` are those of the folders before."""
    parts: dict[str, Part] = {}
    subjects = {fact.subject for fact in vocabulary.values()}
    findings: list[Finding] = []
    for id_, at in tree.key_at.items():
        entry, found = read_as(PartEntry, tree, (id_,))
        findings += found
        if entry is None:
            continue
        if id_ in known:
            findings.append(Finding("repeated-id", f"{id_} is declared twice", at))
        for number, name in enumerate(entry.facts):
            if name not in vocabulary and name not in subjects:
                message = (
                    f"no fact and no subject is called {name}{did_you_mean(name, {*vocabulary, *subjects})}"
                )
                place = position_of(tree, (id_, "facts", number))
                findings.append(Finding("unknown-fact", message, place, names=name))
        parts[id_] = Part(id_, entry.title, tuple(entry.facts), tuple(entry.tasks), entry.always == "yes")
    return parts, findings


class JobParts:
    """Which facts belong to which part. Subjects that no part lists are parts of their own."""

    def __init__(self, parts: MappingABC[str, Part], vocabulary: MappingABC[str, Fact]) -> None:
        listed = {name for part in parts.values() for name in part.named}
        alone = {
            fact.subject
            for fact in vocabulary.values()
            if fact.given and not listed & {fact.name, fact.subject}
        }
        self._parts = {
            **parts,
            **{name: Part(name, name.replace("_", " ").capitalize(), (name,)) for name in sorted(alone)},
        }
        self._of: dict[str, tuple[str, ...]] = {}
        for fact in vocabulary.values():
            by = fact.name if fact.name in listed else fact.subject
            self._of[fact.name] = tuple(part.id for part in self._parts.values() if by in part.named)

    @property
    def offered(self) -> tuple[Part, ...]:
        """The parts to choose from."""
        return tuple(part for part in self._parts.values() if not part.always)

    def of(self, fact: str) -> tuple[str, ...]:
        """The parts a fact belongs to; the first is where it is at home."""
        return self._of.get(fact, ())

    def facts_of(self, chosen: Iterable[str]) -> frozenset[str]:
        """The facts of these parts and of those that are always meant."""
        wanted = {*chosen, *(part.id for part in self._parts.values() if part.always)}
        return frozenset(fact for fact, parts in self._of.items() if wanted.intersection(parts))

    def for_tasks(self, tasks: Iterable[str]) -> tuple[str, ...]:
        """The parts that usually come up in such work."""
        planned = set(tasks)
        return tuple(part.id for part in self.offered if planned.intersection(part.tasks))
