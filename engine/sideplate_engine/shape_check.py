"""Checks a YAML tree against a file model, and says what is wrong with the place of each slip."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from sideplate_engine.file_models import DECIMALS, IDENTIFIER, FileModel
from sideplate_engine.findings import (
    MOST_TOLD,
    Finding,
    Position,
    cut,
    did_you_mean,
    listed,
    nearest,
    too_many,
)
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
        errors = problem.errors(include_url=False)
        findings = _findings(errors[:MOST_TOLD], model, tree, within)
        if len(errors) > MOST_TOLD:
            findings.append(too_many(position_of(tree, within)))
        return None, findings


def _findings(
    errors: Sequence[ErrorDetails], model: type[FileModel], tree: Node, within: tuple[Key, ...]
) -> list[Finding]:
    """The errors as findings: keys missing from one mapping together, a misspelt key not as a missing one too."""
    findings: list[Finding] = []
    missing: dict[Position, list[str]] = {}
    misspelt: set[tuple[Position, str]] = set()
    for error in errors:
        written = _written_path(error["loc"], tree, within)
        path = within + written
        if error["type"] == "missing":
            missing.setdefault(position_of(tree, path), []).append(str(error["loc"][-1]))
        elif error["type"] == "extra_forbidden":
            finding, meant = _unknown_key(str(path[-1]), _keys_beside(model, error["loc"]), tree, path)
            findings.append(finding)
            misspelt.add((position_of(tree, path[:-1]), meant))
        elif error["loc"][-1:] == ("[key]",):
            known = _expected(error) if error["type"] == "literal_error" else ()
            findings.append(_unknown_key(str(error["input"]), known, tree, path)[0])
        else:
            findings.append(_finding(error, path, position_of(tree, path)))
    for at, keys in missing.items():
        lacking = [f"`{key}`" for key in keys if (at, key) not in misspelt]
        if lacking:
            what = "the key" if len(lacking) == 1 else "the keys"
            verb = "is" if len(lacking) == 1 else "are"
            message = f"{what} {listed(lacking, 'and', 20)} {verb} missing here"
            findings.append(Finding("missing-key", message, at))
    return findings


def _unknown_key(name: str, known: Sequence[str], tree: Node, path: tuple[Key, ...]) -> tuple[Finding, str]:
    """The finding for a key that may not stand here, and the key that was meant, if it can be told."""
    meant = nearest(name, known)
    hint = (
        f"; did you mean {meant}?" if meant else f"; the keys are {listed(known, 'and', 20)}" if known else ""
    )
    message = f"no key is called `{cut(name)}` here{hint}"
    return Finding("unknown-key", message, position_of(tree, path)), meant


def _finding(error: ErrorDetails, path: tuple[Key, ...], at: Position) -> Finding:
    name = _named(path)
    written = error["input"]
    context: dict[str, Any] = error.get("ctx", {})
    match error["type"]:
        case "literal_error" if isinstance(written, str):
            words = _expected(error)
            hint = did_you_mean(written, words)
            return Finding("unknown-word", f"{name} is {listed(words)}, not {cut(written)!r}{hint}", at)
        case "string_pattern_mismatch":
            form = _FORMS[str(context["pattern"])]
            return Finding("wrong-shape", f"{name} is {form}, not {cut(str(written))!r}", at)
        case "string_too_short":
            return Finding("empty", f"{name} is empty", at)
        case "too_short":
            return Finding("empty", f"{name} holds too little: {context['min_length']} at least", at)
        case "too_long":
            return Finding("wrong-shape", f"{name} holds too much: {context['max_length']} at most", at)
        case kind:
            wanted = _WANTED.get(kind, "text")
            return Finding("wrong-shape", f"{name} must be {wanted}, not {_what_stands(written)}", at)


def _named(path: tuple[Key, ...]) -> str:
    """What a path leads to, in words."""
    key = next((step for step in reversed(path) if isinstance(step, str)), None)
    if key is None:
        return "the file"
    return f"an item of `{key}`" if isinstance(path[-1], int) else f"`{cut(key)}`"


def _expected(error: ErrorDetails) -> list[str]:
    """The words that may stand where another was found."""
    told = str(error.get("ctx", {})["expected"])
    return [word.strip("' ") for word in told.replace(" or ", ",").split(",")]


_WANTED = {"dict_type": "a mapping", "list_type": "a list", "model_type": "a mapping"}
"""What was wanted, by the validator's name for its absence; anything else was to be text."""

_FORMS = {
    IDENTIFIER: "lower-case words and figures joined by hyphens",
    DECIMALS: "a whole number from 0 to 6",
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
