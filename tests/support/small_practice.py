"""The small base about bolts with rules to practise, and situations on it written by hand.

What builds situations is tested elsewhere; here they are plain, so that a test can see what is in them.
"""

from __future__ import annotations

from pathlib import Path

from sideplate_engine import Judge
from sideplate_engine.authored_conditions import FactTest, Test
from sideplate_engine.open_facts import status_of
from sideplate_engine.vocabulary import Value
from sideplate_trainer.situations.situation import NearMiss, Situation
from support.small_knowledge import Files, given, judge_with, rule

RULES: tuple[Files, ...] = (
    rule(
        "codes-differ",
        status="checked",
        title="The nut carries the bolt's own code",
        when="nut.code: {differs from: bolt.code}",
        ruling="must not",
        about="use-the-bolt",
        says="Do not put nut {nut.code} on bolt {bolt.code}.",
        instead="Take a nut of the bolt's own code.",
        because="{kind: safety, text: The threads are cut to different tolerances.}",
        caution="sharp-edges",
    ),
    rule(
        "grease-it",
        topic="checking",
        status="checked",
        title="A bolt goes in greased",
        when="bolt.greased: no",
        ruling="should",
        says="Grease the bolt.",
    ),
    rule(
        "bent-bolt",
        status="checked",
        when="bolt.marks: bent",
        ruling="must",
        says="Renew the bolt.",
    ),
    rule(
        "paint-is-allowed",
        status="checked",
        when="bolt.finish: painted",
        ruling="may",
        about="use-the-bolt",
        says="You may use a painted bolt.",
    ),
    rule(
        "no-manual-pitch",
        status="checked",
        when="{bolt.grip: unknown, bolt.nuts: {above: 4}}",
        ruling="should not",
        says="Do not trust it.",
    ),
    rule(
        "pitch-by-table",
        status="checked",
        title="The size gives the pitch",
        derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}",
        says="Size {bolt.size} has a pitch of {bolt.pitch}.",
    ),
    rule(
        "travel-by-turns",
        status="checked",
        title="Turns give the travel",
        derive="bolt.travel: {formula: travel}",
        says="After {bolt.turns} turns it has come {bolt.travel}.",
    ),
    rule(
        "draft-rule",
        when="bolt.marks: rust",
        ruling="must",
    ),
)


def practice_judge(folder: Path, *more: Files) -> Judge:
    """A judge on the small base with rules to practise, and more if they are named."""
    return judge_with(folder, *RULES, *more)


def situation(
    judge: Judge, rule_id: str, facts: str, *near: tuple[str, str], seed: int = 1, opening: str = "A bolt."
) -> Situation:
    """A situation of these facts. Each near miss is the name of a fact and its other value, empty to take it away."""
    known = given(judge, facts)
    return Situation(
        rule_id,
        seed,
        known,
        (opening, *(judge.knowledge.facts[name].tell(value) for name, value in known.items())),
        tuple(_near_miss(judge, rule_id, known, name, value) for name, value in near),
    )


def _near_miss(judge: Judge, rule_id: str, known: dict[str, Value], name: str, value: str) -> NearMiss:
    facts = {other: kept for other, kept in known.items() if other != name}
    if value:
        facts |= given(judge, f"{name}: {value}")
    rule_ = judge.knowledge.rules[rule_id]
    status = status_of(judge.knowledge, judge.outcome(facts), rule_).status
    return NearMiss(facts, name, FactTest(name, Test.KNOWN, rule_.at), status)
