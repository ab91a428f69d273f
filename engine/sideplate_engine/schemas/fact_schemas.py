"""What schemas say of facts: their values, the tests of conditions, and where derived values come from."""

from __future__ import annotations

from collections.abc import Iterable

from sideplate_engine.authored_conditions import Test
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.quantities import unit
from sideplate_engine.schemas.json_schema import YES_OR_NO, Schema, one_of_words, several
from sideplate_engine.vocabulary import Fact, same_kind

FACTS = "facts"
"""The schema that holds what the others share."""


def about_facts(name: str) -> Schema:
    """A reference from another schema to a shared definition."""
    return {"$ref": f"{FACTS}.json{_place(name)}"}


def _shared(name: str) -> Schema:
    return {"$ref": _place(name)}


def _place(name: str) -> str:
    return f"#/definitions/{name.replace(' ', '%20')}"


def fact_definitions(knowledge: KnowledgeBase) -> dict[str, Schema]:
    """The shared definitions: kinds of values and of tests, then mappings of facts made from them."""
    facts = list(knowledge.facts.values())
    return {
        "given": _given(facts),
        "conditions": _mapping(
            {
                "any": {
                    "type": "array",
                    "minItems": 2,
                    "items": _shared("conditions"),
                    "description": "Alternatives, of which one must hold.",
                },
                **{fact.name: _condition(fact) for fact in facts},
            }
        ),
        "derivations": _mapping({fact.name: _derivation(fact) for fact in facts}),
        "any fact": one_of_words({fact.name: fact.means for fact in facts}),
        "number fact": one_of_words({fact.name: fact.means for fact in facts if fact.is_number}),
        "look-up": _look_up(knowledge),
        "formula": _only(
            {"formula": one_of_words({each.id: each.title for each in knowledge.formulas.values()})}
        ),
        "copy": _only({"fact": _shared("any fact")}),
        "presence": {
            "anyOf": [
                {"const": Test.KNOWN.value, "description": "Stated or derived, whatever it is."},
                {"const": Test.UNKNOWN.value, "description": "Neither stated nor derived."},
            ]
        },
        **_values(facts),
        **_tests(facts),
    }


def _mapping(properties: dict[str, Schema]) -> Schema:
    return {"type": "object", "additionalProperties": False, "properties": properties}


def _only(properties: dict[str, Schema]) -> Schema:
    """A mapping with just these keys, all of them."""
    return {**_mapping(properties), "required": list(properties)}


def _described(fact: Fact) -> str:
    """What an editor shows beside the fact's name."""
    parts = [fact.means]
    if fact.kind == "quantity" and fact.unit != "1":
        parts.append(f"A quantity with its unit, stored in {fact.unit}.")
    if fact.possible is not None:
        low, high = (fact.show_element(end, "metric") for end in fact.possible)
        parts.append(f"Possible: {low} to {high}.")
    if not fact.given:
        parts.append("Only rules derive it.")
    return " ".join(parts)


def _sort(fact: Fact) -> str:
    """The name of what facts with like values and like tests share."""
    if fact.kind == "choice":
        return fact.name
    return unit(fact.unit).dimension if fact.kind == "quantity" else fact.kind


def _values(facts: Iterable[Fact]) -> dict[str, Schema]:
    """One element of each sort of fact."""
    return {f"value: {_sort(fact)}": _element(fact) for fact in facts}


def _element(fact: Fact) -> Schema:
    match fact.kind:
        case "quantity":
            return {"type": ["string", "number"] if unit(fact.unit).dimension == "bare number" else "string"}
        case "count":
            return {
                "anyOf": [{"type": "integer", "minimum": 0}, {"type": "string", "pattern": "^[0-9]{1,9}$"}]
            }
        case "choice":
            return one_of_words(dict(fact.choices or {}))
        case "flag":
            return dict(YES_OR_NO)
        case "code":
            return {"type": ["string", "number"]}


def _value(fact: Fact) -> list[Schema]:
    """What can be written for a fact, as alternatives."""
    element = _shared(f"value: {_sort(fact)}")
    return [element, {"type": "array", "items": element}] if fact.many else [element]


def _given(facts: Iterable[Fact]) -> Schema:
    """Facts under dotted names, or under nested mappings that mean the same."""
    properties: dict[str, Schema] = {}
    nested: dict[str, dict[str, Schema]] = {}
    for fact in facts:
        properties[fact.name] = {"description": _described(fact), "anyOf": _value(fact)}
        rest = fact.name.removeprefix(f"{fact.subject}.")
        nested.setdefault(fact.subject, {})[rest] = {"$ref": f"{_place('given')}/properties/{fact.name}"}
    for subject, inner in nested.items():
        properties[subject] = {
            **_mapping(inner),
            "description": f"The facts of {subject}, without the first word.",
        }
    return _mapping(properties)


def _condition(fact: Fact) -> Schema:
    tests = [_shared(f"value: {_sort(fact)}"), _shared("presence"), _shared(f"tests: {_sort(fact)}")]
    return {"description": _described(fact), "anyOf": tests}


_LISTS = {
    Test.ONE_OF: "One of these; on a set, some element is.",
    Test.NONE_OF: "Known, and none of these.",
}
_LIMITS = {
    Test.ABOVE: "More than this.",
    Test.BELOW: "Less than this.",
    Test.AT_LEAST: "This or more.",
    Test.AT_MOST: "This or less.",
}
_RANGES = {
    Test.WITHIN: "From the first to the second, both taken in.",
    Test.OUTSIDE: "Less than the first or more than the second.",
}
_SAMENESS = {Test.SAME_AS: "The same as this fact.", Test.DIFFERS_FROM: "Other than this fact."}
_COMPARED = {
    Test.ABOVE_FACT: "More than this fact.",
    Test.BELOW_FACT: "Less than this fact.",
    Test.AT_LEAST_FACT: "As much as this fact, or more.",
    Test.AT_MOST_FACT: "As much as this fact, or less.",
}


def _tests(facts: list[Fact]) -> dict[str, Schema]:
    """The tests in words, for each sort of fact."""
    made: dict[str, Schema] = {}
    for fact in facts:
        if f"tests: {_sort(fact)}" in made:
            continue
        element = _shared(f"value: {_sort(fact)}")
        alike = [other.name for other in facts if same_kind(fact, other)]
        worded = dict.fromkeys(_LISTS, several(element))
        if fact.is_number:
            worded |= {test: {"allOf": [element]} for test in _LIMITS}
            pair: Schema = {"type": "array", "items": element, "minItems": 2, "maxItems": 2}
            worded |= dict.fromkeys(_RANGES, pair)
        if len(alike) > 1:
            words = {**_SAMENESS, **(_COMPARED if fact.is_number else {})}
            worded |= {test: {"enum": alike} for test in words}
        meanings = _LISTS | _LIMITS | _RANGES | _SAMENESS | _COMPARED
        properties = {test.value: {**worded[test], "description": meanings[test]} for test in worded}
        made[f"tests: {_sort(fact)}"] = {**_mapping(properties), "minProperties": 1}
    return made


def _derivation(fact: Fact) -> Schema:
    ways = [*_value(fact), _shared("look-up"), _shared("copy")]
    if fact.is_number:
        ways.append(_shared("formula"))
    return {"description": _described(fact), "anyOf": ways}


def _look_up(knowledge: KnowledgeBase) -> Schema:
    tables = one_of_words({table.id: table.title for table in knowledge.tables.values()})
    return _only(
        {
            "lookup": {**tables, "description": "The table."},
            "by": {"allOf": [_shared("any fact")], "description": "The fact that finds the row."},
            "take": {"type": "string", "description": "The column."},
        }
    )
