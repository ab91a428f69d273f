"""Reads vocabulary files: entries as authors write them, to facts."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC

from sideplate_engine.file_models import Kind, VocabularyEntry, YesNo
from sideplate_engine.findings import Finding, Position
from sideplate_engine.quantities import UnknownUnit, unit
from sideplate_engine.shape_check import read_as
from sideplate_engine.vocabulary import FACT_NAME, Fact, ValueRefused
from sideplate_engine.yaml_tree import Mapping, Node


def read_vocabulary(tree: Node) -> tuple[dict[str, Fact], list[Finding]]:
    """The facts of one vocabulary file, and all that is wrong with it; a broken entry is left out."""
    facts: dict[str, Fact] = {}
    findings: list[Finding] = []
    if not isinstance(tree, Mapping):
        return facts, [Finding("wrong-shape", "a vocabulary file is a mapping of facts", tree.at)]
    for name in tree.entries:
        at = tree.key_at[name]
        if not FACT_NAME.match(name):
            message = f"{name!r} is no fact name; write lower-case words, dotted, such as chain.pitch"
            findings.append(Finding("fact-name", message, at))
            continue
        entry, found = read_as(VocabularyEntry, tree, (name,))
        findings += found
        if entry is not None:
            fact, found = _fact(name, entry, tree, at)
            findings += found
            if fact is not None:
                facts[name] = fact
    return facts, findings


def _fact(
    name: str, entry: VocabularyEntry, tree: Mapping, at: Position
) -> tuple[Fact | None, list[Finding]]:
    node = tree.entries[name]
    assert isinstance(node, Mapping)
    problems: list[Finding] = []

    def wrong(key: str, message: str, code: str = "vocabulary") -> None:
        problems.append(Finding(code, message, node.key_at.get(key, at)))

    number = entry.kind in ("quantity", "count")
    if (entry.unit is not None) != (entry.kind == "quantity"):
        wrong("unit", "a quantity has a `unit`, and nothing else has")
    if (entry.choices is not None) != (entry.kind == "choice"):
        wrong("choices", "a choice has `choices`, and nothing else has")
    if entry.many == "yes" and entry.kind not in ("choice", "code"):
        wrong("many", "only a choice or a code can be `many`")
    for key in ("possible", "usual"):
        if getattr(entry, key) is not None and not number:
            wrong(key, f"`{key}` belongs to a quantity or a count")
    for key in ("agree", "decimals"):
        if getattr(entry, key) is not None and entry.kind != "quantity":
            wrong(key, f"`{key}` belongs to a quantity")
    if entry.given == "yes" and (entry.ask is None or entry.says is None):
        wrong("ask", "a fact that can be given has `ask` and `says`", "unspoken")
    if entry.says is not None and not _says_it_all(entry.says, entry.kind):
        wrong("says", "a flag says one sentence for yes and one for no; other kinds one with {value}")
    unit_name = entry.unit or "1"
    try:
        unit(unit_name)
    except UnknownUnit as problem:
        wrong("unit", str(problem), "unknown-unit")
        unit_name = "1"
    if problems:
        return None, problems

    limits = Fact(name, entry.kind, entry.means, at, unit_name)
    ranges: dict[str, tuple[float, float] | None] = {"possible": None, "usual": None}
    for key in ranges:
        ends: list[str] | None = getattr(entry, key)
        if ends is None:
            continue
        try:
            low, high = (limits.read_limit(end) for end in ends)
        except ValueRefused as problem:
            wrong(key, str(problem), "wrong-value")
            continue
        if low > high:
            wrong(key, f"{ends[0]} is more than {ends[1]}", "wrong-value")
        ranges[key] = (low, high)
    possible, usual = ranges["possible"], ranges["usual"]
    if possible and usual and not possible[0] <= usual[0] <= usual[1] <= possible[1]:
        wrong("usual", "what is usual lies within what is possible", "wrong-value")
    agree = None
    if entry.agree is not None:
        try:
            agree = limits.read_limit(entry.agree)
        except ValueRefused as problem:
            wrong("agree", str(problem), "wrong-value")
    if problems:
        return None, problems
    says: object = entry.says or ""
    return (
        Fact(
            name=name,
            kind=entry.kind,
            means=entry.means,
            at=at,
            unit=unit_name,
            ask=entry.ask or "",
            says=str(says.get("yes", "")) if isinstance(says, dict) else str(says),
            says_no=str(says.get("no", "")) if isinstance(says, dict) else "",
            observe=entry.observe or "",
            possible=possible,
            usual=usual,
            decimals=None if entry.decimals is None else int(entry.decimals),
            agree=agree,
            choices=entry.choices,
            many=entry.many == "yes",
            given=entry.given == "yes",
            complete=entry.complete == "yes",
            intermediate=entry.intermediate == "yes",
            background=entry.background == "yes",
            synonyms=tuple(entry.synonyms),
        ),
        [],
    )


def _says_it_all(says: str | MappingABC[YesNo, str], kind: Kind) -> bool:
    if isinstance(says, str):
        return kind != "flag" and "{value}" in says
    return kind == "flag" and set(says) == {"yes", "no"}
