"""The telling words of texts, and how alike two texts are by them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideplate_trainer.wording import alikeness, is_negative, telling_words

WORDS = st.frozensets(st.sampled_from(["chain", "bolt", "nut", "wear", "oil"]))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("The chain and its rings", {"chain", "ring"}),
        ("Cleaning, cleaned, cleans", {"clean"}),
        ("What should not have been there", set()),
        ("A 520 chain of 15.875 mm", {"520", "chain", "15.875"}),
        ("", set()),
    ],
)
def test_little_words_and_endings_go_and_figures_stay(text: str, words: set[str]) -> None:
    assert telling_words(text) == words


def test_capitals_and_stops_make_no_difference() -> None:
    assert telling_words("CHAIN! (Rusted.)") == telling_words("chain rusted")


@given(st.text())
def test_the_words_of_a_text_are_never_more_than_its_letters(text: str) -> None:
    assert sum(map(len, telling_words(text))) <= len(text.lower())


@given(WORDS, WORDS)
def test_alikeness_goes_from_none_to_one_and_is_the_same_from_either_side(
    one: frozenset[str], other: frozenset[str]
) -> None:
    assert 0 <= alikeness(one, other) <= 1
    assert alikeness(one, other) == alikeness(other, one)
    assert (alikeness(one, other) == 1) is (one == other and bool(one))
    assert (alikeness(one, other) == 0) is one.isdisjoint(other)


def test_half_the_words_in_common_is_a_half() -> None:
    assert alikeness(frozenset({"chain", "oil", "wear"}), frozenset({"chain", "oil", "nut"})) == 0.5


def test_a_sentence_with_the_word_not_says_that_something_is_not_so() -> None:
    assert is_negative("It was not cleaned.")
    assert is_negative("Not cleaned yet.")
    assert not is_negative("A note was made of the knot.")
