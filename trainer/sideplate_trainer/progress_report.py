"""What a learner's log comes to on a day: what is sure, shaky and due, by topic, and what to practise next. Pure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from sideplate_engine import KnowledgeBase
from sideplate_trainer.answers import Grade, LoggedAnswer
from sideplate_trainer.asked_about import is_procedure, title_of, topic_of
from sideplate_trainer.assessment import Outlook
from sideplate_trainer.calibration import Calibration, calibration
from sideplate_trainer.schedule import Standing, State, order_of_asking, order_of_full_pass, state_of
from sideplate_trainer.way_choice import ways_of

SURE, SHAKY, DUE, UNMET = "sure", "shaky", "due", "unmet"
KIND = {
    State.SIGNED_OFF: SURE,
    State.IN_SERVICE: SURE,
    State.ON_THE_BENCH: SHAKY,
    State.DUE_FOR_CHECK: DUE,
    State.REOPENED: DUE,
    State.UNMET: UNMET,
}
"""What each state counts as in a progress report."""

MOST_NEXT = 5
"""How many rules are told that come next."""


@dataclass(frozen=True, slots=True)
class TopicProgress:
    """The rules and procedures of one topic: how many in all, how many of them procedures, and how many of a kind."""

    topic: str
    title: str
    rules: int
    kinds: Mapping[str, int]
    procedures: int = 0


@dataclass(frozen=True, slots=True)
class NextRule:
    """A rule that comes next, and why."""

    rule: str
    title: str
    topic: str | None
    state: State
    due: date | None
    why: str


@dataclass(frozen=True, slots=True)
class Progress:
    """The whole report. `weakest` is the topic with the most that is due or shaky.

    `procedures` says how many of what is counted are procedures.
    """

    as_of: date
    answers: int
    states: Mapping[State, int]
    topics: tuple[TopicProgress, ...]
    calibration: Calibration
    next: tuple[NextRule, ...]
    weakest: str | None
    outlook: Outlook | None
    procedures: int = 0

    def of_kind(self, kind: str) -> int:
        """How many rules are sure, shaky, due or unmet."""
        return sum(count for state, count in self.states.items() if KIND[state] == kind)


def progress_of(
    knowledge: KnowledgeBase,
    rules: Sequence[str],
    answers: Sequence[LoggedAnswer],
    standings: Mapping[str, Standing],
    fingerprints: Mapping[str, str],
    today: date,
    outlook: Outlook | None,
) -> Progress:
    """The report over some rules, which are in the order of teaching."""
    states = {
        id_: state_of(standings.get(id_), fingerprints[id_], today, len(ways_of(knowledge, id_)))
        for id_ in rules
    }
    topics = tuple(_topics(knowledge, states))
    weak = [topic for topic in topics if topic.kinds[DUE] + topic.kinds[SHAKY]]
    order = (
        order_of_full_pass(rules, standings, today)
        if outlook is not None and outlook.in_full_pass
        else order_of_asking(rules, standings, fingerprints, today)
    )
    counted = Counter(states.values())
    return Progress(
        today,
        len(answers),
        {state: counted[state] for state in State},
        topics,
        calibration(answers),
        tuple(_next(knowledge, id_, states[id_], standings.get(id_), today) for id_ in order[:MOST_NEXT]),
        max(weak, key=lambda topic: topic.kinds[DUE] + topic.kinds[SHAKY]).topic if weak else None,
        outlook,
        sum(map(is_procedure, rules)),
    )


def _topics(knowledge: KnowledgeBase, states: Mapping[str, State]) -> Iterator[TopicProgress]:
    for topic, entry in knowledge.topics.items():
        of_topic = [id_ for id_ in states if topic_of(knowledge, id_) == topic]
        if of_topic:
            kinds = Counter(KIND[states[id_]] for id_ in of_topic)
            counted = {kind: kinds[kind] for kind in (SURE, SHAKY, DUE, UNMET)}
            yield TopicProgress(topic, entry.title, len(of_topic), counted, sum(map(is_procedure, of_topic)))


def _next(
    knowledge: KnowledgeBase, id_: str, state: State, standing: Standing | None, today: date
) -> NextRule:
    return NextRule(
        id_,
        title_of(knowledge, id_).rstrip("."),
        topic_of(knowledge, id_),
        state,
        None if standing is None else standing.due,
        _why(state, standing, today),
    )


def _why(state: State, standing: Standing | None, today: date) -> str:
    if standing is None:
        return "not met yet"
    if state is State.REOPENED:
        return "decides otherwise since you answered it"
    over = (today - standing.due).days
    when = "due today" if over == 0 else _days(over, "overdue") if over > 0 else _days(-over, "to go")
    if standing.grade is Grade.BLIND_SPOT:
        return f"missed though you were sure, {when}"
    if standing.grade is Grade.MISSED:
        return f"missed, {when}"
    return when


def _days(number: int, what: str) -> str:
    return f"{number} {'day' if number == 1 else 'days'} {what}"
