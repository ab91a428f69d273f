"""Quantities written into a text without braces."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from sideplate_engine.check_context import CheckContext
from sideplate_engine.findings import Finding, Severity
from sideplate_engine.texts import Template
from sideplate_engine.units import UNITS

CODE = "bare-quantity"
TITLE = "A number with a unit outside braces"
EXPLANATION = (
    "A reader who works in inches gets every quantity of a text in inches, but only those written in braces: "
    "`{12 mm}`. This one would stay as it is, and beside converted ones it reads as if it were something else. Put "
    "it in braces. A size that is a name and not a measure, such as a half-inch chain, is written in words."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each number with a unit in the plain words of a rule's texts."""
    for rule in context.rules:
        for key, template in rule.texts().items():
            for found in _bare(template):
                message = f"`{key}` has {found}; write {{{found}}}"
                yield Finding(CODE, message, rule.place(key), Severity.WARNING)


def _bare(template: Template) -> list[str]:
    plain = [piece for piece in template.pieces if isinstance(piece, str)]
    return [match.group() for piece in plain for match in _quantity().finditer(piece)]


@cache
def _quantity() -> re.Pattern[str]:
    """A number and a unit's own symbol. Symbols that are words too (`in`, `min`, `1`) count as units only in braces."""
    symbols = sorted((symbol for symbol in UNITS if symbol not in _WORDS), key=len, reverse=True)
    return re.compile(rf"(?<![\w.,])\d+(?:[.,/]\d+)?\s?(?:{'|'.join(map(re.escape, symbols))})(?!\w)")


_WORDS = {"in", "min", "1", "day", "week", "month", "year", "h", "s", "m", "g"}
