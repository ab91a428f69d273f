"""The job sheets of the invented workshop: what stands on each, and that together they try every rule both ways.

tests/workshop holds a snapshot a sheet; `pytest --update` rewrites them. A snapshot is the whole outcome, so a
rule that fires on a sheet where it has no business is a failure, as much as one that falls silent.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner

from sideplate_engine import JobSheet, Judgement, built_in_folder, read_sheet_file
from sideplate_trainer.main import cli
from support.built_in import judge, knowledge

JOBS = built_in_folder() / "workshop" / "jobs"
SHEETS = {path.stem: path for path in sorted(JOBS.glob("*.yaml"))}
SNAPSHOTS = Path(__file__).parent / "workshop"
CONTRADICTORY = {"ratio-on-the-label", "two-people-looked-at-the-clip"}
"""Sheets made to contradict themselves."""
FEWEST_SHEETS = 40
FACTS = range(5, 26)


@cache
def sheet(name: str) -> JobSheet:
    return read_sheet_file(SHEETS[name], knowledge().facts)


@cache
def judgement(name: str) -> Judgement:
    return judge().judge(sheet(name).facts, sheet(name).job)


def snapshot(result: Judgement) -> str:
    """The outcome as text: every rule that is live, and every one that was set aside."""
    return "\n".join(_lines(result)) + "\n"


def _lines(result: Judgement) -> Iterator[str]:
    yield f"standing: {result.standing}"
    for ruling in result.rulings:
        yield f"{ruling.force}: {ruling.rule}"
        yield f"  {ruling.says}"
    for aside in result.overridden:
        yield f"set aside: {aside.rule}, by {', '.join(aside.by)}"
    for conflict in result.conflicts:
        yield f"conflict: {conflict.about}, {' against '.join(side.by for side in conflict.sides)}"
    for warning in result.warnings:
        yield f"warning: {warning}"
    for name, derived in sorted(result.chained.derived.items()):
        value = result.knowledge.facts[name].show(derived.value)
        yield f"worked out: {name} {value}, by {', '.join(sorted(derived.by))}"


def test_the_workshop_has_sheets_enough() -> None:
    assert len(SHEETS) >= FEWEST_SHEETS


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_is_a_job_with_a_story_and_no_heap_of_facts(name: str) -> None:
    assert sheet(name).job
    assert sheet(name).note
    assert len(sheet(name).facts) in FACTS


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_comes_out_as_its_snapshot_says(name: str, update: bool) -> None:
    path = SNAPSHOTS / f"{name}.txt"
    found = snapshot(judgement(name))
    if update:
        path.parent.mkdir(exist_ok=True)
        path.write_text(found, encoding="utf-8")
    assert found == path.read_text(encoding="utf-8")


def test_no_snapshot_is_left_over(update: bool) -> None:
    left_over = [path for path in sorted(SNAPSHOTS.glob("*")) if path.stem not in SHEETS]
    if update:
        for path in left_over:
            path.unlink()
        left_over = []
    assert left_over == []


@pytest.mark.parametrize("name", SHEETS)
def test_the_plain_reading_makes_the_same_of_a_sheet(name: str) -> None:
    plain, matched = judge().outcome(sheet(name).facts), judgement(name).chained
    assert (plain.fired, plain.overridden, plain.facts) == (matched.fired, matched.overridden, matched.facts)


def fired_on() -> dict[str, set[str]]:
    """The sheets on which each rule fires, set aside or not."""
    sheets: dict[str, set[str]] = {id_: set() for id_ in knowledge().rules}
    for name in SHEETS:
        for id_ in judgement(name).chained.fired:
            sheets[id_].add(name)
    return sheets


def test_every_rule_fires_on_some_sheet() -> None:
    assert [id_ for id_, sheets in fired_on().items() if not sheets] == []


def test_every_rule_is_silent_on_some_sheet() -> None:
    assert [id_ for id_, sheets in fired_on().items() if len(sheets) == len(SHEETS)] == []


def test_every_ruling_stands_on_some_sheet() -> None:
    live = {id_ for name in SHEETS for id_ in judgement(name).chained.live}
    rulings = {id_ for id_, rule in knowledge().rules.items() if rule.is_ruling}
    assert sorted(rulings - live) == []


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_contradicts_itself_only_where_it_was_made_to(name: str) -> None:
    assert bool(judgement(name).conflicts) == (name in CONTRADICTORY)


def test_there_is_a_sheet_of_every_standing() -> None:
    assert {judgement(name).standing for name in SHEETS} == {"stop", "put right", "take care", "clear"}


@pytest.mark.parametrize(
    ("standing", "status"), [("clear", 0), ("take care", 0), ("put right", 1), ("stop", 1)]
)
def test_the_exit_status_tells_whether_something_has_to_be_put_right(standing: str, status: int) -> None:
    paths = [str(SHEETS[name]) for name in SHEETS if judgement(name).standing == standing]
    result = CliRunner().invoke(cli, ["judge", *paths])
    assert result.exit_code == status, result.output
    assert result.output.count(f"Standing: {standing}") == len(paths)


def test_one_sheet_to_be_put_right_decides_for_all_that_are_judged_together() -> None:
    paths = [str(SHEETS["clip-link-done-right"]), str(SHEETS["wrong-connecting-link"])]
    assert CliRunner().invoke(cli, ["judge", *paths]).exit_code == 1
