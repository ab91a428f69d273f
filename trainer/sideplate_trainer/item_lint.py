"""What makes a question unfit to be put: faults of its form, seen without knowing anything of chains.

Most are give-aways: what lets somebody pick the key who has not understood the case. A check looks at every option, not
at the key alone. Were only the keys that stand out drawn again, an option that stands out would never be the key.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from sideplate_engine.quantities import QuantityError, read_quantity
from sideplate_trainer.questions import Option, Question
from sideplate_trainer.verdicts import options_for
from sideplate_trainer.wording import telling_words

VERDICTS = "is_this_allowed"

STANDS_OUT = 1.9
"""From how many times the length of the next one on an option stands out, as the longest or as the shortest."""

LETTERS_APART = 10
"""By how many letters it has to be longer or shorter as well: 114 and 96 links are no give-away."""

WORDS_REPEATED = 2
"""How many telling words of the text one option alone has to repeat to stand out by them."""

ABSOLUTE = re.compile(r"\b(always|never|(all|none) of the above)\b", re.IGNORECASE)
ENDS_A_SENTENCE = (".", "?", "!")
_NUMBER_AND_UNIT = re.compile(r"-?[0-9][0-9.,/]*(?: (.*))?")
_FIXED = frozenset({"nothing is wrong", "both", "neither"})
"""Words of options that stand under every question of their way, so that they tell nothing."""

Check = Callable[[Question], str | None]


def faults_of(question: Question) -> tuple[str, ...]:
    """What makes the question unfit, a sentence each; empty for one that can be put."""
    return tuple(fault for check in CHECKS if (fault := check(question)) is not None)


def no_single_key(question: Question) -> str | None:
    """Other than one option is the key."""
    if not question.options or question.order:
        return None
    keys = sum(option.word == question.key for option in question.options)
    return None if keys == 1 else f"{keys} options are the key."


def two_options_alike(question: Question) -> str | None:
    """Two options are the same but for capitals, spaces and stops."""
    seen: set[str] = set()
    for option in question.options:
        words = _words(option.means or option.word)
        if words in seen:
            return f"Two options are alike: {option.text}"
        seen.add(words)
    return None


def option_within_another(question: Question) -> str | None:
    """One option stands whole within another, so that who picks the longer one has said the shorter one too."""
    for one in _free_options(question):
        for other in _free_options(question):
            if one is not other and f" {_words(_said(one))} " in f" {_words(_said(other))} ":
                return f"One option is part of another: {_said(one)}"
    return None


def length_stands_out(question: Question) -> str | None:
    """One option is much longer, or much shorter, than all the others."""
    options = _free_options(question)
    if len(options) < 3:
        return None
    lengths = sorted(len(_said(option)) for option in options)
    for less, more, what in ((lengths[-2], lengths[-1], "longer"), (lengths[0], lengths[1], "shorter")):
        if more - less >= LETTERS_APART and more >= STANDS_OUT * less:
            return f"One option is much {what} than all the others."
    return None


def absolute_word_in_one(question: Question) -> str | None:
    """A word such as always or never stands in just one option."""
    found = [option for option in _free_options(question) if ABSOLUTE.search(_said(option))]
    return f"Only one option says so: {_said(found[0])}" if len(found) == 1 else None


def text_repeated_in_one(question: Question) -> str | None:
    """Just one option repeats telling words of the text, and no other a single one."""
    told = telling_words(" ".join(line for line in question.text if not _lists_options(line, question)))
    repeated = [(len(told & telling_words(_said(option))), option) for option in _free_options(question)]
    having = [(count, option) for count, option in repeated if count]
    if len(having) == 1 and len(repeated) > 1 and having[0][0] >= WORDS_REPEATED:
        return f"Only one option has words of the text: {_said(having[0][1])}"
    return None


def mixed_endings(question: Question) -> str | None:
    """Some options are whole sentences and others are not."""
    endings = {_said(option).endswith(ENDS_A_SENTENCE) for option in _free_options(question)}
    return "Some options end with a stop and others do not." if len(endings) > 1 else None


def unfinished_sentence(question: Question) -> str | None:
    """A sentence of the text does not end like one."""
    for sentence in question.text:
        if not sentence.strip().endswith(ENDS_A_SENTENCE):
            return f"This does not end like a sentence: {sentence}"
    return None


def unfilled_placeholder(question: Question) -> str | None:
    """A place where a value was to be put in is still empty."""
    for line in (*question.look, question.key):
        if "{" in line or "}" in line or not line.strip():
            return f"A value was not put in: {line}"
    return None


def verdicts_out_of_order(question: Question) -> str | None:
    """The verdicts to choose from are not those that always stand there, in their order."""
    if question.way != VERDICTS or question.options == options_for(question.subject):
        return None
    return "The verdicts are not in their usual order."


def number_without_unit(question: Question) -> str | None:
    """A key that is a measure cannot be read back as it is shown, or numbers to choose from have different units."""
    number = question.number
    if number is not None and number.fact.kind != "count":
        try:
            value = read_quantity(question.key, number.fact.unit)
        except QuantityError as problem:
            return f"The key cannot be read: {problem}"
        # 1.25 is shown as 1.2, and as floats these are a hair more than 0.05 apart.
        if abs(value - number.value) > number.within * (1 + 1e-9):
            return f"The key is shown as another number than it is: {question.key}"
    numbers = [_NUMBER_AND_UNIT.fullmatch(option.word) for option in question.options]
    units = {found.group(1) or "none" for found in numbers if found is not None}
    return f"The numbers have different units: {', '.join(sorted(units))}" if len(units) > 1 else None


CHECKS: tuple[Check, ...] = (
    no_single_key,
    two_options_alike,
    option_within_another,
    length_stands_out,
    absolute_word_in_one,
    text_repeated_in_one,
    mixed_endings,
    unfinished_sentence,
    unfilled_placeholder,
    verdicts_out_of_order,
    number_without_unit,
)
"""Every check. Each tells the fault it finds in a sentence, or None."""


def _free_options(question: Question) -> tuple[Option, ...]:
    """The options of which one is picked for what it says; none where all are the same under every question.

    Steps to be put in order are none either: how long they are tells nothing of their order.
    """
    if question.way == VERDICTS or question.order:
        return ()
    return tuple(option for option in question.options if option.word not in _FIXED)


def _said(option: Option) -> str:
    """What an option says, without a number of a line that stands for it."""
    return option.means or option.word


def _lists_options(line: str, question: Question) -> bool:
    """Whether a line of the text tells what there is to choose from."""
    return all(option.word in line for option in question.options)


def _words(text: str) -> str:
    return " ".join(re.findall(r"\w+", text.lower()))
