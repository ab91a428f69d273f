"""`sideplate show`: one thing at length when the name is exact, and otherwise what lies near it."""

from __future__ import annotations

from pathlib import Path

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_trainer import knowledge_option
from sideplate_trainer.describing import describe
from sideplate_trainer.finding_names import entries
from support.command_runs import is_path, load_once, sideplate


@pytest.fixture(autouse=True)
def _read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(knowledge_option, "load", load_once)


@pytest.mark.parametrize(
    ("name", "heading", "told"),
    [
        ("connector-code-differs", "rule connector-code-differs", "MUST NOT: Do not fit connecting link"),
        ("chain.sealing", "fact chain.sealing", "Are there rubber rings"),
        ("428", "size 428", "recalled, not verified"),
        ("sizes", "table sizes", "roller_diameter (mm)"),
        ("chain-length-in-pitches", "formula chain-length-in-pitches", "2*C/p + (N1 + N2)/2"),
        ("fit-a-rivet-link", "procedure fit-a-rivet-link", "1."),
        ("chain-guide", "source chain-guide", "the pages cited"),
        ("nip-point", "caution nip-point", "Rules"),
        ("slack", "topic slack", "slack-below-manual"),
    ],
    ids=["rule", "fact", "size", "table", "formula", "procedure", "source", "caution", "topic"],
)
def test_an_exact_name_shows_the_thing(name: str, heading: str, told: str) -> None:
    run = sideplate("show", name)
    assert run.status == 0
    assert run.lines[0].startswith(heading)
    assert told in run.flat
    assert run.err == ""


def test_case_does_not_matter() -> None:
    assert sideplate("show", "CHAIN.SEALING").out == sideplate("show", "chain.sealing").out


def test_a_rule_is_shown_with_reason_sources_examples_and_place() -> None:
    run = sideplate("show", "connector-code-differs")
    for label in (
        "When",
        "Instead",
        "Because",
        "If ignored",
        "Caution",
        "Source",
        "Example",
        "Status",
        "File",
    ):
        assert f"  {label}" in run.out


def test_a_formula_is_shown_with_its_worked_cases() -> None:
    run = sideplate("show", "centre-distance-from-links")
    assert "gives 1032.26 mm" in run.flat
    assert "eight-strand No. 80 design" in run.flat


def test_a_fact_names_the_rules_that_derive_and_read_it() -> None:
    run = sideplate("show", "drive.pitches_exact")
    assert "Derived by pitches-from-geometry" in run.flat
    assert "round-up-to-even" in run.flat


def test_a_name_that_is_not_exact_is_searched_for() -> None:
    run = sideplate("show", "chain.seal")
    assert run.status == 0
    assert run.lines[0] == "Nothing is called 'chain.seal'. Near it:"
    assert "chain.sealing" in run.lines[1]


def test_several_words_are_searched_for_together() -> None:
    run = sideplate("show", "pressure", "washer")
    assert "pressure-washer-on-rings" in run.out


def test_nothing_found_is_told_on_standard_error() -> None:
    run = sideplate("show", "xyzzy")
    assert run.status == 1
    assert run.out == ""
    assert "Nothing is called 'xyzzy'" in run.err


def test_without_a_name_the_command_says_what_it_wants() -> None:
    run = sideplate("show")
    assert run.status == 2
    assert "NAME" in run.err


def test_us_units_show_limits_in_inches() -> None:
    assert (
        "Possible 1.969 in to 118.110 in" in sideplate("show", "chain.measured_length", "--units", "us").flat
    )


def test_an_overlay_is_shown_with_the_built_in_knowledge(tmp_path: Path) -> None:
    (tmp_path / "sources.yaml").write_text(
        "club-notes: {title: Notes of our club, kind: practice, verified: written here}\n", encoding="utf-8"
    )
    assert "Notes of our club" in sideplate("show", "club-notes", "--knowledge", tmp_path).flat
    by_environment = sideplate("show", "club-notes", SIDEPLATE_KNOWLEDGE=str(tmp_path))
    assert "Notes of our club" in by_environment.flat


def test_a_broken_overlay_shows_nothing(tmp_path: Path) -> None:
    (tmp_path / "sources.yaml").write_text("club-notes: {title: Notes, kind: gossip}\n", encoding="utf-8")
    run = sideplate("show", "520", "--knowledge", tmp_path)
    assert run.status == 2
    assert run.out == ""
    assert "sources.yaml:1" in run.err


def test_a_misspelt_command_is_refused_with_the_nearest_name() -> None:
    run = sideplate("shwo", "520")
    assert run.status == 2
    assert "did you mean show?" in run.err


def test_colour_is_never_sent() -> None:
    assert "\x1b" not in sideplate("show", "520", NO_COLOR="1").out


@pytest.mark.parametrize("system", ["metric", "us"])
def test_on_sixty_columns_nothing_that_can_be_shown_is_wider(knowledge: KnowledgeBase, system: str) -> None:
    wide = [
        (entry.kind, entry.name, line)
        for entry in entries(knowledge)
        for line in describe(knowledge, entry, 60, "us" if system == "us" else "metric")
        if len(line) > 60 and not is_path(line)
    ]
    assert not wide


@pytest.mark.parametrize("words", [["520"], ["chain.seal"], ["half", "link"]])
def test_on_sixty_columns_the_command_keeps_to_them(words: list[str]) -> None:
    run = sideplate("show", *words, columns=60)
    assert max(len(line) for line in run.lines) <= 60
