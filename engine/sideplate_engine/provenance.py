"""Where the knowledge comes from: figures and rules, each counted once, under the kind of work it rests on.

The rule of counting, which docs/explanation/where-the-knowledge-comes-from.md explains:

- A figure is a cell of a table (a number or a rating, the key column left out), a formula, a worked case, a number
  in a rule's conditions or set by a rule, or a quantity told in a rule's texts. Nought is no figure: a comparison
  with nought asks for a sign. Ranges in the vocabulary guard against slips of the pen and are not counted.
- A cell that its row lists under `from_memory` rests on memory, whatever the row cites.
- Any other cell, and a formula, rests on the kind of work that its `basis` claims and its sources bear out: of the
  works cited that belong to that basis, the weakest. If none does, the weakest of all works cited counts.
- A rule, the figures in it and a worked case have no `basis`. They rest on the weakest work they cite, because
  nothing says which of several works gave which part.
- What was worked out or compiled here never hides another work: it counts where nothing else is cited.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from sideplate_engine.authored_conditions import AllOf
from sideplate_engine.derivations import PlainValue
from sideplate_engine.file_models import Basis, Citation, SourceKind
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.rules import Rule
from sideplate_engine.tables import Row, Table
from sideplate_engine.texts import QuantityPlace

GROUNDS: MappingABC[SourceKind, str] = MappingProxyType(
    {
        "standard": "standards",
        "regulation": "regulations",
        "handbook": "handbooks",
        "textbook": "textbooks",
        "paper": "papers",
        "manual": "makers' manuals",
        "catalogue": "catalogues",
        "own": "worked out or compiled here",
        "practice": "common practice",
        "memory": "memory",
    }
)
"""Kinds of work and what to call them, in the order in which they are told."""

_WEAKEST_FIRST: tuple[SourceKind, ...] = (
    "memory",
    "practice",
    "catalogue",
    "manual",
    "paper",
    "textbook",
    "handbook",
    "regulation",
    "standard",
    "own",
)
_OF_BASIS: MappingABC[Basis, tuple[SourceKind, ...]] = MappingProxyType(
    {
        "standard": ("standard", "regulation"),
        "handbook": ("handbook", "textbook"),
        "paper": ("paper",),
        "practice": ("manual", "catalogue", "practice"),
        "memory": ("memory",),
    }
)
_UNPUBLISHED = ("own", "practice", "memory")

CELLS = "table cells"
LIMITS = "limits in rules"
SET_VALUES = "values set by rules"
TOLD = "figures told in rules"
FORMULAS = "formulas"
WORKED = "worked cases"


@dataclass(frozen=True, slots=True)
class Account:
    """How many figures, of each sort, and how many rules rest on each kind of work.

    `rules_on_published_work` counts the rules that cite at least one work beyond custom, memory and this project.
    """

    figures: MappingABC[str, MappingABC[SourceKind, int]]
    rules: MappingABC[SourceKind, int]
    rules_on_published_work: int

    def figures_on(self, ground: SourceKind) -> int:
        """Figures of every sort that rest on one kind of work."""
        return sum(counts.get(ground, 0) for counts in self.figures.values())

    @property
    def figure_count(self) -> int:
        """All figures."""
        return sum(sum(counts.values()) for counts in self.figures.values())

    @property
    def rule_count(self) -> int:
        """All rules."""
        return sum(self.rules.values())


def account_of(knowledge: KnowledgeBase) -> Account:
    """The account of a knowledge base. Retired rules are left out: they judge nothing."""
    figures: dict[str, Counter[SourceKind]] = {
        sort: Counter() for sort in (CELLS, LIMITS, SET_VALUES, TOLD, FORMULAS, WORKED)
    }
    for table in knowledge.tables.values():
        figures[CELLS].update(_cell_grounds(knowledge, table))
    for formula in knowledge.formulas.values():
        figures[FORMULAS][_on_basis(knowledge, formula.basis, formula.sources)] += 1
        figures[WORKED].update(_weakest(knowledge, case.sources) for case in formula.worked)
    rules: Counter[SourceKind] = Counter()
    for rule in knowledge.rules.values():
        ground = _weakest(knowledge, rule.sources)
        rules[ground] += 1
        figures[LIMITS][ground] += len(_limits(knowledge, rule))
        figures[SET_VALUES][ground] += sum(_is_figure(value) for value in _set_values(knowledge, rule))
        figures[TOLD][ground] += len(_told(rule))
    published = sum(
        any(kind not in _UNPUBLISHED for kind in _kinds(knowledge, rule.sources))
        for rule in knowledge.rules.values()
    )
    return Account(
        {
            sort: {ground: counts[ground] for ground in GROUNDS if counts[ground]}
            for sort, counts in figures.items()
        },
        {ground: rules[ground] for ground in GROUNDS if rules[ground]},
        published,
    )


def account_as_data(account: Account) -> dict[str, Any]:
    """The account as plain data, every kind of work named, those with nothing on them too."""
    return {
        "figures": {ground: account.figures_on(ground) for ground in GROUNDS},
        "figures by sort": {
            sort: {ground: counts.get(ground, 0) for ground in GROUNDS}
            for sort, counts in account.figures.items()
        },
        "rules": {ground: account.rules.get(ground, 0) for ground in GROUNDS},
        "rules on published work": account.rules_on_published_work,
    }


def _kinds(knowledge: KnowledgeBase, citations: Iterable[Citation]) -> set[SourceKind]:
    """The kinds of the works cited; a work that is not in the list of sources is as good as recalled."""
    sources = knowledge.sources
    return {sources[citation.work].kind if citation.work in sources else "memory" for citation in citations}


def _weakest(knowledge: KnowledgeBase, citations: Iterable[Citation]) -> SourceKind:
    return min(_kinds(knowledge, citations), key=_WEAKEST_FIRST.index)


def _on_basis(knowledge: KnowledgeBase, basis: Basis, citations: Iterable[Citation]) -> SourceKind:
    """The weakest work cited that belongs to the basis claimed; else the weakest work cited."""
    if basis == "memory":
        return "memory"
    kinds = _kinds(knowledge, citations)
    return min(kinds.intersection(_OF_BASIS[basis]) or kinds, key=_WEAKEST_FIRST.index)


def _cell_grounds(knowledge: KnowledgeBase, table: Table) -> Iterator[SourceKind]:
    columns = [
        name
        for name, column in table.columns.items()
        if name != table.key
        and column.reads is not None
        and column.reads.kind in ("quantity", "count", "choice")
    ]
    for row in table.rows.values():
        ground = _on_basis(knowledge, row.basis, row.sources)
        for name in columns:
            if name in row.cells:
                yield _of_cell(row, name, ground)


def _of_cell(row: Row, name: str, ground: SourceKind) -> SourceKind:
    return "memory" if name in row.from_memory else ground


def _is_figure(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and value != 0


def _limits(knowledge: KnowledgeBase, rule: Rule) -> set[tuple[str, object]]:
    """Numbers that a rule's conditions and its exception compare facts with, each once for each fact."""
    conditions = (rule.conditions, rule.unless or AllOf())
    return {
        (test.fact, value)
        for part in conditions
        for test in part.tests()
        if knowledge.facts[test.fact].is_number
        for value in test.values
        if _is_figure(value)
    }


def _set_values(knowledge: KnowledgeBase, rule: Rule) -> Iterator[object]:
    for derivation in rule.derivations:
        if isinstance(derivation, PlainValue) and knowledge.facts[derivation.fact].is_number:
            yield derivation.value


def _told(rule: Rule) -> set[str]:
    """Quantities written into a rule's texts, each once, as they are written."""
    return {
        piece.written
        for text in rule.texts().values()
        for piece in text.pieces
        if isinstance(piece, QuantityPlace)
    }
