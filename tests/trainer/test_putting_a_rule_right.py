"""A rule typed by hand in a school's own folder, with slips in it, is put right from the messages alone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from support.command_runs import sideplate

TYPED = """\
id: slack-before-a-race
title: The slack is checked before a race
status: checked
when:
  slak.measured: {above: 60 mm}
  bike.use: off-raod
ruling: mst
says: Set the slack before you ride. The chain has {slack.mesured}.
because: {kind: practise, text: A chain this loose jumps the teeth when the wheel comes down.}
if_ingored: It jumps off and locks the wheel.
sources: [{work: comon-practice}]
caution: lose-chain
examples:
  - {name: far too loose, given: {slack.measured: 70 mm, bike.use: off-road}, expect: fires}
  - {name: a machine of another kind, given: {slack.measured: 70 mm, bike.use: kart}, expect: qiet}
  - {name: just at the limit, given: {slack.measured: 60 mm, bike.use: off-road}, expect: quiet}
"""
SLIPS = 9


def put_right(text: str, line: str) -> str:
    """The text after what one printed finding says is done: the word it quotes becomes the word it offers."""
    place = re.match(r"[^:]+:(\d+):(\d+): error\[[a-z-]+\]: (.*)", line)
    assert place is not None, line
    message = place[3]
    offered = re.search(r"did you mean ([^?]+)\?", message)
    assert offered is not None, f"the message does not say what to write: {message}"
    lines = text.split("\n")
    at = int(place[1]) - 1
    quoted = re.findall(r"[`'{]([a-z][\w.-]*)[`'}]|called ([a-z][\w.-]*)", message)
    written = next(
        word
        for pair in reversed(quoted)
        for word in pair
        if word and re.search(rf"\b{re.escape(word)}\b", lines[at])
    )
    lines[at] = re.sub(rf"\b{re.escape(written)}(?![\w.])", offered[1], lines[at], count=1)
    return "\n".join(lines)


def findings(folder: Path) -> list[str]:
    run = sideplate("check", "--knowledge", folder)
    return [line for line in run.lines if ": error[" in line]


def test_a_rule_with_nine_slips_is_put_right_by_doing_what_each_message_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "school" / "rules" / "slack" / "slack-before-a-race.yaml"
    path.parent.mkdir(parents=True)
    path.write_text(TYPED)
    done = 0
    while told := findings(tmp_path / "school"):
        text = path.read_text()
        for line in told:
            text = put_right(text, line)
            done += 1
        assert text != path.read_text()
        path.write_text(text)
    assert done == SLIPS
    run = sideplate("check", "--knowledge", tmp_path / "school")
    assert run.status == 0
    assert run.lines[-1].startswith("0 errors")
