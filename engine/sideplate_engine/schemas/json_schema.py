"""Small pieces of JSON Schema, and the models' own schemas put into words that suit YAML and an editor."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, TypeAlias

from sideplate_engine.file_models import FileModel
from sideplate_engine.schemas.key_meanings import KEY_MEANINGS

Schema: TypeAlias = dict[str, Any]

DRAFT = "http://json-schema.org/draft-07/schema#"
"""The draft that editors for YAML know best."""

TEXT: Schema = {"type": ["string", "number", "boolean"]}
"""Text, which YAML may take for a number or for yes or no where it stands without quotes."""

YES_OR_NO: Schema = {"enum": ["yes", "no", True, False]}


def one_of_words(words: Mapping[str, str]) -> Schema:
    """One of some words, each explained. A word of digits may also be written as a number."""
    return {
        "anyOf": [
            {"const": const, "description": meaning}
            for word, meaning in words.items()
            for const in (_both_ways(word))
        ]
    }


def _both_ways(word: str) -> Iterable[str | int]:
    return (word, int(word)) if word.isdigit() and not word.startswith("0") else (word,)


def several(item: Schema) -> Schema:
    """A list of things, at least one."""
    return {"type": "array", "items": item, "minItems": 1}


def mapping_of(value: Schema, description: str) -> Schema:
    """A mapping from any names to values of one kind."""
    return {"type": "object", "description": description, "additionalProperties": value}


def model_schema(model: type[FileModel]) -> Schema:
    """A model's schema: its keys explained, its texts open to what YAML takes for something else."""
    made = model.model_json_schema(by_alias=True)
    definitions = made.pop("$defs", {})
    schema: Schema = _suited(made)
    _explain(schema, model.__name__)
    if definitions:
        schema["definitions"] = {}
        for name, definition in definitions.items():
            schema["definitions"][name] = _suited(definition)
            _explain(schema["definitions"][name], name)
    return schema


def _explain(schema: Schema, model: str) -> None:
    for key, value in schema.get("properties", {}).items():
        value["description"] = KEY_MEANINGS[model][key]


def _suited(made: Any) -> Any:
    """The same without what only the validator needs, and with references that editors follow."""
    if isinstance(made, list):
        return [_suited(item) for item in made]
    if not isinstance(made, dict):
        return made
    if made.get("enum") == ["yes", "no"]:
        return dict(YES_OR_NO)
    alternatives = [each for each in made.get("anyOf", ()) if each != {"type": "null"}]
    if "anyOf" in made and len(alternatives) == 1:
        return _suited(alternatives[0])
    kept = {
        key: _suited(value)
        for key, value in made.items()
        if key not in ("title", "default", "propertyNames", "discriminator")
    }
    if "properties" in made:
        kept["properties"] = {key: _suited(value) for key, value in made["properties"].items()}
    if made.get("type") == "string" and "enum" not in made:
        kept = dict(TEXT) | ({"pattern": made["pattern"]} if "pattern" in made else {})
    if "$ref" in kept:
        kept["$ref"] = kept["$ref"].replace("#/$defs/", "#/definitions/")
    return kept
