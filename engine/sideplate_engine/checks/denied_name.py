"""Names that the instructor keeps out of the knowledge base."""

from __future__ import annotations

import re
from collections.abc import Iterator

from sideplate_engine.check_context import DENY_LIST, CheckContext
from sideplate_engine.findings import Finding, Position

CODE = "denied-name"
TITLE = "A name that is not to appear"
EXPLANATION = (
    f"The knowledge folder holds a list, {DENY_LIST}, of names that must not stand in any file: brands and makers' "
    "names above all, so that a rule speaks about the thing and not about who sells it. One of them stands here. Say "
    "what class of thing it is instead, such as `service manual, 650-class road machine`. Case does not matter; a "
    "name is only found as a whole word."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each place where a name on the list stands."""
    names = sorted(context.denied_names, key=len, reverse=True)
    if not names:
        return
    pattern = re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, names))})(?!\w)", re.IGNORECASE)
    for path, text in context.texts.items():
        for number, line in enumerate(text.splitlines(), 1):
            for found in pattern.finditer(line):
                message = f"{found.group()} is on the list of names that are not to appear"
                yield Finding(CODE, message, Position(path, number, found.start() + 1))
