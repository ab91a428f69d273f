"""A situation's story, told again with some of its facts changed or left out."""

from __future__ import annotations

from collections.abc import Mapping

from sideplate_engine.vocabulary import Fact, Value
from sideplate_trainer.situations.situation import Situation


class Untellable(Exception):
    """A fact that has to go out of the story cannot be found in it."""


def differing(one: Mapping[str, Value], other: Mapping[str, Value]) -> tuple[str, ...]:
    """The facts that are not the same in both, by name."""
    return tuple(sorted(name for name in one.keys() | other.keys() if one.get(name) != other.get(name)))


def retell(
    situation: Situation, facts: Mapping[str, Value], vocabulary: Mapping[str, Fact]
) -> tuple[str, ...]:
    """The story of a situation with these facts in place of its own. Raises Untellable."""
    story = list(situation.story)
    for name in differing(situation.facts, facts):
        fact = vocabulary[name]
        before = fact.tell(situation.facts[name]) if name in situation.facts else ""
        after = fact.tell(facts[name]) if name in facts else ""
        places = [number for number, sentence in enumerate(story) if before and before in sentence]
        if len(places) == 1:
            story[places[0]] = " ".join(story[places[0]].replace(before, after).split())
        elif before:
            raise Untellable(f"the story tells {name} in {len(places)} places")
        elif after:
            story.append(after)
    return tuple(sentence for sentence in story if sentence)


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
