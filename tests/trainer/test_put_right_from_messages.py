"""A rule typed by hand, with slips in it, is put right by doing what the messages say, one after the other."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from sideplate_engine import built_in_folder, load, read_sheet
from sideplate_engine.judging import Judge
from sideplate_trainer.check_command import command
from support.small_knowledge import write

RULE = """\
# yaml-language-server: $schema=../../schema/rule.json
id: our-slack-after-rain
title: Slack is looked at again after a wet ride
status: checked
when:
  ride.conditons: wet road
  slack.distance_since_check: {above: 300}
rulling: should not
says: Do not ride on after {slack.distance_since_check} on a wet road without measuring the slack.
because:
  kind: practise
  text: Water carries grit into the joints, and the slack grows faster.
if_ignored: The chain jumps teeth.
sources: [{work: common-practise}]
examples:
  - {name: a wet week, given: {ride.conditions: [wet road], slack.distance_since_check: 350 km}, expect: fires}
  - {name: a short one, given: {ride.conditions: [wet road], slack.distance_since_check: 300 km}, expect: fires}
  - {name: a dry week, given: {ride.conditions: [dry road], slack.distance_since_check: 350 km}, expect: quiet}
"""
SLIPS = 7
"""A fact, a unit, a key, what that key then asks for, a word, a source, and an example that does not come out."""

FINDING = re.compile(
    r"(?P<path>[^:\n]+):(?P<line>\d+):(?P<column>\d+): error\[(?P<code>[a-z-]+)\]: (?P<message>.+)"
)


def do_as_told(lines: list[str], line: int, message: str) -> list[str]:
    """The file after what one message says was done at its line: nothing is known here but the message."""
    at = line - 1
    meant = re.search(r"did you mean (.+)\?$", message)
    if meant:
        wrong = re.search(r"(?:called |not )[`']?([\w.-]+)", message)
        assert wrong is not None, message
        return [*lines[:at], lines[at].replace(wrong[1], meant[1], 1), *lines[line:]]
    unit = re.search(r'"(.+?)" has no unit; write it as (.+?) or', message)
    if unit:
        return [*lines[:at], lines[at].replace(unit[1], unit[2], 1), *lines[line:]]
    wanted = re.search(r"needs `(\w+)`: say (.+)$", message)
    if wanted:
        return [*lines[:line], f"{wanted[1]}: Measure the slack, then ride.", *lines[line:]]
    outcome = re.search(r"the example '(.+)' should be (\w+) but is (\w+)$", message)
    if outcome:
        return [
            *lines[:at],
            lines[at].replace(f"expect: {outcome[2]}", f"expect: {outcome[3]}"),
            *lines[line:],
        ]
    raise AssertionError(f"the message does not say what to write: {message}")


@pytest.mark.slow
def test_every_slip_is_put_right_from_its_message_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    path = Path("ours/rules/slack/our-slack-after-rain.yaml")
    write(Path("ours"), {"rules/slack/our-slack-after-rain.yaml": RULE})
    put_right: list[str] = []
    while True:
        result = CliRunner().invoke(command, ["--knowledge", "ours"])
        found = FINDING.search(result.output)
        if found is None:
            break
        assert found["path"] == str(path)
        put_right.append(found["message"])
        assert len(put_right) <= SLIPS, put_right
        lines = do_as_told(path.read_text().splitlines(), int(found["line"]), found["message"])
        path.write_text("".join(f"{line}\n" for line in lines))
    assert result.exit_code == 0
    assert len(put_right) == SLIPS
    assert len(set(put_right)) == SLIPS
    judge = Judge(load(built_in_folder(), Path("ours")).sound())
    sheet = read_sheet(
        "facts: {ride.conditions: [wet road], slack.distance_since_check: 350 km}",
        "sheet",
        judge.knowledge.facts,
    )
    assert "our-slack-after-rain" in judge.outcome(sheet.facts).live
