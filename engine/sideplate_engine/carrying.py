"""Facts that were read by one vocabulary, in the terms of another."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC

from sideplate_engine.quantities import convert
from sideplate_engine.units import unit
from sideplate_engine.vocabulary import Fact, Value


def carried(
    facts: MappingABC[str, Value],
    source: MappingABC[str, Fact],
    target: MappingABC[str, Fact],
) -> dict[str, Value]:
    """The facts that the other vocabulary has too, their values in its units and choices; the rest is left out."""
    found: dict[str, Value] = {}
    for name, value in facts.items():
        into = target.get(name)
        if into is None:
            continue
        as_there = value if into == source[name] else _carried(value, source[name], into)
        if as_there is not None:
            found[name] = as_there
    return found


def _carried(value: Value, fact: Fact, into: Fact) -> Value | None:
    if fact.kind != into.kind or fact.many != into.many:
        return None
    if isinstance(value, frozenset):
        return value if into.choices is None else value.intersection(into.choices)
    if fact.kind == "choice":
        return value if value in (into.choices or ()) else None
    if fact.kind == "quantity" and isinstance(value, float):
        is_same = unit(fact.unit).dimension == unit(into.unit).dimension
        return convert(value, fact.unit, into.unit) if is_same else None
    return value
