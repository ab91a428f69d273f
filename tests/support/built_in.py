"""The built-in knowledge base, loaded once, and what it makes of facts written as on a job sheet."""

from __future__ import annotations

from functools import cache

from sideplate_engine import Judge, Judgement, KnowledgeBase, load, read_sheet
from sideplate_engine.quantities import convert, read_quantity
from sideplate_engine.vocabulary import Element


@cache
def knowledge() -> KnowledgeBase:
    """The knowledge that ships with the program."""
    return load().sound()


@cache
def judge() -> Judge:
    """A judge on it."""
    return Judge(knowledge())


def judged(facts: str) -> Judgement:
    """The judgement on a job sheet with these facts, written in one line: `chain.size: 520, chain.links: 110`."""
    sheet = read_sheet(f"facts: {{{facts}}}", "a sheet of this test", knowledge().facts)
    return judge().judge(sheet.facts)


def derived(facts: str, name: str, unit: str = "1") -> float:
    """A number that a job sheet leads to, in a unit; a failure when the sheet does not lead to it."""
    step = judged(facts).derived[name]
    assert isinstance(step.value, (int, float))
    return convert(float(step.value), knowledge().facts[name].unit, unit)


def derived_word(facts: str, name: str) -> str:
    """A choice or a code that a job sheet leads to."""
    value = judged(facts).derived[name].value
    assert isinstance(value, str)
    return value


def fired(facts: str) -> set[str]:
    """The rulings that stand on a job sheet, by id."""
    return {ruling.rule for ruling in judged(facts).rulings}


def because(facts: str, rule: str) -> str:
    """What a ruling that stands on a job sheet gives as its reason, the figures put in."""
    return next(ruling.because for ruling in judged(facts).rulings if ruling.rule == rule)


def computed(formula: str, unit: str, **symbols: str) -> float:
    """What a formula makes of quantities written as a mechanic writes them, in a unit."""
    found = knowledge().formulas[formula]
    values = {name: read_quantity(text, found.symbols[name].unit) for name, text in symbols.items()}
    return convert(found.run(values), found.gives_unit, unit)


def cell(table: str, key: Element, column: str) -> Element:
    """A cell of a table; a failure when it is empty."""
    row = knowledge().tables[table].row(key)
    assert row is not None, f"{table} has no row {key}"
    return row.cells[column]


def cell_in(table: str, key: Element, column: str, unit: str) -> float:
    """A number in a table, in a unit."""
    return convert(float(cell(table, key, column)), knowledge().tables[table].columns[column].unit, unit)


def is_recalled(table: str, key: Element, column: str) -> bool:
    """Whether the knowledge base itself marks a cell as recalled rather than read."""
    row = knowledge().tables[table].row(key)
    assert row is not None, f"{table} has no row {key}"
    return row.basis == "memory" or column in row.from_memory
