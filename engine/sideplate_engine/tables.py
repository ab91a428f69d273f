"""Tables: rows of figures found by a key, each with its sources and how far they were verified."""

from __future__ import annotations

import re
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass

from sideplate_engine.file_models import Basis, Citation, TableColumn, TableFile, TableRowExtras
from sideplate_engine.findings import Finding, Position, did_you_mean, listed
from sideplate_engine.quantities import UnknownUnit, unit
from sideplate_engine.shape_check import read_as
from sideplate_engine.vocabulary import Element, Fact, ValueRefused
from sideplate_engine.yaml_tree import Items, Mapping, Node, Text

_BARE_NUMBER = re.compile("[-+]?[0-9.,/ ]+")

ROW_EXTRAS = ("sources", "basis", "from_memory")


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its values are read as a fact of the same kind would be; `text` is free."""

    name: str
    means: str
    reads: Fact | None

    @property
    def unit(self) -> str:
        """The unit of its figures; `1` for what has none."""
        return self.reads.unit if self.reads is not None else "1"

    def read(self, text: str) -> Element:
        """A cell's value; a quantity may be a plain number, which is in the column's unit. Raises ValueRefused."""
        if self.reads is None:
            return text
        if self.reads.kind == "quantity" and self.reads.unit != "1" and _BARE_NUMBER.fullmatch(text):
            text = f"{text} {self.reads.unit}"
        return self.reads.read_element(text)

    def show(self, value: Element) -> str:
        """A cell as a reader wants it."""
        return str(value) if self.reads is None else self.reads.show(value)


@dataclass(frozen=True, slots=True)
class Row:
    """One row. A cell that is not known is not there; `from_memory` names cells that were recalled."""

    cells: MappingABC[str, Element]
    sources: tuple[Citation, ...]
    basis: Basis
    from_memory: tuple[str, ...]
    at: Position


@dataclass(frozen=True, slots=True)
class Table:
    """Rows by the value of the key column. A `reference` table is there to be read; no rule looks rows up in it."""

    id: str
    title: str
    note: str
    key: str
    columns: MappingABC[str, Column]
    rows: MappingABC[Element, Row]
    at: Position
    reference: bool = False

    def row(self, key: Element) -> Row | None:
        """The row of that key, or None."""
        return self.rows.get(key)


def read_table(tree: Node) -> tuple[Table | None, list[Finding]]:
    """A table from its file's tree, and all that is wrong with it."""
    shape, findings = read_as(TableFile, tree)
    if shape is None:
        return None, findings
    assert isinstance(tree, Mapping)
    columns: dict[str, Column] = {}
    columns_node = tree.entries["columns"]
    assert isinstance(columns_node, Mapping)
    for name, column in shape.columns.items():
        at = columns_node.key_at[name]
        if name in ROW_EXTRAS:
            findings.append(Finding("table-column", f"`{name}` is what every row holds beside its cells", at))
            continue
        try:
            columns[name] = _column(name, column, at)
        except (UnknownUnit, ValueRefused) as problem:
            findings.append(Finding("table-column", str(problem), at))
    if shape.key not in shape.columns:
        message = f"`key` names no column{did_you_mean(shape.key, shape.columns)}"
        findings.append(Finding("table-column", message, tree.key_at["key"]))
    if findings:
        return None, findings
    rows: dict[Element, Row] = {}
    rows_node = tree.entries["rows"]
    assert isinstance(rows_node, Items)
    for number, row_node in enumerate(rows_node.items):
        row, found = _row(tree, number, row_node, columns)
        findings += found
        if row is None:
            continue
        key = row.cells.get(shape.key)
        if key is None:
            if not found:
                findings.append(Finding("table-key", f"the row has no `{shape.key}`", row.at))
        elif key in rows:
            findings.append(
                Finding("table-key", f"{key} has a row on line {rows[key].at.line} already", row.at)
            )
        else:
            rows[key] = row
    return (
        Table(
            shape.id,
            shape.title,
            shape.note or "",
            shape.key,
            columns,
            rows,
            tree.at,
            shape.reference == "yes",
        ),
        findings,
    )


def _column(name: str, column: TableColumn, at: Position) -> Column:
    if column.kind == "text":
        return Column(name, column.means, None)
    if (column.kind == "quantity") != (column.unit is not None):
        raise ValueRefused("a quantity has a `unit`, and nothing else has")
    if (column.kind == "choice") != (column.choices is not None):
        raise ValueRefused("a choice has `choices`, and nothing else has")
    unit(column.unit or "1")
    reads = Fact(name, column.kind, column.means, at, column.unit or "1", choices=column.choices)
    return Column(name, column.means, reads)


def _row(
    tree: Mapping, number: int, node: Node, columns: MappingABC[str, Column]
) -> tuple[Row | None, list[Finding]]:
    if not isinstance(node, Mapping):
        return None, [Finding("wrong-shape", "a row is a mapping of columns to cells", node.at)]
    findings: list[Finding] = []
    cells: dict[str, Element] = {}
    for name, cell in node.entries.items():
        if name in ROW_EXTRAS:
            continue
        at = node.key_at[name]
        column = columns.get(name)
        if column is None:
            hint = did_you_mean(name, columns) or f"; the columns are {listed(list(columns), 'and', 20)}"
            findings.append(Finding("table-column", f"no column is called `{name}`{hint}", at))
        elif not isinstance(cell, Text):
            findings.append(Finding("wrong-shape", f"`{name}` takes a plain value", cell.at))
        else:
            try:
                cells[name] = column.read(cell.value)
            except ValueRefused as problem:
                findings.append(Finding("wrong-value", f"{name}: {problem}", cell.at))
    extras_only = Mapping(
        {name: node.entries[name] for name in ROW_EXTRAS if name in node.entries},
        {name: node.key_at[name] for name in ROW_EXTRAS if name in node.entries},
        node.at,
    )
    extras, found = read_as(TableRowExtras, extras_only)
    findings += found
    if extras is None:
        return None, findings
    for name in extras.from_memory:
        if name not in cells:
            message = f"`from_memory` names `{name}`, which is no cell of this row"
            findings.append(Finding("table-column", message, node.key_at["from_memory"]))
    return (
        Row(cells, tuple(extras.sources), extras.basis, tuple(extras.from_memory), node.at),
        findings,
    )
