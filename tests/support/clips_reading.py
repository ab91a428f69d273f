"""A third reading of conjunctions, by CLIPS 6.4 through clipspy: same interface as the matcher.

CLIPS is a rule engine of another descent (NASA, 1985 on) and another language, so an error shared with the
matcher or with the plain reading is unlikely. Every conjunction becomes a rule over one wide template; what
is on the agenda after the fact is asserted is what holds. Nothing is ever run.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import clips
from clips.facts import lib

from sideplate_engine.conditions import Condition, Conjunction, Relation, Scalar

ABSENT = clips.Symbol("absent")
"""What a slot holds when the property is not there. A word is a string, never a symbol, so none equals it."""

_ORDERINGS = {Relation.ABOVE: ">", Relation.BELOW: "<", Relation.AT_LEAST: ">=", Relation.AT_MOST: "<="}


class ClipsReading:
    """Conjunctions as CLIPS rules."""

    def __init__(self, conjunctions: Iterable[Conjunction]) -> None:
        given = tuple(conjunctions)
        self._keys = {f"r{number}": conjunction.key for number, conjunction in enumerate(given)}
        names = dict.fromkeys(c.property for conjunction in given for c in conjunction.conditions)
        self._slots = {name: f"p{number}" for number, name in enumerate(names)}
        self._clips = clips.Environment()
        slots = " ".join(f"(slot {slot} (default absent))" for slot in self._slots.values())
        self._clips.build(f"(deftemplate job (slot stratum) {slots})")
        for rule, conjunction in zip(self._keys, given, strict=True):
            self._clips.build(f"(defrule {rule} {self._pattern(conjunction)} =>)")
        self._template = self._clips.find_template("job")

    def matches(self, stratum: int, properties: Mapping[str, Scalar]) -> frozenset[str]:
        values = {slot: _value(properties[name]) for name, slot in self._slots.items() if name in properties}
        fact = self._template.assert_fact(stratum=stratum, **values)
        holding = frozenset(self._keys[activation.name] for activation in self._clips.activations())
        fact.retract()
        # clipspy retains every fact it hands out, and its own release has an argument too many and fails.
        lib.ReleaseFact(fact._fact)
        return holding

    def _pattern(self, conjunction: Conjunction) -> str:
        tests: dict[str, list[str]] = {}
        for condition in conjunction.conditions:
            slot = self._slots[condition.property]
            tests.setdefault(slot, []).append(_test(f"?{slot}", condition))
        slots = " ".join(
            f"({slot} ?{slot}&:(and TRUE TRUE {' '.join(asked)}))" for slot, asked in tests.items()
        )
        return f"(job (stratum {conjunction.stratum}) {slots})"


def _test(variable: str, condition: Condition) -> str:
    wanted = condition.value if isinstance(condition.value, tuple) else (condition.value,)
    match condition.relation:
        case Relation.KNOWN:
            return f"(neq {variable} absent)"
        case Relation.UNKNOWN:
            return f"(eq {variable} absent)"
        case Relation.EQUALS | Relation.ONE_OF:
            return f"(or FALSE FALSE {' '.join(_equal(variable, value) for value in wanted)})"
        case Relation.NONE_OF:
            equal = " ".join(_equal(variable, value) for value in wanted)
            return f"(and (neq {variable} absent) (not (or FALSE FALSE {equal})))"
        case ordering:
            (bound,) = wanted
            return f"(and (floatp {variable}) ({_ORDERINGS[ordering]} {variable} {_literal(bound)}))"


def _equal(variable: str, value: Scalar | None) -> str:
    if isinstance(value, str | bool):
        return f"(eq {variable} {_literal(value)})"
    return f"(and (floatp {variable}) (= {variable} {_literal(value)}))"


def _literal(value: Scalar | None) -> str:
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, str):
        escaped = value.replace("\\", "\\\\").replace('"', '\\"')
        return f'"{escaped}"'
    if value is None:
        raise ValueError("a comparison needs a value")
    return repr(float(value))


def _value(value: Scalar) -> Scalar:
    return value if isinstance(value, str | bool) else float(value)
