"""What makes a question unfit to be put, a question with just that fault for each check."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideplate_engine.findings import Position
from sideplate_engine.vocabulary import Fact
from sideplate_trainer.item_lint import (
    CHECKS,
    LETTERS_APART,
    STANDS_OUT,
    absolute_word_in_one,
    faults_of,
    length_stands_out,
    mixed_endings,
    no_single_key,
    number_without_unit,
    option_within_another,
    text_repeated_in_one,
    two_options_alike,
    unfilled_placeholder,
    unfinished_sentence,
    verdicts_out_of_order,
)
from sideplate_trainer.questions import NumberKey, Option, OrderedStep, Question
from sideplate_trainer.verdicts import NOTHING, ON_A_DEED, ON_A_JOB

STEPS = ("Undo it.", "Turn it out.", "Wipe it dry.")


def choice(*words: str, key: str | None = None, way: str = "a-way", story: str = "A bolt.") -> Question:
    options = tuple(map(Option, words))
    return Question(
        "a-rule", way, 1, "", {}, {}, (story,), ("Which is it?",), key or words[0], options=options
    )


def steps(*after: frozenset[int]) -> Question:
    order = tuple(
        OrderedStep(do, "So it is.", needed) for do, needed in zip(STEPS[: len(after)], after, strict=True)
    )
    return replace(choice(*STEPS[: len(after)], key="1 2 3"), order=order)


def measure(key: str, value: float = 12.7, unit: str = "mm", kind: str = "quantity") -> Question:
    fact = Fact("a.fact", kind, "What is asked for.", Position("a test"), unit)  # type: ignore[arg-type]  # a kind
    return replace(choice("none", key=key), options=(), number=NumberKey(fact, value, 0.05))


SOUND = choice("It is plated.", "It is painted.", "It is greased.")


@pytest.mark.parametrize("check", CHECKS)
def test_a_plain_question_has_no_fault(check: object) -> None:
    assert callable(check)
    assert check(SOUND) is None
    assert faults_of(SOUND) == ()


def test_every_fault_is_told_in_a_sentence() -> None:
    spoilt = choice("It is plated.", "it is PLATED", story="It measures {bolt.length}")
    told = faults_of(spoilt)
    assert len(told) == 5
    assert all(fault[0].isupper() for fault in told)


@pytest.mark.parametrize("key", ["It is bent.", "2"])
def test_a_key_that_is_no_option_is_a_fault(key: str) -> None:
    assert no_single_key(replace(SOUND, key=key)) == "0 options are the key."


def test_a_key_that_two_options_share_is_a_fault() -> None:
    assert no_single_key(choice("A.", "A.", "B.")) == "2 options are the key."


def test_an_order_of_steps_and_a_number_have_no_option_as_their_key() -> None:
    assert no_single_key(steps(frozenset({1}), frozenset(), frozenset())) is None
    assert no_single_key(measure("12.7 mm")) is None


def test_options_that_differ_in_capitals_spaces_and_stops_only_are_alike() -> None:
    assert two_options_alike(choice("Clean it.", "clean  it")) is not None
    assert two_options_alike(choice("Clean it.", "Clean it again.")) is None


def test_two_lines_of_a_sheet_that_say_the_same_are_alike_whatever_their_number() -> None:
    lines = replace(SOUND, options=(Option("line 1", "It is dry."), Option("line 2", "It is dry.")))
    assert two_options_alike(lines) == "Two options are alike: line 2: It is dry."


def test_an_option_that_stands_whole_in_another_is_a_fault() -> None:
    assert option_within_another(choice("engine oil", "used engine oil")) is not None
    assert option_within_another(choice("oil", "boiled")) is None


@pytest.mark.parametrize(("subject", "options"), [("use-the-bolt", ON_A_DEED), (None, ON_A_JOB)])
def test_the_verdicts_may_hold_one_another_and_stand_as_they_always_do(
    subject: str | None, options: tuple[Option, ...]
) -> None:
    asked = replace(SOUND, way="is_this_allowed", key=NOTHING, options=options, subject=subject)
    assert faults_of(asked) == ()
    turned = replace(asked, options=tuple(reversed(options)))
    assert faults_of(turned) == ("The verdicts are not in their usual order.",)


def test_one_option_that_is_much_longer_or_shorter_stands_out() -> None:
    assert length_stands_out(choice("x" * 40, "y" * 20, "z" * 20)) is not None
    assert length_stands_out(choice("x" * 10, "y" * 30, "z" * 30)) is not None
    assert length_stands_out(choice("x" * 40, "y" * 30, "z" * 20)) is None


def test_a_few_letters_more_are_no_give_away() -> None:
    assert length_stands_out(choice("96", "114", "grease")) is None


@given(st.lists(st.integers(1, 100), min_size=3, max_size=5), st.data())
def test_that_a_length_stands_out_depends_neither_on_the_key_nor_on_the_order(
    lengths: list[int], data: st.DataObject
) -> None:
    words = ["x" * length for length in lengths]
    found = length_stands_out(choice(*words))
    mixed = data.draw(st.permutations(words))
    assert length_stands_out(choice(*mixed, key=mixed[-1])) == found
    *_, next_longest, longest = sorted(lengths)
    if longest >= STANDS_OUT * next_longest and longest - next_longest >= LETTERS_APART:
        assert found is not None


def test_the_line_that_every_sheet_has_is_not_measured() -> None:
    lines = (*(Option(f"line {place}", "x" * 60) for place in (1, 2, 3)), Option("nothing is wrong"))
    assert length_stands_out(replace(SOUND, options=lines)) is None


def test_an_absolute_word_in_just_one_option_is_a_fault() -> None:
    assert absolute_word_in_one(choice("It always holds.", "It holds.", "It slips.")) is not None
    assert absolute_word_in_one(choice("It always holds.", "It never holds.", "It slips.")) is None
    assert absolute_word_in_one(choice("All of the above", "It holds.", "It slips.")) is not None


def test_words_of_the_text_in_just_one_option_are_a_fault_whichever_it_is() -> None:
    told = "The thread of the stud was rolled."
    words = ("A rolled thread holds better.", "Salt eats bare steel.", "Nobody looked.")
    for key in words:
        assert text_repeated_in_one(choice(*words, key=key, story=told)) is not None
    shared = ("A rolled thread holds better.", "The stud is too long.", "Nobody looked.")
    assert text_repeated_in_one(choice(*shared, story=told)) is None


def test_a_line_that_lists_the_choices_repeats_none_of_them() -> None:
    told = "To choose from: chain wax, grease and hot lead."
    assert text_repeated_in_one(choice("chain wax", "grease", "hot lead", story=told)) is None


def test_whole_sentences_among_options_that_are_none_are_a_fault() -> None:
    assert mixed_endings(choice("It is bent.", "dry")) is not None
    assert mixed_endings(choice("bent", "dry")) is None


def test_a_text_that_does_not_end_like_a_sentence_is_a_fault() -> None:
    assert unfinished_sentence(choice("a", "b", story="It is bent")) is not None
    assert unfinished_sentence(choice("a", "b", story="Is it bent?")) is None


@pytest.mark.parametrize("text", ["It is {bolt.length} long.", "It is } long.", "  "])
def test_a_value_that_was_not_put_in_is_a_fault(text: str) -> None:
    assert unfilled_placeholder(choice("a", "b", story=text)) is not None
    assert unfilled_placeholder(choice(text, "b")) is not None


def test_steps_may_be_shown_in_a_right_order_or_their_places_would_tell() -> None:
    assert faults_of(steps(frozenset(), frozenset({0}), frozenset({1}))) == ()


def test_long_and_short_steps_are_no_fault_since_length_tells_no_order() -> None:
    mixed = replace(
        steps(frozenset({1}), frozenset(), frozenset()),
        options=(Option("Dry it, and never in the sun, until no water is left."), *map(Option, STEPS[1:])),
    )
    assert faults_of(mixed) == ()


def test_a_measure_without_its_unit_is_a_fault() -> None:
    assert number_without_unit(measure("12.7 mm")) is None
    assert number_without_unit(measure("12.7")) is not None
    assert number_without_unit(measure("12.7 N")) is not None


def test_a_key_shown_as_another_number_than_it_is_is_a_fault() -> None:
    assert number_without_unit(measure("12.8 mm")) == "The key is shown as another number than it is: 12.8 mm"


def test_a_count_and_a_bare_ratio_need_no_unit() -> None:
    assert number_without_unit(measure("110", 110, "1", "count")) is None
    assert number_without_unit(measure("3", 3, "1")) is None


def test_numbers_to_choose_from_have_one_unit() -> None:
    assert number_without_unit(choice("12 mm", "0.5 in", "15 mm")) is not None
    assert number_without_unit(choice("12 mm", "13 mm", "15 mm")) is None
    assert number_without_unit(choice("520", "428MH", "12B")) is None


def test_a_way_of_its_own_may_order_its_options_as_it_likes() -> None:
    assert verdicts_out_of_order(choice("must not", "must")) is None


def test_a_key_that_is_shown_rounded_by_half_its_last_place_is_shown_right() -> None:
    assert number_without_unit(measure("1.2 %", 1.25, "%")) is None
