"""What is different between two sheets, told as a story would tell it."""

from __future__ import annotations

from collections.abc import Mapping

from sideplate_engine.vocabulary import Fact, Value


def differing(one: Mapping[str, Value], other: Mapping[str, Value]) -> tuple[str, ...]:
    """The facts that are not the same in both, by name."""
    return tuple(sorted(name for name in one.keys() | other.keys() if one.get(name) != other.get(name)))


def change_in_words(
    before: Mapping[str, Value], after: Mapping[str, Value], vocabulary: Mapping[str, Fact]
) -> str:
    """What is different in the second case, as sentences; a fact that is no longer known says so."""
    sentences: list[str] = []
    for name in differing(before, after):
        fact = vocabulary[name]
        if name not in after:
            sentences.append(f"Not known: {fact.ask or fact.means}")
        else:
            sentences.append(fact.tell(after[name]) or f"{name} is {fact.show(after[name])}.")
    return " ".join(sentences)
