"""Job sheets written as text that reads back as exactly the same sheet."""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Mapping as MappingABC
from decimal import Decimal

from sideplate_engine.job_sheet import JobSheet
from sideplate_engine.vocabulary import Element, Fact, Value
from sideplate_engine.yaml_writing import scalar


def sheet_as_yaml(sheet: JobSheet, vocabulary: MappingABC[str, Fact]) -> str:
    """The sheet as YAML, its facts under their dotted names in the vocabulary's order. Values lose nothing."""
    return "".join(f"{line}\n" for line in _lines(sheet, vocabulary))


def _lines(sheet: JobSheet, vocabulary: MappingABC[str, Fact]) -> Iterator[str]:
    if sheet.job:
        yield f"job: {scalar(sheet.job)}"
    if sheet.note:
        yield f"note: {scalar(sheet.note)}"
    yield "facts:"
    for name, fact in vocabulary.items():
        if name in sheet.facts:
            yield f"  {name}: {_value(sheet.facts[name], fact)}"


def _value(value: Value, fact: Fact) -> str:
    if isinstance(value, frozenset):
        known = list(fact.choices or sorted(value))
        return f"[{', '.join(scalar(element, in_brackets=True) for element in known if element in value)}]"
    return scalar(written(value, fact))


def written(value: Element, fact: Fact) -> str:
    """One value as a person would write it on a sheet, with every figure it has."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value
    if fact.kind == "count":
        return str(int(value))
    number = format(Decimal(repr(float(value))), "f").removesuffix(".0")
    return number if fact.unit == "1" else f"{number} {fact.unit}"
