"""Rulings that are given on nearly every sheet, as idle advice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.findings import Finding, Severity

CODE = "always-fires"
TITLE = "A ruling is given on nearly every sheet"
EXPLANATION = (
    "A ruling is something to act on: it fires on what a sheet states or leaves open, never as idle advice on every "
    "job. This one stands on most of the sheets there are, the workshop's and those of all rules' examples, so a "
    "reader soon passes over it. Ask for the fact that makes it matter, often the work that is planned."
)

TOO_OFTEN = 0.5
"""The share of sheets above which a ruling is idle advice; this project's own mark."""

ENOUGH = 20
"""With fewer sheets than this a share says little."""


def check(context: CheckContext) -> Iterator[Finding]:
    """Each ruling that fires on too large a share of the sheets."""
    if context.focus is not None:
        return
    sheets = len(context.corpus)
    if sheets < ENOUGH:
        return
    fired = Counter(id_ for chained in context.corpus for id_ in chained.fired)
    for rule in context.knowledge.rules.values():
        if rule.is_ruling and fired[rule.id] > TOO_OFTEN * sheets:
            message = f"{rule.id} fires on {fired[rule.id]} of {sheets} sheets"
            yield Finding(CODE, message, rule.place("when"), Severity.WARNING)
