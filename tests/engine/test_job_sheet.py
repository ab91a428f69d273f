"""Job sheets: read as written, and refused as a whole, within a second, when anything in one is wrong.

tests/bad/sheets holds a sheet a slip, each with the exact message it gets; `pytest --update` rewrites those.
"""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from sideplate_engine import KnowledgeBase, UnreadableSheet, read_sheet, read_sheet_bytes, read_sheet_file
from sideplate_engine.findings import with_source_line
from sideplate_engine.vocabulary import Value

SHEETS = sorted((Path(__file__).parents[1] / "bad" / "sheets").glob("*.yaml"))


# Processor time is measured: the wall's clock also counts what the machine does beside.


def refusal(text: str, bolts: KnowledgeBase) -> list[str]:
    started = time.process_time()
    with pytest.raises(UnreadableSheet) as caught:
        read_sheet(text, "sheet", bolts.facts)
    assert time.process_time() - started < 1
    assert str(caught.value) == "\n".join(finding.line() for finding in caught.value.findings)
    return [finding.line() for finding in caught.value.findings]


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_a_slip_is_told_word_for_word_and_nothing_is_judged(
    bolts: KnowledgeBase, path: Path, update: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(path.parent)
    with pytest.raises(UnreadableSheet) as caught:
        read_sheet_file(Path(path.name), bolts.facts)
    refused = caught.value
    told = "".join(with_source_line(finding, refused.text) + "\n" for finding in refused.findings)
    expected = path.with_suffix(".txt")
    if update:
        expected.write_text(told)
    assert told == expected.read_text()


def test_every_slip_on_a_sheet_has_its_own_line() -> None:
    for path in SHEETS:
        lines = [line for line in path.with_suffix(".txt").read_text().splitlines() if "error[" in line]
        assert len(lines) == (5 if path.stem == "all-at-once" else 1), path.stem


@pytest.mark.parametrize(
    ("written", "inches"),
    [
        ("1 1/2 in", 1.5),
        ('1 1/2"', 1.5),
        ("1-1/2 in", 1.5),
        ("1½ in", 1.5),
        ("3/2 in", 1.5),
        ("1.5 in", 1.5),
        ("1,5 in", 1.5),
        ("38.1 mm", 1.5),
        ("3.81 cm", 1.5),
        ("0.125 ft", 1.5),
        ("1/2 in", 0.5),
    ],
)
def test_a_length_is_read_as_a_workshop_writes_it(bolts: KnowledgeBase, written: str, inches: float) -> None:
    sheet = read_sheet(f"facts:\n  bolt.grip: {written}\n", "sheet", bolts.facts)
    assert sheet.facts == {"bolt.grip": inches}


@pytest.mark.parametrize(
    "text",
    [
        "job: A bolt\nnote: in a hurry\nfacts:\n  bolt.size: m6\n  bolt.turns: 3\n  bolt.marks: [bent, rust]\n",
        "job: A bolt\nnote: in a hurry\nfacts:\n  bolt: {size: M6, turns: 3, marks: [rust, bent]}\n",
        '{"job": "A bolt", "note": "in a hurry",\n\t"facts": {"bolt.size": "M6", "bolt.turns": 3,'
        ' "bolt.marks": ["rust", "bent"]}}',
        "\ufefffacts: {bolt.turns: 3, bolt.size: M6, bolt.marks: [rust, bent]}\r\njob: A bolt\r\nnote: in a hurry\r\n",
    ],
)
def test_nested_or_dotted_yaml_or_json_a_sheet_is_the_same(bolts: KnowledgeBase, text: str) -> None:
    sheet = read_sheet_bytes(text.encode(), "sheet", bolts.facts)
    facts: dict[str, Value] = {"bolt.size": "M6", "bolt.turns": 3, "bolt.marks": frozenset({"rust", "bent"})}
    assert (sheet.job, sheet.note, dict(sheet.facts)) == ("A bolt", "in a hurry", facts)


def test_job_and_note_may_be_left_out(bolts: KnowledgeBase) -> None:
    sheet = read_sheet("facts: {bolt.size: M6}", "sheet", bolts.facts)
    assert (sheet.job, sheet.note, sheet.unusual) == ("", "", ())


def test_what_is_possible_but_unusual_is_a_warning_in_the_readers_units(bolts: KnowledgeBase) -> None:
    sheet = read_sheet("facts: {bolt.length: 254 mm, bolt.turns: 100}", "sheet", bolts.facts)
    assert sheet.unusual == ("bolt.length",)
    assert sheet.warnings(bolts.facts) == (
        "bolt.length is 254.0 mm; 5.0 mm to 200.0 mm is usual. Measure again if in doubt.",
    )
    assert sheet.warnings(bolts.facts, "us") == (
        "bolt.length is 10.000 in; 0.197 in to 7.874 in is usual. Measure again if in doubt.",
    )


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("facts: {bolt.size: " + "5" * 900_000 + "}", "wrong-value"),
        ("facts: {bolt.length: " + "5" * 900_000 + "}", "wrong-value"),
        ("job: " + "j" * 900_000 + "\nfacts: {" + "bolt.size" * 90 + ": M6}", "unknown-fact"),
        ("facts: " + "[" * 400_000, "yaml-syntax"),
        ("facts: " + "{a: " * 200_000, "too-deep"),
        ("\n".join(" " * n + "- " for n in range(1400)), "too-deep"),
        ("facts:\n" + "".join(f"  bolt.x{n}: 1\n" for n in range(18_000)), "too-many-findings"),
        ("".join(f"x{n}: 1\n" for n in range(90_000)), "file-too-large"),
        ("x: 1\n" * 190_000, "file-too-large"),
        ("facts:\n  bolt.marks: [" + ", ".join(f"rug{n}" for n in range(30_000)) + "]", "too-many-findings"),
        ("facts: {bolt.size: \udc80}", "not-utf-8"),
        ("#" * 1024 * 1024, "no-facts"),
    ],
)
def test_a_monstrous_sheet_is_refused_within_a_second(bolts: KnowledgeBase, text: str, code: str) -> None:
    lines = refusal(text, bolts)
    assert any(f"error[{code}]" in line for line in lines)
    assert len(lines) <= 102
    assert all(len(line) < 400 for line in lines)


@pytest.mark.parametrize(
    ("raw", "line"),
    [
        (b"facts: {bolt.size: M6}\n#" + b"x" * 2 * 1024 * 1024,
         "sheet:1:1: error[file-too-large]: the file is larger than 1 MiB"),
        (b"\x00\x01\x02", "sheet:1:1: error[yaml-syntax]: this is not YAML: control characters are not allowed"),
        (b"\x89PNG\r\n", "sheet:1:1: error[not-utf-8]: byte 0x89 is not UTF-8; save the file as UTF-8"),
    ],
)  # fmt: skip
def test_bytes_that_are_no_sheet_are_refused(bolts: KnowledgeBase, raw: bytes, line: str) -> None:
    started = time.process_time()
    with pytest.raises(UnreadableSheet) as caught:
        read_sheet_bytes(raw, "sheet", bolts.facts)
    assert time.process_time() - started < 1
    assert str(caught.value) == line


def test_a_path_that_is_no_sheet_is_refused(bolts: KnowledgeBase, tmp_path: Path) -> None:
    large = tmp_path / "large.yaml"
    large.write_bytes(b"facts: {bolt.size: M6}\n#" + b"x" * 2 * 1024 * 1024)
    for path, said in (
        (tmp_path, "error[not-a-file]: this is a folder; name a YAML file in it"),
        (tmp_path / "none.yaml", "error[no-such-file]: there is no such file"),
        (tmp_path / ("x" * 300), "error[unreadable-file]: the file cannot be read: File name too long"),
        (large, "error[file-too-large]: the file is larger than 1 MiB"),
    ):
        with pytest.raises(UnreadableSheet) as caught:
            read_sheet_file(path, bolts.facts)
        assert str(caught.value) == f"{path}:1:1: {said}"
        assert caught.value.text is None


def test_a_sheet_that_may_not_be_read_is_refused(bolts: KnowledgeBase, tmp_path: Path) -> None:
    path = tmp_path / "sheet.yaml"
    path.symlink_to(path)
    with pytest.raises(UnreadableSheet, match=r"error\[unreadable-file\]"):
        read_sheet_file(path, bolts.facts)
