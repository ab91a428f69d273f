"""The one verdict that stands on a deed, or on a job as a whole: the gravest of the rulings the engine gives."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sideplate_engine import Judge, KnowledgeBase
from sideplate_engine.chaining import Chained
from sideplate_engine.judging import FORCE_ORDER
from sideplate_engine.vocabulary import Value
from sideplate_trainer.questions import Option

NOTHING = "nothing against it"
CANNOT_TELL = "cannot tell yet"
MUST_CHANGE = "must change"
SHOULD_CHANGE = "should change"

ON_A_DEED = (
    Option("must", "it has to be done"),
    Option("must not", "it is forbidden"),
    Option("should", "it is advised"),
    Option("should not", "it is advised against"),
    Option(NOTHING, "no rule forbids it, advises against it or asks for it"),
    Option(CANNOT_TELL, "what is not known yet decides it"),
)
"""The verdicts on a deed that is named, always in this order."""

ON_A_JOB = (
    Option(MUST_CHANGE, "something has to be done first or done differently"),
    Option(SHOULD_CHANGE, "something is better done differently, though nothing is forbidden"),
    Option(NOTHING, "it can go ahead as told"),
    Option(CANNOT_TELL, "what is not known yet decides it"),
)
"""The verdicts on a job as it stands. Whether a rule says `must` or `must not` is then a matter of wording."""

_OF_A_JOB = {
    "must not": MUST_CHANGE,
    "must": MUST_CHANGE,
    "should not": SHOULD_CHANGE,
    "should": SHOULD_CHANGE,
}
_FOR, _AGAINST = frozenset({"must", "should"}), frozenset({"must not", "should not"})


class Contested(Exception):
    """Rules contradict each other on these facts, so no verdict stands."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """The word of an option, and the rules whose rulings amount to it (none for `nothing against it`)."""

    word: str
    rules: tuple[str, ...]


def options_for(subject: str | None) -> tuple[Option, ...]:
    """The verdicts to choose from: on the deed a subject names, or on the job where there is none."""
    return ON_A_JOB if subject is None else ON_A_DEED


def verdict(judge: Judge, facts: Mapping[str, Value], subject: str | None) -> Verdict:
    """The verdict on a subject, or on the whole job for None. Raises Contested.

    A `may` lifts nothing and forbids nothing: beside it, as beside no ruling at all, nothing stands against the deed.
    """
    return verdict_in(judge.knowledge, judge.outcome(facts), subject)


def verdict_in(knowledge: KnowledgeBase, chained: Chained, subject: str | None) -> Verdict:
    """The verdict in an outcome of the engine, as `verdict` gives it for facts. Raises Contested."""
    if chained.conflicts:
        raise Contested(f"{chained.conflicts[0].fact} is contested")
    standing = [
        rule
        for id_ in sorted(chained.live)
        if (rule := knowledge.rules[id_]).force is not None and subject in (None, rule.about)
    ]
    for about in {rule.about for rule in standing} - {None}:
        forces = {rule.force for rule in standing if rule.about == about}
        if (forces & _FOR and forces & _AGAINST) or {"may", "must not"} <= forces:
            raise Contested(f"opposed rulings stand on {about}")
    in_words = {
        rule.id: str(rule.force) if subject else _OF_A_JOB.get(str(rule.force), "may") for rule in standing
    }
    for word in (*FORCE_ORDER, MUST_CHANGE, SHOULD_CHANGE):
        ids = tuple(id_ for id_, its_word in in_words.items() if its_word == word)
        if ids and word != "may":
            return Verdict(word, ids)
    return Verdict(NOTHING, tuple(in_words))
