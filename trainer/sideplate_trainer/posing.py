"""From a plan to a question: which rule in which way on which seed, and the question built only when it is its turn."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from hashlib import sha256

from sideplate_engine import Judge, KnowledgeBase
from sideplate_trainer.answers import LoggedAnswer
from sideplate_trainer.asked_about import is_known, is_procedure, topic_of
from sideplate_trainer.item_lint import faults_of
from sideplate_trainer.questions import NoQuestion, Question
from sideplate_trainer.round_events import Planned
from sideplate_trainer.schedule import Standing
from sideplate_trainer.situations import NoSituation, build
from sideplate_trainer.situations.situation import Situation
from sideplate_trainer.way_choice import instead_of, way_at, ways_of
from sideplate_trainer.ways import all_ways

TRIES = 6
"""How many seeds are tried before a rule is passed over."""

SPARES = 3
"""Plans made for each question wanted, since some rules have no situation."""


def askable(knowledge: KnowledgeBase, ids: tuple[str, ...], topic: str | None) -> tuple[str, ...]:
    """Of these rules and procedures, those of the topic that are past being drafts and that some way suits."""
    return tuple(
        id_
        for id_ in ids
        if topic in (None, topic_of(knowledge, id_))
        and not _is_draft(knowledge, id_)
        and ways_of(knowledge, id_)
    )


def _is_draft(knowledge: KnowledgeBase, id_: str) -> bool:
    return not is_procedure(id_) and knowledge.rules[id_].status == "draft"


def plan(
    knowledge: KnowledgeBase,
    ids: tuple[str, ...],
    standings: Mapping[str, Standing],
    base: str,
    wanted: int,
) -> tuple[Planned, ...]:
    """A plan for each of the first ids, with spares. The same base, ids and standings give the same plans."""
    plans: list[Planned] = []
    for id_ in ids[: wanted * SPARES]:
        standing = standings.get(id_)
        asked, rung = (0, 0) if standing is None else (standing.asked, standing.rung)
        plans.append(planned(knowledge, id_, asked, base, rung))
    return tuple(plans)


def planned(knowledge: KnowledgeBase, id_: str, asked: int, base: str, rung: int = 0) -> Planned:
    """The plan for what stands on a rung and was asked so many times before: seeds never come back.

    Ways of one level take turns, and not every rule begins with the same one.
    """
    way = way_at(ways_of(knowledge, id_), rung, _drawn(f"{base}|{id_}|turn") + asked)
    return Planned(id_, way, _drawn(f"{base}|{id_}|{asked}"))


def planned_by_lot(knowledge: KnowledgeBase, id_: str, base: str) -> Planned:
    """The plan of a paper: its way is drawn from all of them by the base, whatever is known of the learner."""
    ways = ways_of(knowledge, id_)
    return Planned(id_, ways[_drawn(f"{base}|{id_}|way") % len(ways)], _drawn(f"{base}|{id_}"))


def posed(judge: Judge, plan: Planned, seen: Collection[tuple[str, ...]] = ()) -> Question:
    """The question that a plan comes to, its look none of those seen.

    Where its way finds nothing to ask, or only what has a fault of form, the other ways of the rule are tried, the
    nearest in level first. A question with such a fault is put where there is no other. Raises NoQuestion when none
    of them gives a new question.
    """
    faulty: Question | None = None
    ways = instead_of(plan.way, ways_of(judge.knowledge, plan.rule), plan.seed)
    reason = f"there is nothing new to ask about {plan.rule}"
    for seed in range(plan.seed, plan.seed + TRIES):
        # Situations take longest to build, so every way is tried on one before the next is built.
        situation = _situation(judge, plan.rule, seed)
        if isinstance(situation, NoSituation):
            reason = str(situation)
            continue
        for name in ways:
            try:
                question = all_ways()[name].pose(judge, situation)
            except NoQuestion as problem:
                reason = str(problem)
                continue
            if question.look in seen:
                continue
            if not faults_of(question):
                return question
            faulty = faulty or question
    if faulty is not None:
        return faulty
    raise NoQuestion(reason)


def posed_again(judge: Judge, id_: str, way: str, seed: int) -> Question:
    """A question that was posed before. Raises NoQuestion where the knowledge was changed so that it is none now."""
    if not is_known(judge.knowledge, id_) or way not in ways_of(judge.knowledge, id_):
        raise NoQuestion(f"{id_} is not asked about in that way any more")
    situation = _situation(judge, id_, seed)
    if isinstance(situation, NoSituation):
        raise NoQuestion(str(situation))
    return all_ways()[way].pose(judge, situation)


def looks_of(judge: Judge, answered: Iterable[LoggedAnswer]) -> frozenset[tuple[str, ...]]:
    """How the questions looked that these answers were given to; those that are no questions any more are left out."""
    looks: set[tuple[str, ...]] = set()
    for answer in answered:
        try:
            looks.add(posed_again(judge, answer.rule, answer.way, answer.seed).look)
        except NoQuestion:
            continue
    return frozenset(looks)


def _situation(judge: Judge, id_: str, seed: int) -> Situation | NoSituation:
    """What is asked about on a seed: of a procedure no more than its id; NoSituation where a rule has none."""
    if is_procedure(id_):
        return Situation(id_, seed, {}, (), ())
    try:
        return build(judge, id_, seed)
    except NoSituation as problem:
        return problem


def _drawn(text: str) -> int:
    return int.from_bytes(sha256(text.encode()).digest()[:4])
