"""What an author writes under `derive:`, read and held to the vocabulary, the tables and the formulas."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC

from sideplate_engine.authored_conditions import Vocabulary, known_fact
from sideplate_engine.derivations import Computation, CopyOf, Derivation, LookUp, PlainValue
from sideplate_engine.findings import Finding, Position, did_you_mean, listed
from sideplate_engine.formulas import Formula
from sideplate_engine.quantities import QuantityError, convert, unit
from sideplate_engine.tables import Table
from sideplate_engine.vocabulary import Fact, read_value, same_kind
from sideplate_engine.yaml_tree import Mapping, Node, Text


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
