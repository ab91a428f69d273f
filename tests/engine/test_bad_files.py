"""Every authoring mistake gets one finding, word for word as in its .txt beside it.

A fixture in tests/bad is laid over the small knowledge base. Its first line, `# as: PATH`, says which file it is;
a later line of that form begins another file. Each part keeps its line numbers, so a finding's line is the
fixture's own. The file's stem is the code of the finding (`code--variant.yaml` where one code has several).
`pytest --update` rewrites the .txt files. What no fixture can hold is made here.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import sideplate_engine
from sideplate_engine import load
from sideplate_engine.findings import with_source_line
from support.small_knowledge import FILES, LoadWith, write

BAD = Path(__file__).parents[1] / "bad"
FIRST_LINE = re.compile(rb"# as: (\S+)\n")
FIXTURES = sorted(path for path in BAD.glob("*.yaml") if FIRST_LINE.match(path.read_bytes()))

ENGINE = Path(sideplate_engine.__file__).parent
NOT_LOADED = {"no-facts", "no-such-file", "not-a-file", "unreadable-file"}
"""Codes that only a job sheet can have: tests/engine/test_job_sheet.py."""
MADE_HERE = {"file-too-large", "no-such-folder", "too-many-findings"}
MADE_ELSEWHERE = {"too-many-alternatives"}
"""It takes 65 rules: tests/engine/test_matcher_room.py."""
PUT_TOGETHER = {f"unknown-{what}" for what in ("caution", "rule", "source", "subject", "topic")}
"""Codes that stand nowhere in the source in one piece."""


def parts(raw: bytes) -> Iterator[tuple[str, bytes]]:
    """The files that a fixture holds, each after as many empty lines as stand before it in the fixture."""
    starts = list(FIRST_LINE.finditer(raw))
    ends = [start.start() for start in starts[1:]] + [len(raw)]
    for start, end in zip(starts, ends, strict=True):
        before = raw.count(b"\n", 0, start.start())
        yield start[1].decode(), b"\n" * before + raw[start.start() : end]


@pytest.mark.parametrize("fixture", FIXTURES, ids=lambda path: path.stem)
def test_a_mistake_gets_its_one_finding_word_for_word(
    fixture: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, update: bool
) -> None:
    monkeypatch.chdir(tmp_path)
    write(tmp_path, {**FILES, **dict(parts(fixture.read_bytes()))})
    loaded = load(tmp_path)
    assert [finding.code for finding in loaded.findings] == [fixture.stem.split("--")[0]]
    told = "".join(
        with_source_line(finding, loaded.texts.get(finding.at.path)) + "\n" for finding in loaded.findings
    )
    expected = fixture.with_suffix(".txt")
    if update:
        expected.write_text(told)
    assert told == expected.read_text()


def test_a_file_too_large_is_told(loaded_of: LoadWith) -> None:
    (finding,) = loaded_of({"sources.yaml": FILES["sources.yaml"] + "#" * 1024 * 1024}).findings
    assert finding.line().endswith("sources.yaml:1:1: error[file-too-large]: the file is larger than 1 MiB")


def test_a_folder_that_is_not_there_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (finding,) = load(tmp_path / "none").findings
    assert finding.line() == "none:1:1: error[no-such-folder]: there is no such folder"


def test_of_very_many_findings_a_hundred_are_told(loaded_of: LoadWith) -> None:
    entry = "thread-book: {title: t, kind: handbook, verified: v" + "".join(f", k{n}: x" for n in range(200))
    findings = loaded_of({"sources.yaml": entry + "}"}).findings
    assert {finding.code for finding in findings} == {"unknown-key", "too-many-findings"}
    assert len(findings) == 101


def modules_behind(*names: str) -> set[str]:
    """The engine's modules that these import, and those that these import, and so on."""
    found: set[str] = set()
    waiting = list(names)
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            source = (ENGINE / f"{name}.py").read_text()
            waiting += re.findall(r"^from sideplate_engine\.(\w+) import", source, re.MULTILINE)
    return found


def codes_in_the_source() -> set[str]:
    """Every code that a finding can have in the modules that load knowledge and read job sheets."""
    found: set[str] = set()
    for name in modules_behind("loading", "job_sheet"):
        for node in ast.walk(ast.parse((ENGINE / f"{name}.py").read_text())):
            if not isinstance(node, ast.Call) or not node.args:
                continue
            called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if called in ("Finding", "_refused", "wrong"):
                texts = [arg.value for arg in node.args if isinstance(arg, ast.Constant)]
                joined = [text for text in texts if re.fullmatch("[a-z]+(-[a-z0-9]+)+", str(text))]
                alone = called != "wrong" and isinstance(node.args[0], ast.Constant)
                found.update(map(str, joined or texts[:alone]))
    return found


def test_every_code_in_the_source_has_its_fixture() -> None:
    covered = {fixture.stem.split("--")[0] for fixture in FIXTURES}
    assert codes_in_the_source() - covered - NOT_LOADED - MADE_HERE - MADE_ELSEWHERE == set()
    assert covered >= PUT_TOGETHER


def test_every_expected_text_has_its_fixture() -> None:
    ours = {path.with_suffix(".txt") for path in FIXTURES}
    theirs = {path for path in BAD.glob("*.txt") if path.with_suffix(".yaml").exists()}
    assert ours <= theirs == set(BAD.glob("*.txt"))
