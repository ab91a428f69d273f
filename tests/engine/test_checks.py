"""Every check finds its fixture, word for word, and nothing in the built-in base.

A fixture of a check lies in tests/bad like those of the loader, but begins `# checked as: PATH`: it loads without
an error, and the checks find what its name says (`code--variant.yaml` where one code has several). What else they
find in it (a draft, an example still to be met) is not what it is about. `pytest --update` rewrites the .txt files.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from sideplate_engine import Judge, built_in_folder, load
from sideplate_engine.check_context import context_of
from sideplate_engine.checks import every_check, run_checks
from sideplate_engine.finding_codes import ignorable
from sideplate_engine.findings import Finding, Severity, with_source_line
from sideplate_engine.ignoring import without_ignored
from support.small_knowledge import FILES, write

BAD = Path(__file__).parents[1] / "bad"
FIRST_LINE = re.compile(r"# checked as: (\S+)\n")
FIXTURES = sorted(path for path in BAD.glob("*.yaml") if FIRST_LINE.match(path.read_text(errors="replace")))

ABOUT_IGNORING = {"idle-ignore", "unknown-check"}


def parts(text: str) -> Iterator[tuple[str, str]]:
    """The files that a fixture holds, each after as many empty lines as stand before it in the fixture."""
    starts = list(FIRST_LINE.finditer(text))
    ends = [start.start() for start in starts[1:]] + [len(text)]
    for start, end in zip(starts, ends, strict=True):
        yield start[1], "\n" * text.count("\n", 0, start.start()) + text[start.start() : end]


def findings_in(folder: Path) -> tuple[list[Finding], dict[str, str]]:
    """What the checks find in a folder that loads without errors, and the files' texts."""
    loaded = load(folder)
    assert [finding.line() for finding in loaded.findings if finding.severity is Severity.ERROR] == []
    context = context_of(loaded, Judge(loaded.knowledge), (folder,))
    found = without_ignored(loaded.knowledge, run_checks(context), ignorable())
    return list(found), {**loaded.texts, **context.other_texts}


@pytest.mark.parametrize("fixture", FIXTURES, ids=lambda path: path.stem)
def test_a_check_finds_its_fixture_word_for_word(
    fixture: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, update: bool
) -> None:
    monkeypatch.chdir(tmp_path)
    write(tmp_path, {**FILES, **dict(parts(fixture.read_text()))})
    found, texts = findings_in(tmp_path)
    code = fixture.stem.split("--")[0]
    in_fixture = {name for name, _ in parts(fixture.read_text())}
    told = "".join(
        with_source_line(finding, texts.get(finding.at.path)) + "\n"
        for finding in found
        if finding.code == code and finding.at.path in in_fixture
    )
    expected = fixture.with_suffix(".txt")
    if update:
        expected.write_text(told)
    assert told
    assert told == expected.read_text()


def test_every_check_has_its_fixture() -> None:
    covered = {fixture.stem.split("--")[0] for fixture in FIXTURES}
    assert covered == {check.CODE for check in every_check()} | ABOUT_IGNORING


@pytest.mark.parametrize("check", every_check(), ids=lambda check: str(check.CODE))
def test_a_check_is_called_by_its_module_and_explains_itself(check: object) -> None:
    code, title, text = (getattr(check, name) for name in ("CODE", "TITLE", "EXPLANATION"))
    assert getattr(check, "__name__", "").rpartition(".")[2] == code.replace("-", "_")
    assert re.fullmatch(r"[a-z]+(-[a-z]+)*", code)
    assert title[0].isupper()
    assert not title.endswith(".")
    assert len(text.split()) >= 25
    assert text.endswith(".")


@cache
def built_in() -> tuple[Finding, ...]:
    return tuple(findings_in(built_in_folder())[0])


@pytest.mark.slow
@pytest.mark.parametrize("check", every_check(), ids=lambda check: str(check.CODE))
def test_a_check_finds_nothing_in_the_built_in_base(check: object) -> None:
    code = getattr(check, "CODE", "")
    assert [finding.line() for finding in built_in() if finding.code == code] == []


@pytest.mark.slow
def test_nothing_at_all_is_found_in_the_built_in_base() -> None:
    assert [finding.line() for finding in built_in()] == []
