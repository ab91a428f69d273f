"""A round as a state machine, driven without a terminal."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import pytest

from sideplate_trainer.answers import Answer, Draft, Grade, Purpose
from sideplate_trainer.blocks import Block
from sideplate_trainer.questions import Option, OrderedStep, Question
from sideplate_trainer.round import advance, begin, refused
from sideplate_trainer.round_events import (
    Effect,
    End,
    Entered,
    Explain,
    ExplainAtLength,
    Introduce,
    Keep,
    NameSources,
    NoPair,
    NotPosed,
    Planned,
    Pose,
    Posed,
    Record,
    Show,
    Tell,
    TimeUp,
)
from sideplate_trainer.round_state import Phase, Result, Round, Terms

PLANS = tuple(Planned(f"rule-{number}", "is_this_allowed", number) for number in range(4))
OPTIONS = (Option("must", ""), Option("must not", ""), Option("should", ""))
HINTS = ("Look at it.", "Ask it.")


def question(rule: str) -> Question:
    return Question(
        rule,
        "is_this_allowed",
        1,
        "as told",
        {},
        {},
        ("A story.",),
        ("What?",),
        "must not",
        OPTIONS,
        hints=HINTS,
    )


def started(wanted: int = 2) -> Round:
    """A round with its first question on show."""
    state, effects = begin(PLANS, wanted)
    assert effects == (Pose(PLANS[0]),)
    return advance(state, Posed(question("rule-0")))[0]


def posed(state: Round, rule: str) -> tuple[Round, tuple[Effect, ...]]:
    return advance(state, Posed(question(rule)))


def begun_on(terms: Terms, wanted: int = 2) -> tuple[Round, tuple[Effect, ...]]:
    """A round on terms, and what comes of its first question."""
    return posed(begin(PLANS, wanted, (), terms)[0], "rule-0")


def typed(state: Round, *lines: str) -> tuple[Round, tuple[Effect, ...]]:
    """The state after these lines, and what the last of them brought about."""
    effects: tuple[Effect, ...] = ()
    for line in lines:
        state, effects = advance(state, Entered(line))
    return state, effects


def told(effects: Iterable[Effect]) -> list[str]:
    return [sentence for effect in effects if isinstance(effect, Tell) for sentence in effect.block.sentences]


def recorded(effects: Iterable[Effect]) -> Answer:
    (answer,) = (effect.answer for effect in effects if isinstance(effect, Record))
    return answer


def test_a_round_first_has_a_question_built_and_then_shows_it() -> None:
    state, effects = advance(begin(PLANS, 2)[0], Posed(question("rule-0")))
    assert (state.phase, state.number, effects) == (Phase.ASKING, 1, (Show(question("rule-0")),))


def test_a_rule_without_a_question_is_passed_over_for_the_next() -> None:
    state, effects = advance(begin(PLANS, 2)[0], NotPosed("no situation"))
    assert (state.number, effects) == (1, (Pose(PLANS[1]),))


def test_a_round_in_which_nothing_can_be_asked_ends() -> None:
    state, effects = begin((), 2)
    assert (state.phase, effects) == (Phase.FINISHED, (End(),))


def test_an_answer_is_held_until_it_is_confirmed() -> None:
    state, effects = typed(started(), "2")
    assert state.phase is Phase.ANSWERED
    assert told(effects) == ["Your answer: must not."]
    assert not any(isinstance(effect, (Record, Explain)) for effect in effects)


def test_a_confirmed_answer_is_recorded_before_it_is_explained() -> None:
    state, effects = typed(started(), "2", "")
    assert [type(effect) for effect in effects] == [Record, Explain]
    assert recorded(effects) == Answer(
        "rule-0", "is_this_allowed", 1, "must not", "must not", True, Grade.SOUND, None, 0, False
    )
    assert state.results == (Result("rule-0", Grade.SOUND),)


def test_a_wrong_answer_is_blamed_on_the_rule_that_was_asked_about() -> None:
    answer = recorded(typed(started(), "1", "")[1])
    assert (answer.right, answer.grade, answer.blamed_rule) == (False, Grade.BLIND_SPOT, "rule-0")


@pytest.mark.parametrize("lines", [("2", "u"), ("u", "2", "")])
def test_unsure_may_be_said_before_the_answer_or_after_it(lines: tuple[str, ...]) -> None:
    answer = recorded(typed(started(), *lines)[1])
    assert (answer.unsure, answer.grade) == (True, Grade.SHAKY)


def test_unsure_said_twice_is_sure_again() -> None:
    assert not recorded(typed(started(), "u", "u", "2", "")[1]).unsure


def test_an_answer_can_be_taken_back_until_the_ruling_is_shown() -> None:
    state, effects = typed(started(), "1", "b")
    assert (state.phase, state.held, told(effects)) == (Phase.ASKING, None, ["Taken back. Answer again."])
    assert recorded(typed(state, "2", "")[1]).right


def test_an_answer_can_be_replaced_until_the_ruling_is_shown() -> None:
    assert recorded(typed(started(), "1", "2", "")[1]).response == "must not"


def test_an_answer_stays_once_the_ruling_is_shown() -> None:
    state, _ = typed(started(), "1", "")
    after, effects = typed(state, "b")
    assert after == state
    assert told(effects) == ["The ruling is shown, so the answer stays as it is."]


def test_hints_come_one_at_a_time_and_count_as_help() -> None:
    state, effects = typed(started(), "h")
    assert told(effects) == ["Look at it."]
    state, effects = typed(state, "h")
    assert told(effects) == ["Ask it."]
    state, effects = typed(state, "h")
    assert told(effects) == ["There are no more hints; the rest is the answer itself."]
    answer = recorded(typed(state, "2", "")[1])
    assert (answer.hints, answer.grade) == (2, Grade.SHAKY)


def test_a_miss_after_a_hint_is_no_blind_spot() -> None:
    assert recorded(typed(started(), "h", "1", "")[1]).grade is Grade.MISSED


def test_hints_and_doubts_do_not_carry_over_to_the_next_question() -> None:
    state, _ = typed(started(), "h", "u", "2", "", "")
    state, _ = advance(state, Posed(question("rule-1")))
    assert recorded(typed(state, "2", "")[1]).grade is Grade.SOUND


def test_the_keys_are_told_at_any_time_and_cost_nothing() -> None:
    for lines in ((), ("2",), ("2", "")):
        state, _ = typed(started(), *lines)
        after, effects = typed(state, "?")
        assert after == state
        assert any("hint" in sentence for sentence in told(effects))
    assert recorded(typed(started(), "?", "2", "")[1]).grade is Grade.SOUND


def test_the_longer_proof_and_the_source_are_told_only_after_the_ruling() -> None:
    for line in ("w", "s"):
        assert told(typed(started(), line)[1]) == ["That is told once you have answered. h gives a hint."]
    state, _ = typed(started(), "2", "")
    assert typed(state, "w")[1] == (ExplainAtLength(question("rule-0")),)
    assert typed(state, "S")[1] == (NameSources(question("rule-0")),)


def test_enter_goes_on_to_the_next_question_after_the_ruling() -> None:
    state, effects = typed(started(), "2", "", "")
    assert (state.phase, state.number, effects) == (Phase.POSING, 2, (Pose(PLANS[1]),))


def test_a_round_ends_when_all_that_was_wanted_is_answered() -> None:
    state, effects = typed(started(wanted=1), "2", "", "")
    assert (state.phase, state.left, effects) == (Phase.FINISHED, False, (End(),))


def test_a_round_ends_when_nothing_more_can_be_asked() -> None:
    state = started(wanted=9)
    for number in range(1, 4):
        state, _ = typed(state, "2", "", "")
        state, _ = advance(state, Posed(question(f"rule-{number}")))
    state, effects = typed(state, "2", "", "")
    assert (len(state.results), effects) == (4, (End(),))


@pytest.mark.parametrize("lines", [("q",), ("2", "q"), ("2", "", "q")])
def test_leaving_ends_the_round_from_anywhere(lines: tuple[str, ...]) -> None:
    state, effects = typed(started(), *lines)
    assert (state.phase, state.left, effects) == (Phase.FINISHED, True, (End(),))


def test_leaving_with_an_unconfirmed_answer_records_nothing() -> None:
    assert typed(started(), "2", "q")[0].results == ()


def test_a_line_that_is_no_answer_changes_nothing_and_says_why() -> None:
    state, effects = typed(started(), "9")
    assert state == started()
    assert told(effects) == ["There is no choice 9; the choices are 1 to 3."]
    assert refused(started(), "9") == "There is no choice 9; the choices are 1 to 3."
    assert refused(started(), "") == "Type an answer, or ? for the keys."


def test_commands_answers_and_enter_where_it_goes_on_are_never_refused() -> None:
    held, _ = typed(started(), "2")
    explained, _ = typed(held, "")
    assert [refused(started(), line) for line in ("?", "h", "w", "s", "u", "b", "q", "2")] == [None] * 8
    assert refused(held, "") is None
    assert refused(explained, "anything") is None


def test_a_line_is_passed_by_while_a_question_is_being_built() -> None:
    state, _ = begin(PLANS, 2)
    assert advance(state, Entered("2")) == (state, ())


def test_a_round_gone_on_with_asks_what_was_not_answered() -> None:
    answered = (Result("rule-0", Grade.SOUND), Result("rule-2", Grade.MISSED))
    state, effects = begin(PLANS, 3, answered)
    assert effects == (Pose(PLANS[1]),)
    assert (state.number, state.results) == (3, answered)


def test_a_round_whose_last_answer_was_given_only_has_to_end() -> None:
    assert begin(PLANS, 1, (Result("rule-0", Grade.SOUND),))[1] == (End(),)


INTRODUCING = Terms(new=frozenset({"rule-0"}))


def test_a_new_rule_is_introduced_by_a_solved_pair_before_its_question() -> None:
    state, effects = begun_on(INTRODUCING)
    assert (state.phase, effects) == (Phase.MEETING, (Introduce(question("rule-0")),))
    state, effects = typed(state, "")
    assert (state.phase, effects[0]) == (Phase.ASKING, Show(question("rule-0")))


def test_nothing_that_is_typed_at_the_pair_answers_its_question() -> None:
    state, _ = begun_on(INTRODUCING)
    for line in ("1", "must not", "h", "u", "b", "w", "s", "?"):
        after, effects = typed(state, line)
        assert after == state
        assert not any(isinstance(effect, (Show, Keep, Record)) for effect in effects)
    assert typed(state, "q")[0].phase is Phase.FINISHED


def test_at_a_meeting_other_lines_say_what_to_do() -> None:
    state, _ = begun_on(Terms(new=frozenset({"rule-0"})))
    assert told(typed(state, "3 1 2")[1]) == ["Read it through. Enter goes on to your question."]


def test_an_answer_that_ends_with_a_mark_of_its_own_gets_no_second_one() -> None:
    options = (Option("Is it clean?"), Option("It is clean."), Option("clean"))
    asked = replace(question("rule-0"), way="missing_fact", options=options, key="clean")
    state = advance(begin(PLANS, 2)[0], Posed(asked))[0]
    said = [told(typed(state, place)[1]) for place in "123"]
    assert said == [
        ["Your answer: Is it clean?"],
        ["Your answer: It is clean."],
        ["Your answer: clean."],
    ]


def test_a_wrong_choice_is_charged_to_the_rule_that_it_misapplies() -> None:
    options = (Option("clean"), Option("dirty", rule="other-rule"))
    asked = replace(question("rule-0"), way="missing_fact", options=options, key="clean")
    state = advance(begin(PLANS, 2)[0], Posed(asked))[0]
    assert recorded(typed(state, "2", "")[1]).blamed_rule == "other-rule"


def test_an_order_of_steps_is_refused_until_each_stands_in_it_and_a_wrong_one_is_the_procedures_own_miss() -> (
    None
):
    steps = (OrderedStep("One.", "", frozenset()), OrderedStep("Two.", "", frozenset({0})))
    asked = replace(
        question("procedure:work"), way="steps_in_order", options=(Option("One."), Option("Two.")),
        key="1 2", order=steps,
    )  # fmt: skip
    state = advance(begin(PLANS, 2)[0], Posed(asked))[0]
    assert refused(state, "1") == "Step 2 is not in it. Type all of them, such as 2 1."
    assert recorded(typed(state, "1 2", "")[1]).right
    missed = recorded(typed(state, "b a", "")[1])
    assert (missed.response, missed.right, missed.blamed_rule) == ("2 1", False, "procedure:work")


def test_a_new_rule_without_a_pair_is_asked_about_at_once() -> None:
    state, effects = advance(begun_on(INTRODUCING)[0], NoPair())
    assert (state.phase, effects[0]) == (Phase.ASKING, Show(question("rule-0")))


def test_at_the_first_meeting_the_way_to_the_answer_is_told_and_costs_nothing() -> None:
    state, effects = typed(begun_on(INTRODUCING)[0], "")
    assert told(effects) == list(HINTS)
    assert told(typed(state, "h")[1]) == ["There are no more hints; the rest is the answer itself."]
    answer = recorded(typed(state, "2", "")[1])
    assert (answer.grade, answer.hints, answer.guided) == (Grade.SOUND, 0, True)


def test_a_rule_that_was_met_is_asked_about_with_nothing_told() -> None:
    state, _ = typed(begun_on(INTRODUCING)[0], "", "2", "", "")
    state, effects = posed(state, "rule-1")
    assert effects == (Show(question("rule-1")),)
    assert not recorded(typed(state, "2", "")[1]).guided


def test_help_and_doubt_are_written_down_before_they_show() -> None:
    state, effects = typed(started(), "h")
    assert effects[0] == Keep(Draft("rule-0", 1, helped=False, unsure=False))
    assert isinstance(effects[1], Tell)
    assert typed(state, "u")[1][0] == Keep(Draft("rule-0", 1, helped=False, unsure=True))


def test_hints_and_doubt_survive_a_restart() -> None:
    draft = Draft("rule-0", 1, helped=False, unsure=True)
    state, effects = begun_on(Terms(draft=draft))
    assert effects == (Show(question("rule-0")), Tell(Block("The hints you had", HINTS[:1])))
    state, recording = typed(state, "2", "")
    assert (recorded(recording).hints, recorded(recording).unsure) == (1, True)
    state, _ = posed(typed(state, "")[0], "rule-1")
    assert recorded(typed(state, "2", "")[1]).grade is Grade.SOUND


def test_help_told_on_the_way_survives_a_restart_too() -> None:
    state, _ = begun_on(Terms(draft=Draft("rule-0", 0, helped=True, unsure=False)))
    assert recorded(typed(state, "2", "")[1]).grade is Grade.SHAKY


def test_a_draft_of_another_question_is_passed_by() -> None:
    state, _ = begun_on(Terms(draft=Draft("rule-9", 2, helped=True, unsure=True)))
    assert recorded(typed(state, "2", "")[1]).grade is Grade.SOUND


def test_what_was_told_with_a_new_rule_is_no_hint_after_a_restart_either() -> None:
    terms = Terms(new=frozenset({"rule-0"}), draft=Draft("rule-0", 2, helped=False, unsure=False))
    state, effects = typed(begun_on(terms)[0], "")
    assert told(effects) == list(HINTS)
    assert recorded(typed(state, "2", "")[1]).grade is Grade.SOUND


EXAM = Terms(Purpose.EXAM)


def test_in_an_exam_an_answer_is_recorded_and_the_next_question_comes_with_nothing_told() -> None:
    state, effects = typed(begun_on(EXAM)[0], "1", "")
    assert [type(effect) for effect in effects] == [Record, Pose]
    assert recorded(effects).purpose is Purpose.EXAM
    assert (state.phase, state.number) == (Phase.POSING, 2)


def test_an_exam_ends_after_its_last_answer_and_explains_nothing_itself() -> None:
    _, effects = typed(begun_on(EXAM, wanted=1)[0], "2", "")
    assert [type(effect) for effect in effects] == [Record, End]


def test_an_exam_gives_no_hint_no_proof_and_no_source() -> None:
    state, _ = begun_on(EXAM)
    for line in ("h", "w", "s"):
        after, effects = typed(state, line)
        assert after == state
        assert "exam" in " ".join(told(effects))
    assert not any(line.startswith(("h ", "w ", "s ")) for line in told(typed(state, "?")[1]))


def test_an_exam_lets_an_answer_be_taken_back_and_doubted() -> None:
    state, _ = typed(begun_on(EXAM)[0], "1", "b")
    assert recorded(typed(state, "2", "u")[1]).grade is Grade.SHAKY


def test_an_exam_is_handed_in_early_only_when_that_is_asked_for_twice() -> None:
    state, effects = typed(begun_on(EXAM)[0], "q")
    assert (state.phase, told(effects)) == (Phase.ASKING, ["Type q again to hand the paper in as it is."])
    assert typed(state, "2", "q")[0].phase is Phase.ANSWERED
    state, effects = typed(state, "q")
    assert (state.phase, state.left, effects) == (Phase.FINISHED, True, (End(),))


PLACING = Terms(
    Purpose.PLACEMENT, topics={"rule-0": "slack", "rule-1": "slack", "rule-2": "slack", "rule-3": "wear"}
)


def test_a_placement_round_closes_a_topic_after_two_answers_that_are_not_sound() -> None:
    state, _ = typed(begun_on(PLACING, wanted=9)[0], "1", "", "")
    state, effects = typed(posed(state, "rule-1")[0], "2", "u", "")
    assert effects == (Pose(PLANS[3]),)


def test_a_placement_round_goes_on_with_a_topic_that_is_known() -> None:
    state, _ = typed(begun_on(PLACING, wanted=9)[0], "2", "", "")
    state, effects = typed(posed(state, "rule-1")[0], "1", "", "")
    assert effects == (Pose(PLANS[2]),)
    assert state.results == (Result("rule-0", Grade.SOUND), Result("rule-1", Grade.BLIND_SPOT))


def test_a_placement_round_explains_and_says_what_its_answers_are_for() -> None:
    _, effects = typed(begun_on(PLACING)[0], "2", "")
    assert [type(effect) for effect in effects] == [Record, Explain]
    assert (recorded(effects).purpose, recorded(effects).guided) == (Purpose.PLACEMENT, False)


def test_a_placement_round_gone_on_with_remembers_which_topics_are_closed() -> None:
    answered = (Result("rule-0", Grade.MISSED), Result("rule-1", Grade.SHAKY))
    assert begin(PLANS, 9, answered, PLACING)[1] == (Pose(PLANS[3]),)


def test_when_the_time_is_up_the_question_at_hand_may_be_answered_and_none_follows() -> None:
    state, effects = advance(started(wanted=9), TimeUp())
    assert told(effects) == ["The time is up: this question is the last."]
    assert advance(state, TimeUp()) == (state, ())
    state, effects = typed(state, "2", "", "")
    assert (len(state.results), effects) == (1, (End(),))


def test_when_the_time_is_up_between_two_questions_the_round_ends() -> None:
    explained, _ = typed(started(wanted=9), "2", "")
    state, effects = advance(explained, TimeUp())
    assert effects == ()
    assert typed(state, "")[1] == (End(),)


def test_whatever_is_typed_never_raises_and_never_records_twice() -> None:
    lines = ("", "?", "h", "w", "s", "u", "b", "1", "2", "9", "must not", "\x1b[A", "x" * 500)
    for first in lines:
        for second in lines:
            for third in lines:
                state, recordings = started(wanted=1), 0
                for line in (first, second, third, "2", ""):
                    if state.phase is Phase.FINISHED:
                        break
                    state, effects = advance(state, Entered(line))
                    recordings += sum(isinstance(effect, Record) for effect in effects)
                assert recordings == len(state.results) <= 1
