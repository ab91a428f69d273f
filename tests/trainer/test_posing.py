"""From a plan to a question: in which way, and what comes where that way finds nothing to ask."""

from __future__ import annotations

import time
from collections.abc import Iterable
from dataclasses import replace
from datetime import date

import pytest

from sideplate_engine import Judge, KnowledgeBase
from sideplate_trainer import posing
from sideplate_trainer.answers import Grade, LoggedAnswer
from sideplate_trainer.asked_about import with_procedures
from sideplate_trainer.posing import (
    SPARES,
    TRIES,
    askable,
    looks_of,
    plan,
    planned,
    planned_by_lot,
    posed,
    posed_again,
)
from sideplate_trainer.questions import NoQuestion, Option, Question
from sideplate_trainer.round_events import Planned
from sideplate_trainer.schedule import Standing, replay, teaching_order
from sideplate_trainer.situations import NoSituation, Situation
from sideplate_trainer.way import Level, Way
from sideplate_trainer.way_choice import level_of
from sideplate_trainer.ways import all_ways, ways_for
from support.small_practice import situation

DAY = date(2026, 3, 2)

OF_RULINGS = ("is_this_allowed", "least_change", "missing_fact", "what_is_wrong", "which_reason")


def test_every_module_among_the_ways_is_a_way_of_asking() -> None:
    assert set(all_ways()) == {*OF_RULINGS, "how_much", "steps_in_order", "which_part"}


def test_a_ruling_and_a_derived_number_are_asked_in_different_ways(judge: Judge) -> None:
    rules = judge.knowledge.rules
    assert ways_for(rules["codes-differ"]) == OF_RULINGS
    assert ways_for(rules["pitch-by-table"]) == ("how_much",)


def test_drafts_are_not_asked_and_a_topic_keeps_to_its_own(judge: Judge) -> None:
    order = teaching_order(judge.knowledge)
    assert "draft-rule" not in askable(judge.knowledge, order, None)
    assert askable(judge.knowledge, order, "checking") == ("grease-it",)


def test_a_plan_depends_on_its_base_the_rule_and_how_often_it_was_asked(judge: Judge) -> None:
    first = planned(judge.knowledge, "codes-differ", 0, "learner")
    assert first == planned(judge.knowledge, "codes-differ", 0, "learner")
    others = {
        planned(judge.knowledge, "codes-differ", 1, "learner").seed,
        planned(judge.knowledge, "codes-differ", 0, "other learner").seed,
        planned(judge.knowledge, "grease-it", 0, "learner").seed,
    }
    assert first.seed not in others
    assert len(others) == 3


def test_plans_are_made_with_spares_and_no_more(judge: Judge) -> None:
    rules = askable(judge.knowledge, teaching_order(judge.knowledge), None)
    assert [each.rule for each in plan(judge.knowledge, rules, {}, "b", 1)] == list(rules[:SPARES])


def planned_on(knowledge: KnowledgeBase, standing: Standing | None) -> Planned:
    standings = {} if standing is None else {"codes-differ": standing}
    return plan(knowledge, ("codes-differ",), standings, "b", 1)[0]


def climbing(*grades: Grade) -> Standing:
    """Where a rule stands after answers given whenever it was due."""
    log: list[LoggedAnswer] = []
    day = DAY
    for grade in grades:
        log.append(LoggedAnswer("codes-differ", "f1", "w", grade, None, day))
        day = replay(log)["codes-differ"].due
    return replay(log)["codes-differ"]


def test_the_way_of_asking_gets_harder_as_a_rule_climbs_and_easier_after_a_miss(judge: Judge) -> None:
    sound = [Grade.SOUND] * 4

    def level(*grades: Grade) -> Level:
        standing = climbing(*grades) if grades else None
        return level_of(planned_on(judge.knowledge, standing).way)

    climbed = [level(*sound[:count]) for count in range(5)]
    # The small base has nothing to pick for this rule, so that the second rung already looks for faults.
    assert climbed == [Level.VERDICT, Level.VERDICT, Level.FAULT, Level.FAULT, Level.REASON]
    assert level(*sound, Grade.MISSED) == Level.FAULT
    assert level(*sound, Grade.MISSED, Grade.MISSED) == Level.VERDICT


def test_a_rule_that_climbs_without_a_miss_is_met_in_the_ways_that_sign_off_takes(
    knowledge: KnowledgeBase,
) -> None:
    for id_ in askable(knowledge, teaching_order(knowledge), None):
        if knowledge.rules[id_].is_ruling:
            ways = {planned(knowledge, id_, rung + 1, "b", rung).way for rung in range(3)}
            assert len(ways) >= 2, id_


def test_not_every_rule_begins_a_level_with_the_same_way(knowledge: KnowledgeBase) -> None:
    rules = askable(knowledge, teaching_order(knowledge), None)
    ways = [planned(knowledge, id_, 3, "b", 2).way for id_ in rules if knowledge.rules[id_].is_ruling]
    assert all(ways.count(way) > len(ways) / 5 for way in ("least_change", "missing_fact", "what_is_wrong"))


def test_a_plan_by_lot_takes_each_way_about_as_often(judge: Judge) -> None:
    ways = [planned_by_lot(judge.knowledge, "codes-differ", f"exam|{paper}").way for paper in range(200)]
    assert all(ways.count(way) > 20 for way in OF_RULINGS)


def test_a_plan_always_comes_to_the_same_question(chain_judge: Judge) -> None:
    one = posed(chain_judge, planned(chain_judge.knowledge, "connector-code-differs", 0, "b"))
    assert one == posed(chain_judge, planned(chain_judge.knowledge, "connector-code-differs", 0, "b"))
    assert one.rule == "connector-code-differs"


def asking(judge: Judge, way: str, seed: int) -> Question:
    """A question that says no more than how it came about."""
    told = situation(judge, "codes-differ", "bolt.code: A, nut.code: B", seed=seed)
    return Question(
        told.rule, way, seed, "", told.facts, told.facts, (f"{way} {seed}",), (), "must", (Option("must"),)
    )


@pytest.fixture
def asked(judge: Judge, monkeypatch: pytest.MonkeyPatch) -> dict[str, Iterable[int]]:
    """The ways that find something to ask, each with the seeds on which it does."""
    found: dict[str, Iterable[int]] = {}

    def pretending(name: str, way: Way) -> Way:
        def pose(judge: Judge, situation: Situation) -> Question:
            if situation.seed in found.get(name, ()):
                return asking(judge, name, situation.seed)
            raise NoQuestion(f"{name} finds nothing on {situation.seed}")

        return replace(way, pose=pose)

    ways = {name: pretending(name, way) for name, way in all_ways().items()}
    monkeypatch.setattr(posing, "all_ways", lambda: ways)
    monkeypatch.setattr(
        posing,
        "build",
        lambda judge, rule, seed: situation(judge, rule, "bolt.code: A, nut.code: B", seed=seed),
    )
    return found


def came_to(question: Question) -> tuple[str, int]:
    return question.way, question.seed


def test_where_a_way_finds_nothing_the_nearest_in_level_is_asked_instead(
    judge: Judge, asked: dict[str, Iterable[int]]
) -> None:
    asked |= {"is_this_allowed": range(99), "which_reason": range(99)}
    assert came_to(posed(judge, Planned("codes-differ", "missing_fact", 7))) == ("which_reason", 7)
    asked["least_change"] = range(99)
    assert came_to(posed(judge, Planned("codes-differ", "missing_fact", 7))) == ("least_change", 7)
    asked["missing_fact"] = range(99)
    assert came_to(posed(judge, Planned("codes-differ", "missing_fact", 7))) == ("missing_fact", 7)


def test_every_way_is_tried_on_a_seed_before_the_next_seed_is(
    judge: Judge, asked: dict[str, Iterable[int]]
) -> None:
    asked |= {"which_reason": [8], "is_this_allowed": [7]}
    assert came_to(posed(judge, Planned("codes-differ", "which_reason", 7))) == ("is_this_allowed", 7)


def test_a_way_that_does_not_suit_the_rule_or_is_gone_gives_way_to_those_that_do(
    judge: Judge, asked: dict[str, Iterable[int]]
) -> None:
    asked |= dict.fromkeys(OF_RULINGS, range(99)) | {"how_much": range(99)}
    assert came_to(posed(judge, Planned("codes-differ", "how_much", 1))) == ("is_this_allowed", 1)
    assert came_to(posed(judge, Planned("codes-differ", "an_old_way", 1))) == ("is_this_allowed", 1)


def test_a_rule_is_passed_over_only_when_no_way_finds_anything_on_any_seed(
    judge: Judge, asked: dict[str, Iterable[int]]
) -> None:
    asked["which_reason"] = [TRIES]
    assert came_to(posed(judge, Planned("codes-differ", "is_this_allowed", 1))) == ("which_reason", TRIES)
    with pytest.raises(NoQuestion, match="finds nothing on 5"):
        posed(judge, Planned("codes-differ", "is_this_allowed", 0))


def test_no_question_comes_twice_in_a_sitting(judge: Judge, asked: dict[str, Iterable[int]]) -> None:
    asked |= {"is_this_allowed": range(99)}
    plan = Planned("codes-differ", "is_this_allowed", 7)
    seen: list[tuple[str, ...]] = []
    for seed in range(7, 7 + TRIES):
        question = posed(judge, plan, seen)
        assert came_to(question) == ("is_this_allowed", seed)
        seen.append(question.look)
    with pytest.raises(NoQuestion):
        posed(judge, plan, seen)


def test_a_rule_without_a_situation_says_so(judge: Judge, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_situation(judge: Judge, rule: str, seed: int) -> Situation:
        raise NoSituation(rule, "nothing goes together")

    monkeypatch.setattr(posing, "build", no_situation)
    with pytest.raises(NoQuestion, match="nothing goes together"):
        posed(judge, Planned("codes-differ", "is_this_allowed", 1))


def logged(question: Question) -> LoggedAnswer:
    return LoggedAnswer(question.rule, "f1", question.way, Grade.SOUND, None, DAY, seed=question.seed)


def test_a_question_that_was_answered_can_be_had_again(chain_judge: Judge) -> None:
    for id_ in ("connector-code-differs", "procedure:cut-a-chain"):
        question = posed(chain_judge, planned(chain_judge.knowledge, id_, 3, "b", 2))
        assert posed_again(chain_judge, id_, question.way, question.seed) == question
        assert looks_of(chain_judge, [logged(question)]) == {question.look}


@pytest.mark.parametrize(
    ("id_", "way"), [("no-such-rule", "is_this_allowed"), ("codes-differ", "how_much"), ("codes-differ", "x")]
)
def test_what_is_no_question_any_more_is_left_out_of_the_looks(judge: Judge, id_: str, way: str) -> None:
    with pytest.raises(NoQuestion):
        posed_again(judge, id_, way, 1)
    assert looks_of(judge, [LoggedAnswer(id_, "f1", way, Grade.SOUND, None, DAY, seed=1)]) == frozenset()


@pytest.mark.slow
@pytest.mark.parametrize("rung", [0, 2])
def test_every_rule_and_procedure_gives_a_question_and_soon(
    chain_judge: Judge, knowledge: KnowledgeBase, rung: int
) -> None:
    ids = askable(knowledge, with_procedures(knowledge, teaching_order(knowledge)), None)
    times: list[float] = []
    seen: set[tuple[str, ...]] = set()
    for id_ in ids:
        plan = planned(knowledge, id_, rung, "soon", rung)
        began = time.process_time()
        question = posed(chain_judge, plan, seen)
        times.append(time.process_time() - began)
        assert question.look not in seen
        seen.add(question.look)
    # Issue of the practice: the next question comes within 100 ms in 95 cases of 100. Twice that is allowed for here,
    # since other tests may run beside this one; benchmarks/question_latency.py prints the figures.
    assert sorted(times)[int(0.95 * len(times))] < 0.2
