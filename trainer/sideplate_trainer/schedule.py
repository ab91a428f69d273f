"""When each rule is asked again: a ladder of check intervals, derived by replay from the log of answers.

Whole days, no chance, nothing stored. Right and sure moves a rule up one interval; right but unsure or helped leaves it
where it is; wrong moves it down two. Each rule comes at most once a day: what is due first, the longest overdue ahead,
then rules not met yet, then what falls due soonest.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from sideplate_engine import KnowledgeBase
from sideplate_trainer.answers import Grade, LoggedAnswer

CHECK_INTERVALS = (2, 5, 12, 30, 60)
"""Days until the next check, by rung."""

DOWN_WHEN_WRONG = 2
DAYS_TO_SIGN_OFF, WAYS_TO_SIGN_OFF, INTERVAL_TO_SIGN_OFF = 3, 2, 12


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

    `asked` counts all its answers. `right_days` and `right_ways` count only since the rule last changed.
    """

    rung: int
    last: date
    due: date
    fingerprint: str
    grade: Grade
    asked: int = 1
    right_days: frozenset[date] = frozenset()
    right_ways: frozenset[str] = frozenset()

    @property
    def interval(self) -> int:
        """The days between the last answer and the next check."""
        return CHECK_INTERVALS[self.rung]


def rung_after(rung: int | None, grade: Grade) -> int:
    """The rung after an answer; None is a rule not met before, which begins on the first whatever the answer."""
    if rung is None:
        return 0
    if grade is Grade.SOUND:
        return min(rung + 1, len(CHECK_INTERVALS) - 1)
    return rung if grade is Grade.SHAKY else max(rung - DOWN_WHEN_WRONG, 0)


def replay(answers: Iterable[LoggedAnswer]) -> dict[str, Standing]:
    """The standing of every rule that was answered, from its answers in the order they were given.

    A wrong answer that is blamed on another rule is that rule's miss; the one asked about keeps its rung.
    """
    standings: dict[str, Standing] = {}
    for answer in answers:
        blamed = answer.blamed_rule
        if answer.grade.is_right or blamed is None or blamed == answer.rule:
            standings[answer.rule] = _after(standings.get(answer.rule), answer)
            continue
        asked = standings.get(answer.rule)
        if asked is not None:
            standings[answer.rule] = _moved(asked, asked.rung, answer)
        missed = standings.get(blamed)
        if missed is not None:
            standings[blamed] = _moved(missed, rung_after(missed.rung, answer.grade), answer)
    return standings


def _moved(standing: Standing, rung: int, answer: LoggedAnswer) -> Standing:
    return Standing(
        rung,
        answer.day,
        answer.day + timedelta(days=CHECK_INTERVALS[rung]),
        standing.fingerprint,
        answer.grade if rung != standing.rung else standing.grade,
        standing.asked + 1,
        standing.right_days,
        standing.right_ways,
    )


def _after(before: Standing | None, answer: LoggedAnswer) -> Standing:
    if before is not None and before.fingerprint != answer.fingerprint:
        asked, before = before.asked, None
    else:
        asked = 0 if before is None else before.asked
    rung = rung_after(None if before is None else before.rung, answer.grade)
    days = frozenset() if before is None else before.right_days
    ways = frozenset() if before is None else before.right_ways
    if answer.grade.is_right:
        days, ways = days | {answer.day}, ways | {answer.way}
    due = answer.day + timedelta(days=CHECK_INTERVALS[rung])
    return Standing(rung, answer.day, due, answer.fingerprint, answer.grade, asked + 1, days, ways)


def state_of(standing: Standing | None, fingerprint: str, today: date) -> State:
    """Where a rule stands today. A rule that decides otherwise than when it was last asked is reopened."""
    if standing is None:
        return State.UNMET
    if standing.fingerprint != fingerprint:
        return State.REOPENED
    if standing.due <= today:
        return State.DUE_FOR_CHECK
    if not standing.grade.is_right:
        return State.ON_THE_BENCH
    signed_off = (
        len(standing.right_days) >= DAYS_TO_SIGN_OFF
        and len(standing.right_ways) >= WAYS_TO_SIGN_OFF
        and standing.interval >= INTERVAL_TO_SIGN_OFF
    )
    if signed_off:
        return State.SIGNED_OFF
    return State.IN_SERVICE if standing.grade is Grade.SOUND else State.ON_THE_BENCH


def is_due(standing: Standing | None, fingerprint: str, today: date) -> bool:
    """Whether a rule met before is to be asked today."""
    return state_of(standing, fingerprint, today) in (State.DUE_FOR_CHECK, State.REOPENED)


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
