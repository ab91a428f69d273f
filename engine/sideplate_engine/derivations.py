"""How a rule derives a fact: from a plain value, another fact, a look-up in a table, or a formula."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass
from typing import TypeAlias

from sideplate_engine.authored_conditions import Vocabulary
from sideplate_engine.file_models import Citation
from sideplate_engine.findings import Position
from sideplate_engine.formulas import Formula, NotComputable
from sideplate_engine.quantities import convert
from sideplate_engine.sentences import as_clause
from sideplate_engine.tables import Row, Table
from sideplate_engine.vocabulary import Fact, Value, in_unit_of


class NoValue(Exception):
    """A derivation that has nothing to give for these facts: no row, an empty cell, a root of a negative.

    The message is a clause, without a full stop. `is_gap` tells that the table simply does not know; otherwise the
    facts deserve a second look.
    """

    def __init__(self, message: str, is_gap: bool = False) -> None:
        super().__init__(message)
        self.is_gap = is_gap


@dataclass(frozen=True, slots=True)
class PlainValue:
    """The value is written in the rule."""

    fact: str
    value: Value
    at: Position

    def reads(self) -> tuple[str, ...]:
        """Nothing."""
        return ()


@dataclass(frozen=True, slots=True)
class CopyOf:
    """The value is another fact's, as it is."""

    fact: str
    source: str
    at: Position

    def reads(self) -> tuple[str, ...]:
        """The fact copied."""
        return (self.source,)


@dataclass(frozen=True, slots=True)
class LookUp:
    """The value stands in a table's row."""

    fact: str
    table: Table
    by: str
    by_unit: str
    take: str
    at: Position

    def reads(self) -> tuple[str, ...]:
        """The fact the row is found by."""
        return (self.by,)

    def row(self, facts: MappingABC[str, Value]) -> Row | None:
        """The row these facts find, if any."""
        key = facts[self.by]
        if isinstance(key, float):
            key = convert(key, self.by_unit, self.table.columns[self.table.key].unit)
        return None if isinstance(key, frozenset) else self.table.row(key)


@dataclass(frozen=True, slots=True)
class Computation:
    """The value comes out of a formula."""

    fact: str
    formula: Formula
    at: Position

    def reads(self) -> tuple[str, ...]:
        """The facts its symbols stand for."""
        return self.formula.facts()


Derivation: TypeAlias = PlainValue | CopyOf | LookUp | Computation


@dataclass(frozen=True, slots=True)
class Derived:
    """A derived value, before it is compared with what others derive. `source` is the table row's, if any."""

    fact: str
    value: Value
    sources: tuple[Citation, ...] = ()
    from_memory: bool = False


def derive(derivation: Derivation, facts: MappingABC[str, Value], vocabulary: Vocabulary) -> Derived:
    """The value for these facts, in the fact's stored unit. Raises NoValue."""
    target = vocabulary[derivation.fact]
    match derivation:
        case PlainValue():
            return Derived(target.name, derivation.value)
        case CopyOf(source=source):
            value = facts[source]
            if isinstance(value, float):
                value = in_unit_of(value, vocabulary[source], target)
            return Derived(target.name, _possible(target, value, f"{source}, copied,"))
        case LookUp():
            return _look_up(derivation, facts, target, vocabulary[derivation.by])
        case Computation():
            return _compute(derivation, facts, target)


def _possible(target: Fact, value: Value, source: str) -> Value:
    """The value, if the fact can have it. Raises NoValue, for which the facts behind it deserve a second look."""
    if not isinstance(value, (int, float)) or isinstance(value, bool):
        return value
    if target.possible is not None and not target.possible[0] <= value <= target.possible[1]:
        shown = target.show(value)
        raise NoValue(f"{source} gives {shown}, which {target.name} cannot be; look at the facts it reads")
    return value


def _look_up(look_up: LookUp, facts: MappingABC[str, Value], target: Fact, by: Fact) -> Derived:
    row = look_up.row(facts)
    sought = f"{by.name} {by.show(facts[by.name])}"
    if row is None:
        raise NoValue(f"the table {look_up.table.id} has no row for {sought}")
    cell = row.cells.get(look_up.take)
    if cell is None:
        raise NoValue(f"the table {look_up.table.id} has no {look_up.take} for {sought}", is_gap=True)
    column = look_up.table.columns[look_up.take]
    if target.kind == "quantity":
        cell = convert(float(cell), column.unit, target.unit)
    value = _possible(target, cell, f"the table {look_up.table.id}")
    return Derived(target.name, value, row.sources, look_up.take in row.from_memory or row.basis == "memory")


def _compute(computation: Computation, facts: MappingABC[str, Value], target: Fact) -> Derived:
    formula = computation.formula
    values = {
        name: float(facts[symbol.fact])  # type: ignore[arg-type]  # the loader saw that the fact is a number
        for name, symbol in formula.symbols.items()
        if symbol.fact is not None
    }
    try:
        result = convert(formula.run(values), formula.gives_unit, target.unit)
    except NotComputable as problem:
        raise NoValue(f"{formula.title} cannot be computed here: {as_clause(str(problem))}") from None
    if target.kind == "count":
        if result != round(result):
            raise NoValue(f"{formula.title} gives {result:g}, and {target.name} is a whole number")
        return Derived(target.name, _possible(target, round(result), formula.title))
    return Derived(target.name, _possible(target, result, formula.title))
