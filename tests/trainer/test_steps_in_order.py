"""Put the steps in order: any order that the work allows is right, and a wrong one is told what comes too early."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideplate_engine import Judge
from sideplate_trainer.asked_about import id_of_procedure
from sideplate_trainer.questions import AnswerRefused, NoQuestion, Option, OrderedStep, Question
from sideplate_trainer.situations.situation import Situation
from sideplate_trainer.step_orders import chance_of_a_right_order
from sideplate_trainer.ways import mark
from sideplate_trainer.ways.steps_in_order import CHANCE_AT_MOST, FEWEST, MOST, TELLS_ITS_PLACE, pose, suits
from support.keys_by_engine import KeysByEngine

SEEDS = range(20)

# Step 2 first; then 1 and 3, either way round; then 4.
DIAMOND = Question(
    "procedure:a-job", "steps_in_order", 1, "", {}, {}, (), (), "2 1 3 4",
    options=tuple(map(Option, ("Oil it.", "Clean it.", "Look at it.", "Note it."))),
    order=(
        OrderedStep("Oil it.", "Dry steel rusts.", frozenset({1})),
        OrderedStep("Clean it.", "Grit grinds.", frozenset()),
        OrderedStep("Look at it.", "Cracks show.", frozenset({1})),
        OrderedStep("Note it.", "", frozenset({0, 1, 2})),
    ),
)  # fmt: skip


def of_procedures(judge: Judge, seed: int) -> list[Question]:
    found = []
    for procedure in judge.knowledge.procedures.values():
        try:
            found.append(pose(judge, Situation(id_of_procedure(procedure), seed, {}, (), ())))
        except NoQuestion:
            continue
    return found


@pytest.mark.parametrize(
    "answer", ["2 1 3 4", "2134", "2, 3, 1, 4", "b a c d", "BACD", "2-3-1-4", " 2 1 3 4 "]
)
def test_any_order_that_the_work_allows_is_right_however_it_is_typed(answer: str) -> None:
    assert mark(DIAMOND, answer).right


def test_of_all_orders_just_the_two_that_the_work_allows_are_right() -> None:
    right = [order for order in permutations("1234") if mark(DIAMOND, " ".join(order)).right]
    assert right == [("2", "1", "3", "4"), ("2", "3", "1", "4")]


def test_another_right_order_than_the_one_shown_is_told_that_there_are_more() -> None:
    assert mark(DIAMOND, "2 1 3 4").said == ()
    assert mark(DIAMOND, "2 3 1 4").said == ("There is more than one right order, and this is one.",)


def test_a_wrong_order_is_told_the_first_step_that_comes_too_early_and_why() -> None:
    assert mark(DIAMOND, "2 1 4 3").said == (
        "You said: 2 1 4 3.",
        "Too early: Note it.",
        "It has to wait for this: Look at it.",
        "Why that comes before it: Cracks show.",
    )
    assert "What the early step is for: Dry steel rusts." in mark(DIAMOND, "1 2 3 4").said


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        ("2 1 3", "Step 4 is not in it. Type all of them, such as 4 1 2 3."),
        ("2", "Steps 1 and 3 and 4 are not in it. Type all of them, such as 4 1 2 3."),
        ("", "Steps 1 and 2 and 3 and 4 are not in it. Type all of them, such as 4 1 2 3."),
        ("2 2 1 3", "Step 2 stands twice. Type each number once, such as 4 1 2 3."),
        ("2 1 3 5", "There is no step 5; the steps are 1 to 4. Type such as 4 1 2 3."),
        ("0123", "There is no step 0; the steps are 1 to 4. Type such as 4 1 2 3."),
        ("z", "There is no step z; the steps are 1 to 4. Type such as 4 1 2 3."),
        ("²134", "There is no step ²; the steps are 1 to 4. Type such as 4 1 2 3."),
    ],
)
def test_what_is_no_order_is_refused_and_not_marked(answer: str, says: str) -> None:
    with pytest.raises(AnswerRefused) as refused:
        mark(DIAMOND, answer)
    assert str(refused.value) == says


@given(st.text(max_size=8))
def test_whatever_is_typed_is_marked_or_refused(answer: str) -> None:
    try:
        marked = mark(DIAMOND, answer)
    except AnswerRefused:
        return
    assert sorted(marked.answer.split()) == ["1", "2", "3", "4"]


def test_every_procedure_is_asked_and_its_waiting_decides_every_order(chain_judge: Judge) -> None:
    by_engine, asked = KeysByEngine(chain_judge), set[str]()
    for seed in SEEDS:
        for question in of_procedures(chain_judge, seed):
            asked.add(question.rule)
            assert FEWEST <= len(question.order) <= MOST
            assert by_engine.objections(question) == []
    assert asked == {id_of_procedure(each) for each in chain_judge.knowledge.procedures.values()}


def test_a_blind_guess_is_seldom_right_and_no_step_tells_its_own_place(chain_judge: Judge) -> None:
    for seed in SEEDS:
        for question in of_procedures(chain_judge, seed):
            assert chance_of_a_right_order([step.after for step in question.order]) <= CHANCE_AT_MOST
            assert not any(TELLS_ITS_PLACE.search(step.do) for step in question.order)


def test_the_order_that_is_told_is_that_of_the_whole_work_whatever_other_orders_are_right(
    chain_judge: Judge,
) -> None:
    # Pins may be greased before the machine is secured, but nobody is taught to work so.
    for seed in SEEDS:
        for question in of_procedures(chain_judge, seed):
            ids = question.case.split()
            told = [ids[int(number) - 1] for number in question.key.split()]
            assert mark(question, question.key).right
            if {"secure-machine", "grease-pins"} <= set(told):
                assert told.index("secure-machine") < told.index("grease-pins")
            if "engine-off" in told and "read-the-manual" not in told:
                assert told[0] == "engine-off"


def test_the_hints_never_tell_the_whole_order(chain_judge: Judge) -> None:
    for question in of_procedures(chain_judge, 1):
        waiting = frozenset[int]().union(*(step.after for step in question.order))
        assert 1 <= len(question.hints) < len(question.order)
        assert waiting
        assert question.key not in " ".join(question.hints)


def test_the_same_seed_gives_the_same_steps_and_another_seed_others(chain_judge: Judge) -> None:
    assert of_procedures(chain_judge, 3) == of_procedures(chain_judge, 3)
    assert of_procedures(chain_judge, 3) != of_procedures(chain_judge, 4)


def test_rules_are_not_asked_about_so(chain_judge: Judge) -> None:
    assert not any(suits(rule) for rule in chain_judge.knowledge.rules.values())
    with pytest.raises(NoQuestion, match="connector-code-differs is no procedure"):
        pose(chain_judge, Situation("connector-code-differs", 1, {}, (), ()))


def test_a_procedure_of_too_few_steps_is_not_asked(judge: Judge) -> None:
    with pytest.raises(NoQuestion, match="tighten"):
        pose(judge, Situation("procedure:tighten", 1, {}, (), ()))


def test_a_step_without_a_reason_is_told_without_one() -> None:
    bare = replace(DIAMOND, order=tuple(replace(step, because="") for step in DIAMOND.order))
    assert mark(bare, "1 2 3 4").said == (
        "You said: 1 2 3 4.",
        "Too early: Oil it.",
        "It has to wait for this: Clean it.",
    )
