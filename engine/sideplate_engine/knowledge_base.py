"""All that Sideplate knows, read and checked, as one value that nothing changes."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass, field
from functools import cached_property

from sideplate_engine.file_models import CautionEntry, Citation, SourceEntry, TopicEntry
from sideplate_engine.findings import Position
from sideplate_engine.formulas import Formula
from sideplate_engine.job_parts import JobParts, Part
from sideplate_engine.layers import Layer, whose
from sideplate_engine.procedures import Procedure
from sideplate_engine.rules import Rule
from sideplate_engine.strata import Strata, overriders
from sideplate_engine.tables import Table
from sideplate_engine.vocabulary import Fact


@dataclass(frozen=True)
class KnowledgeBase:
    """Facts, rules and what they draw on. Retired rules are kept apart: they judge nothing."""

    facts: MappingABC[str, Fact]
    rules: MappingABC[str, Rule]
    retired: MappingABC[str, Rule]
    tables: MappingABC[str, Table]
    formulas: MappingABC[str, Formula]
    procedures: MappingABC[str, Procedure]
    sources: MappingABC[str, SourceEntry]
    cautions: MappingABC[str, CautionEntry]
    topics: MappingABC[str, TopicEntry]
    subjects: MappingABC[str, str]
    strata: Strata
    parts: MappingABC[str, Part] = field(default_factory=dict)
    layers: tuple[Layer, ...] = ()

    def cite(self, citations: Iterable[Citation]) -> tuple[str, ...]:
        """Citations as a reader wants them: title, and place in it."""
        return tuple(self._cite(citation) for citation in citations)

    def _cite(self, citation: Citation) -> str:
        source = self.sources.get(citation.work)
        title = source.title if source is not None else citation.work
        return title if citation.at is None else f"{title}, {citation.at}"

    def whose(self, at: Position) -> str:
        """Whose a rule or another thing at that place is: built-in, or the path of the folder laid over it."""
        return whose(at, self.layers)

    @property
    def is_layered(self) -> bool:
        """Whether several folders lie over each other, so that whose a rule is needs to be told."""
        return len(self.layers) > 1

    def rules_of(self, topic: str) -> tuple[Rule, ...]:
        """The rules of one topic, by id."""
        return tuple(rule for _, rule in sorted(self.rules.items()) if rule.topic == topic)

    def derivers(self, fact: str) -> tuple[Rule, ...]:
        """The rules that derive a fact, by id."""
        return self._derivers.get(fact, ())

    @cached_property
    def overriders(self) -> MappingABC[str, tuple[str, ...]]:
        """For each rule that others override, the ids of those others."""
        return overriders(self.rules.values())

    @cached_property
    def facts_complete_after(self) -> MappingABC[int, tuple[str, ...]]:
        """For each stratum, the derived facts that are complete once it has been judged, by name."""
        found: dict[int, list[str]] = {}
        for fact, stratum in sorted(self.strata.fact_complete.items()):
            if stratum > 0:
                found.setdefault(stratum, []).append(fact)
        return {stratum: tuple(facts) for stratum, facts in found.items()}

    @cached_property
    def job_parts(self) -> JobParts:
        """Which facts belong to which part of a job."""
        return JobParts(self.parts, self.facts)

    @cached_property
    def _derivers(self) -> dict[str, tuple[Rule, ...]]:
        found: dict[str, tuple[Rule, ...]] = {}
        for _, rule in sorted(self.rules.items()):
            for fact in rule.derives():
                found[fact] = (*found.get(fact, ()), rule)
        return found
