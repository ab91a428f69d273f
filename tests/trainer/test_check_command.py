"""`sideplate check`: every finding at once, counts, and where the knowledge comes from."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from sideplate_engine import built_in_folder, load
from sideplate_engine.provenance import GROUNDS, account_of
from support.command_runs import Run, is_path, sideplate
from support.small_knowledge import FILES, rule, write

BROKEN_RULE = rule("seal-check", when="{bolt.size: M4, bolt.sealing: yes}")


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A folder with the small knowledge base about bolts, in which nothing is an error."""
    return write(tmp_path / "knowledge", {**FILES, **rule("look", when="{bolt.size: M4}")})


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    """The same with a rule that tests a fact which does not exist."""
    return write(tmp_path / "knowledge", {**FILES, **BROKEN_RULE})


@pytest.fixture(scope="module")
def built_in() -> Run:
    """One run on the knowledge that comes with Sideplate."""
    return sideplate("check", "--json")


def with_examples(folder: Path) -> Path:
    """The folder with a rule whose examples hold, so that nothing at all is an error."""
    right = "{name: right, given: {bolt.size: M4}, expect: fires}"
    other = "{name: other, given: {bolt.size: M6}, expect: quiet}"
    return write(folder, rule("look", when="{bolt.size: M4}", examples=f"[{right}, {other}]"))


# ---- exit status ----


def test_a_sound_base_ends_with_status_nought(small: Path) -> None:
    run = sideplate("check", with_examples(small))
    assert run.status == 0
    assert run.lines[-1].startswith("0 errors, ")


def test_an_example_that_does_not_hold_is_an_error(small: Path) -> None:
    run = sideplate("check", small)
    assert run.status == 1
    assert "error[example-fails]" in run.out


def test_an_error_is_told_with_its_line_a_caret_and_the_nearest_name(broken: Path) -> None:
    run = sideplate("check", broken)
    assert run.status == 1
    assert "rules/fitting/seal-check.yaml:" in run.out
    assert "error[unknown-fact]: no fact is called bolt.sealing" in run.out
    assert any(line.strip().strip("|").strip() == "^" for line in run.lines)


def test_all_findings_are_told_at_once(tmp_path: Path) -> None:
    second = rule("other-check", when="{bolt.lenght: {above: 5 mm}}")
    run = sideplate("check", write(tmp_path / "knowledge", {**FILES, **BROKEN_RULE, **second}))
    assert "bolt.sealing" in run.out
    assert "bolt.lenght; did you mean bolt.length?" in run.out


def test_a_folder_that_is_not_there_is_an_error(tmp_path: Path) -> None:
    run = sideplate("check", tmp_path / "nowhere")
    assert run.status == 1
    assert "nowhere" in run.out


def test_an_overlay_is_checked_with_what_it_lies_over(small: Path, tmp_path: Path) -> None:
    overlay = write(tmp_path / "overlay", BROKEN_RULE)
    run = sideplate("check", with_examples(small), "--knowledge", overlay)
    assert run.status == 1
    assert "overlay" in run.out


# ---- JSON ----


def test_json_holds_findings_counts_and_provenance(broken: Path) -> None:
    run = sideplate("check", "--json", broken)
    data = json.loads(run.out)
    assert run.status == 1
    assert {"findings", "counts", "rules by topic", "provenance"} <= set(data)
    (finding, *_) = [found for found in data["findings"] if found["code"] == "unknown-fact"]
    assert finding["severity"] == "error"
    assert finding["path"].endswith("seal-check.yaml")
    assert (finding["line"], finding["column"]) > (1, 1)


def test_json_counts_what_the_built_in_base_holds(built_in: Run) -> None:
    data = json.loads(built_in.out)
    knowledge = load(built_in_folder()).knowledge
    assert data["counts"]["rules"] == len(knowledge.rules) >= 180
    assert data["counts"]["procedures"] >= 8
    assert sum(data["rules by topic"].values()) == data["counts"]["rules"]
    assert min(data["rules by topic"].values()) >= 10


def test_json_accounts_for_every_figure_and_every_rule(built_in: Run) -> None:
    provenance = json.loads(built_in.out)["provenance"]
    account = account_of(load(built_in_folder()).knowledge)
    assert list(provenance["figures"]) == list(GROUNDS)
    assert sum(provenance["figures"].values()) == account.figure_count
    assert sum(provenance["rules"].values()) == account.rule_count
    assert provenance["rules on published work"] == account.rules_on_published_work
    assert provenance["figures"]["memory"] > 0


# ---- the account at the end ----


def test_the_output_ends_with_the_account(small: Path) -> None:
    run = sideplate("check", with_examples(small))
    (start,) = [number for number, line in enumerate(run.lines) if line.startswith("Where it comes from")]
    told = {line[:30].strip(): line[30:].split() for line in run.lines[start + 1 :] if line.startswith("  ")}
    assert list(told) == [*GROUNDS.values(), "all"]
    account = account_of(load(small).knowledge)
    assert told["handbooks"] == [str(account.figures_on("handbook")), str(account.rules["handbook"])]
    assert told["all"] == [str(account.figure_count), str(account.rule_count)]
    assert "1 of 1 rules cite published work" in run.flat


@pytest.mark.parametrize("columns", [60, 88])
def test_no_line_but_a_findings_own_is_wider_than_the_terminal(small: Path, columns: int) -> None:
    run = sideplate("check", with_examples(small), columns=columns)
    told = [line for line in run.lines if "[" not in line and "|" not in line]
    assert told
    assert not [line for line in told if len(line) > columns and not is_path(line)]


def test_colour_is_never_sent(small: Path) -> None:
    assert "\x1b" not in sideplate("check", small, NO_COLOR="1").out


def test_a_misspelt_command_is_refused_with_the_nearest_name() -> None:
    run = sideplate("chekc")
    assert run.status == 2
    assert "did you mean check?" in run.err
