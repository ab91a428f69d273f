"""From a plan to a question: which rule in which way on which seed, and the question built only when it is its turn."""

from __future__ import annotations

from collections.abc import Mapping
from hashlib import sha256

from sideplate_engine import Judge, KnowledgeBase
from sideplate_trainer.questions import NoQuestion, Question
from sideplate_trainer.round_events import Planned
from sideplate_trainer.schedule import Standing
from sideplate_trainer.situations import NoSituation, build
from sideplate_trainer.ways import all_ways, ways_for

TRIES = 6
"""How many seeds are tried before a rule is passed over."""

SPARES = 3
"""Plans made for each question wanted, since some rules have no situation."""


def askable(knowledge: KnowledgeBase, rules: tuple[str, ...], topic: str | None) -> tuple[str, ...]:
    """Of these rules, those of the topic that are past being drafts and that some way of asking suits."""
    return tuple(
        id_
        for id_ in rules
        if topic in (None, (rule := knowledge.rules[id_]).topic) and rule.status != "draft" and ways_for(rule)
    )


def plan(
    knowledge: KnowledgeBase,
    rules: tuple[str, ...],
    standings: Mapping[str, Standing],
    base: str,
    wanted: int,
) -> tuple[Planned, ...]:
    """A plan for each of the first rules, with spares. The same base, rules and standings give the same plans."""
    return tuple(
        planned(knowledge, id_, 0 if id_ not in standings else standings[id_].asked, base)
        for id_ in rules[: wanted * SPARES]
    )


def planned(knowledge: KnowledgeBase, id_: str, asked: int, base: str) -> Planned:
    """The plan for a rule that was asked so many times before: ways of asking take turns, seeds never come back."""
    ways = ways_for(knowledge.rules[id_])
    digest = sha256(f"{base}|{id_}|{asked}".encode()).digest()
    return Planned(id_, ways[asked % len(ways)], int.from_bytes(digest[:4]))


def posed(judge: Judge, plan: Planned) -> Question:
    """The question that a plan comes to. Raises NoQuestion when none of its seeds gives one."""
    way = all_ways()[plan.way]
    reason = ""
    for seed in range(plan.seed, plan.seed + TRIES):
        try:
            return way.pose(judge, build(judge, plan.rule, seed))
        except (NoSituation, NoQuestion) as problem:
            reason = str(problem)
    raise NoQuestion(reason)
