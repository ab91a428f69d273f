"""Where every rule stands for a learner, and which is asked next: derived by replay from the log of answers.

What is due comes first, the longest overdue ahead, then rules not met yet, then what falls due soonest; each rule at
most once a day. When a check is due is the scheduler's business; see `gap_ladder`.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from sideplate_engine import KnowledgeBase
from sideplate_trainer.answers import Grade, LoggedAnswer, Purpose
from sideplate_trainer.scheduler import LADDER, Check, Scheduler, scheduler_named

DAYS_TO_SIGN_OFF, WAYS_TO_SIGN_OFF, GAP_TO_SIGN_OFF = 3, 2, 12


class State(StrEnum):
    """Where a rule stands for a learner."""

    UNMET = "unmet"
    ON_THE_BENCH = "on the bench"
    IN_SERVICE = "in service"
    DUE_FOR_CHECK = "due for check"
    SIGNED_OFF = "signed off"
    REOPENED = "reopened"


@dataclass(frozen=True, slots=True)
class Standing:
    """What the log says of one rule: its rung (from 0), the last day and fingerprint, and what was got right how.

    `asked` counts all its answers. `right_days` and `right_ways` are of the sound answers since the rule last changed,
    and `proven_gap` the most days that lay before one of them, since the last miss; answers to which the way was told
    count for none of the three. `taught` says that the rule was explained, or known without. `memory` is the
    scheduler's.
    """

    rung: int
    last: date
    due: date
    fingerprint: str
    grade: Grade
    asked: int = 1
    right_days: frozenset[date] = frozenset()
    right_ways: frozenset[str] = frozenset()
    proven_gap: int = 0
    taught: bool = True
    memory: object = None

    @property
    def interval(self) -> int:
        """The days between the last answer and the next check."""
        return (self.due - self.last).days

    @property
    def check(self) -> Check:
        """The scheduler's share of it."""
        return Check(self.rung, self.last, self.due, self.memory)

    def is_signed_off(self, ways: int = WAYS_TO_SIGN_OFF) -> bool:
        """Whether it was shown to be known: on three days, in two ways, after twelve days, and not missed since.

        Where there are fewer `ways` of asking about it, one is enough.
        """
        return (
            self.grade.is_right
            and len(self.right_days) >= DAYS_TO_SIGN_OFF
            and len(self.right_ways) >= min(WAYS_TO_SIGN_OFF, ways)
            and self.proven_gap >= GAP_TO_SIGN_OFF
        )


def replay(answers: Iterable[LoggedAnswer], scheduler: Scheduler | None = None) -> dict[str, Standing]:
    """The standing of every rule that was answered, from its answers in the order they were given.

    A wrong answer that is charged to another rule is that rule's miss; the one asked about is held where it was. A rule
    that was never asked cannot be charged: it is still to be met. Without a scheduler it is the ladder's.
    """
    scheduler = scheduler or scheduler_named(LADDER)
    standings: dict[str, Standing] = {}
    for answer in answers:
        charged = answer.misses
        before = standings.get(answer.rule)
        if charged is None or charged == answer.rule:
            standings[answer.rule] = _after(before, answer, scheduler)
            continue
        standings[answer.rule] = _held(before, answer, scheduler)
        if charged in standings:
            standings[charged] = _missed(standings[charged], answer, scheduler)
    return standings


def _after(before: Standing | None, answer: LoggedAnswer, scheduler: Scheduler) -> Standing:
    asked = 1 if before is None else before.asked + 1
    if before is not None and before.fingerprint != answer.fingerprint:
        before = None
    check = scheduler.next(None if before is None else before.check, answer, answer.day)
    sound = answer.grade is Grade.SOUND
    after = Standing(
        check.rung,
        check.last,
        check.due,
        answer.fingerprint,
        answer.grade,
        asked,
        taught=answer.purpose is Purpose.PRACTICE or sound or (before is not None and before.taught),
        memory=check.memory,
    )
    if before is None:
        days, ways, gap = frozenset[date](), frozenset[str](), 0
    else:
        days, ways, gap = before.right_days, before.right_ways, before.proven_gap
    if sound and not answer.guided:
        days, ways = days | {answer.day}, ways | {answer.way}
        gap = gap if before is None else max(gap, (check.last - before.last).days)
    return replace(after, right_days=days, right_ways=ways, proven_gap=gap if answer.grade.is_right else 0)


def _held(before: Standing | None, answer: LoggedAnswer, scheduler: Scheduler) -> Standing:
    """The rule asked about, when the answer misapplied another: it was seen, and neither known nor missed."""
    after = _after(before, replace(answer, grade=Grade.SHAKY), scheduler)
    if before is None or before.fingerprint != answer.fingerprint:
        return after
    return replace(after, grade=before.grade)


def _missed(before: Standing, answer: LoggedAnswer, scheduler: Scheduler) -> Standing:
    """The rule that an answer about another misapplied."""
    check = scheduler.next(before.check, answer, answer.day)
    return replace(
        before,
        rung=check.rung,
        last=check.last,
        due=check.due,
        memory=check.memory,
        grade=answer.grade,
        proven_gap=0,
    )


def state_of(standing: Standing | None, fingerprint: str, today: date, ways: int = WAYS_TO_SIGN_OFF) -> State:
    """Where a rule that can be asked about in so many ways stands today.

    One that decides otherwise than when it was last asked is reopened.
    """
    if standing is None:
        return State.UNMET
    if standing.fingerprint != fingerprint:
        return State.REOPENED
    if standing.due <= today:
        return State.DUE_FOR_CHECK
    if standing.is_signed_off(ways):
        return State.SIGNED_OFF
    known = standing.grade is Grade.SOUND and standing.right_days
    return State.IN_SERVICE if known else State.ON_THE_BENCH


def is_due(standing: Standing | None, fingerprint: str, today: date) -> bool:
    """Whether a rule met before is to be asked today."""
    return state_of(standing, fingerprint, today) in (State.DUE_FOR_CHECK, State.REOPENED)


def is_new(standing: Standing | None, fingerprint: str) -> bool:
    """Whether a rule has still to be introduced: not met yet, never taught, or deciding otherwise than it did."""
    return standing is None or not standing.taught or standing.fingerprint != fingerprint


def order_of_asking(
    rules: Sequence[str],
    standings: Mapping[str, Standing],
    fingerprints: Mapping[str, str],
    today: date,
) -> tuple[str, ...]:
    """All of these rules that may be asked today, first to last. `rules` are in the order to introduce new ones."""
    place = {rule: number for number, rule in enumerate(rules)}
    met = [rule for rule in rules if rule in standings and standings[rule].last != today]
    due = [rule for rule in met if is_due(standings[rule], fingerprints[rule], today)]
    due.sort(key=lambda rule: (standings[rule].due, place[rule]))
    new = [rule for rule in rules if rule not in standings]
    early = sorted(set(met) - set(due), key=lambda rule: (standings[rule].due, place[rule]))
    return (*due, *new, *early)


def order_of_full_pass(
    rules: Sequence[str], standings: Mapping[str, Standing], today: date
) -> tuple[str, ...]:
    """All of these rules that may be asked today in the last pass before an assessment: the longest unasked first."""
    place = {rule: number for number, rule in enumerate(rules)}
    last = {rule: standings[rule].last for rule in rules if rule in standings}
    open_today = (rule for rule in rules if last.get(rule) != today)
    return tuple(sorted(open_today, key=lambda rule: (last.get(rule, date.min), place[rule])))


def teaching_order(knowledge: KnowledgeBase) -> tuple[str, ...]:
    """Every rule, topic by topic, but none before the rules whose conclusions it reads."""
    topics = {topic: number for number, topic in enumerate(knowledge.topics)}
    derivers: dict[str, list[str]] = {}
    for rule in knowledge.rules.values():
        for fact in rule.derives():
            derivers.setdefault(fact, []).append(rule.id)
    waits_for = {
        rule.id: {id_ for fact in rule.reads() for id_ in derivers.get(fact, ())} - {rule.id}
        for rule in knowledge.rules.values()
    }
    lets_go: dict[str, list[str]] = {}
    for id_, others in waits_for.items():
        for other in others:
            lets_go.setdefault(other, []).append(id_)

    def key(id_: str) -> tuple[int, int, str]:
        return (topics[knowledge.rules[id_].topic], knowledge.strata.of_rule[id_], id_)

    ready = [key(id_) for id_, others in waits_for.items() if not others]
    heapq.heapify(ready)
    order: list[str] = []
    while ready:
        id_ = heapq.heappop(ready)[2]
        order.append(id_)
        for later in lets_go.get(id_, ()):
            waits_for[later].discard(id_)
            if not waits_for[later]:
                heapq.heappush(ready, key(later))
    return tuple(order)
