"""`sideplate practise`: questions at the prompt, judged, explained, and asked again when they are due."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

import click

from sideplate_engine import KnowledgeBase
from sideplate_engine.findings import did_you_mean
from sideplate_trainer.answer_log import AnswerLog, LogRefused
from sideplate_trainer.answers import Purpose
from sideplate_trainer.asked_about import id_of_procedure, is_known
from sideplate_trainer.assessment import Assessment
from sideplate_trainer.front.choosing import face_for
from sideplate_trainer.knowledge_option import UNREADABLE, knowledge_option, knowledge_or_exit
from sideplate_trainer.practising import practise
from sideplate_trainer.record_option import record_option, usual_record
from sideplate_trainer.record_settings import keep_assessment, keep_schedule, kept_assessment
from sideplate_trainer.round_request import QUESTIONS, Request
from sideplate_trainer.scheduler import SCHEDULES, ScheduleMissing, scheduler_named

NO_ASSESSMENT = "none"


def _day(context: click.Context, parameter: click.Parameter, value: str | None) -> date | str | None:
    """A day to come, or the word that takes it away. Refuses what is neither."""
    if value is None or value == NO_ASSESSMENT:
        return value
    try:
        day = date.fromisoformat(value)
    except ValueError:
        raise click.BadParameter(
            f"{value} is no day; write it as 2026-12-20, or {NO_ASSESSMENT} to take it away"
        ) from None
    if day <= date.today():
        raise click.BadParameter(f"{day.isoformat()} is not ahead")
    return day


@click.command(
    epilog="""\b
Examples:
  sideplate practise
  sideplate practise --topic slack --minutes 15
  sideplate practise --rule connector-code-differs
  sideplate practise --placement
  sideplate practise --exam --questions 20 --seed 7
  sideplate practise --exam --seed 7 --paper paper.txt
  sideplate practise --assessment 2026-12-20
In a round: digits answer, ? tells the keys, h hints, q leaves."""
)
@click.option("--topic", "topics", multiple=True, metavar="NAME", help="Keep to this topic (repeatable).")
@click.option(
    "--rule", metavar="ID", help="Ask about one rule only, due or not (or one procedure: procedure:NAME)."
)
@click.option(
    "--questions",
    type=click.IntRange(1, 200),
    metavar="N",
    help="How many questions: {} unless told; {} in an exam, at most {} in a placement round.".format(
        *(QUESTIONS[purpose] for purpose in (Purpose.PRACTICE, Purpose.EXAM, Purpose.PLACEMENT))
    ),
)
@click.option(
    "--minutes", type=click.IntRange(1, 600), metavar="N", help="Begin no question after N minutes."
)
@click.option(
    "--seed", type=int, metavar="N", help="The same situations again; the number of an exam's paper."
)
@click.option("--placement", is_flag=True, help="Find out what is known already: a few questions a topic.")
@click.option("--exam", is_flag=True, help="A fixed paper; nothing is told before the end.")
@click.option(
    "--paper",
    type=click.Path(path_type=Path, dir_okay=False, allow_dash=True),
    metavar="FILE",
    help="With --exam: write the paper and its key as text instead of asking.",
)
@click.option(
    "--schedule",
    type=click.Choice(SCHEDULES),
    help="How rules come back, from now on: the ladder, or one that adapts (an extra).",
)
@click.option(
    "--assessment",
    callback=_day,
    metavar="DAY",
    help="Work towards this day, on the topics named, from now on; none takes it away.",
)
@click.option(
    "--sessions",
    type=click.IntRange(1, 14),
    metavar="N",
    help="Sessions a week until then, if it is not what the record shows.",
)
@click.option("--plain", is_flag=True, help="Print and read plain lines: for screen readers and pipes.")
@record_option
@knowledge_option
def command(
    topics: tuple[str, ...],
    rule: str | None,
    questions: int | None,
    minutes: int | None,
    seed: int | None,
    placement: bool,
    exam: bool,
    paper: Path | None,
    schedule: str | None,
    assessment: date | str | None,
    sessions: int | None,
    plain: bool,
    record: Path | None,
    overlays: tuple[Path, ...],
) -> None:
    """Practise: questions on situations in the workshop, each answer explained."""
    purpose = _purpose(rule, placement=placement, exam=exam)
    if paper is not None and not exam:
        raise click.UsageError("--paper goes with --exam.")
    knowledge = knowledge_or_exit(overlays)
    _known(knowledge, topics, rule)
    request = Request(tuple(dict.fromkeys(topics)), rule, questions, minutes, seed, purpose)
    if paper is not None:
        from sideplate_trainer.paper_writing import write_paper

        write_paper(knowledge, request, paper)
        return
    try:
        if schedule is not None:
            scheduler_named(schedule)
        with AnswerLog(record or usual_record()) as log:
            if schedule is not None:
                keep_schedule(log, schedule)
            _settle(log, assessment, request.topics, sessions)
            sys.exit(practise(knowledge, log, request, face_for(plain)))
    except (LogRefused, ScheduleMissing) as problem:
        click.echo(str(problem), err=True)
        sys.exit(UNREADABLE)


def _purpose(rule: str | None, *, placement: bool, exam: bool) -> Purpose:
    if placement + exam + (rule is not None) > 1:
        raise click.UsageError("--rule, --placement and --exam do not go together.")
    if exam:
        return Purpose.EXAM
    return Purpose.PLACEMENT if placement else Purpose.PRACTICE


def _known(knowledge: KnowledgeBase, topics: tuple[str, ...], rule: str | None) -> None:
    """Refuses topics and a rule that the knowledge does not have, naming the nearest."""
    for topic in topics:
        if topic not in knowledge.topics:
            raise click.BadParameter(
                f"no topic is called {topic}{did_you_mean(topic, knowledge.topics)}", param_hint="--topic"
            )
    if rule is not None and not is_known(knowledge, rule):
        known = (*knowledge.rules, *map(id_of_procedure, knowledge.procedures.values()))
        raise click.BadParameter(
            f"no rule or procedure is called {rule}{did_you_mean(rule, known)}", param_hint="--rule"
        )


def _settle(
    log: AnswerLog, assessment: date | str | None, topics: tuple[str, ...], sessions: int | None
) -> None:
    """Keeps or takes away what was said of an assessment."""
    if assessment == NO_ASSESSMENT:
        keep_assessment(log, None)
    elif isinstance(assessment, date):
        keep_assessment(log, Assessment(assessment, topics, sessions))
    elif sessions is not None:
        kept = kept_assessment(log)
        if kept is None:
            raise click.UsageError("--sessions goes with --assessment: there is no day to work towards yet.")
        keep_assessment(log, Assessment(kept.on, kept.topics, sessions))
