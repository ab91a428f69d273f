"""Checks a YAML tree against a file model, and says what is wrong with the place of each slip."""

from __future__ import annotations

from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from sideplate_engine.file_models import FileModel
from sideplate_engine.findings import Finding, did_you_mean, listed
from sideplate_engine.yaml_tree import Key, Node, node_at, plain, position_of

Model = TypeVar("Model", bound=FileModel)


def read_as(
    model: type[Model], tree: Node, within: tuple[Key, ...] = ()
) -> tuple[Model | None, list[Finding]]:
    """The tree as `model`, or None and all that is wrong with its shape.

    `within` is the path of `tree` in its file's own tree; places are looked up below it.
    """
    target = node_at(tree, within)
    try:
        return model.model_validate(plain(target)), []
    except ValidationError as problem:
        found = [_finding(error, model, tree, within) for error in problem.errors(include_url=False)]
        return None, list({(finding.at, finding.code): finding for finding in found}.values())


def _finding(error: ErrorDetails, model: type[FileModel], tree: Node, within: tuple[Key, ...]) -> Finding:
    path = within + _written_path(error["loc"], tree, within)
    at = position_of(tree, path)
    name = next((str(step) for step in reversed(path) if isinstance(step, str)), "the file")
    context: dict[str, Any] = error.get("ctx", {})
    match error["type"]:
        case "missing":
            return Finding("missing-key", f"the key `{error['loc'][-1]}` is missing here", at)
        case "extra_forbidden":
            known = _keys_beside(model, error["loc"])
            hint = did_you_mean(name, known) or f"; the keys are {listed(known, 'and', 20)}"
            return Finding("unknown-key", f"no key is called `{name}` here{hint}", at)
        case "literal_error":
            words = [word.strip("' ") for word in str(context["expected"]).replace(" or ", ",").split(",")]
            hint = did_you_mean(str(error["input"]), words)
            return Finding("unknown-word", f"`{name}` is {listed(words)}, not {error['input']!r}{hint}", at)
        case "string_pattern_mismatch":
            return Finding(
                "wrong-shape", f"`{name}`: {error['input']!r} is not of the form this key takes", at
            )
        case "too_short" | "string_too_short":
            return Finding("empty", f"`{name}` holds too little", at)
        case "too_long":
            return Finding("wrong-shape", f"`{name}` holds too much: {context['max_length']} at most", at)
        case kind:
            wanted = _WANTED.get(kind, "something else")
            return Finding(
                "wrong-shape", f"`{name}` must be {wanted}, not {_what_stands(error['input'])}", at
            )


_WANTED = {
    "string_type": "text",
    "dict_type": "a mapping",
    "list_type": "a list",
    "model_type": "a mapping",
    "model_attributes_type": "a mapping",
}


def _what_stands(value: object) -> str:
    if value is None or value == "":
        return "empty"
    if isinstance(value, dict):
        return "a mapping"
    return "a list" if isinstance(value, list) else "text"


def _written_path(loc: tuple[int | str, ...], tree: Node, within: tuple[Key, ...]) -> tuple[Key, ...]:
    """The part of the validator's path that stands in the file.

    The validator adds steps of its own where it tries several shapes; those lead nowhere and are dropped.
    """
    path: tuple[Key, ...] = ()
    for step in loc:
        if node_at(tree, within + path + (step,)) is not None:
            path += (step,)
    return path


def _keys_beside(model: type[FileModel], loc: tuple[int | str, ...]) -> list[str]:
    """The keys that may stand where an unlisted one was found."""
    current: type[FileModel] = model
    for step in loc[:-1]:
        nested = _model_below(current, step)
        if nested is not None:
            current = nested
    return [field.alias or name for name, field in current.model_fields.items()]


def _model_below(model: type[FileModel], step: int | str) -> type[FileModel] | None:
    for name, field in model.model_fields.items():
        if step in (name, field.alias):
            return _first_model(field.annotation)
    return None


def _first_model(annotation: Any) -> type[FileModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, FileModel):
        return annotation
    for part in getattr(annotation, "__args__", ()):
        found = _first_model(part)
        if found is not None:
            return found
    return None
