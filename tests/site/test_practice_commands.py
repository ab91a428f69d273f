"""The commands that pages tell a reader to type are commands that there are."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from sideplate_site.book import Book
from sideplate_site.place import practise
from sideplate_trainer.practise_command import command


def test_the_pages_name_the_options_of_the_practice_command(book: Book) -> None:
    options = {option for parameter in command.params for option in parameter.opts}
    assert "sideplate practise --rule a-rule" in practise(book, "slack", "a-rule")
    assert "sideplate practise --topic slack" in practise(book, "slack")
    assert {"--rule", "--topic"} <= options


@pytest.mark.slow
def test_practising_one_rule_asks_one_question_and_again_though_it_is_not_due(tmp_path: Path) -> None:
    call = ["--rule", "connector-code-differs", "--plain", "--record", str(tmp_path / "record.sqlite3")]
    for _ in range(2):
        done = CliRunner().invoke(command, call, input="1\ns\nq\n")
        assert done.exit_code == 0, done.output
        assert "Question 1 of 1" in done.output


def test_practising_a_rule_that_is_not_there_names_the_nearest(tmp_path: Path) -> None:
    done = CliRunner().invoke(
        command, ["--rule", "conector-code-differs", "--record", str(tmp_path / "record")]
    )
    assert done.exit_code == 2
    assert "did you mean connector-code-differs?" in done.output
