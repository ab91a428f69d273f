"""`sideplate practise`: questions at the prompt, judged, explained, and asked again when they are due."""

from __future__ import annotations

import sys
from datetime import datetime
from importlib.metadata import version
from pathlib import Path

import click

from sideplate_engine import Judge, KnowledgeBase
from sideplate_engine.findings import did_you_mean
from sideplate_engine.rule_fingerprint import fingerprint
from sideplate_trainer.answer_log import AnswerLog, LogRefused, OpenRound
from sideplate_trainer.answers import LoggedAnswer
from sideplate_trainer.blocks import Block
from sideplate_trainer.front.choosing import face_for
from sideplate_trainer.front.face import Face
from sideplate_trainer.knowledge_option import UNREADABLE, knowledge_option, knowledge_or_exit
from sideplate_trainer.posing import askable, plan
from sideplate_trainer.round import Result, begin
from sideplate_trainer.round_events import Planned
from sideplate_trainer.schedule import is_due, order_of_asking, replay, teaching_order
from sideplate_trainer.sitting import Sitting

QUESTIONS = 10
INTERRUPTED = 130
"""Exit status after Ctrl-C, as shells have it: 128 and the number of the signal."""


@click.command(
    epilog="""\b
Examples:
  sideplate practise
  sideplate practise --topic slack --questions 5
  sideplate practise --rule connector-code-differs
  sideplate practise --plain
In a round: digits answer, ? tells the keys, h hints, q leaves."""
)
@click.option("--topic", metavar="NAME", help="Ask about one topic only.")
@click.option("--rule", metavar="ID", help="Ask about one rule only, due or not: one question.")
@click.option(
    "--questions",
    type=click.IntRange(1, 200),
    default=QUESTIONS,
    metavar="N",
    help=f"How many questions (default {QUESTIONS}).",
)
@click.option(
    "--seed", type=int, metavar="N", help="Ask about the same situations again, for the same record."
)
@click.option("--plain", is_flag=True, help="Print and read plain lines: for screen readers and pipes.")
@click.option(
    "--record",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="PATH",
    help="Keep the answers in this file instead of the usual one.",
)
@knowledge_option
def command(
    topic: str | None,
    rule: str | None,
    questions: int,
    seed: int | None,
    plain: bool,
    record: Path | None,
    overlays: tuple[Path, ...],
) -> None:
    """Practise: questions on situations in the workshop, each answer explained."""
    knowledge = knowledge_or_exit(overlays)
    if topic is not None and topic not in knowledge.topics:
        raise click.BadParameter(
            f"no topic is called {topic}{did_you_mean(topic, knowledge.topics)}", param_hint="--topic"
        )
    if rule is not None and rule not in knowledge.rules:
        raise click.BadParameter(
            f"no rule is called {rule}{did_you_mean(rule, knowledge.rules)}", param_hint="--rule"
        )
    try:
        with AnswerLog(record or usual_record(), version("sideplate")) as log:
            sys.exit(practise(knowledge, log, topic, questions, seed, plain, rule))
    except LogRefused as problem:
        click.echo(str(problem), err=True)
        sys.exit(UNREADABLE)


def usual_record() -> Path:
    """The record's place in the platform's folder for a user's data."""
    from platformdirs import user_data_path

    return user_data_path("sideplate", appauthor=False) / "record.sqlite3"


def practise(
    knowledge: KnowledgeBase,
    log: AnswerLog,
    topic: str | None,
    questions: int,
    seed: int | None,
    plain: bool,
    rule: str | None = None,
) -> int:
    """One sitting; returns the exit status. A round broken off on the same day is gone on with.

    With a rule it is one question about it, whether it is due or not.
    """
    face = face_for(plain)
    now = datetime.now().astimezone()
    today = now.date()
    rules = askable(knowledge, teaching_order(knowledge) if rule is None else (rule,), topic)
    fingerprints = {id_: fingerprint(knowledge.rules[id_]) for id_ in rules}
    standings = replay(log.answers())
    asked_for: dict[str, object] = {"topic": topic, "questions": questions, "seed": seed}
    if rule is not None:
        questions = 1
        asked_for = {"rule": rule, "topic": topic, "seed": seed}
    gone_on_with = log.open_round(asked_for, today)
    if gone_on_with is not None:
        round_id = gone_on_with.id
        state, effects = begin(
            _still_there(gone_on_with, fingerprints), gone_on_with.wanted, _results(gone_on_with.answered)
        )
        face.tell((Block("", (f"Going on with the round after {_counted(len(state.results))}.",)),))
    else:
        order = rules if rule is not None else order_of_asking(rules, standings, fingerprints, today)
        if not order and rule is not None:
            face.tell((Block("", (f"No question can be asked about {rule} yet.",)),))
            return 0
        if not order:
            face.tell((Block("", ("Every rule here has been asked today. Come back tomorrow.",)),))
            return 0
        base = log.learner if seed is None else str(seed)
        plans = plan(knowledge, order, standings, base, questions)
        round_id = log.begin_round(
            asked_for, [(each.rule, each.way, each.seed) for each in plans], questions, today, now
        )
        state, effects = begin(plans, questions)
    sitting = Sitting(
        judge=Judge(knowledge),
        face=face,
        log=log,
        round_id=round_id,
        fingerprints=fingerprints,
        topic="All topics" if topic is None else knowledge.topics[topic].title,
        day=today,
        clock=lambda: datetime.now().astimezone(),
        due=frozenset(id_ for id_ in rules if is_due(standings.get(id_), fingerprints[id_], today)),
    )
    try:
        sitting.run(state, effects)
    except EOFError:
        _tell_left(face, log, round_id)
    except KeyboardInterrupt:
        _tell_left(face, log, round_id)
        return INTERRUPTED
    return 0


def _tell_left(face: Face, log: AnswerLog, round_id: str) -> None:
    kept = _counted(log.count_in_round(round_id))
    face.tell((Block("", (f"Left after {kept}. The same command goes on from here today.",)),))


def _counted(answers: int) -> str:
    return f"{answers} {'answer' if answers == 1 else 'answers'}"


def _still_there(round_: OpenRound, fingerprints: dict[str, str]) -> tuple[Planned, ...]:
    """What the round planned, without rules that are gone since."""
    return tuple(Planned(*each) for each in round_.planned if each[0] in fingerprints)


def _results(answers: tuple[LoggedAnswer, ...]) -> tuple[Result, ...]:
    return tuple(Result(answer.rule, answer.grade) for answer in answers)
