"""A progress report as text and as data."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine import KnowledgeBase
from sideplate_engine.findings import listed
from sideplate_trainer.assessment import Outlook
from sideplate_trainer.blocks import Block
from sideplate_trainer.calibration import Tally
from sideplate_trainer.progress_report import DUE, SHAKY, SURE, UNMET, Progress, TopicProgress
from sideplate_trainer.schedule import State


def progress_blocks(progress: Progress, knowledge: KnowledgeBase) -> Iterator[Block]:
    """The report in blocks, each with a heading; it reads well aloud and at sixty columns."""
    total = sum(progress.states.values())
    signed_off = progress.states[State.SIGNED_OFF]
    yield Block(
        f"Progress on {progress.as_of.isoformat()}",
        (
            f"{progress.answers} {'answer' if progress.answers == 1 else 'answers'}, "
            f"{_counted(total, progress.procedures)}.",
            f"Sure: {progress.of_kind(SURE)}, of which {signed_off} signed off.",
            f"Shaky: {progress.of_kind(SHAKY)}.",
            f"Due: {progress.of_kind(DUE)}, of which {progress.states[State.REOPENED]} reopened.",
            f"Not met yet: {progress.of_kind(UNMET)}.",
        ),
    )
    yield Block("By topic", tuple(_topic(topic) for topic in progress.topics))
    yield Block("Sure and right", tuple(progress.calibration.lines()))
    if progress.outlook is not None:
        yield Block("Assessment", tuple(_assessment(progress.outlook, knowledge)))
    yield Block("Next", tuple(_next(progress)))


def _counted(total: int, procedures: int) -> str:
    """How many rules, and how many procedures where there are any."""
    rules = total - procedures
    told = f"{rules} {'rule' if rules == 1 else 'rules'}"
    if procedures:
        told += f" and {procedures} {'procedure' if procedures == 1 else 'procedures'}"
    return told


def _topic(topic: TopicProgress) -> str:
    kinds = topic.kinds
    parts = [f"{kinds[kind]} {kind}" for kind in (SURE, SHAKY, DUE) if kinds[kind]]
    if kinds[UNMET]:
        parts.append(f"{kinds[UNMET]} not met")
    return f"{topic.title}: {_counted(topic.rules, topic.procedures)}, {', '.join(parts)}."


def _assessment(outlook: Outlook, knowledge: KnowledgeBase) -> Iterator[str]:
    assessment = outlook.assessment
    titles = [knowledge.topics[topic].title for topic in assessment.topics if topic in knowledge.topics]
    about = listed(titles, "and", len(titles)) if titles else "all topics"
    yield f"{assessment.on.isoformat()}, on {about}."
    if not outlook.is_ahead:
        yield "It is past. Take it away with: sideplate practise --assessment none"
        return
    sessions = f"{outlook.sessions_left} {'session' if outlook.sessions_left == 1 else 'sessions'}"
    yield (
        f"{sessions} until then hold {outlook.planned} questions; with those answered, "
        f"{outlook.questions_a_rule:.1f} a rule."
    )
    if outlook.in_full_pass:
        yield "The last pass is on: every rule once, the longest unasked first."
    else:
        yield f"The last {outlook.pass_sessions} of them ask every rule once more."
    if outlook.is_short:
        yield "That is too few: practise more often, or keep to fewer topics."


def _next(progress: Progress) -> Iterator[str]:
    for rule in progress.next:
        yield f"{rule.title}: {rule.why}."
    if not progress.next:
        yield "Everything here was asked today. Come back tomorrow."
    elif progress.weakest is not None:
        yield f"Most is to do here: sideplate practise --topic {progress.weakest}"
    else:
        yield "sideplate practise"


def progress_as_data(progress: Progress, schedule: str) -> dict[str, object]:
    """The report as JSON can hold it."""
    return {
        "as_of": progress.as_of.isoformat(),
        "schedule": schedule,
        "answers": progress.answers,
        "rules": {
            "total": sum(progress.states.values()),
            "procedures": progress.procedures,
            **{kind: progress.of_kind(kind) for kind in (SURE, SHAKY, DUE, UNMET)},
            "states": {state.value: count for state, count in progress.states.items()},
        },
        "topics": [
            {
                "topic": topic.topic,
                "title": topic.title,
                "rules": topic.rules,
                "procedures": topic.procedures,
                **topic.kinds,
            }
            for topic in progress.topics
        ],
        "calibration": {
            "sure": _tally(progress.calibration.sure),
            "unsure": _tally(progress.calibration.unsure),
        },
        "assessment": None if progress.outlook is None else _outlook(progress.outlook),
        "next": [
            {
                "rule": rule.rule,
                "title": rule.title,
                "topic": rule.topic,
                "state": rule.state.value,
                "due": None if rule.due is None else rule.due.isoformat(),
                "why": rule.why,
            }
            for rule in progress.next
        ],
        "weakest_topic": progress.weakest,
    }


def _tally(tally: Tally) -> dict[str, object]:
    share = None if tally.share is None else round(tally.share, 4)
    return {"answers": tally.answers, "right": tally.right, "share": share}


def _outlook(outlook: Outlook) -> dict[str, object]:
    return {
        "on": outlook.assessment.on.isoformat(),
        "topics": list(outlook.assessment.topics),
        "rules": outlook.rules,
        "sessions_left": outlook.sessions_left,
        "questions_planned": outlook.planned,
        "questions_answered": outlook.asked,
        "questions_a_rule": round(outlook.questions_a_rule, 2),
        "too_few": outlook.is_short,
        "full_pass_sessions": outlook.pass_sessions,
        "in_full_pass": outlook.in_full_pass,
    }
