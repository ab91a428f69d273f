"""Procedures: which orders are right, and what is wrong with their steps."""

from __future__ import annotations

import pytest

from sideplate_engine.procedures import Procedure, read_procedure
from sideplate_engine.yaml_tree import read_tree

HEAD = "{id: p, title: P, for: f, sources: [{work: w}], steps: ["
STEPS = (
    "{id: a, do: A.}, {id: b, do: B., after: [a]}, {id: c, do: C., after: [a]}, {id: d, do: D., after: [b]}"
)


def read(steps: str) -> tuple[Procedure | None, list[str]]:
    tree, _ = read_tree(f"{HEAD}{steps}]}}", "f")
    assert tree is not None
    procedure, findings = read_procedure(tree, {"sharp-edges": "x"}, {"fitting": "x"})
    return procedure, [f"{f.at.column - len(HEAD)} {f.code}: {f.message}" for f in findings]


@pytest.mark.parametrize(
    ("order", "early", "needed"),
    [
        ("abcd", "", ""),
        ("acbd", "", ""),
        ("abdc", "", ""),
        ("bacd", "b", "a"),
        ("acdb", "d", "b"),
        ("cab", "c", "a"),
        ("cd", "", ""),  # what is not in the order is not missed
    ],
)
def test_any_order_that_after_allows_is_right(order: str, early: str, needed: str) -> None:
    procedure, told = read(STEPS)
    assert told == []
    assert procedure is not None
    found = procedure.first_too_early(order)
    assert (found[0].id, found[1].id) == (early, needed) if found else early == ""


@pytest.mark.parametrize(
    ("steps", "line"),
    [
        ("{id: a, do: A.}", "-7 empty: `steps` holds too little: 2 at least"),
        ("{id: a, do: A.}, {id: a, do: B.}", "18 repeated-step: two steps are called a"),
        ("{id: clean, do: A.}, {id: b, do: B., after: [claen]}",
         "38 unknown-step: no step is called claen; did you mean clean?"),
        ("{id: a, do: A., caution: sharp-edge}, {id: b, do: B.}",
         "17 unknown-caution: no caution is called sharp-edge; did you mean sharp-edges?"),
        ("{id: a, do: A., after: [b]}, {id: b, do: B., after: [a]}", "-7 cycle: these steps wait for each other: a, b"),
        ("{id: a, do: A., after: [a]}, {id: b, do: B.}", "-7 cycle: these steps wait for each other: a"),
    ],
)  # fmt: skip
def test_a_slip_in_the_steps_is_told_once(steps: str, line: str) -> None:
    assert read(steps) == (None, [line])
