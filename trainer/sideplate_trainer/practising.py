"""One sitting from its request to its end, and what is told around it."""

from __future__ import annotations

from datetime import datetime, timedelta

from sideplate_engine import Judge, KnowledgeBase
from sideplate_engine.findings import listed
from sideplate_trainer.answer_log import AnswerLog
from sideplate_trainer.answers import LoggedAnswer
from sideplate_trainer.blocks import Block
from sideplate_trainer.exam_review import review
from sideplate_trainer.exam_sheet import paper_title
from sideplate_trainer.front.face import Face
from sideplate_trainer.posing import looks_of
from sideplate_trainer.record_settings import kept_schedule
from sideplate_trainer.round import begin
from sideplate_trainer.round_preparing import NothingToAsk, Prepared, prepared
from sideplate_trainer.round_request import Request
from sideplate_trainer.schedule import is_due, replay
from sideplate_trainer.scheduler import scheduler_named
from sideplate_trainer.sitting import Sitting

INTERRUPTED = 130
"""Exit status after Ctrl-C, as shells have it: 128 and the number of the signal."""


def practise(knowledge: KnowledgeBase, log: AnswerLog, request: Request, face: Face) -> int:
    """One sitting; returns the exit status. A round broken off on the same day is gone on with.

    Raises ScheduleMissing where the schedule that was chosen is not installed.
    """
    now = datetime.now().astimezone()
    try:
        ready = prepared(knowledge, log, request, now)
    except NothingToAsk as nothing:
        _say(face, str(nothing))
        return 0
    judge = Judge(knowledge)
    topics = topics_in_words(knowledge, ready.topics)
    title = paper_title(ready.paper, topics, ready.wanted)
    state, effects = begin(ready.plans, ready.wanted, ready.results, ready.terms)
    if ready.says:
        _say(face, *ready.says)
    if state.is_exam:
        _say(
            face,
            f"{title}.",
            "Nothing is told before the end; an answer can be taken back until it is confirmed.",
        )
    sitting = Sitting(
        judge=judge,
        face=face,
        log=log,
        round_id=ready.id,
        fingerprints=ready.learned.fingerprints,
        topic=topics[:1].upper() + topics[1:],
        day=now.date(),
        clock=lambda: datetime.now().astimezone(),
        due=_due(ready),
        standings=lambda answers: replay(answers, scheduler_named(kept_schedule(log))),
        title=title,
        ends_at=_ends_at(request, ready, now),
        seen=set(looks_of(judge, log.answers_in_round(ready.id) if ready.results else ())),
    )
    try:
        sitting.run(state, effects)
    except EOFError:
        _say_left(face, log.answers_in_round(ready.id))
        return 0
    except KeyboardInterrupt:
        _say_left(face, log.answers_in_round(ready.id))
        return INTERRUPTED
    if state.is_exam:
        try:
            review(judge, face, log.answers_in_round(ready.id))
        except KeyboardInterrupt:
            return INTERRUPTED
    return 0


def topics_in_words(knowledge: KnowledgeBase, topics: tuple[str, ...]) -> str:
    """`all topics`, or their titles."""
    titles = [knowledge.topics[topic].title for topic in topics]
    return listed(titles, "and", len(titles)) if titles else "all topics"


def _due(ready: Prepared) -> frozenset[str]:
    learned = ready.learned
    return frozenset(
        id_
        for id_, printed in learned.fingerprints.items()
        if is_due(learned.standings.get(id_), printed, learned.today)
    )


def _ends_at(request: Request, ready: Prepared, now: datetime) -> datetime | None:
    """When the minutes are over; those that a broken-off round has used already are gone."""
    if request.minutes is None:
        return None
    return now + timedelta(minutes=request.minutes) - timedelta(milliseconds=ready.ms)


def _say_left(face: Face, answered: tuple[LoggedAnswer, ...]) -> None:
    kept = f"{len(answered)} {'answer' if len(answered) == 1 else 'answers'}"
    _say(face, f"Left after {kept}. The same command goes on from here today.")


def _say(face: Face, *sentences: str) -> None:
    face.tell((Block("", sentences),))
