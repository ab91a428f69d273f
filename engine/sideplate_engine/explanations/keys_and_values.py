"""Findings about keys, words and values."""

from __future__ import annotations

from sideplate_engine.explanations.explanation import Explanation

EXPLAINED = {
    "missing-key": Explanation(
        "A key is missing",
        "This kind of file needs the key, and it is not there. The page on knowledge files lists what each kind "
        "needs. A rule that lacks `sources` or `because` is not a formality: without them nobody can check it.",
    ),
    "unknown-key": Explanation(
        "A key that may not stand here",
        "The key is misspelt, or belongs elsewhere; the message names the nearest one, or all that may stand here. "
        "Unknown keys are refused rather than passed over, because a misspelt `unless` would change a ruling.",
    ),
    "unknown-word": Explanation(
        "A word that this key does not take",
        "The key takes one of a few words, which the message lists. Look for a slip of spelling, or for a value that "
        "belongs under another key.",
    ),
    "wrong-shape": Explanation(
        "Something of another shape is needed here",
        "A text stands where a list or a mapping is needed, or the other way round; or the text has not the form of "
        "an id. Several values of one fact are written `{one of: [a, b]}`. A text with a colon and a space in it "
        "becomes a mapping unless it stands in quotes.",
    ),
    "wrong-value": Explanation(
        "The value does not fit its fact",
        "The vocabulary says what kind of value the fact takes, in which unit's dimension, and what is possible. The "
        "message says what to write instead. A quantity always carries its unit, `38 mm`; a count is a whole number; "
        "a choice is one of its words; a flag is yes or no; of a range the lower end comes first.",
    ),
    "repeated-value": Explanation(
        "A value is listed twice",
        "The list names one value two times, or two spellings of one value. Take one away, or write the one that was "
        "meant.",
    ),
    "unknown-unit": Explanation(
        "There is no such unit",
        "The unit is none that Sideplate knows; the message names the nearest. The page on knowledge files lists all "
        "of them. A bare ratio has the unit `1`.",
    ),
    "vocabulary": Explanation(
        "The keys of a fact do not fit its kind",
        "A quantity has a `unit`, a choice has `choices`, only numbers have `possible` and `usual`, only a choice or "
        "a code can be `many`, and `says` puts in `{value}` (a flag has one sentence for yes and one for no). Change "
        "the kind or the key.",
    ),
    "unspoken": Explanation(
        "A fact cannot be asked for or told",
        "A fact that a job sheet can state needs `ask`, the question by which a person is asked for it, and `says`, "
        "the sentence by which a practice story tells it. A fact that only rules can derive says `given: no`.",
    ),
    "fact-name": Explanation(
        "This is no name for a fact",
        "Facts have trade names in lower case, dotted by the part they belong to, such as `chain.pitch`; words are "
        "joined by an underscore.",
    ),
    "no-facts": Explanation(
        "The sheet states no facts",
        "A job sheet has at least one fact under `facts:`; without any there is nothing to judge.",
    ),
}
