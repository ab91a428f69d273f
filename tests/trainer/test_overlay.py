"""A school's folder over the built-in knowledge: it adds, replaces by saying so, and stays its own to the reader."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from sideplate_engine import built_in_folder, load
from sideplate_engine.findings import Position
from sideplate_engine.layers import BUILT_IN, Layer, layer_of, whose
from sideplate_trainer.main import cli
from support.small_knowledge import Files, write

MODELINE = "# yaml-language-server: $schema=../../schema/{}.json\n"

HOUSE: Files = {
    "vocabulary/stand.yaml": MODELINE.replace("../../", "../").format("vocabulary")
    + """\
stand.height:
  kind: quantity
  unit: mm
  possible: [0 mm, 900 mm]
  means: How high the school's stand lifts the axle.
  ask: How high does the stand lift the axle?
  says: The stand lifts the axle by {value}.
stand.class:
  kind: choice
  choices: {low: Too low for the long swingarm., high: High enough.}
  given: no
  means: Whether the stand is high enough.
""",
    "tables/stands.yaml": MODELINE.replace("../../", "../").format("table")
    + """\
id: stands
title: The school's stands
key: number
columns:
  number: {kind: code, means: The number painted on the stand.}
  height: {kind: quantity, unit: mm, means: How high it lifts.}
rows:
  - {number: S1, height: 120, sources: [{work: school-book}], basis: practice}
""",
    "sources.yaml": MODELINE.replace("../../", "./").format("sources")
    + "school-book: {title: The book of the school's bench, kind: practice, verified: all of it}\n",
    "rules/slack/stand-too-low.yaml": MODELINE.format("rule")
    + """\
id: stand-too-low
title: The school's low stand is not for setting slack
status: checked
when:
  stand.height: {below: 150 mm}
ruling: should not
says: Do not set the slack on a stand that lifts the axle by {stand.height} only.
instead: Take the high stand.
because: {kind: practice, text: The wheel touches the floor as it turns.}
if_ignored: The slack is measured with the wheel held.
sources: [{work: school-book}]
examples:
  - {name: low, given: {stand.height: 120 mm}, expect: fires}
  - {name: high, given: {stand.height: 180 mm}, expect: quiet}
""",
    "rules/connectors/school-code-differs.yaml": MODELINE.format("rule")
    + """\
id: school-code-differs
title: The school asks before it fits another code
status: checked
replaces: connector-code-differs
when:
  connector.code: {differs from: chain.code}
ruling: should not
says: Ask the instructor before connecting link {connector.code} goes on chain {chain.code}.
instead: Fit the link sold under the chain's own code.
because: {kind: practice, text: The school keeps links that are sold for several codes.}
if_ignored: The link may bind.
sources: [{work: school-book}]
examples:
  - {name: another code, given: {chain.code: VX3, connector.code: VX2}, expect: fires}
  - {name: same code, given: {chain.code: VX3, connector.code: VX3}, expect: quiet}
""",
    "workshop/jobs/low-stand.yaml": MODELINE.replace("schema/{}", "schema/{}").format("job")
    + "job: A low stand\nfacts: {stand.height: 120 mm}\n",
}


@pytest.fixture
def house(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("SIDEPLATE_KNOWLEDGE", raising=False)
    write(tmp_path / "house", HOUSE)
    return Path("house")


def run(*arguments: object, text: str = "", **environment: str) -> Result:
    return CliRunner().invoke(cli, [str(argument) for argument in arguments], input=text, env=environment)


LOW = "facts: {stand.height: 120 mm, chain.code: VX3, connector.code: VX2}\n"


def test_an_overlay_judges_with_its_own_facts_and_rules(house: Path) -> None:
    result = run("judge", "-", "--knowledge", house, text=LOW)
    assert "SHOULD NOT: Do not set the slack on a stand that lifts the axle by 120 mm only." in result.output
    assert run("judge", "-", text=LOW).exit_code == 2


def test_the_environment_lays_it_over_too(house: Path) -> None:
    result = run("judge", "-", text=LOW, SIDEPLATE_KNOWLEDGE=str(house))
    assert "stand-too-low" in result.output


def test_several_folders_lie_over_each_other_in_order(house: Path, tmp_path: Path) -> None:
    over = HOUSE["rules/slack/stand-too-low.yaml"].replace("stand-too-low", "stand-lower").replace(
        "status: checked", "status: checked\nreplaces: stand-too-low"
    )  # fmt: skip
    write(tmp_path / "class", {"rules/slack/stand-lower.yaml": over})
    both = run("judge", "-", "--knowledge", house, "--knowledge", "class", text=LOW)
    assert "stand-lower (slack, of class)" in both.output
    assert "stand-too-low" not in both.output
    in_environment = run("judge", "-", text=LOW, SIDEPLATE_KNOWLEDGE=f"house{os.pathsep}class")
    assert in_environment.output == both.output


def test_a_rule_that_replaces_another_stands_in_its_place(house: Path) -> None:
    data = json.loads(run("judge", "-", "--knowledge", house, "--json", text=LOW).output)
    assert data["standing"] == "take care"
    assert {ruling["rule"] for ruling in data["rulings"]} >= {"school-code-differs", "stand-too-low"}
    assert "connector-code-differs" not in {ruling["rule"] for ruling in data["rulings"]}


def test_whose_a_ruling_is_stands_in_the_text_the_proof_and_the_json(house: Path) -> None:
    size = "facts: {stand.height: 120 mm, chain.size: 520, bike.use: street, chain.links: 111}\n"
    text = run("judge", "-", "--knowledge", house, text=size).output
    assert "stand-too-low (slack, of house)" in text
    why = run("judge", "-", "--knowledge", house, "--why", "stand-too-low", text=size).output
    assert why.startswith("Why stand-too-low: The school's low stand is not for setting slack, of house\n")
    data = json.loads(run("judge", "-", "--knowledge", house, "--json", text=size).output)
    assert {r["whose"] for r in data["rulings"] if r["rule"] == "stand-too-low"} == {"house"}
    assert {r["whose"] for r in data["rulings"] if r["rule"] != "stand-too-low"} == {BUILT_IN}
    assert data["derived"]["chain.pitch"]["whose"] == BUILT_IN


def test_built_in_rules_say_nothing_of_whose_they_are_where_nothing_lies_over_them(house: Path) -> None:
    text = run("judge", "-", text="facts: {chain.code: VX3, connector.code: VX2}\n").output
    assert "connector-code-differs (connectors)" in text
    assert ", of " not in text


@pytest.mark.parametrize(
    ("name", "whose_it_is"),
    [("stand-too-low", "house"), ("stand.height", "house"), ("stands", "house"), ("chain.pitch", BUILT_IN),
     ("odd-loop", BUILT_IN), ("sizes", BUILT_IN)],
)  # fmt: skip
def test_show_tells_whose_a_thing_is(house: Path, name: str, whose_it_is: str) -> None:
    assert f"  Whose       {whose_it_is}\n" in run("show", name, "--knowledge", house).output


def test_show_tells_what_a_rule_replaces(house: Path) -> None:
    shown = run("show", "school-code-differs", "--knowledge", house).output
    assert "  Replaces    connector-code-differs\n" in shown


def test_the_overlay_is_checked_together_with_the_base(house: Path) -> None:
    result = run("check", "--knowledge", house)
    found = [line for line in result.output.splitlines() if "house/" in line]
    assert result.exit_code == 0, result.output
    assert [line for line in found if "error[" in line] == []


def test_a_slip_in_the_overlay_is_found_with_names_of_the_base(house: Path) -> None:
    broken = HOUSE["rules/slack/stand-too-low.yaml"].replace(
        "stand.height: {below", "slack.measurd: {below", 1
    )
    write(house, {"rules/slack/stand-too-low.yaml": broken})
    result = run("check", "--knowledge", house)
    assert result.exit_code == 1
    assert "house/rules/slack/stand-too-low.yaml:6:3: error[unknown-fact]" in result.output
    assert "did you mean slack.measured?" in result.output


def test_a_broken_overlay_stops_judge_with_its_place(house: Path) -> None:
    write(house, {"rules/slack/stand-too-low.yaml": "id: stand-too-low\n  title: x\n"})
    result = run("judge", "-", "--knowledge", house, text=LOW)
    assert result.exit_code == 2
    assert "house/rules/slack/stand-too-low.yaml:" in result.output
    assert "Standing" not in result.output


def test_an_overlay_that_is_not_there_stops_judge(house: Path) -> None:
    result = run("judge", "-", "--knowledge", "nowhere", text=LOW)
    assert result.exit_code == 2
    assert "nowhere:1:1: error[no-such-folder]" in result.output


def test_an_overlay_adds_its_sheets_to_those_that_are_compared(house: Path) -> None:
    data = json.loads(run("compare", "built-in", house, "--over-built-in", "--json").output)
    added = next(ruling for ruling in data["rulings"] if ruling["rule"] == "stand-too-low")
    assert {"kind": "sheet", "name": "low-stand", "from": "new"} in added["comes"]


def test_the_interview_asks_for_the_overlays_facts(house: Path) -> None:
    result = run("ask", "--knowledge", house, text="inspect\nnone\nstand.height 120 mm\ne\n")
    assert "That opens the part: Stand." in result.output
    assert "Do not set the slack on a stand" in result.output


def test_the_deepest_folder_is_the_one_a_thing_belongs_to() -> None:
    layers = (Layer("built-in", "knowledge"), Layer("inner", "knowledge/extra"))
    assert whose(Position("knowledge/rules/a.yaml"), layers) == "built-in"
    assert whose(Position("knowledge/extra/rules/a.yaml"), layers) == "inner"
    assert whose(Position("knowledge-not/rules/a.yaml"), layers) == ""


def test_the_built_in_folder_is_called_so_wherever_it_lies() -> None:
    assert layer_of(built_in_folder(), "x", built_in_folder()) == Layer(BUILT_IN, "x")
    base = load().knowledge
    assert {base.whose(rule.at) for rule in base.rules.values()} == {BUILT_IN}
    assert not base.is_layered


@pytest.mark.parametrize("stands", [".", "house", "house/rules", "house/rules/slack"])
def test_whose_a_rule_is_does_not_depend_on_where_the_reader_stands(
    house: Path, stands: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = house.resolve()
    monkeypatch.chdir(folder.parent / stands)
    base = load(built_in_folder(), folder).knowledge
    told = base.whose(base.rules["stand-too-low"].at)
    assert told
    assert told == base.layers[1].name != BUILT_IN
    assert base.whose(base.rules["connector-size-differs"].at) == BUILT_IN
