"""Single values written as YAML that reads back as the same text."""

from __future__ import annotations

import json
import re

_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9 .,;/%·°²³()'+-]*")
"""Text that YAML takes as it is: no colon, no hash, nothing that opens a list or a mapping."""

_WORDS_OF_YAML = frozenset({"known", "unknown", "null"})


def scalar(text: str, in_brackets: bool = False) -> str:
    """The text as a value: bare where YAML reads it so, else in quotes. Within brackets a comma ends a bare value."""
    is_plain = _PLAIN.fullmatch(text) and text == text.strip() and text.lower() not in _WORDS_OF_YAML
    return text if is_plain and not (in_brackets and "," in text) else json.dumps(text, ensure_ascii=False)
