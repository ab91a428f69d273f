"""The time until an assessment: how many questions it holds, when the last full pass begins, and what fits into it."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from sideplate_engine import KnowledgeBase
from sideplate_trainer.answers import LoggedAnswer
from sideplate_trainer.asked_about import topic_of

SESSIONS_A_WEEK = 5
"""Sessions counted on where the record does not show a habit yet."""

HABIT_DAYS = 28
DAYS_FOR_A_HABIT = 3
"""A habit is read off so many days back, once there are answers on so many of them."""

QUESTIONS_A_RULE = 4
"""With fewer until the assessment, every schedule that was simulated leaves much unknown."""


@dataclass(frozen=True, slots=True)
class Assessment:
    """A day to be ready for, on some topics or on all (none named), with the sessions a week that are planned."""

    on: date
    topics: tuple[str, ...] = ()
    sessions_a_week: int | None = None


@dataclass(frozen=True, slots=True)
class Pace:
    """How much is practised."""

    sessions_a_week: float
    questions_a_session: float


def habit(answers: Iterable[LoggedAnswer], today: date) -> Pace | None:
    """The pace of the last four weeks, today left out; None while there are answers on fewer than three days."""
    days: dict[date, int] = {}
    for answer in answers:
        if today - timedelta(days=HABIT_DAYS) <= answer.day < today:
            days[answer.day] = days.get(answer.day, 0) + 1
    if len(days) < DAYS_FOR_A_HABIT:
        return None
    weeks = max((today - min(days)).days, 7) / 7
    return Pace(len(days) / weeks, sum(days.values()) / len(days))


@dataclass(frozen=True, slots=True)
class Outlook:
    """What is left until an assessment, today included and its own day not.

    `planned` are the questions that the sessions left hold, `asked` those answered already, both about its rules.
    """

    assessment: Assessment
    rules: int
    sessions_left: int
    pass_sessions: int
    planned: int
    asked: int

    @property
    def is_ahead(self) -> bool:
        """Whether the assessment is still to come."""
        return self.sessions_left > 0

    @property
    def in_full_pass(self) -> bool:
        """Whether the last full pass, in which every rule is asked once, has begun."""
        return 0 < self.sessions_left <= self.pass_sessions

    @property
    def questions_a_rule(self) -> float:
        """Questions a rule, those answered already with those planned."""
        return (self.planned + self.asked) / self.rules if self.rules else 0.0

    @property
    def is_short(self) -> bool:
        """Whether that is too few to learn them all."""
        return self.is_ahead and self.questions_a_rule < QUESTIONS_A_RULE


def outlook(
    assessment: Assessment,
    rules: Collection[str],
    answers: Sequence[LoggedAnswer],
    today: date,
    questions: int,
) -> Outlook:
    """What is left until the assessment, at the habit of the record or, where there is none, `questions` a session."""
    pace = habit(answers, today) or Pace(SESSIONS_A_WEEK, questions)
    a_week = assessment.sessions_a_week or pace.sessions_a_week
    a_session = max(1, round(pace.questions_a_session))
    days = max(0, (assessment.on - today).days)
    sessions = max(1, math.floor(days * a_week / 7)) if days else 0
    among = frozenset(rules)
    asked = sum(answer.rule in among for answer in answers)
    return Outlook(
        assessment, len(rules), sessions, math.ceil(len(rules) / a_session), sessions * a_session, asked
    )


def core_topics(knowledge: KnowledgeBase, rules: Iterable[str], room: int) -> tuple[str, ...]:
    """The topics that fit into so many questions, those that keep most people from harm first; at least one.

    They are put in order by the share of their rules that carry a caution, and told in the order of the topics.
    """
    sizes: dict[str, int] = {}
    cautions: dict[str, int] = {}
    for id_ in rules:
        topic = topic_of(knowledge, id_)
        if topic is not None:
            rule = knowledge.rules.get(id_)
            sizes[topic] = sizes.get(topic, 0) + 1
            cautions[topic] = cautions.get(topic, 0) + (rule is not None and rule.caution is not None)
    chosen: list[str] = []
    left = room // QUESTIONS_A_RULE
    for topic in sorted(sizes, key=lambda name: (-_share(cautions, sizes, name), sizes[name], name)):
        if not chosen or sizes[topic] <= left:
            chosen.append(topic)
            left -= sizes[topic]
    return tuple(topic for topic in knowledge.topics if topic in chosen)


def _share(cautions: Mapping[str, int], sizes: Mapping[str, int], topic: str) -> float:
    return cautions[topic] / sizes[topic]
