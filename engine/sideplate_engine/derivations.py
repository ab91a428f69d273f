"""How a rule derives a fact: from a plain value, a look-up in a table, or a formula."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass
from typing import TypeAlias

from sideplate_engine.authored_conditions import Vocabulary, known_fact
from sideplate_engine.file_models import Citation
from sideplate_engine.findings import Finding, Position, did_you_mean, listed
from sideplate_engine.formulas import Formula, NotComputable
from sideplate_engine.quantities import QuantityError, convert, unit
from sideplate_engine.sentences import as_clause
from sideplate_engine.tables import Row, Table
from sideplate_engine.vocabulary import Fact, Value, in_unit_of, read_value, same_kind
from sideplate_engine.yaml_tree import Mapping, Node, Text


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


def read_derivations(
    node: Node,
    vocabulary: Vocabulary,
    tables: MappingABC[str, Table],
    formulas: MappingABC[str, Formula],
) -> tuple[tuple[Derivation, ...], list[Finding]]:
    """The derivations under a rule's `derive:`, and all that is wrong with them."""
    findings: list[Finding] = []
    if not isinstance(node, Mapping) or not node.entries:
        return (), [Finding("wrong-shape", "`derive` is a mapping of facts to where they come from", node.at)]
    derivations: list[Derivation] = []
    for name, source in node.entries.items():
        at = node.key_at[name]
        fact = known_fact(name, vocabulary, at, findings)
        if fact is None:
            continue
        if isinstance(source, Mapping):
            derivation = _worded(fact, source, at, vocabulary, tables, formulas, findings)
            if derivation is not None:
                derivations.append(derivation)
            continue
        value, found = read_value(fact, source)
        findings += found
        if value is not None:
            derivations.append(PlainValue(name, value, at))
    return tuple(derivations), findings


def _worded(
    fact: Fact,
    node: Mapping,
    at: Position,
    vocabulary: Vocabulary,
    tables: MappingABC[str, Table],
    formulas: MappingABC[str, Formula],
    findings: list[Finding],
) -> Derivation | None:
    keys = set(node.entries)
    texts = {key: value.value for key, value in node.entries.items() if isinstance(value, Text)}
    if keys == {"lookup", "by", "take"} and set(texts) == keys:
        return _read_look_up(fact, node, texts, at, vocabulary, tables, findings)
    if keys == {"formula"} and set(texts) == keys:
        return _read_computation(fact, node, texts["formula"], at, formulas, findings)
    if keys == {"fact"} and set(texts) == keys:
        source = known_fact(texts["fact"], vocabulary, node.key_at["fact"], findings)
        if source is None:
            return None
        if not same_kind(fact, source):
            message = f"{fact.name} and {source.name} are not of one kind"
            findings.append(Finding("wrong-derivation", message, at))
            return None
        return CopyOf(fact.name, source.name, at)
    message = (
        f"{fact.name} is derived from a value, {{lookup: table, by: fact, take: column}}, "
        "{formula: id} or {fact: other}"
    )
    findings.append(Finding("wrong-derivation", message, at))
    return None


def _read_look_up(
    fact: Fact,
    node: Mapping,
    texts: MappingABC[str, str],
    at: Position,
    vocabulary: Vocabulary,
    tables: MappingABC[str, Table],
    findings: list[Finding],
) -> LookUp | None:
    by = known_fact(texts["by"], vocabulary, node.key_at["by"], findings)
    table = tables.get(texts["lookup"])
    if table is None:
        hint = did_you_mean(texts["lookup"], tables)
        message = f"no table is called {texts['lookup']}{hint}"
        findings.append(Finding("unknown-table", message, node.key_at["lookup"], names=texts["lookup"]))
        return None
    column = table.columns.get(texts["take"])
    if column is None:
        hint = did_you_mean(texts["take"], table.columns) or (
            f"; the columns are {listed(list(table.columns), 'and', 20)}"
        )
        message = f"{table.id} has no column {texts['take']}{hint}"
        findings.append(Finding("unknown-column", message, node.key_at["take"]))
        return None
    if by is None:
        return None
    key = table.columns[table.key]
    if by.many or key.reads is None or not _finds(by, key.reads):
        message = f"{by.name} cannot find rows by {table.key}: they are not of one kind"
        findings.append(Finding("wrong-derivation", message, node.key_at["by"]))
        return None
    if not _fits(fact, column.reads):
        message = f"the column {column.name} does not hold values of {fact.name}"
        findings.append(Finding("wrong-derivation", message, node.key_at["take"]))
        return None
    return LookUp(fact.name, table, by.name, by.unit, column.name, at)


def _finds(by: Fact, key: Fact) -> bool:
    return by.kind == key.kind and (
        by.kind != "quantity" or unit(by.unit).dimension == unit(key.unit).dimension
    )


def _fits(fact: Fact, column: Fact | None) -> bool:
    if column is None or column.kind != fact.kind or fact.many:
        return False
    if fact.kind == "choice":
        return set(column.choices or ()) <= set(fact.choices or ())
    return fact.kind != "quantity" or unit(column.unit).dimension == unit(fact.unit).dimension


def _read_computation(
    fact: Fact,
    node: Mapping,
    formula_id: str,
    at: Position,
    formulas: MappingABC[str, Formula],
    findings: list[Finding],
) -> Computation | None:
    formula = formulas.get(formula_id)
    where = node.key_at["formula"]
    if formula is None:
        hint = did_you_mean(formula_id, formulas)
        message = f"no formula is called {formula_id}{hint}"
        findings.append(Finding("unknown-formula", message, where, names=formula_id))
        return None
    unbound = [name for name, symbol in formula.symbols.items() if symbol.fact is None]
    if unbound:
        message = f"the formula {formula_id} has symbols that no fact fills: {listed(unbound, 'and')}"
        findings.append(Finding("wrong-derivation", message, where))
        return None
    if not fact.is_number:
        findings.append(Finding("wrong-derivation", f"{fact.name} is a {fact.kind}, not a number", at))
        return None
    try:
        convert(1.0, formula.gives_unit, fact.unit)
    except QuantityError as problem:
        findings.append(Finding("formula-dimension", str(problem), at))
        return None
    return Computation(fact.name, formula, at)
