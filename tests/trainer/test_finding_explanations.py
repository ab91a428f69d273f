"""Every code that a finding can carry is explained, and `sideplate show` tells the explanation."""

from __future__ import annotations

import ast
import re
from fnmatch import fnmatchcase
from pathlib import Path

import pytest

import sideplate_engine
import sideplate_trainer
from sideplate_trainer.finding_explanations import every_explanation
from support.command_runs import sideplate

BAD = Path(__file__).parents[1] / "bad"
MAKERS = ("Finding", "_refused", "wrong")
"""What findings are made with: the class, and the functions of readers that gather them."""


def codes_in_the_source() -> set[str]:
    """Every code that is written as one in the engine and the trainer; `*` stands for what is put in."""
    found: set[str] = set()
    for package in (sideplate_engine, sideplate_trainer):
        for path in Path(str(package.__file__)).parent.rglob("*.py"):
            for node in ast.walk(ast.parse(path.read_text())):
                if isinstance(node, ast.Call) and node.args and _name(node.func) in MAKERS:
                    found |= _codes(node)
    return found


def _name(function: ast.expr) -> str:
    return function.attr if isinstance(function, ast.Attribute) else getattr(function, "id", "")


def _codes(call: ast.Call) -> set[str]:
    first = call.args[0]
    if isinstance(first, ast.JoinedStr) and _name(call.func) == "Finding":
        return {"".join(str(part.value) if isinstance(part, ast.Constant) else "*" for part in first.values)}
    texts = [str(arg.value) for arg in call.args if isinstance(arg, ast.Constant)]
    hyphenated = {text for text in texts if re.fullmatch("[a-z]+(-[a-z0-9]+)+", text)}
    if hyphenated or _name(call.func) == "wrong" or not isinstance(first, ast.Constant):
        return hyphenated
    return {str(first.value)}


def test_every_code_in_the_source_is_explained() -> None:
    codes = codes_in_the_source()
    assert len(codes) > 50
    explained = every_explanation()
    unexplained = {code for code in codes if not any(fnmatchcase(known, code) for known in explained)}
    assert unexplained == set()


def test_every_code_that_has_a_fixture_is_explained() -> None:
    stems = {path.stem.split("--")[0] for path in BAD.glob("*.txt")}
    assert stems
    assert stems - every_explanation().keys() == set()


def test_nothing_is_explained_that_is_no_code() -> None:
    written = "\n".join(
        path.read_text()
        for package in (sideplate_engine, sideplate_trainer)
        for path in Path(str(package.__file__)).parent.rglob("*.py")
        if "explanations" not in path.parts and path.stem != "finding_explanations"
    )
    put_together = {code for code in every_explanation() if code.startswith("unknown-")}
    idle = {code for code in every_explanation() if f'"{code}"' not in written} - put_together
    assert idle == set()


@pytest.mark.parametrize("code", every_explanation())
def test_an_explanation_is_a_title_and_a_paragraph_of_whole_sentences(code: str) -> None:
    explanation = every_explanation()[code]
    assert re.fullmatch("[A-Z][^.]*[^.]", explanation.title)
    assert explanation.text.endswith(".")
    assert "  " not in explanation.text
    assert len(explanation.text.split()) >= 12


@pytest.mark.parametrize("code", ["clash", "unknown-fact", "no-situation"])
def test_show_tells_what_a_code_means(code: str) -> None:
    run = sideplate("show", code)
    explanation = every_explanation()[code]
    assert run.status == 0
    assert run.lines[0] == f"check {code}: {explanation.title}"
    assert explanation.text in run.flat
