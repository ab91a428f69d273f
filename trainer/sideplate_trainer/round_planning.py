"""Which rules a round asks about, in which order, in which ways and on which seeds. Pure, and the same every time."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from hashlib import sha256

from sideplate_engine import KnowledgeBase
from sideplate_trainer.answers import Purpose
from sideplate_trainer.asked_about import topic_of
from sideplate_trainer.companions import beside_new, companions_in
from sideplate_trainer.posing import SPARES, plan, planned_by_lot
from sideplate_trainer.round_events import Planned
from sideplate_trainer.round_request import Request
from sideplate_trainer.round_state import Terms
from sideplate_trainer.schedule import Standing, is_new, order_of_asking, order_of_full_pass
from sideplate_trainer.way_choice import way_at, ways_of

PLACEMENT_A_TOPIC = 4
"""At most so many questions a topic in a placement round."""


@dataclass(frozen=True, slots=True)
class Learned:
    """What is known of the learner on a day: who it is, where the rules stand, and what they decide now."""

    learner: str
    standings: Mapping[str, Standing]
    fingerprints: Mapping[str, str]
    today: date
    in_full_pass: bool = False


def plans_for(
    knowledge: KnowledgeBase, rules: tuple[str, ...], request: Request, learned: Learned, paper: int
) -> tuple[Planned, ...]:
    """What a round plans to ask, the spares included; nothing where there is nothing to ask today.

    `rules` are those that can be asked about, in the order of teaching. An exam's `paper` is its seed.
    """
    base = learned.learner if request.seed is None else str(request.seed)
    match request.purpose:
        case Purpose.EXAM:
            return exam_plans(knowledge, rules, paper, request.wanted)
        case Purpose.PLACEMENT:
            unmet = tuple(id_ for id_ in rules if id_ not in learned.standings)
            return placement_plans(knowledge, unmet, base, request.wanted)
        case _:
            if request.rule is not None:
                return plan(knowledge, rules, learned.standings, base, request.wanted)
            order = practice_order(knowledge, rules, request, learned)
            plans = plan(knowledge, order, learned.standings, base, request.wanted)
            new = new_among((each.rule for each in plans), learned)
            return tuple(introducing(knowledge, each) if each.rule in new else each for each in plans)


def introducing(knowledge: KnowledgeBase, plan: Planned) -> Planned:
    """The plan for the first meeting of a rule: whatever else may be asked about it, first what it says of a case."""
    return replace(plan, way=way_at(ways_of(knowledge, plan.rule), 0, plan.seed))


def terms_for(
    request: Request, plans: Iterable[Planned], knowledge: KnowledgeBase, learned: Learned
) -> Terms:
    """What the round is for, which of its rules have to be introduced, and which topics it may close."""
    ids = [each.rule for each in plans]
    match request.purpose:
        case Purpose.EXAM:
            return Terms(Purpose.EXAM)
        case Purpose.PLACEMENT:
            return Terms(Purpose.PLACEMENT, topics={id_: topic_of(knowledge, id_) or "" for id_ in ids})
        case _:
            # A rule that was asked for by name is shown as it would be asked.
            return Terms() if request.rule is not None else Terms(new=new_among(ids, learned))


def new_among(rules: Iterable[str], learned: Learned) -> frozenset[str]:
    """The rules that have still to be introduced."""
    return frozenset(id_ for id_ in rules if is_new(learned.standings.get(id_), learned.fingerprints[id_]))


def practice_order(
    knowledge: KnowledgeBase, rules: tuple[str, ...], request: Request, learned: Learned
) -> tuple[str, ...]:
    """The rules by when they are due; in the last pass before an assessment by how long they were not asked."""
    if learned.in_full_pass:
        return order_of_full_pass(rules, learned.standings, learned.today)
    order = order_of_asking(rules, learned.standings, learned.fingerprints, learned.today)
    new = new_among(order, learned)
    return beside_new(order, new, frozenset(order) - new, companions_in(knowledge), request.wanted)


def placement_plans(
    knowledge: KnowledgeBase, unmet: Sequence[str], base: str, wanted: int
) -> tuple[Planned, ...]:
    """A few rules of each topic, the topics taking turns; the round itself leaves out topics that are not known."""
    turns = by_turns(knowledge, unmet, f"placement|{base}", PLACEMENT_A_TOPIC)
    return tuple(planned_by_lot(knowledge, id_, f"placement|{base}") for id_ in turns[: wanted * SPARES])


def exam_plans(
    knowledge: KnowledgeBase, rules: Sequence[str], paper: int, wanted: int
) -> tuple[Planned, ...]:
    """The paper of a seed: the topics take turns, whoever sits it. It does not depend on any record."""
    turns = by_turns(knowledge, rules, f"exam|{paper}", len(rules))
    return tuple(planned_by_lot(knowledge, id_, f"exam|{paper}") for id_ in turns[: wanted * SPARES])


def by_turns(knowledge: KnowledgeBase, rules: Iterable[str], base: str, a_topic: int) -> tuple[str, ...]:
    """Rules of each topic in an order drawn from the base, one of each topic after the other, so many a topic."""
    by_topic: dict[str, list[str]] = {}
    for id_ in rules:
        by_topic.setdefault(topic_of(knowledge, id_) or "", []).append(id_)
    columns = [
        sorted(by_topic[topic], key=lambda id_: (_drawn(f"{base}|{id_}"), id_))[:a_topic]
        for topic in (*knowledge.topics, "")
        if topic in by_topic
    ]
    longest = max(map(len, columns), default=0)
    return tuple(column[turn] for turn in range(longest) for column in columns if turn < len(column))


def _drawn(text: str) -> int:
    return int.from_bytes(sha256(text.encode()).digest()[:8])
