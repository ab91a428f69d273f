"""A reason in short: whole sentences of the rule's own, none that give the choice away."""

from __future__ import annotations

from pathlib import Path

import pytest

from sideplate_engine import Judge, KnowledgeBase
from sideplate_trainer.short_reasons import ABSOLUTE, LONGEST, SENTENCE_ENDS, short_reason
from support.small_knowledge import judge_with, rule

LONG = "A crooked shank carries its load on one side and cracks beneath the head."
LONGER = "Nobody sees that crack from outside, because the washer covers it from all round."


def reason(folder: Path, text: str) -> str:
    because = f"{{kind: practice, text: '{text}'}}"
    judge = judge_with(folder, rule("a-rule", status="checked", when="bolt.marks: bent", because=because))
    return short_reason(judge.knowledge.rules["a-rule"], judge.knowledge.facts)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (LONG, LONG),
        (f"{LONG} {LONGER}", LONG),
        (f"It is so. {LONG}", f"It is so. {LONG}"),
        (f"It shows {{bolt.marks}} then. {LONG}", LONG),
        (f"It always cracks there in the end. {LONG}", LONG),
        (f"Never mind the head. {LONG}", LONG),
        ("It is so.", "It is so."),
        ("It shows {bolt.marks} then.", ""),
    ],
)
def test_the_first_sentences_that_make_up_a_choice_are_taken(tmp_path: Path, text: str, told: str) -> None:
    assert reason(tmp_path, text) == told


def test_a_sentence_that_would_make_it_too_long_is_left_out(tmp_path: Path) -> None:
    endless = f"Whoever looks {'and looks ' * 20}sees it."
    assert reason(tmp_path, f"It is so. {endless}") == "It is so."


def test_a_figure_of_the_text_is_shown_with_its_unit(tmp_path: Path) -> None:
    told = reason(
        tmp_path, "A reading of {0.5 mm} more is as good as none over such a short length of thread."
    )
    assert told.startswith("A reading of 0.5 mm more")


def test_every_rules_reason_in_short_is_made_of_sentences_of_its_own(
    knowledge: KnowledgeBase, chain_judge: Judge
) -> None:
    for each in knowledge.rules.values():
        told = short_reason(each, knowledge.facts)
        whole = each.because_text.fill({}, knowledge.facts)
        assert len(told) <= LONGEST
        assert not ABSOLUTE.search(told), each.id
        assert not set("{}[]") & set(told), each.id
        assert all(sentence in whole for sentence in SENTENCE_ENDS.split(told)), each.id
