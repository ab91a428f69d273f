"""How `sideplate check` tells what it finds: annotations, coverage, mutation, a bar, and again after every change."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path

import pytest

from sideplate_engine.dependence import Dependence
from sideplate_engine.findings import Finding, Position, Severity
from sideplate_engine.loading import Trees
from sideplate_trainer import progress as progress_module
from sideplate_trainer import watching
from sideplate_trainer.check_watch import check_again, touched
from sideplate_trainer.checking import check_folders
from sideplate_trainer.finding_formats import as_annotation
from sideplate_trainer.progress import Progress
from support.command_runs import sideplate
from support.small_knowledge import FILES, rule, write

EXAMPLES = (
    "[{name: right, given: {bolt.length: 60 mm}, expect: fires}, "
    "{name: other, given: {bolt.length: 40 mm}, expect: quiet}]"
)
LONG = rule("grease-long", when="bolt.length: {above: 50 mm}", examples=EXAMPLES)
STATE = rule(
    "state",
    when="bolt.marks: rust",
    derive="bolt.verdict: worn",
    examples="[{name: rusty, given: {bolt.marks: [rust]}, expect: fires}]",
)
READER = rule(
    "renew",
    when="bolt.verdict: worn",
    examples="[{name: rusty, given: {bolt.marks: [rust]}, expect: fires}]",
)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A small base of three rules, and the current folder beside it."""
    monkeypatch.chdir(tmp_path)
    return write(tmp_path / "knowledge", {**FILES, **LONG, **STATE, **READER})


# ---- annotations ----


def test_an_annotation_is_one_line_with_the_place_and_the_message() -> None:
    finding = Finding("clash", "a and b: 100 %\nboth", Position("rules/a,b.yaml", 3, 5), Severity.WARNING)
    assert as_annotation(finding) == (
        "::warning file=rules/a%2Cb.yaml,line=3,col=5,title=clash::a and b: 100 %25%0Aboth"
    )


def test_annotations_are_printed_alone(folder: Path) -> None:
    run = sideplate("check", "--format", "annotations", folder)
    assert run.lines
    assert all(
        line.startswith(("::warning file=knowledge/", "::error file=knowledge/")) for line in run.lines
    )


def test_format_json_is_the_same_as_json(folder: Path) -> None:
    assert sideplate("check", "--format", "json", folder).out == sideplate("check", "--json", folder).out


# ---- coverage and mutation ----


def test_coverage_counts_and_names_what_no_example_shows(folder: Path) -> None:
    run = sideplate("check", "--coverage", folder)
    assert "  rules seen to fire               3 of 3" in run.lines
    assert "  rules seen to be quiet           1 of 3" in run.lines
    assert any("renew: no example is quiet" in line for line in run.lines)


def test_mutation_names_each_survivor_at_its_place_and_ends_with_the_score(folder: Path) -> None:
    run = sideplate("check", "--mutation", folder)
    place = "knowledge/rules/fitting/grease-long.yaml:"
    assert any(
        line.startswith(place) and line.endswith("notices: becomes: bolt.length is above 50.1 mm")
        for line in run.lines
    )
    assert any(line.startswith("Of ") and "rules with one small change" in line for line in run.lines)


def test_json_holds_coverage_and_mutation_when_they_are_asked_for(folder: Path) -> None:
    plain = json.loads(sideplate("check", "--json", folder).out)
    full = json.loads(sideplate("check", "--json", "--coverage", "--mutation", folder).out)
    assert full.keys() - plain.keys() == {"coverage", "mutation"}
    assert full["coverage"]["grease-long"]["fires"] is True
    mutation = full["mutation"]
    assert mutation["made"] - mutation["caught"] == len(mutation["survivors"]) > 0
    assert mutation["score"] == round(mutation["caught"] / mutation["made"], 4)


def test_with_errors_nothing_is_judged_and_that_is_said(folder: Path) -> None:
    write(folder, rule("broken", when="bolt.lenght: known"))
    run = sideplate("check", "--coverage", "--mutation", folder)
    assert run.status == 1
    assert "Errors keep the rules from being judged" in run.flat
    assert "small change" not in run.out


# ---- what the trainer adds ----


def test_a_rule_that_cannot_be_practised_is_told(folder: Path) -> None:
    write(folder, rule("above", when="bolt.length: {above: 40 mm}", overrides="[grease-long]"))
    run = sideplate("check", folder)
    assert "knowledge/rules/fitting/grease-long.yaml:1:1: warning[no-situation]" in run.out
    ignored = "[{check: no-situation, because: It is never practised.}]"
    write(folder, rule("grease-long", when="bolt.length: {above: 50 mm}", examples=EXAMPLES, ignore=ignored))
    run = sideplate("check", folder)
    assert "no-situation" not in run.out


def test_a_broken_workshop_is_told_with_its_source_line(folder: Path) -> None:
    broken = {
        "workshop/people.yaml": "people: none\n",
        "workshop/machines.yaml": "{}\n",
        "workshop/never.yaml": "never: []\n",
    }
    run = sideplate("check", write(folder, broken))
    assert "knowledge/workshop/people.yaml:1:1: error[workshop]: `people` is a list of texts" in run.out
    assert "  1 | people: none" in run.lines


def test_a_slip_on_a_workshop_sheet_is_told_with_its_source_line(folder: Path) -> None:
    run = sideplate("check", write(folder, {"workshop/jobs/a.yaml": "facts: {bolt.lenght: 3 mm}\n"}))
    assert "knowledge/workshop/jobs/a.yaml:1:9: error[unknown-fact]" in run.out
    assert "  1 | facts: {bolt.lenght: 3 mm}" in run.lines


# ---- the bar ----


class Terminal(io.StringIO):
    """Standard error as a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("terminal", "late", "shown"), [(True, True, True), (True, False, False), (False, True, False)]
)
def test_a_bar_appears_on_a_terminal_once_it_takes_long(
    monkeypatch: pytest.MonkeyPatch, terminal: bool, late: bool, shown: bool
) -> None:
    stream = Terminal() if terminal else io.StringIO()
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setattr(progress_module, "SOON", -1.0 if late else 1e9)
    with Progress("Looking", 3) as bar:
        for what in ("one", "two", "three"):
            bar.step(what)
    assert ("Looking" in stream.getvalue()) is shown


# ---- watching ----


def test_files_that_are_new_gone_or_written_again_are_noticed(folder: Path) -> None:
    before = watching.times_of([folder])
    write(folder, {"rules/fitting/grease-long.yaml": "x", "rules/fitting/new.yaml": "y", "notes.txt": "z"})
    (folder / "rules/fitting/renew.yaml").unlink()
    changed, after = next(watching.changes((folder,), before, pause=lambda seconds: None))
    assert [path.name for path in changed] == ["grease-long.yaml", "new.yaml", "renew.yaml"]
    assert after == watching.times_of([folder])


def test_nothing_is_told_until_something_changes(folder: Path) -> None:
    pauses: list[float] = []

    def pause(seconds: float) -> None:
        pauses.append(seconds)
        if len(pauses) == 3:
            write(folder, {"cautions.yaml": FILES["cautions.yaml"] + "\n"})

    changed, _ = next(watching.changes((folder,), watching.times_of([folder]), pause))
    assert [path.name for path in changed] == ["cautions.yaml"]
    assert pauses == [watching.POLL] * 3
    assert watching.POLL < 0.5


def test_after_a_change_of_a_rule_it_and_its_readers_are_looked_at(folder: Path) -> None:
    before = check_folders((folder,))
    state = folder / "rules/fitting/state.yaml"
    assert touched(before, before.knowledge, [state]) == frozenset({"state", "renew"})
    assert touched(before, before.knowledge, [folder / "cautions.yaml"]) is None
    assert Dependence(before.knowledge).above("state") == ["renew"]


@pytest.fixture
def told() -> list[str]:
    """The lines told so far."""
    return []


def test_what_changed_is_told_first_and_the_rest_after(folder: Path, told: list[str]) -> None:
    trees: Trees = {}
    before = check_folders((folder,), trees=trees)
    path = folder / "rules/fitting/grease-long.yaml"
    write(
        folder, {"rules/fitting/grease-long.yaml": path.read_text().replace("above: 50 mm", "above: 70 mm")}
    )
    after = check_again((folder,), before, [path], trees, told.append)
    assert told[0] == "\nknowledge/rules/fitting/grease-long.yaml"
    first, looked_at = told.index(next(line for line in told if "example-fails" in line)), told[-1]
    assert any("1 rules looked at in" in line for line in told[first:])
    assert looked_at == f"1 errors, {len(after.findings) - 1} warnings"
    assert len(told) == len(set(told)), "nothing is told twice"


def test_after_a_change_of_more_than_rules_everything_is_looked_at_at_once(
    folder: Path, told: list[str]
) -> None:
    trees: Trees = {}
    before = check_folders((folder,), trees=trees)
    write(folder, {"cautions.yaml": FILES["cautions.yaml"].replace("gloves", "mittens")})
    after = check_again((folder,), before, [folder / "cautions.yaml"], trees, told.append)
    assert told[-1].startswith(f"{after.errors} errors, ")
    assert not any("looked at" in line for line in told)


def test_watching_prints_text_alone(folder: Path) -> None:
    run = sideplate("check", "--watch", "--json", folder)
    assert run.status == 2
    assert "--watch prints findings as text" in run.err
