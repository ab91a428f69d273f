"""A progress report: rules and procedures counted together, and told apart."""

from __future__ import annotations

from datetime import date, timedelta

from sideplate_engine import KnowledgeBase
from sideplate_trainer.answers import Grade, LoggedAnswer
from sideplate_trainer.asked_about import fingerprint_of
from sideplate_trainer.progress_report import SURE, UNMET, Progress, progress_of
from sideplate_trainer.progress_telling import progress_as_data, progress_blocks
from sideplate_trainer.round_preparing import rules_of
from sideplate_trainer.schedule import State, replay

DAY = date(2026, 3, 2)
PROCEDURE = "procedure:measure-wear"


def progress(knowledge: KnowledgeBase, *days_ago: int) -> Progress:
    """On a topic of which only the procedure was answered, soundly, so many days ago."""
    ids = rules_of(knowledge, ("wear",))
    printed = {id_: fingerprint_of(knowledge, id_) for id_ in ids}
    log = [
        LoggedAnswer(
            PROCEDURE, printed[PROCEDURE], "steps_in_order", Grade.SOUND, None, DAY - timedelta(days=days)
        )
        for days in days_ago
    ]
    return progress_of(knowledge, ids, log, replay(log), printed, DAY, None)


def test_procedures_are_counted_with_the_rules_and_told_apart(knowledge: KnowledgeBase) -> None:
    found = progress(knowledge, 1)
    rules = len(rules_of(knowledge, ("wear",))) - 1
    (topic,) = found.topics
    assert (topic.rules, topic.procedures, found.procedures) == (rules + 1, 1, 1)
    assert (topic.kinds[SURE], topic.kinds[UNMET]) == (1, rules)
    first, by_topic, *_ = progress_blocks(found, knowledge)
    assert first.sentences[0] == f"1 answer, {rules} rules and 1 procedure."
    assert by_topic.sentences == (f"Wear: {rules} rules and 1 procedure, 1 sure, {rules} not met.",)


def test_the_data_have_the_procedures_too(knowledge: KnowledgeBase) -> None:
    data = progress_as_data(progress(knowledge, 1), "ladder")
    rules, topics = data["rules"], data["topics"]
    assert isinstance(rules, dict)
    assert isinstance(topics, list)
    assert (rules["procedures"], topics[0]["procedures"]) == (1, 1)


def test_a_procedure_is_signed_off_though_there_is_one_way_of_asking_about_it(
    knowledge: KnowledgeBase,
) -> None:
    assert progress(knowledge, 20, 18, 13, 1).states[State.SIGNED_OFF] == 1
    assert progress(knowledge, 8, 6, 1).states[State.SIGNED_OFF] == 0
