"""Tables: cells read by their column, rows found by their key, what is wrong with one row told once."""

from __future__ import annotations

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_engine.tables import Table, read_table
from sideplate_engine.yaml_tree import read_tree

HEAD = """\
id: t
title: T
key: size
columns:
  size: {kind: code, means: m}
  pitch: {kind: quantity, unit: mm, means: m}
  stress: {kind: quantity, unit: N/mm², means: m}
  finish: {kind: choice, choices: {bare: b, plated: p}, means: m}
  note: {kind: text, means: m}
rows:
"""
END = "sources: [{work: w}], basis: paper"


def read(row: str, head: str = HEAD) -> tuple[Table | None, list[str]]:
    tree, _ = read_tree(f"{head}  - {{{row}}}\n", "f")
    assert tree is not None
    table, findings = read_table(tree)
    return table, [f"{found.at.line}:{found.at.column} {found.code}: {found.message}" for found in findings]


@pytest.mark.parametrize(
    ("cell", "column", "value"),
    [
        ("pitch: 0.7", "pitch", 0.7),
        ("pitch: 1/2", "pitch", 0.5),
        ("pitch: 1/2 in", "pitch", 12.7),
        ("stress: 400", "stress", 400.0),
        ("stress: 400 N/mm2", "stress", 400.0),
        ("finish: Bare", "finish", "bare"),
        ("note: as it is", "note", "as it is"),
    ],
)
def test_a_cell_is_read_by_its_column(cell: str, column: str, value: object) -> None:
    table, told = read(f"size: m6, {cell}, {END}")
    assert table is not None
    row = table.row("M6")
    assert told == []
    assert row is not None
    assert row.cells[column] == value


def test_a_cell_left_out_is_not_there(bolts: KnowledgeBase) -> None:
    table = bolts.tables["threads"]
    row = table.row("M8")
    assert row is not None
    assert set(row.cells) == {"size", "pitch"}
    assert table.row("M99") is None
    assert (row.basis, table.rows["M6"].from_memory) == ("memory", ("strength",))


def test_a_cell_is_shown_with_its_unit(bolts: KnowledgeBase) -> None:
    columns = bolts.tables["threads"].columns
    assert (columns["strength"].show(4000.0), columns["note"].show("small")) == ("4000 N", "small")


@pytest.mark.parametrize(
    ("row", "line"),
    [
        (f"size: M6, pitch: 5 kg, {END}",
         '11:23 wrong-value: pitch: "5 kg" is a mass; a length is wanted, such as 620 mm'),
        (f"size: M6, pitch: , {END}",
         "11:23 wrong-value: pitch: nothing is written here; leave the fact out if it is not known"),
        (f"size: M6, pich: 5, {END}", "11:16 table-column: no column is called `pich`; did you mean pitch?"),
        (f"size: M6, zz: 5, {END}", "11:16 table-column: no column is called `zz`; "
                                   "the columns are size, pitch, stress, finish and note"),
        (f"size: M6, pitch: [5], {END}", "11:23 wrong-shape: `pitch` takes a plain value"),
        (f"pitch: 5, {END}", "11:5 table-key: the row has no `size`"),
        (f"size: [], {END}", "11:12 wrong-shape: `size` takes a plain value"),
        ("size: M6, sources: [{work: w}]", "11:5 missing-key: the key `basis` is missing here"),
        ("size: M6, sources: [{work: w}], basis: hearsay", "11:38 unknown-word: `basis` is standard, handbook, paper, "
                                                          "practice or memory, not 'hearsay'"),
        (f"size: M6, from_memory: [pitch], {END}",
         "11:16 table-column: `from_memory` names `pitch`, which is no cell of this row"),
        (f"size: M6, {END}}}\n  - {{size: m6, {END}", "12:5 table-key: M6 has a row on line 11 already"),
    ],
)  # fmt: skip
def test_a_slip_in_a_row_is_told_once_and_leaves_the_table_standing(row: str, line: str) -> None:
    table, told = read(row)
    assert table is not None
    assert told == [line]


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ("key: size", "key: sise", "3:1 table-column: `key` names no column; did you mean size?"),
        ("unit: mm", "unit: cubit", '6:3 table-column: "cubit" is not a unit Sideplate knows'),
        ("{kind: quantity, unit: mm, means: m}", "{kind: quantity, means: m}",
         "6:3 table-column: a quantity has a `unit`, and nothing else has"),
        ("{kind: code, means: m}", "{kind: choice, means: m}",
         "5:3 table-column: a choice has `choices`, and nothing else has"),
        ("  note:", "  basis:", "9:3 table-column: `basis` is what every row holds beside its cells"),
        ("title: T\n", "", "1:1 missing-key: the key `title` is missing here"),
    ],
)  # fmt: skip
def test_a_slip_in_the_head_leaves_no_table(old: str, new: str, line: str) -> None:
    table, told = read(f"size: M6, {END}", HEAD.replace(old, new))
    assert table is None
    assert told == [line]


def test_a_row_that_is_no_mapping_is_told() -> None:
    table, told = read("size: M6, x: y", HEAD + "  - just text\n")
    assert table is None
    assert told == ["11:5 wrong-shape: an item of `rows` must be a mapping, not text"]
