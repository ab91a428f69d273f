"""A round made ready: gone on with where one was broken off today, else planned and written down."""

from __future__ import annotations

import secrets
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from sideplate_engine import KnowledgeBase
from sideplate_engine.findings import listed
from sideplate_trainer.answer_log import AnswerLog, OpenRound
from sideplate_trainer.answers import LoggedAnswer, Purpose
from sideplate_trainer.asked_about import fingerprint_of, topic_of, with_procedures
from sideplate_trainer.assessment import QUESTIONS_A_RULE, Outlook, core_topics, outlook
from sideplate_trainer.posing import askable
from sideplate_trainer.record_settings import keep_warned, kept_assessment, kept_schedule, was_warned
from sideplate_trainer.round_events import Planned
from sideplate_trainer.round_planning import Learned, plans_for, terms_for
from sideplate_trainer.round_request import QUESTIONS, Request
from sideplate_trainer.round_state import Result, Terms
from sideplate_trainer.schedule import replay, teaching_order
from sideplate_trainer.scheduler import scheduler_named

PAPERS = 1_000_000
"""Papers that nobody asked for by number have one below this."""


class NothingToAsk(Exception):
    """There is no question to ask now; the message says why, and what to do."""


@dataclass(frozen=True, slots=True)
class Prepared:
    """A round that is on disk. `says` is told before it begins, `ms` the time its answers took already."""

    id: str
    plans: tuple[Planned, ...]
    wanted: int
    results: tuple[Result, ...]
    terms: Terms
    learned: Learned
    topics: tuple[str, ...]
    paper: int
    says: tuple[str, ...]
    ms: int = 0


def rules_of(knowledge: KnowledgeBase, topics: Sequence[str], rule: str | None = None) -> tuple[str, ...]:
    """What can be asked about, of some topics or (if none is named) of all, in the order of teaching it."""
    order = with_procedures(knowledge, teaching_order(knowledge)) if rule is None else (rule,)
    return tuple(
        id_ for id_ in askable(knowledge, order, None) if not topics or topic_of(knowledge, id_) in topics
    )


def outlook_of(
    knowledge: KnowledgeBase, log: AnswerLog, answers: Sequence[LoggedAnswer], now: datetime, questions: int
) -> Outlook | None:
    """What is left until the assessment kept with the record, if one is kept and still ahead."""
    assessment = kept_assessment(log)
    if assessment is None:
        return None
    found = outlook(assessment, rules_of(knowledge, assessment.topics), answers, now.date(), questions)
    return found if found.is_ahead else None


def prepared(knowledge: KnowledgeBase, log: AnswerLog, request: Request, now: datetime) -> Prepared:
    """The round for a request. Raises NothingToAsk, and ScheduleMissing where the schedule chosen is not installed."""
    answers = log.answers()
    questions = request.questions or QUESTIONS[Purpose.PRACTICE]
    ahead = outlook_of(knowledge, log, answers, now, questions)
    topics = request.topics
    if not topics and request.purpose is Purpose.PRACTICE and ahead is not None:
        # Until the assessment, practice keeps to what it is about.
        topics = ahead.assessment.topics
    rules = rules_of(knowledge, topics, request.rule)
    learned = Learned(
        log.learner,
        replay(answers, scheduler_named(kept_schedule(log))),
        {id_: fingerprint_of(knowledge, id_) for id_ in rules},
        now.date(),
        ahead is not None and ahead.in_full_pass,
    )
    found = log.open_round(request.as_data(), now.date())
    if found is not None:
        return _gone_on_with(knowledge, request, learned, topics, found)
    paper = secrets.randbelow(PAPERS) if request.seed is None else request.seed
    plans = plans_for(knowledge, rules, request, learned, paper)
    if not plans:
        raise NothingToAsk(_nothing_to_ask(request))
    id_ = log.begin_round(
        request.as_data(),
        [(each.rule, each.way, each.seed) for each in plans],
        request.wanted,
        now.date(),
        now,
        paper,
    )
    says = () if request.purpose is not Purpose.PRACTICE else tuple(_until(ahead, knowledge, log, rules))
    terms = terms_for(request, plans, knowledge, learned)
    return Prepared(id_, plans, request.wanted, (), terms, learned, topics, paper, says)


def _gone_on_with(
    knowledge: KnowledgeBase, request: Request, learned: Learned, topics: tuple[str, ...], found: OpenRound
) -> Prepared:
    """A round that was broken off, without what the knowledge no longer has."""
    plans = tuple(Planned(*each) for each in found.planned if each[0] in learned.fingerprints)
    answered = len(found.answered)
    return Prepared(
        found.id,
        plans,
        found.wanted,
        tuple(Result(answer.rule, answer.grade) for answer in found.answered),
        replace(terms_for(request, plans, knowledge, learned), draft=found.draft),
        learned,
        topics,
        found.seed or 0,
        (f"Going on with the round after {answered} {'answer' if answered == 1 else 'answers'}.",),
        found.ms,
    )


def _until(
    ahead: Outlook | None, knowledge: KnowledgeBase, log: AnswerLog, rules: tuple[str, ...]
) -> Iterator[str]:
    """What the assessment means for this round: the last pass, and once, that there is too little room."""
    if ahead is None:
        return
    day = ahead.assessment.on.isoformat()
    if ahead.in_full_pass:
        yield f"The last pass before the assessment on {day}: every rule once, the longest unasked first."
    if ahead.is_short and not was_warned(log):
        keep_warned(log)
        yield from capacity_warning(ahead, knowledge, rules)


def capacity_warning(ahead: Outlook, knowledge: KnowledgeBase, rules: Sequence[str]) -> Iterator[str]:
    """That the questions until the assessment are too few, with a core set of topics that they suffice for."""
    room = ahead.planned + ahead.asked
    yield (
        f"Until {ahead.assessment.on.isoformat()} there is room for {room} questions on {ahead.rules} rules, "
        f"{ahead.questions_a_rule:.1f} a rule; it takes {QUESTIONS_A_RULE}."
    )
    core = core_topics(knowledge, rules, room)
    if core != tuple(dict.fromkeys(topic_of(knowledge, id_) for id_ in rules)):
        titles = listed([knowledge.topics[topic].title for topic in core], "and", len(core))
        words = " ".join(f"--topic {topic}" for topic in core)
        yield f"Practise more often, or keep to a core set that fits, what can hurt somebody first: {titles}."
        yield f"sideplate practise --assessment {ahead.assessment.on.isoformat()} {words}"


def _nothing_to_ask(request: Request) -> str:
    if request.rule is not None:
        return f"No question can be asked about {request.rule} yet."
    if request.purpose is Purpose.PLACEMENT:
        return "Every rule here was met already; `sideplate practise` goes on from there."
    return "Every rule here has been asked today. Come back tomorrow."
