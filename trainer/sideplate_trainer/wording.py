"""The words of a text that say something, for telling how alike two texts are."""

from __future__ import annotations

import re

_WORD = re.compile(r"[a-z][a-z'-]*[a-z]|[0-9][0-9.,]*[0-9a-z]*")
_ENDINGS = ("ings", "ing", "ied", "ies", "ed", "es", "s")
_LITTLE = frozenset(
    [
        "about",
        "above",
        "after",
        "again",
        "all",
        "also",
        "and",
        "another",
        "any",
        "are",
        "around",
        "because",
        "been",
        "before",
        "being",
        "below",
        "between",
        "both",
        "but",
        "by",
        "can",
        "come",
        "could",
        "does",
        "done",
        "down",
        "each",
        "either",
        "else",
        "every",
        "far",
        "few",
        "for",
        "from",
        "get",
        "goes",
        "had",
        "has",
        "have",
        "her",
        "here",
        "his",
        "how",
        "into",
        "its",
        "itself",
        "just",
        "kept",
        "less",
        "like",
        "made",
        "make",
        "many",
        "may",
        "more",
        "most",
        "much",
        "must",
        "near",
        "need",
        "not",
        "now",
        "off",
        "once",
        "one",
        "only",
        "onto",
        "other",
        "out",
        "over",
        "own",
        "per",
        "put",
        "same",
        "say",
        "see",
        "she",
        "should",
        "since",
        "some",
        "still",
        "such",
        "take",
        "than",
        "that",
        "the",
        "their",
        "them",
        "then",
        "there",
        "these",
        "they",
        "this",
        "those",
        "through",
        "too",
        "under",
        "until",
        "upon",
        "use",
        "used",
        "very",
        "was",
        "way",
        "were",
        "what",
        "when",
        "where",
        "which",
        "while",
        "who",
        "will",
        "with",
        "without",
        "would",
        "you",
        "your",
        "yet",
    ]
)


def telling_words(text: str) -> frozenset[str]:
    """The stems of its words, without the little ones that every text has."""
    words = _WORD.findall(text.lower())
    return frozenset(_stem(word) for word in words if len(word) > 2 and word not in _LITTLE)


def alikeness(one: frozenset[str], other: frozenset[str]) -> float:
    """The share of words in common, from 0 to 1 (Jaccard's index)."""
    return len(one & other) / len(one | other) if one or other else 0.0


def is_negative(text: str) -> bool:
    """Whether a sentence says that something is not so."""
    return "not" in text.lower().split()


def _stem(word: str) -> str:
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word[: -len(ending)]
    return word
