"""What changes between two knowledge bases, as lines of text and as plain data."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from sideplate_engine.comparing import Case, Comparison, RulingChange
from sideplate_trainer.telling import labelled, wrapped

MOST_NAMED = 4
"""So many jobs are named in the text for each kind of change; the rest is counted. JSON names them all."""

KINDS = {
    "sheet": ("sheet", "sheets"),
    "example": ("example", "examples"),
    "limit": ("job at a limit", "jobs at limits"),
}


@dataclass(frozen=True, slots=True)
class LookAgain:
    """A rule that a learner has answered and has to look at again, and why. `record` says whose."""

    record: str
    rule: str
    why: str


def comparison_lines(comparison: Comparison, learners: Sequence[LookAgain], width: int) -> Iterator[str]:
    """The comparison as a reader wants it: rules, rulings by rule, standings, learners."""
    counts = ", ".join(f"{number} {KINDS[kind][number != 1]}" for kind, number in comparison.judged.items())
    yield from wrapped(f"Judged by both: {counts}.", width)
    yield ""
    yield f"Rules that change: {len(comparison.rules)}"
    for change in comparison.rules:
        by = f" by {change.by}" if change.by else ""
        yield from labelled(change.change + by, f"{change.rule}: {change.title}", width)
    yield ""
    yield f"Rulings that change: {len(comparison.rulings)}"
    for ruling in comparison.rulings:
        yield from _ruling_lines(ruling, width)
    yield ""
    yield f"Standings that change: {len(comparison.standings)}"
    for standing in comparison.standings[: 3 * MOST_NAMED]:
        yield from wrapped(
            f"  {standing.old} -> {standing.new}: {_named(standing.case)}", width, subsequent_indent="    "
        )
    if len(comparison.standings) > 3 * MOST_NAMED:
        yield f"  and {len(comparison.standings) - 3 * MOST_NAMED} more; --json names them all"
    if learners:
        yield ""
        yield f"Learners' rules to look at again: {len(learners)}"
        for each in learners:
            yield from wrapped(f"  {each.record}: {each.rule}, {each.why}", width, subsequent_indent="    ")


def _ruling_lines(ruling: RulingChange, width: int) -> Iterator[str]:
    yield from wrapped(f"  {ruling.rule}: {ruling.title}", width, subsequent_indent="    ")
    for label, cases in (("comes on", ruling.comes), ("goes on", ruling.goes)):
        if cases:
            yield from labelled(label, _count_and_names(cases), width, indent=4)
    if ruling.reworded:
        cases = [each.case for each in ruling.reworded]
        yield from labelled("otherwise", _count_and_names(cases), width, indent=4)
        first = ruling.reworded[0]
        yield from labelled("from", first.old, width, indent=6)
        yield from labelled("to", first.new, width, indent=6)


def _count_and_names(cases: Sequence[Case]) -> str:
    named = "; ".join(_named(case) for case in cases[:MOST_NAMED])
    more = f"; and {len(cases) - MOST_NAMED} more" if len(cases) > MOST_NAMED else ""
    return f"{len(cases)}: {named}{more}"


def _named(case: Case) -> str:
    return f"{case.kind} {case.name}"


def comparison_data(comparison: Comparison, learners: Sequence[LookAgain]) -> dict[str, Any]:
    """The comparison as dicts and lists, with every job named."""
    return {
        "judged": dict(comparison.judged),
        "rules": [
            {"rule": change.rule, "change": change.change, "title": change.title}
            | ({"by": change.by} if change.by else {})
            for change in comparison.rules
        ],
        "rulings": [
            {
                "rule": ruling.rule,
                "title": ruling.title,
                "comes": [_case(case) for case in ruling.comes],
                "goes": [_case(case) for case in ruling.goes],
                "otherwise": [
                    {**_case(each.case), "old": each.old, "new": each.new} for each in ruling.reworded
                ],
            }
            for ruling in comparison.rulings
        ],
        "standings": [
            {**_case(standing.case), "old": standing.old, "new": standing.new}
            for standing in comparison.standings
        ],
        "look again": [{"record": each.record, "rule": each.rule, "why": each.why} for each in learners],
    }


def _case(case: Case) -> dict[str, str]:
    return {"kind": case.kind, "name": case.name, "from": "old" if case.is_old else "new"}
