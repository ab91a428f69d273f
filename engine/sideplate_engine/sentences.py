"""Clauses and sentences made of each other, so that a reason reads well within a line and as a line of its own."""

from __future__ import annotations


def as_clause(sentence: str) -> str:
    """A sentence as it stands within another: no capital at the start, no full stop at the end."""
    return f"{sentence[:1].lower()}{sentence[1:].removesuffix('.')}"


def as_sentence(clause: str) -> str:
    """A clause as a sentence of its own. One that begins with a fact's name, such as chain.pitch, keeps it as it is."""
    first = clause.split(" ", 1)[0]
    start = clause[:1] if "." in first else clause[:1].upper()
    return f"{start}{clause[1:].removesuffix('.')}."
