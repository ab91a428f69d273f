"""What is put before a reader, free of any screen: blocks of a heading and sentences, wrapped by whoever shows them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Block:
    """A heading and the sentences under it, each on lines of its own. Either may be empty, not both."""

    heading: str
    sentences: tuple[str, ...] = ()
