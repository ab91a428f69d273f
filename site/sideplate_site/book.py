"""Everything that pages are made from: the knowledge, how it hangs together, the pictures, the version."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from sideplate_engine import Judge, KnowledgeBase
from sideplate_engine.chaining import Chained
from sideplate_engine.rules import Example
from sideplate_site.addresses import Addresses
from sideplate_site.pictures import Picture, draw_all
from sideplate_site.relations import Relations, relations_of
from sideplate_site.sheets import Sheet, sheets_in


@dataclass(frozen=True)
class Book:
    """What one build is made from. `folders` are the knowledge folders, the built-in one first."""

    knowledge: KnowledgeBase
    folders: tuple[Path, ...]
    version: str
    _outcomes: dict[tuple[str, str], Chained] = field(default_factory=dict, repr=False, compare=False)

    @cached_property
    def addresses(self) -> Addresses:
        """Where everything is."""
        return Addresses(self.knowledge)

    @cached_property
    def relations(self) -> Relations:
        """Who reads, feeds and cites whom."""
        return relations_of(self.knowledge)

    @cached_property
    def judge(self) -> Judge:
        """Judges the examples and the sheets that pages show."""
        return Judge(self.knowledge)

    def outcome_of(self, rule: str, example: Example) -> Chained:
        """What the whole base makes of a rule's example, judged once."""
        key = (rule, example.name)
        if key not in self._outcomes:
            self._outcomes[key] = self.judge.outcome(example.given)
        return self._outcomes[key]

    @cached_property
    def pictures(self) -> Mapping[str, Picture]:
        """The pictures that this knowledge has the figures for, by name."""
        return draw_all(self.knowledge)

    @cached_property
    def sheets(self) -> tuple[Sheet, ...]:
        """The workshop's job sheets."""
        return sheets_in(self.folders, self.knowledge)
