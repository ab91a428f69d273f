"""Formulas without a worked case."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.findings import Finding, Severity

CODE = "no-worked-case"
TITLE = "A formula has no worked case"
EXPLANATION = (
    "Nothing shows that the formula gives what its source gives. Add one case under `worked:` with the numbers of a "
    "published example, or with numbers whose result can be had another way, and say where they come from."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Every formula without one."""
    for formula in context.knowledge.formulas.values():
        if not formula.worked:
            message = f"the formula {formula.id} has no worked case"
            yield Finding(CODE, message, formula.at, Severity.WARNING)
