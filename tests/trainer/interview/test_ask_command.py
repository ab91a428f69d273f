"""`sideplate ask` as a whole: over a pipe, at a prompt, with its files."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pexpect
import pytest
from click.testing import CliRunner, Result

from sideplate_engine import read_sheet_file
from sideplate_trainer.ask_command import command
from sideplate_trainer.judge_command import command as judge_command
from support.built_in import knowledge

SAID = ("clean the chain", "9", "chain.sealing sealed", "clean.tools = wire brush", "chain.size 520", "e")


def ask(*arguments: str, lines: tuple[str, ...] = SAID) -> Result:
    return CliRunner().invoke(command, arguments, input="".join(f"{line}\n" for line in lines))


def test_over_a_pipe_it_asks_judges_and_prints_a_card() -> None:
    result = ask("--job", "A dirty chain")
    assert result.exit_code == 1
    assert "Question 1\nWhat work is planned?" in result.output
    assert "A dirty chain\n=============\n" in result.output
    assert "STOP. " in result.output


def test_the_saved_sheet_reads_back_and_is_judged_alike(tmp_path: Path) -> None:
    saved = tmp_path / "saved.yaml"
    result = ask("--save", str(saved), "--job", "A dirty chain")
    assert f"The job sheet is in {saved}." in result.output
    sheet = read_sheet_file(saved, knowledge().facts)
    assert sheet.job == "A dirty chain"
    assert sheet.facts == {
        "work.task": frozenset({"clean the chain"}),
        "chain.sealing": "sealed",
        "clean.tools": frozenset({"wire brush"}),
        "chain.size": "520",
    }
    judged = CliRunner().invoke(judge_command, [str(saved)])
    assert judged.exit_code == result.exit_code
    assert "Standing: stop" in judged.output


def test_an_interview_goes_on_from_a_job_sheet(tmp_path: Path) -> None:
    start = tmp_path / "start.yaml"
    start.write_text(
        "job: Begun\nnote: By phone.\nfacts: {work.task: [clean the chain], chain.sealing: sealed}\n"
    )
    result = ask("--start", str(start), "--save", str(start), lines=("", "clean.tools wire brush", "e"))
    assert "Question 1\nWhich parts does the job touch?" in result.output
    sheet = read_sheet_file(start, knowledge().facts)
    assert (sheet.job, sheet.note) == ("Begun", "By phone.")
    assert sheet.facts["clean.tools"] == frozenset({"wire brush"})


def test_a_sheet_to_start_from_that_cannot_be_read_ends_with_2(tmp_path: Path) -> None:
    start = tmp_path / "start.yaml"
    start.write_text("facts: {chain.siz: 520}\n")
    result = ask("--start", str(start))
    assert result.exit_code == 2
    assert "no fact is called chain.siz; did you mean chain.size?" in result.output


def test_the_card_is_written_as_a_page(tmp_path: Path) -> None:
    card = tmp_path / "card.html"
    ask("--card", str(card), "--job", "A dirty chain")
    assert "<h1>A dirty chain</h1>" in card.read_text(encoding="utf-8")


@pytest.mark.parametrize("option", ["--save", "--card"])
def test_a_file_that_is_there_is_not_lost(tmp_path: Path, option: str) -> None:
    there = tmp_path / "there.txt"
    there.write_text("mine")
    result = ask(option, str(there))
    assert result.exit_code == 2
    assert "is there already; name another file" in result.output
    assert there.read_text() == "mine"


def test_a_folder_that_is_not_there_is_told_before_anything_is_asked(tmp_path: Path) -> None:
    result = ask("--save", str(tmp_path / "nowhere" / "sheet.yaml"))
    assert result.exit_code == 2
    assert "Question" not in result.output


def test_leaving_judges_nothing_but_keeps_the_sheet(tmp_path: Path) -> None:
    saved = tmp_path / "saved.yaml"
    result = ask("--save", str(saved), lines=("clean the chain", "q"))
    assert result.exit_code == 0
    assert "Nothing was judged." in result.output
    assert "STOP" not in result.output
    assert saved.exists()


def test_nothing_stated_is_nothing_judged_and_nothing_saved(tmp_path: Path) -> None:
    saved = tmp_path / "saved.yaml"
    result = ask("--save", str(saved), lines=())
    assert result.exit_code == 0
    assert "Nothing was stated, so nothing was judged." in result.output
    assert not saved.exists()


def test_a_job_without_objection_ends_with_0() -> None:
    assert ask(lines=("inspect", "none", "e")).exit_code == 0


def test_us_units_are_shown_and_any_unit_is_taken() -> None:
    result = ask("--units", "us", lines=("adjust slack", "none", "slack.measured 35 mm", "s", "q"))
    assert "slack.measured: 1.378 in" in result.output


PROGRAM = "from sideplate_trainer.main import main; main()"


@pytest.mark.slow
def test_at_a_terminal_it_prompts_and_ctrl_c_loses_nothing(tmp_path: Path) -> None:
    saved = tmp_path / "saved.yaml"
    environment = {**os.environ, "PROMPT_TOOLKIT_NO_CPR": "1", "TERM": "xterm"}
    program = pexpect.spawn(
        sys.executable,
        ["-c", PROGRAM, "ask", "--save", str(saved)],
        env=environment,
        encoding="utf-8",
        timeout=30,
        dimensions=(40, 100),
    )
    program.expect("What work is planned")
    program.expect("work.task:")
    program.send("inspect\r")
    program.expect("Which parts does the job touch")
    program.expect("Numbers:")
    program.sendintr()
    program.expect("Nothing was judged")
    program.expect(pexpect.EOF)
    program.close()
    assert program.exitstatus == 130
    assert read_sheet_file(saved, knowledge().facts).facts == {"work.task": frozenset({"inspect"})}
