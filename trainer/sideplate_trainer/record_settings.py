"""What is kept with a learner's record besides answers: the day of an assessment, and the schedule."""

from __future__ import annotations

from datetime import date

from sideplate_trainer.answer_log import AnswerLog
from sideplate_trainer.assessment import Assessment
from sideplate_trainer.scheduler import LADDER, SCHEDULES

ASSESSMENT, WARNED, SCHEDULE = "assessment", "warned of capacity", "schedule"


def kept_assessment(log: AnswerLog) -> Assessment | None:
    """The assessment that the learner works towards, if there is one."""
    kept = log.setting(ASSESSMENT)
    if not isinstance(kept, dict):
        return None
    a_week = kept.get("sessions_a_week")
    return Assessment(
        date.fromisoformat(str(kept["on"])),
        tuple(str(topic) for topic in kept.get("topics", ())),
        None if a_week is None else int(a_week),
    )


def keep_assessment(log: AnswerLog, assessment: Assessment | None) -> None:
    """Keeps an assessment with the record; None takes it away. Its warning may then be given anew."""
    log.keep_setting(WARNED, None)
    if assessment is None:
        log.keep_setting(ASSESSMENT, None)
        return
    log.keep_setting(
        ASSESSMENT,
        {
            "on": assessment.on.isoformat(),
            "topics": list(assessment.topics),
            "sessions_a_week": assessment.sessions_a_week,
        },
    )


def was_warned(log: AnswerLog) -> bool:
    """Whether it was said already that the questions until the assessment are too few."""
    return log.setting(WARNED) is True


def keep_warned(log: AnswerLog) -> None:
    """Notes that it was said."""
    log.keep_setting(WARNED, True)


def kept_schedule(log: AnswerLog) -> str:
    """The name of the schedule that the learner chose; the ladder where none was chosen."""
    kept = log.setting(SCHEDULE)
    return kept if isinstance(kept, str) and kept in SCHEDULES else LADDER


def keep_schedule(log: AnswerLog, name: str) -> None:
    """Keeps the schedule that was chosen."""
    log.keep_setting(SCHEDULE, name)
