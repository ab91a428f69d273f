"""A rule's reason in short, fit to stand as a choice beside the reasons of other rules."""

from __future__ import annotations

import re
from collections.abc import Mapping

from sideplate_engine.rules import Rule
from sideplate_engine.texts import read_template
from sideplate_engine.vocabulary import Fact

SHORTEST, LONGEST = 50, 190
SENTENCE_ENDS = re.compile(r"(?<=[.!?])\s+(?=[A-Z])")
ABSOLUTE = re.compile(r"\b(always|never)\b", re.IGNORECASE)


def short_reason(rule: Rule, vocabulary: Mapping[str, Fact]) -> str:
    """The first sentences of the reason that make up a choice; empty where none do.

    Left out are sentences with values of the case, which would show which case they belong to, and those with the
    words always and never, which give a choice away.
    """
    told = ""
    for sentence in SENTENCE_ENDS.split(rule.because_text.source):
        template = read_template(sentence, vocabulary)
        if template.facts() or ABSOLUTE.search(sentence):
            continue
        longer = f"{told} {template.fill({}, vocabulary)}".strip()
        if len(longer) > LONGEST:
            break
        told = longer
        if len(told) >= SHORTEST:
            break
    return told
