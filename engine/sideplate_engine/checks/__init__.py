"""The checks of a knowledge base that has loaded: one module each, found here and nowhere else.

A check has a CODE, a TITLE, an EXPLANATION for the person who gets the finding, and `check`, which gives the
findings. Adding one is adding its module, and its fixture in tests/bad/.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from typing import Protocol, cast

from sideplate_engine.check_context import CheckContext
from sideplate_engine.findings import Finding


class Check(Protocol):
    """What a module of this package holds."""

    CODE: str
    TITLE: str
    EXPLANATION: str

    def check(self, context: CheckContext) -> Iterator[Finding]:
        """The findings of this check."""
        ...


@cache
def every_check() -> tuple[Check, ...]:
    """All checks, by the names of their modules."""
    names = sorted(module.name for module in iter_modules(__path__))
    return tuple(cast(Check, import_module(f"{__name__}.{name}")) for name in names)


def run_checks(context: CheckContext, before: Callable[[Check], None] = lambda check: None) -> list[Finding]:
    """What all checks find, and what is wrong with job sheets and deny lists. `before` is told of each check."""
    findings = [*context.sheet_findings, *context.deny_list_findings]
    for check in every_check():
        before(check)
        findings += check.check(context)
    return findings
