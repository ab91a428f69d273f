"""Places of a draft that its author still has to write."""

from __future__ import annotations

import re
from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.drafts import FILL_IN
from sideplate_engine.findings import Finding, Position

CODE = "fill-in"
TITLE = "A place that only the author can fill in"
EXPLANATION = (
    f"`sideplate new` writes a draft in which everything is in order but what it cannot know. Those places begin "
    f"{FILL_IN}, and say what is wanted. Write it over the mark; in a comment, take the comment away when the value "
    "beside it is right."
)

_MARK = re.compile(rf"\b{FILL_IN}\b(?P<what>[^\"}}\]#]*)")


def check(context: CheckContext) -> Iterator[Finding]:
    """Each mark that still stands in a file."""
    for path, text in context.texts.items():
        for number, line in enumerate(text.splitlines(), 1):
            for found in _MARK.finditer(line):
                what = found["what"].strip()
                message = f"still to be written: {what}" if what else "still to be written"
                yield Finding(CODE, message, Position(path, number, found.start() + 1))
