"""What is put before a reader, free of any screen: blocks of a heading and sentences, wrapped by whoever shows them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Block:
    """A heading and the sentences under it, each on lines of its own. Either may be empty, not both."""

    heading: str
    sentences: tuple[str, ...] = ()


def ended(text: str) -> str:
    """A text as a sentence that ends: with its own full stop or question mark, or else with a full stop."""
    return text if text.endswith((".", "?")) else f"{text}."
