"""The account of where the knowledge comes from, as the lines that `sideplate check` ends with."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.provenance import GROUNDS, Account
from sideplate_trainer.telling import wrapped

NUMBER = 9
"""Columns of a number."""


def account_lines(account: Account, width: int) -> Iterator[str]:
    """A table of figures and rules by the kind of work they rest on, and a sentence on how to read it."""
    label = max(len(words) for words in GROUNDS.values()) + 2
    yield f"{'Where it comes from'.ljust(label)}{'figures'.rjust(NUMBER)}{'rules'.rjust(NUMBER)}"
    for ground, words in GROUNDS.items():
        figures, rules = account.figures_on(ground), account.rules.get(ground, 0)
        yield f"{'  ' + words:{label}}{figures:{NUMBER}}{rules:{NUMBER}}"
    yield f"{'  all':{label}}{account.figure_count:{NUMBER}}{account.rule_count:{NUMBER}}"
    yield from wrapped(
        "Each counts once, under the weakest work it rests on; "
        f"{account.rules_on_published_work} of {account.rule_count} rules cite published work.",
        width,
    )
