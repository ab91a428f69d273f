"""`sideplate compare`: folders and revisions, as a table and as JSON, and what learners have to look at again."""

from __future__ import annotations

import json
import subprocess
from datetime import date, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from sideplate_engine import load
from sideplate_engine.rule_fingerprint import fingerprint
from sideplate_trainer.answer_log import AnswerLog
from sideplate_trainer.answers import Answer, Grade
from sideplate_trainer.asked_about import fingerprint_of
from sideplate_trainer.compare_command import command
from support.small_knowledge import FILES, Files, rule, write

LONG = rule(
    "long",
    title="Long bolts",
    when="bolt.length: {above: 20 mm}",
    ruling="must not",
    examples="[{name: long, given: {bolt.length: 25 mm}, expect: fires}]",
)
MOVED = {name: text.replace("20 mm", "30 mm").replace("25 mm", "35 mm") for name, text in LONG.items()}
SHEET = {"workshop/jobs/odd.yaml": "facts: {bolt.length: 28 mm}\n"}


def base(folder: Path, *rules: Files) -> Path:
    files: dict[str, str | bytes] = {**FILES, **SHEET}
    for each in rules:
        files.update(each)
    return write(folder, files)


@pytest.fixture
def old(tmp_path: Path) -> Path:
    return base(tmp_path / "old", LONG)


@pytest.fixture
def new(tmp_path: Path) -> Path:
    return base(tmp_path / "new", MOVED)


def compare(*arguments: object) -> Result:
    return CliRunner().invoke(command, [str(argument) for argument in arguments], env={"COLUMNS": "100"})


def test_the_table_groups_what_changes_by_rule(old: Path, new: Path) -> None:
    result = compare(old, new)
    assert result.exit_code == 1
    assert result.output == (
        "Judged by both: 1 sheet, 2 examples, 6 jobs at limits.\n"
        "\n"
        "Rules that change: 1\n"
        "  changed     long: Long bolts\n"
        "\n"
        "Rulings that change: 1\n"
        "  long: Long bolts\n"
        "    goes on     5: sheet odd; limit long: bolt.length at 29.9 mm; limit long:\n"
        "                bolt.length at 30.0 mm; example long: long; and 1 more\n"
        "\n"
        "Standings that change: 5\n"
        "  stop -> clear: sheet odd\n"
        "  stop -> clear: limit long: bolt.length at 29.9 mm\n"
        "  stop -> clear: limit long: bolt.length at 30.0 mm\n"
        "  stop -> clear: example long: long\n"
        "  stop -> clear: limit long: bolt.length at 20.1 mm\n"
    )


def test_nothing_that_changes_is_status_0(old: Path) -> None:
    result = compare(old, old)
    assert result.exit_code == 0
    assert "Rules that change: 0\n" in result.output


def test_json_names_every_job(old: Path, new: Path) -> None:
    data = json.loads(compare(old, new, "--json").output)
    assert data["judged"] == {"sheet": 1, "example": 2, "limit": 6}
    assert data["rules"] == [{"rule": "long", "change": "changed", "title": "Long bolts"}]
    (ruling,) = data["rulings"]
    assert ruling["comes"] == ruling["otherwise"] == []
    assert {"kind": "sheet", "name": "odd", "from": "new"} in ruling["goes"]
    assert len(ruling["goes"]) == len(data["standings"]) == 5
    assert data["standings"][0] == {
        "kind": "sheet",
        "name": "odd",
        "from": "new",
        "old": "stop",
        "new": "clear",
    }
    assert data["look again"] == []


def git(folder: Path, *arguments: str) -> None:
    names = ["-c", "user.name=A", "-c", "user.email=a@example.invalid", "-c", "commit.gpgsign=false"]
    subprocess.run(["git", "-C", str(folder), *names, *arguments], check=True, capture_output=True)


def test_a_revision_is_the_folder_as_it_was(tmp_path: Path) -> None:
    knowledge = base(tmp_path / "repository" / "knowledge", LONG)
    git(tmp_path / "repository", "init", "--quiet")
    git(tmp_path / "repository", "add", ".")
    git(tmp_path / "repository", "commit", "--quiet", "-m", "First")
    write(knowledge, MOVED)
    result = compare("HEAD", knowledge)
    assert result.exit_code == 1
    assert "changed     long: Long bolts" in result.output
    git(tmp_path / "repository", "commit", "--quiet", "-a", "-m", "Second")
    assert compare("HEAD", knowledge).exit_code == 0
    assert compare("HEAD~1", knowledge).exit_code == 1


def test_what_is_wrong_at_a_revision_is_told_with_the_revision(tmp_path: Path) -> None:
    knowledge = base(
        tmp_path / "repository",
        {name: text.replace("bolt.length:", "bolt.lenght:", 1) for name, text in LONG.items()},
    )
    git(knowledge, "init", "--quiet")
    git(knowledge, "add", ".")
    git(knowledge, "commit", "--quiet", "-m", "First")
    write(knowledge, LONG)
    result = compare("HEAD", knowledge)
    assert result.exit_code == 2
    assert "HEAD/rules/fitting/long.yaml:8:3: error[unknown-fact]" in result.output


@pytest.mark.parametrize("name", ["HEAD~99", "no-such-thing", "-x", "--output=stolen"])
def test_what_is_no_folder_and_no_revision_is_told(tmp_path: Path, old: Path, name: str) -> None:
    result = compare("--", name, old)
    assert result.exit_code == 2
    assert result.output == f"{name} is no folder, and no git revision of {old}.\n"
    assert not (old / "stolen").exists()


def test_overlays_are_compared_over_the_built_in_knowledge(tmp_path: Path) -> None:
    house = {
        "rules/slack/house-slack.yaml": """\
# yaml-language-server: $schema=../../schema/rule.json
id: house-slack
title: The house sets slack tighter
status: draft
when: {slack.measured: {above: 31 mm}}
ruling: should
says: Bring the slack to {30 mm} or less.
because: {kind: practice, text: The house does it so.}
if_ignored: The customer comes back.
sources: [{work: common-practice}]
examples: [{name: loose, given: {slack.measured: 40 mm}, expect: fires}]
"""
    }
    overlay = write(tmp_path / "house", house)
    result = compare("built-in", overlay, "--over-built-in")
    assert result.exit_code == 1
    assert "added       house-slack: The house sets slack tighter" in result.output


def log_with(path: Path, rule_id: str, printed: str) -> Path:
    noon = datetime(2024, 5, 1, 12).astimezone()
    with AnswerLog(path, "0") as log:
        round_id = log.begin_round({}, [(rule_id, "way", 1)], 1, date(2024, 5, 1), noon)
        answer = Answer(rule_id, "way", 1, "yes", "yes", True, Grade.SOUND, None, 0, False)
        log.add(round_id, answer, printed, 1000, date(2024, 5, 1), noon)
    return path


def test_learners_look_again_at_what_decides_otherwise_or_is_gone(
    tmp_path: Path, old: Path, new: Path
) -> None:
    printed = fingerprint(load(old).knowledge.rules["long"])
    record = log_with(tmp_path / "anna.sqlite3", "long", printed)
    gone = log_with(tmp_path / "ben.sqlite3", "gone", "0123")
    result = compare(old, new, "--record", record, "--record", gone, "--json")
    assert json.loads(result.output)["look again"] == [
        {"record": str(record), "rule": "long", "why": "which decides otherwise since it was answered"},
        {"record": str(gone), "rule": "gone", "why": "which is no longer in force"},
    ]
    assert json.loads(compare(old, old, "--record", record, "--json").output)["look again"] == []
    work = log_with(
        tmp_path / "cleo.sqlite3",
        "procedure:tighten",
        fingerprint_of(load(old).knowledge, "procedure:tighten"),
    )
    assert json.loads(compare(old, new, "--record", work, "--json").output)["look again"] == []
    text = compare(old, new, "--record", record).output
    assert "Learners' rules to look at again: 1\n" in text


def test_a_ruling_that_changes_through_another_rule_is_looked_at_again(tmp_path: Path) -> None:
    over = rule(
        "over",
        when="bolt.length: {above fact: bolt.travel}",
        examples="[{name: so, given: {bolt.length: 12 mm, bolt.size: M4}, expect: fires}]",
    )
    one = base(tmp_path / "one", rule("limit", when="bolt.size: M4", derive="bolt.travel: 10 mm"), over)
    other = base(tmp_path / "other", rule("limit", when="bolt.size: M4", derive="bolt.travel: 15 mm"), over)
    record = log_with(tmp_path / "anna.sqlite3", "over", fingerprint(load(one).knowledge.rules["over"]))
    (again,) = json.loads(compare(one, other, "--record", record, "--json").output)["look again"]
    assert again["why"] == "whose ruling changes on some job"


def test_a_record_that_is_not_there_is_not_made(tmp_path: Path, old: Path) -> None:
    result = compare(old, old, "--record", tmp_path / "nobody.sqlite3")
    assert result.exit_code == 2
    assert not (tmp_path / "nobody.sqlite3").exists()
