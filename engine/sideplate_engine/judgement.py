"""What comes out: a judgement, with rulings, proofs, what is open, what was set aside, and what conflicts."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass

from sideplate_engine.chaining import Chained
from sideplate_engine.file_models import CautionEntry, Force
from sideplate_engine.findings import Position
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.open_facts import OpenFact
from sideplate_engine.proofs import Step
from sideplate_engine.vocabulary import System, Value

STANDINGS = ("clear", "take care", "put right", "stop")

DEFER = (
    "The machine's own manual, local law and a qualified mechanic come before anything said here. "
    "If they differ from this judgement, follow them."
)


@dataclass(frozen=True, slots=True)
class Ruling:
    """One ruling that stands, its texts filled in. `lifted_by` names unknown facts that could except it."""

    rule: str
    topic: str
    title: str
    force: Force
    says: str
    instead: str
    because: str
    because_kind: str
    if_ignored: str
    sources: tuple[str, ...]
    caution: str | None
    about: str | None
    from_facts: tuple[Step, ...]
    lifted_by: tuple[str, ...] = ()
    overrides: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Overridden:
    """A rule that fired and was set aside, what it said, by which rules, and why those know better.

    `differs` tells whether what it said is not what stands in the end.
    """

    rule: str
    title: str
    says: str
    by: tuple[str, ...]
    because: str
    differs: bool


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a conflict: who says it (a rule's id, or `given`), what, from which facts, and where."""

    by: str
    says: str
    from_facts: tuple[Step, ...]
    at: Position | None


@dataclass(frozen=True, slots=True)
class Conflict:
    """Things said that cannot all hold, about one fact or one subject."""

    about: str
    message: str
    sides: tuple[Side, ...]


@dataclass(frozen=True, slots=True)
class Judgement:
    """One well-defined result: the same for any order of rules, files or facts."""

    job: str
    standing: str
    rulings: tuple[Ruling, ...]
    derived: MappingABC[str, Step]
    open: tuple[OpenFact, ...]
    overridden: tuple[Overridden, ...]
    conflicts: tuple[Conflict, ...]
    warnings: tuple[str, ...]
    cautions: MappingABC[str, CautionEntry]
    defer: str
    system: System
    knowledge: KnowledgeBase
    chained: Chained

    @property
    def facts(self) -> MappingABC[str, Value]:
        """Every fact known in the end, given or derived."""
        return self.chained.facts
