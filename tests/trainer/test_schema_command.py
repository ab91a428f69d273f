"""`sideplate schema`: writes the schemas an editor completes from, and the line by which a file names its own."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from support.command_runs import sideplate

FACT = """\
school.bench:
  kind: choice
  choices: {left: By the window., right: By the door.}
  means: Which bench the work is done at.
  ask: Which bench is it?
  says: "It is done at this bench: {value}."
"""


@pytest.fixture
def overlay(tmp_path: Path) -> Path:
    """A school's folder with one fact of its own."""
    (tmp_path / "vocabulary").mkdir()
    (tmp_path / "vocabulary" / "school.yaml").write_text(FACT)
    return tmp_path


def test_the_schemas_of_an_overlay_hold_its_own_facts_and_the_built_in_ones(overlay: Path) -> None:
    run = sideplate("schema", "--knowledge", overlay)
    assert run.status == 0
    facts = json.loads((overlay / "schema" / "facts.json").read_text())["definitions"]
    assert {"school.bench", "chain.size"} <= facts["conditions"]["properties"].keys()


def test_nothing_is_written_twice(overlay: Path) -> None:
    sideplate("schema", "--knowledge", overlay)
    assert sideplate("schema", "--knowledge", overlay).out.startswith("0 of ")


def test_comparing_writes_nothing_and_says_what_is_stale(overlay: Path) -> None:
    run = sideplate("schema", "--compare", "--knowledge", overlay)
    assert run.status == 1
    assert "rule.json is stale; run `sideplate schema`" in run.out
    assert not (overlay / "schema").exists()
    sideplate("schema", "--knowledge", overlay)
    run = sideplate("schema", "--compare", "--knowledge", overlay)
    assert (run.status, run.out) == (0, "")


def test_first_lines_are_put_in_on_request(overlay: Path) -> None:
    run = sideplate("schema", "--first-lines", "--knowledge", overlay)
    assert run.out.endswith("1 first lines changed\n")
    first, rest = (overlay / "vocabulary" / "school.yaml").read_text().split("\n", 1)
    assert first == "# yaml-language-server: $schema=../schema/vocabulary.json"
    assert rest == FACT


def test_without_schemas_of_its_own_a_folder_is_not_held_to_first_lines(overlay: Path) -> None:
    assert "missing-modeline" not in sideplate("check", "--knowledge", overlay).out
    sideplate("schema", "--knowledge", overlay)
    assert "missing-modeline" in sideplate("check", "--knowledge", overlay).out


def test_broken_knowledge_gives_no_schema(overlay: Path) -> None:
    (overlay / "vocabulary" / "school.yaml").write_text("school.bench: {kind: bench}\n")
    run = sideplate("schema", "--knowledge", overlay)
    assert run.status == 2
    assert not (overlay / "schema").exists()
