"""The JSON Schemas: committed as generated, met by every knowledge file, and strict where an editor can help.

The validator is jsonschema, by the drafts' own test suite. YAML is read as YAML 1.2 reads it (its core schema, in
YAML 1.2.2, section 10.3.2), for that is what an editor hands to the schema: `520` is a number there, `no` a word.
"""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft7Validator
from referencing import Registry, Resource

from sideplate_engine import built_in_folder, file_models, load
from sideplate_engine.file_models import FileModel
from sideplate_engine.modelines import PREFIX, expected_modeline, schema_of, with_modeline
from sideplate_engine.schemas import as_text, schemas_of, texts_of
from sideplate_engine.schemas.key_meanings import KEY_MEANINGS
from sideplate_engine.yaml_tree import Items, Mapping, Node, Text, read_tree

KNOWLEDGE = built_in_folder()
FILES = sorted(path for path in KNOWLEDGE.rglob("*.yaml"))
BASE = "https://schemas.invalid/"


def as_core_yaml(node: Node) -> Any:
    """The tree as YAML 1.2's core schema reads it."""
    match node:
        case Items():
            return [as_core_yaml(item) for item in node.items]
        case Mapping():
            return {key: as_core_yaml(value) for key, value in node.entries.items()}
    assert isinstance(node, Text)
    if node.quoted:
        return node.value
    if re.fullmatch(r"[-+]?[0-9]+", node.value):
        return int(node.value)
    if re.fullmatch(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", node.value):
        return float(node.value)
    return {
        "true": True,
        "True": True,
        "false": False,
        "False": False,
        "null": None,
        "~": None,
        "": None,
    }.get(node.value, node.value)


@cache
def registry() -> Registry[Any]:
    found = {name: json.loads((KNOWLEDGE / "schema" / f"{name}.json").read_text()) for name in names()}
    return Registry().with_resources(
        (f"{BASE}{name}.json", Resource.from_contents(schema)) for name, schema in found.items()
    )


def names() -> list[str]:
    return sorted(path.stem for path in (KNOWLEDGE / "schema").glob("*.json"))


@cache
def validator(name: str) -> Draft7Validator:
    return Draft7Validator({"$ref": f"{BASE}{name}.json"}, registry=registry())


def problems(name: str, text: str) -> list[str]:
    tree, findings = read_tree(text, "text")
    assert tree is not None
    assert not findings
    return [error.message for error in validator(name).iter_errors(as_core_yaml(tree))]


def test_the_committed_schemas_are_as_they_would_be_generated_now() -> None:
    texts = texts_of(load().sound())
    assert sorted(texts) == names()
    stale = [name for name in texts if (KNOWLEDGE / "schema" / f"{name}.json").read_text() != texts[name]]
    assert stale == [], "run `sideplate schema`"


@pytest.mark.parametrize("name", names())
def test_a_schema_is_valid_json_schema(name: str) -> None:
    Draft7Validator.check_schema(json.loads((KNOWLEDGE / "schema" / f"{name}.json").read_text()))


@pytest.mark.slow
@pytest.mark.parametrize("folder", sorted({schema_of(path.relative_to(KNOWLEDGE)) or "" for path in FILES}))
def test_every_knowledge_file_meets_its_schema(folder: str) -> None:
    paths = [path for path in FILES if schema_of(path.relative_to(KNOWLEDGE)) == folder]
    assert paths
    assert folder, f"no schema for {paths}"
    found = {path.name: problems(folder, path.read_text()) for path in paths}
    assert {name: told for name, told in found.items() if told} == {}


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(KNOWLEDGE)))
def test_every_knowledge_file_names_its_schema_in_its_first_line(path: Path) -> None:
    first = path.read_text().split("\n", 1)[0]
    assert first == expected_modeline(path.relative_to(KNOWLEDGE))
    assert (path.parent / first.removeprefix(PREFIX)).resolve().is_file()


RULE = """\
id: a-rule
title: A rule
status: draft
when: {%s}
ruling: should
says: Look.
because: {kind: practice, text: It is done so.}
if_ignored: It wears.
sources: [{work: common-practice}]
examples: [{name: any, given: {chain.size: 520}, expect: fires}]
"""


@pytest.mark.parametrize(
    "conditions",
    [
        "chain.size: 520",
        "chain.size: {one of: [520, 525, 25H]}",
        "chain.sealing: sealed",
        "clean.tools: wire brush",
        "sprockets.renewed_with_chain: no",
        "chain.pitch: known",
        "slack.measured: {above: 12 mm, at most fact: slack.manual_max}",
        "chain.measured_pitches: {within: [10, 20]}",
        "any: [{chain.sealing: plain}, {chain.sealing: unknown}]",
    ],
)
def test_conditions_that_can_be_written_are_accepted(conditions: str) -> None:
    assert problems("rule", RULE % conditions) == []


@pytest.mark.parametrize(
    "conditions",
    [
        "chain.sise: 520",
        "chain.sealing: seeled",
        "chain.sealing: {above: plain}",
        "chain.size: {one off: [520]}",
        "slack.measured: {above fact: chain.size}",
        "chain.measured_pitches: {above: many}",
        "clean.tools: [wire brush]",
        "any: [{chain.sealing: plain}]",
        "any: [{chain.sealing: plain}, {chain.sealing: seeled}]",
    ],
)
def test_conditions_that_cannot_are_marked(conditions: str) -> None:
    assert problems("rule", RULE % conditions)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("status: draft", "status: drafted"),
        ("ruling: should", "ruling: shall"),
        ("work: common-practice", "work: common-practise"),
        ("expect: fires", "expect: fire"),
        ("given: {chain.size: 520}", "given: {chain: {sise: 520}}"),
        ("id: a-rule", "id: A rule"),
        ("if_ignored:", "if_ingored:"),
        ("kind: practice", "kind: custom"),
    ],
)
def test_a_slip_elsewhere_in_a_rule_is_marked(old: str, new: str) -> None:
    sound = RULE % "chain.size: 520"
    assert problems("rule", sound) == []
    assert old in sound
    assert problems("rule", sound.replace(old, new))


@pytest.mark.parametrize(
    ("facts", "fits"),
    [
        ("{chain.size: 520, chain: {sealing: sealed}, clean.tools: [rag, soft brush]}", True),
        ("{drive.ratio: 3, slack.measured: 30 mm}", True),
        ("{work: {eye_protection: no}}", True),
        ("{slack.measured: 30}", False),
        ("{clean: {tools: [rags]}}", False),
        ("{}", False),
    ],
)
def test_a_job_sheet_is_held_to_the_vocabulary(facts: str, fits: bool) -> None:
    assert (problems("job", f"job: A job\nfacts: {facts}") == []) is fits


def models() -> list[type[FileModel]]:
    return [
        model
        for model in vars(file_models).values()
        if isinstance(model, type) and issubclass(model, FileModel) and model is not FileModel
    ]


@pytest.mark.parametrize("model", models(), ids=lambda model: str(model.__name__))
def test_every_key_of_every_kind_of_file_is_explained(model: type[FileModel]) -> None:
    keys = {field.alias or name for name, field in model.model_fields.items()}
    assert set(KEY_MEANINGS[model.__name__]) == keys
    assert all(meaning.endswith(".") for meaning in KEY_MEANINGS[model.__name__].values())


def test_choices_are_offered_with_their_meaning() -> None:
    facts = schemas_of(load().sound())["facts"]["definitions"]
    words = {each["const"]: each["description"] for each in facts["value: chain.sealing"]["anyOf"]}
    assert words == dict(load().knowledge.facts["chain.sealing"].choices or {})
    shown = facts["conditions"]["properties"]["chain.pitch"]["description"]
    assert load().knowledge.facts["chain.pitch"].means in shown


def test_a_schema_text_ends_with_a_line_break_and_keeps_letters_readable() -> None:
    assert as_text({"description": "180°"}) == '{\n "description": "180°"\n}\n'


@pytest.mark.parametrize(
    ("path", "line"),
    [
        ("rules/slack/a.yaml", "../../schema/rule.json"),
        ("rules/retired/a.yaml", "../../schema/rule.json"),
        ("vocabulary/a.yaml", "../schema/vocabulary.json"),
        ("sources.yaml", "./schema/sources.json"),
        ("workshop/jobs/a.yaml", "../../schema/job.json"),
        ("workshop/never.yaml", "../schema/never.json"),
    ],
)
def test_the_first_line_leads_to_the_schema_of_the_files_kind(path: str, line: str) -> None:
    assert expected_modeline(Path(path)) == PREFIX + line


def test_a_first_line_is_put_in_or_put_right_and_nothing_else_changes() -> None:
    path = Path("sources.yaml")
    right = f"{PREFIX}./schema/sources.json\na: b\n"
    assert with_modeline("a: b\n", path) == right
    assert with_modeline(f"{PREFIX}elsewhere.json\na: b\n", path) == right
    assert with_modeline(right, path) == right
    assert with_modeline("a: b\n", Path("notes.yaml")) == "a: b\n"
