"""Titles that two things of one kind share."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.findings import Finding, Position, Severity

CODE = "repeated-title"
TITLE = "Two things of one kind have the same title"
EXPLANATION = (
    "Rules are told apart by their titles on the screen and on the site. Two rules, formulas, tables or procedures "
    "with one title look like the same thing twice, and often one was copied from the other. Say in each title what "
    "is its own."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each title that an earlier thing of its kind carries too."""
    knowledge = context.knowledge
    kinds: tuple[list[tuple[str, Position, str]], ...] = (
        [(rule.title, rule.place("title"), rule.id) for rule in knowledge.rules.values()],
        [(formula.title, formula.at, formula.id) for formula in knowledge.formulas.values()],
        [(table.title, table.at, table.id) for table in knowledge.tables.values()],
        [(procedure.title, procedure.at, procedure.id) for procedure in knowledge.procedures.values()],
    )
    for things in kinds:
        first: dict[str, str] = {}
        for title, at, id_ in things:
            words = " ".join(title.lower().split()).rstrip(".")
            if words in first:
                yield Finding(CODE, f"{first[words]} has this title too", at, Severity.WARNING)
            first.setdefault(words, id_)
