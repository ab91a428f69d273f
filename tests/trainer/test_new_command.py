"""`sideplate new`: drafts where they belong, refused before anything is lost, and filled in at the prompt."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from sideplate_engine import built_in_folder, load
from sideplate_trainer.check_command import command as check_command
from sideplate_trainer.new_command import command


@pytest.fixture(autouse=True)
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("SIDEPLATE_KNOWLEDGE", raising=False)


def new(*arguments: str, lines: tuple[str, ...] = ()) -> Result:
    typed = "".join(f"{line}\n" for line in lines)
    return CliRunner().invoke(command, [*arguments, "--in", "ours"], input=typed)


@pytest.mark.parametrize(
    ("arguments", "path"),
    [
        (("rule", "slack", "our-rule"), "rules/slack/our-rule.yaml"),
        (("formula", "slack", "our-formula"), "formulas/our-formula.yaml"),
        (("procedure", "wear", "our-procedure"), "procedures/our-procedure.yaml"),
        (("fact", "stand", "stand.height", "--kind", "quantity", "--unit", "in"), "vocabulary/stand.yaml"),
    ],
)
def test_a_draft_is_written_where_it_belongs_and_loads(arguments: tuple[str, ...], path: str) -> None:
    result = new(*arguments)
    assert result.exit_code == 0, result.output
    assert f"The draft is in ours/{path}." in result.output
    assert "`sideplate check --knowledge ours` says what is left." in result.output
    assert load(built_in_folder(), Path("ours")).findings == ()
    text = Path("ours", path).read_text()
    assert text.startswith("# yaml-language-server: $schema=../")
    assert "FILL IN" in text


def test_check_says_what_is_left_to_write() -> None:
    new("rule", "slack", "our-rule")
    result = CliRunner().invoke(check_command, ["--knowledge", "ours"])
    assert result.exit_code == 1
    assert (
        "ours/rules/slack/our-rule.yaml:3:8: error[fill-in]: still to be written: the rule in a few words"
        in result.output
    )
    codes = {
        line.split("[")[1].split("]")[0] for line in result.output.splitlines() if line.startswith("ours/")
    }
    assert codes == {"fill-in", "draft"}


def test_a_fact_goes_to_the_end_of_its_file() -> None:
    new("fact", "stand", "stand.height", "--kind", "quantity")
    new("fact", "stand", "stand.steady")
    text = Path("ours/vocabulary/stand.yaml").read_text()
    assert text.count("# yaml-language-server") == 1
    assert list(load(built_in_folder(), Path("ours")).sound().facts)[-2:] == ["stand.height", "stand.steady"]


def test_the_fact_a_rule_looks_at_can_be_named() -> None:
    new("rule", "slack", "our-rule", "--about", "chain.links")
    assert "  chain.links: {above: 105}\n" in Path("ours/rules/slack/our-rule.yaml").read_text()


def test_a_rule_may_look_at_a_fact_of_the_same_folder() -> None:
    new("fact", "stand", "stand.steady")
    assert new("rule", "slack", "our-rule", "--about", "stand.steady").exit_code == 0


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("rule", "slak", "it"), "no topic is called slak; did you mean slack?"),
        (
            ("rule", "slack", "Not An Id"),
            "Not An Id is no id; write lower-case words and figures joined by hyphens",
        ),
        (("rule", "slack", "odd-loop"), "odd-loop is taken by the rule odd-loop"),
        (("formula", "slack", "drive-ratio"), "drive-ratio is taken by the formula drive-ratio"),
        (
            ("rule", "slack", "it", "--about", "chain.linx"),
            "no fact is called chain.linx; did you mean chain.links?",
        ),
        (("fact", "chain", "chain.pitch"), "chain.pitch is declared at "),
        (
            ("fact", "chain", "pitch"),
            "pitch is no fact name; write lower-case words, dotted, such as chain.pitch",
        ),
        (("fact", "../chain", "chain.colour"), "../chain is no name of a vocabulary file, such as chain"),
        (("rule", "../x", "it"), "no topic is called ../x"),
    ],
)
def test_what_cannot_be_drafted_is_told_and_nothing_written(arguments: tuple[str, ...], message: str) -> None:
    result = new(*arguments)
    assert result.exit_code == 2
    assert message in " ".join(result.output.split())
    assert not Path("ours").exists()


def test_a_draft_is_never_written_over() -> None:
    new("rule", "slack", "our-rule")
    result = new("rule", "wear", "our-rule")
    assert result.exit_code == 2
    assert "our-rule is taken by the rule our-rule" in result.output


def test_a_folder_with_errors_in_it_is_not_added_to() -> None:
    new("rule", "slack", "our-rule")
    path = Path("ours/rules/slack/our-rule.yaml")
    path.write_text(path.read_text().replace("ruling: should", "ruling: shuold"))
    result = new("rule", "slack", "other-rule")
    assert result.exit_code == 2
    assert "error[unknown-word]" in result.output
    assert not Path("ours/rules/slack/other-rule.yaml").exists()


RULE_LINES = (
    "stand.height is no fact", "chain.links", "above 100", "{above: 100}", "100", "101", "101", "100",
    "shoud", "should not", "A long loop", "Do not fit {chain.links} {oops}.", "Do not fit {chain.links} pitches.",
    "Count again.", "practice", "A loop of that length fits no machine here.", "", "common-practise", "common-practice",
)  # fmt: skip


def test_a_rule_is_filled_in_at_the_prompt_and_slips_are_asked_for_again() -> None:
    result = new("rule", "length", "our-long-loop", "--interactive", lines=RULE_LINES)
    assert result.exit_code == 0, result.output
    for message in (
        "No fact is called stand.height is no fact",
        "With 100 the rule does not apply.",
        "With 101 the rule applies.",
        "did you mean should?",
        "{oops} names no fact",
        "No source is called common-practise; did you mean common-practice?",
    ):
        assert message in " ".join(result.output.split()), message
    text = Path("ours/rules/length/our-long-loop.yaml").read_text()
    assert "  chain.links: {above: 100}\n" in text
    assert 'ruling: should not\nsays: "Do not fit {chain.links} pitches."\ninstead: Count again.\n' in text
    assert "if_ignored: FILL IN what breaks or hurts\n" in text
    checked = CliRunner().invoke(check_command, ["--knowledge", "ours"])
    assert [line for line in checked.output.splitlines() if "example-fails" in line] == []


def test_a_fact_is_filled_in_at_the_prompt() -> None:
    lines = ("number", "quantity", "furlong", "kg", "How heavy the chain is.", "How heavy is the chain?")
    result = new("fact", "chain", "chain.weight", "--interactive", lines=lines)
    assert result.exit_code == 0, result.output
    assert '"furlong" is not a unit' in result.output
    fact = load(built_in_folder(), Path("ours")).sound().facts["chain.weight"]
    assert (fact.kind, fact.unit, fact.means, fact.ask) == (
        "quantity", "kg", "How heavy the chain is.", "How heavy is the chain?",
    )  # fmt: skip


def test_input_that_ends_writes_nothing() -> None:
    result = new("rule", "length", "our-long-loop", "--interactive", lines=("chain.links",))
    assert result.exit_code == 130
    assert "Nothing was written." in result.output
    assert not Path("ours").exists()
