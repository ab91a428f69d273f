"""Job sheets written as text that reads back as exactly the same sheet."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from collections.abc import Mapping as MappingABC
from decimal import Decimal

from sideplate_engine.job_sheet import JobSheet
from sideplate_engine.vocabulary import Element, Fact, Value

_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9 .,/%·°²³()+-]*")
"""Text that YAML takes as it is: no colon, no hash, no quotes."""

_WORDS_OF_YAML = frozenset({"known", "unknown", "null"})


def sheet_as_yaml(sheet: JobSheet, vocabulary: MappingABC[str, Fact]) -> str:
    """The sheet as YAML, its facts under their dotted names in the vocabulary's order. Values lose nothing."""
    return "".join(f"{line}\n" for line in _lines(sheet, vocabulary))


def _lines(sheet: JobSheet, vocabulary: MappingABC[str, Fact]) -> Iterator[str]:
    if sheet.job:
        yield f"job: {_scalar(sheet.job)}"
    if sheet.note:
        yield f"note: {_scalar(sheet.note)}"
    yield "facts:"
    for name, fact in vocabulary.items():
        if name in sheet.facts:
            yield f"  {name}: {_value(sheet.facts[name], fact)}"


def _value(value: Value, fact: Fact) -> str:
    if isinstance(value, frozenset):
        known = list(fact.choices or sorted(value))
        return f"[{', '.join(_scalar(element, in_list=True) for element in known if element in value)}]"
    return _scalar(written(value, fact))


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


def _scalar(text: str, in_list: bool = False) -> str:
    is_plain = _PLAIN.fullmatch(text) and text == text.strip() and text.lower() not in _WORDS_OF_YAML
    return text if is_plain and not (in_list and "," in text) else json.dumps(text, ensure_ascii=False)
