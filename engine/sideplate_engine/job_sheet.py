"""Job sheets: what is known of a bike, its chain and the work planned, as text to typed facts."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass
from pathlib import Path

from sideplate_engine.file_models import JobSheetFile
from sideplate_engine.findings import Finding, Position, in_order
from sideplate_engine.rules import read_facts
from sideplate_engine.shape_check import read_as
from sideplate_engine.vocabulary import Fact, System, Value
from sideplate_engine.yaml_tree import Mapping, UnreadableFile, decode, read_text, read_tree


class UnreadableSheet(Exception):
    """A job sheet with something wrong in it; nothing of it is judged. `text` is the sheet's text, if it was read."""

    def __init__(self, findings: tuple[Finding, ...], text: str | None) -> None:
        super().__init__("\n".join(finding.line() for finding in findings))
        self.findings = findings
        self.text = text


@dataclass(frozen=True, slots=True)
class JobSheet:
    """A job sheet, read and checked. `unusual` names facts whose values are possible but out of the ordinary."""

    job: str
    note: str
    facts: MappingABC[str, Value]
    unusual: tuple[str, ...] = ()

    def warnings(self, vocabulary: MappingABC[str, Fact], system: System = "metric") -> tuple[str, ...]:
        """A sentence for each unusual value."""
        sentences: list[str] = []
        for name in self.unusual:
            fact = vocabulary[name]
            assert fact.usual is not None
            value = fact.show(self.facts[name], system)
            low, high = (fact.show_element(limit, system) for limit in fact.usual)
            sentences.append(f"{name} is {value}; {low} to {high} is usual. Measure again if in doubt.")
        return tuple(sentences)


def read_sheet_file(path: Path, vocabulary: MappingABC[str, Fact]) -> JobSheet:
    """The job sheet in a file, YAML or JSON. Raises UnreadableSheet with everything that is wrong."""
    name = str(path)
    try:
        text = read_text(path, name)
    except UnreadableFile as problem:
        raise UnreadableSheet((problem.finding,), None) from None
    return read_sheet(text, name, vocabulary)


def read_sheet_bytes(raw: bytes, name: str, vocabulary: MappingABC[str, Fact]) -> JobSheet:
    """The job sheet in bytes that came over a pipe. Raises UnreadableSheet."""
    try:
        text = decode(raw, name)
    except UnreadableFile as problem:
        raise UnreadableSheet((problem.finding,), None) from None
    return read_sheet(text, name, vocabulary)


def read_sheet(text: str, name: str, vocabulary: MappingABC[str, Fact]) -> JobSheet:
    """The job sheet in a text. Raises UnreadableSheet with everything that is wrong."""
    try:
        tree, findings = read_tree(text, name)
    except UnreadableFile as problem:
        raise UnreadableSheet((problem.finding,), text) from None
    if tree is None:
        empty = Finding(
            "no-facts", "the sheet is empty; it needs `facts:` with at least one fact", Position(name)
        )
        raise UnreadableSheet((*findings, empty), text)
    shape, found = read_as(JobSheetFile, tree)
    findings += found
    facts: dict[str, Value] = {}
    if isinstance(tree, Mapping) and isinstance(tree.entries.get("facts"), Mapping):
        facts, found = read_facts(tree.entries["facts"], vocabulary)
        findings += found
        if not facts and not findings:
            message = "the sheet states no facts; write at least one under `facts:`"
            findings.append(Finding("no-facts", message, tree.key_at["facts"]))
    if findings or shape is None:
        raise UnreadableSheet(in_order(findings), text)
    unusual = tuple(sorted(fact for fact, value in facts.items() if vocabulary[fact].is_unusual(value)))
    return JobSheet(shape.job or "", shape.note or "", facts, unusual)
