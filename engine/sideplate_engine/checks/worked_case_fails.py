"""Worked cases of formulas that do not come out."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.findings import Finding
from sideplate_engine.formulas import worked_result

CODE = "worked-case-fails"
TITLE = "A formula does not give its worked case"
EXPLANATION = (
    "A worked case is a set of numbers with a known result, best a published one. The formula gives something else "
    "with them, by more than the case's `within:` allows. Look for a slip in the expression, a unit of a symbol that "
    "is not the source's, or a number copied wrongly. Widen `within:` only when the source itself rounds."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Every worked case with another result."""
    for formula in context.knowledge.formulas.values():
        for case in formula.worked:
            _, problem = worked_result(formula, case)
            if problem:
                yield Finding(CODE, problem, case.at)
