"""Findings that an author knows of and accepts: `ignore:` in a rule, each entry with its reason."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from sideplate_engine.findings import Finding, Severity, did_you_mean, in_order
from sideplate_engine.knowledge_base import KnowledgeBase


def without_ignored(
    knowledge: KnowledgeBase, findings: Iterable[Finding], checks: Collection[str]
) -> tuple[Finding, ...]:
    """The findings that no rule ignores, in order, and those about the ignoring itself.

    An entry silences one finding: the first of its check in the rule's own file that no other entry silences.
    `checks` are the codes that can be ignored.
    """
    left = list(in_order(findings))
    about: list[Finding] = []
    for rule in knowledge.rules.values():
        at = rule.place("ignore")
        for entry in rule.ignore:
            if entry.check not in checks:
                message = f"no check is called {entry.check}{did_you_mean(entry.check, checks)}"
                about.append(Finding("unknown-check", message, at))
                continue
            silenced = next(
                (each for each in left if each.code == entry.check and each.at.path == rule.at.path), None
            )
            if silenced is None:
                message = f"{entry.check} is ignored here but finds nothing; take the entry away"
                about.append(Finding("idle-ignore", message, at, Severity.WARNING))
            else:
                left.remove(silenced)
    return in_order([*left, *about])
