"""A rule's fingerprint: it changes when what the rule decides changes, and stays when only its wording does."""

from __future__ import annotations

import hashlib
import json
from typing import Any

from sideplate_engine.authored_conditions import AllOf, AnyOf, FactTest
from sideplate_engine.derivations import Computation, CopyOf, Derivation, LookUp, PlainValue
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import to_json

LENGTH = 16


def fingerprint(rule: Rule) -> str:
    """A short hash of conditions, exception, conclusion and limits, for any order in which they are written."""
    decides = {
        "when": _all_of(rule.conditions),
        "unless": None if rule.unless is None else _all_of(rule.unless),
        "derive": sorted((_derivation(derivation) for derivation in rule.derivations), key=json.dumps),
        "ruling": rule.force,
        "about": rule.about,
        "overrides": sorted(rule.overrides),
    }
    return hashlib.sha256(json.dumps(decides, sort_keys=True).encode()).hexdigest()[:LENGTH]


def _all_of(conditions: AllOf) -> list[Any]:
    return sorted((_part(part) for part in conditions.parts), key=json.dumps)


def _part(part: FactTest | AnyOf) -> list[Any]:
    if isinstance(part, AnyOf):
        return ["any", sorted((_all_of(branch) for branch in part.branches), key=json.dumps)]
    values = [to_json(value) for value in part.values]
    return [part.fact, part.test.value, sorted(values, key=json.dumps), part.other]


def _derivation(derivation: Derivation) -> list[Any]:
    match derivation:
        case PlainValue():
            return [derivation.fact, "is", to_json(derivation.value)]
        case CopyOf():
            return [derivation.fact, "copies", derivation.source]
        case LookUp():
            column = [
                [to_json(key), to_json(row.cells[derivation.take])]
                for key, row in derivation.table.rows.items()
                if derivation.take in row.cells
            ]
            return [derivation.fact, "looks up", derivation.by, sorted(column, key=json.dumps)]
        case Computation():
            formula = derivation.formula
            does = formula.function if formula.expression is None else formula.expression.text
            symbols = sorted([symbol.name, symbol.fact, symbol.unit] for symbol in formula.symbols.values())
            return [derivation.fact, "works out", does, symbols, formula.gives_unit]
