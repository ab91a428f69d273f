"""`sideplate judge`: sheets in, rulings out, and an exit status that a script can act on."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from sideplate_trainer import knowledge_option
from support.command_runs import is_path, load_once, sideplate

NEW_CHAIN = """\
job: Chain renewal on a commuter twin
facts: {chain.size: 520, front_sprocket.teeth: 15, rear_sprocket.teeth: 45, drive.centre_distance: 620 mm}
"""
WRONG_LINK = "facts: {chain.code: VX3, connector.code: VX2}"
DIRTY = "facts: {chain.sealing: sealed, clean.tools: [wire brush, pressure washer]}"
WORN = "facts: {chain.size: 520, chain.measured_pitches: 20, chain.measured_length: 12.75 in}"
COLD_LUBE = "facts: {lube.moment: cold}"
NOTHING_WRONG = "facts: {chain.size: 520}"

Write = Callable[[str], Path]


@pytest.fixture(autouse=True)
def _read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(knowledge_option, "load", load_once)


@pytest.fixture
def sheet(tmp_path: Path) -> Write:
    def write(text: str) -> Path:
        path = tmp_path / f"sheet-{len(list(tmp_path.iterdir()))}.yaml"
        path.write_text(text, encoding="utf-8")
        return path

    return write


# ---- exit status and standing ----


@pytest.mark.parametrize(
    ("text", "standing", "status"),
    [
        (NOTHING_WRONG, "clear", 0),
        (COLD_LUBE, "take care", 0),
        (WORN, "put right", 1),
        (WRONG_LINK, "stop", 1),
    ],
)
def test_the_exit_status_tells_whether_something_has_to_be_done(
    sheet: Write, text: str, standing: str, status: int
) -> None:
    run = sideplate("judge", sheet(text))
    assert f"Standing: {standing}" in run.lines
    assert run.status == status
    assert run.err == ""


def test_a_judgement_names_the_job_the_numbers_and_what_comes_first(sheet: Write) -> None:
    run = sideplate("judge", sheet(NEW_CHAIN))
    assert run.lines[0] == "Chain renewal on a commuter twin"
    assert "chain.pitch: 15.875 mm" in run.flat
    assert "drive.ratio: 3.000" in run.flat
    assert "drive.pitches_exact: 108.69" in run.flat
    assert "drive.links_needed: 110" in run.flat
    assert run.lines[-1].endswith("follow them.")


def test_a_ruling_comes_with_reason_source_caution_and_facts(sheet: Write) -> None:
    run = sideplate("judge", sheet(DIRTY))
    assert run.out.count("MUST NOT: ") == 2
    for label in ("Instead", "Because", "If ignored", "Caution", "Source", "From"):
        assert f"  {label}" in run.out


# ---- several sheets, standard input, JSON in ----


def test_a_conflict_is_told_with_what_each_side_rests_on(sheet: Write) -> None:
    run = sideplate(
        "judge", sheet("facts: {front_sprocket.teeth: 15, rear_sprocket.teeth: 45, drive.ratio: 2.5}")
    )
    at = run.lines.index("    the sheet: drive.ratio is 2.500")
    assert run.lines[at + 1].startswith("    ratio-from-teeth: drive.ratio is 3.000")
    assert "      from front_sprocket.teeth 15, rear_sprocket.teeth 45" in run.lines[at + 2 : at + 4]


def test_a_size_that_no_table_knows_is_told_in_a_sentence(sheet: Write) -> None:
    run = sideplate("judge", sheet("facts: {chain.size: 999}"))
    assert "  The table sizes has no row for chain.size 999." in run.lines


def test_several_sheets_are_judged_in_their_order_and_the_worst_decides_the_status(sheet: Write) -> None:
    run = sideplate("judge", sheet(NOTHING_WRONG), sheet(WRONG_LINK), sheet(COLD_LUBE))
    standings = [line for line in run.lines if line.startswith("Standing: ")]
    assert standings == ["Standing: clear", "Standing: stop", "Standing: take care"]
    assert run.status == 1


def test_a_dash_reads_the_sheet_from_standard_input() -> None:
    run = sideplate("judge", "-", stdin=WRONG_LINK)
    assert "connecting link VX2" in run.flat
    assert run.status == 1


def test_a_sheet_may_be_json() -> None:
    run = sideplate("judge", "-", stdin=json.dumps({"facts": {"chain": {"size": "520"}}}))
    assert "chain.pitch: 15.875 mm" in run.flat


def test_without_a_sheet_the_command_says_what_it_wants() -> None:
    run = sideplate("judge")
    assert run.status == 2
    assert "Name a job sheet" in run.err
    assert run.out == ""


# ---- --why and --why-not ----


def test_why_shows_the_arithmetic_of_every_result(sheet: Write) -> None:
    run = sideplate("judge", sheet(NEW_CHAIN), "--why")
    assert (
        "= 2×(620.0 mm)/(15.875 mm) + (15 + 45)/2 + ((45 - 15)/(2×π))^2 × (15.875 mm)/(620.0 mm)" in run.flat
    )
    assert "= 45/15" in run.flat
    assert "chain.size = 520 (stated on the sheet)" in run.flat
    assert "Standing: clear" in run.lines


def test_why_before_the_sheets_name_is_not_taken_for_a_rule(sheet: Write) -> None:
    path = sheet(NEW_CHAIN)
    assert sideplate("judge", "--why", path).out == sideplate("judge", path, "--why").out


def test_why_before_a_dash_reads_standard_input() -> None:
    run = sideplate("judge", "--why", "-", stdin=NEW_CHAIN)
    assert "= 45/15" in run.flat


def test_why_with_a_rule_shows_that_proof_alone(sheet: Write) -> None:
    run = sideplate("judge", "--why", "ratio-from-teeth", sheet(NEW_CHAIN))
    assert run.lines[0].startswith("Why ratio-from-teeth: ")
    assert "= 45/15" in run.flat
    assert "Standing" not in run.out
    assert "Khurmi and Gupta" in run.flat


def test_why_of_a_rule_that_does_not_fire_says_why_not(sheet: Write) -> None:
    run = sideplate(
        "judge", "--why", "connector-code-differs", sheet("facts: {chain.code: VX3, connector.code: VX3}")
    )
    assert "connector-code-differs does not apply" in run.flat


@pytest.mark.parametrize(
    ("facts", "says"),
    [
        ("chain.code: VX3, connector.code: VX2", "connector-code-differs does fire"),
        ("chain.code: VX3, connector.code: VX3", "it needs that"),
        ("chain.code: VX3", "connector-code-differs cannot be told yet. Not known: connector.code"),
    ],
    ids=["it does fire", "a condition fails", "a fact is missing"],
)
def test_why_not_names_the_condition_or_the_fact(sheet: Write, facts: str, says: str) -> None:
    run = sideplate("judge", "--why-not", "connector-code-differs", sheet(f"facts: {{{facts}}}"))
    assert says in run.flat


def test_why_not_of_an_overridden_rule_names_what_overrides_it(sheet: Write) -> None:
    facts = "facts: {slack.measured: 12 mm, slack.manual_min: 10 mm, slack.manual_max: 20 mm}"
    run = sideplate("judge", "--why-not", "slack-too-tight-rule-of-thumb", sheet(facts))
    assert "fires, but slack-within-manual overrides it" in run.flat


@pytest.mark.parametrize("option", ["--why", "--why-not"])
def test_a_misspelt_rule_is_refused_with_the_nearest_name(sheet: Write, option: str) -> None:
    run = sideplate("judge", option, "connector-code-difers", sheet(WRONG_LINK))
    assert run.status == 2
    assert "no rule is called connector-code-difers; did you mean connector-code-differs?" in run.err
    assert run.out == ""


# ---- --json ----


def test_json_holds_all_parts_of_a_judgement(sheet: Write) -> None:
    run = sideplate("judge", "--json", sheet(WRONG_LINK))
    data = json.loads(run.out)
    assert list(data) == [
        "job", "standing", "rulings", "derived", "open", "overridden", "conflicts", "warnings", "cautions", "defer",
    ]  # fmt: skip
    (ruling,) = data["rulings"]
    assert {"rule", "topic", "force", "says", "instead", "because", "sources", "caution", "from"} <= set(
        ruling
    )
    assert (ruling["rule"], ruling["force"]) == ("connector-code-differs", "must not")
    assert {step["fact"]: step["by"] for step in ruling["from"]} == {
        "connector.code": "given",
        "chain.code": "given",
    }
    assert run.status == 1


def test_json_of_several_sheets_is_a_list_in_their_order(sheet: Write) -> None:
    data = json.loads(sideplate("judge", "--json", sheet(NOTHING_WRONG), sheet(WRONG_LINK)).out)
    assert [judgement["standing"] for judgement in data] == ["clear", "stop"]


def test_json_keeps_stored_units_whatever_the_reader_prefers(sheet: Write) -> None:
    path = sheet(NEW_CHAIN)
    pitch = json.loads(sideplate("judge", "--json", "--units", "us", path).out)["derived"]["chain.pitch"]
    assert (pitch["value"], pitch["unit"]) == (15.875, "mm")


def test_json_lists_what_is_open_with_the_question_to_ask(sheet: Write) -> None:
    data = json.loads(sideplate("judge", "--json", sheet("facts: {chain.code: VX3}")).out)
    asked = {entry["fact"]: entry for entry in data["open"]}
    assert "connector-code-differs" in asked["connector.code"]["would_settle"]
    assert asked["connector.code"]["ask"].endswith("?")


# ---- units and width ----


def test_us_units_show_inches(sheet: Write) -> None:
    run = sideplate("judge", "--units", "us", sheet(NEW_CHAIN), "--why")
    assert "chain.pitch = 0.625 in" in run.flat
    assert "drive.centre_distance = 24.409 in" in run.flat
    assert "15.875 mm" not in run.flat


def test_unknown_units_are_refused(sheet: Write) -> None:
    run = sideplate("judge", "--units", "imperial", sheet(WORN))
    assert run.status == 2
    assert "metric" in run.err


@pytest.mark.parametrize("text", [NEW_CHAIN, WRONG_LINK, DIRTY, WORN, COLD_LUBE])
@pytest.mark.parametrize("options", [[], ["--why"], ["--units", "us"], ["--why-not", "renew-at-limit"]])
def test_on_sixty_columns_no_line_is_wider(sheet: Write, text: str, options: list[str]) -> None:
    run = sideplate("judge", sheet(text), *options, columns=60)
    assert run.lines
    assert not [line for line in run.lines if len(line) > 60 and not is_path(line)]


def test_colour_is_never_sent_and_no_color_changes_nothing(sheet: Write) -> None:
    path = sheet(DIRTY)
    plain = sideplate("judge", path, NO_COLOR="1")
    assert plain.out == sideplate("judge", path).out
    assert "\x1b" not in plain.out


# ---- bad input judges nothing ----


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("facts: {chain.seal: sealed}", "no fact is called chain.seal; did you mean chain.sealing?"),
        ("facts: {chain.measured_length: 320}", "chain.measured_length"),
        ("facts: {chain.measured_length: 3 kg}", "chain.measured_length"),
        ("facts: {chain.links: 9**9**9}", "chain.links"),
        ("facts: {chain.size: 520, chain.size: 525}", "chain.size"),
        ("facts: {slack.measured: 900 mm}", "slack.measured"),
        ("facts: {}", "no facts"),
        ("", "empty"),
        ("facts: [", "error"),
    ],
    ids=["unknown fact", "no unit", "wrong unit", "a power tower", "stated twice", "out of range", "no facts",
         "an empty file", "no YAML"],
)  # fmt: skip
def test_a_broken_sheet_is_told_on_standard_error_and_judges_nothing(
    sheet: Write, text: str, message: str
) -> None:
    run = sideplate("judge", sheet(text))
    assert run.status == 2
    assert run.out == ""
    assert message in run.err


def test_one_broken_sheet_among_several_judges_none_of_them(sheet: Write) -> None:
    run = sideplate(
        "judge", sheet(WRONG_LINK), sheet("facts: {chain.seal: sealed}"), sheet("facts: {x.y: 1}")
    )
    assert run.status == 2
    assert run.out == ""
    assert "chain.seal" in run.err
    assert "x.y" in run.err


def test_a_missing_file_and_a_folder_are_told_by_name(tmp_path: Path) -> None:
    run = sideplate("judge", tmp_path / "nowhere.yaml", tmp_path)
    assert run.status == 2
    assert "nowhere.yaml" in run.err
    assert run.out == ""


def test_a_sheet_that_is_not_utf_8_is_refused() -> None:
    run = sideplate("judge", "-", stdin=b"facts: {chain.size: \xff\xfe}")
    assert run.status == 2
    assert "standard input" in run.err


def test_a_sheet_of_two_mebibytes_is_refused() -> None:
    run = sideplate("judge", "-", stdin="facts: {chain.size: 520}\n" + "#" * (2 * 1024 * 1024))
    assert run.status == 2
    assert run.out == ""


def test_a_misspelt_command_is_refused_with_the_nearest_name() -> None:
    run = sideplate("jugde", "x.yaml")
    assert run.status == 2
    assert "No command is called jugde; did you mean judge?" in run.err


@pytest.mark.slow
def test_the_installed_command_ends_with_the_status_it_promises(sheet: Write) -> None:
    command = [sys.executable, "-c", "from sideplate_trainer.main import main; main()", "judge"]
    statuses = [
        subprocess.run([*command, str(sheet(text))], capture_output=True, check=False).returncode
        for text in (NOTHING_WRONG, WRONG_LINK, "facts: {chain.seal: sealed}")
    ]
    assert statuses == [0, 1, 2]
