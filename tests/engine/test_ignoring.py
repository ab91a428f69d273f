"""Findings that a rule ignores with a reason."""

from __future__ import annotations

import pytest

from sideplate_engine.check_context import context_of
from sideplate_engine.checks import run_checks
from sideplate_engine.finding_codes import ignorable
from sideplate_engine.ignoring import without_ignored
from sideplate_engine.judging import Judge
from support.small_knowledge import LoadWith, rule

EXAMPLE = "[{name: any, given: {bolt.length: 60 mm}, expect: fires}]"
ALWAYS = "bolt.length: {at least: 1 mm}"


def found(loaded_of: LoadWith, when: str, *ignored: str) -> list[tuple[str, int]]:
    """The codes and lines of findings in one rule's file."""
    entries = ", ".join(f"{{check: {code}, because: It is meant so.}}" for code in ignored)
    loaded = loaded_of(rule("it", when=when, ignore=f"[{entries}]", examples=EXAMPLE))
    assert loaded.findings == ()
    context = context_of(loaded, Judge(loaded.knowledge), ())
    left = without_ignored(loaded.knowledge, run_checks(context), ignorable())
    return [(each.code, each.at.line) for each in left if each.at.path.endswith("it.yaml")]


def test_an_entry_silences_the_finding_it_names(loaded_of: LoadWith) -> None:
    assert {code for code, _ in found(loaded_of, ALWAYS)} == {"always-holds", "draft"}
    assert {code for code, _ in found(loaded_of, ALWAYS, "always-holds")} == {"draft"}
    assert found(loaded_of, ALWAYS, "always-holds", "draft") == []


def test_one_entry_silences_one_finding_the_first(loaded_of: LoadWith) -> None:
    twice = "bolt.length: {at least: 1 mm}\nbolt.turns: {at least: 1}\nbolt.grip: {at least: 0 in}"
    lines = [line for code, line in found(loaded_of, twice) if code == "always-holds"]
    left = [line for code, line in found(loaded_of, twice, "always-holds") if code == "always-holds"]
    assert len(lines) == 3
    assert left == lines[1:]


@pytest.mark.parametrize(
    ("ignored", "code"),
    [("impossible", "idle-ignore"), ("imposible", "unknown-check"), ("missing-key", "unknown-check")],
)
def test_an_entry_that_silences_nothing_is_a_finding_itself(
    loaded_of: LoadWith, ignored: str, code: str
) -> None:
    assert code in {code for code, _ in found(loaded_of, ALWAYS, ignored)}
