"""Findings about the conditions, outcome, texts and examples of rules."""

from __future__ import annotations

from sideplate_engine.explanations.explanation import Explanation

EXPLAINED = {
    "unknown-test": Explanation(
        "There is no such test",
        "A condition compares a fact by one of a few words, such as `at least` or `one of`; this is none of them. The "
        "message names the nearest, or all.",
    ),
    "wrong-test": Explanation(
        "The test does not suit the fact",
        "Limits need a number, and two facts can only be compared when they are of one kind: two quantities of one "
        "dimension, two counts, two choices with the same words. For a choice write the word, or `{one of: [...]}`.",
    ),
    "too-many-branches": Explanation(
        "The alternatives multiply out",
        "Every `any` list multiplies with every other, and so does `outside`, which is two alternatives. Beyond "
        "sixty-four, nobody can see any more what the rule says. Split it into rules that each say one thing.",
    ),
    "too-many-tests": Explanation(
        "The conditions hold too much",
        "More than five hundred tests and values stand in one set of conditions. Nobody reads such a list, and a "
        "slip in it is never found. Put the values in a table and derive from it what they have in common, or split "
        "the rule into several that each say one thing.",
    ),
    "too-many-alternatives": Explanation(
        "All rules together have too many alternatives",
        "Each branch of `any`, and each side of `outside`, is an alternative that is matched by itself, and long lists "
        "of values are matched in pieces. All the rules together may have some four thousand; a few hundred rules have "
        "a few hundred. The finding stands at the rule with the most. Derive what its branches have in common, from a "
        "table or in a rule of its own, and test that.",
    ),
    "no-conditions": Explanation(
        "A ruling without conditions",
        "A ruling that always fires is idle advice. Say under `when:` what on the machine or in the plan makes it "
        "matter.",
    ),
    "cycle": Explanation(
        "Things wait for each other",
        "The rules named need each other's conclusions, directly or through facts in between, so none of them can be "
        "judged first. Follow the arrows and take out one dependence: often an exception or an override that looks at "
        "a fact derived above it. Steps of a procedure and topics can wait for each other in the same way.",
    ),
    "self-override": Explanation(
        "A rule overrides itself",
        "A rule cannot set itself aside. Name the other rule, or take the entry away.",
    ),
    "no-outcome": Explanation(
        "A rule without an outcome, or with two",
        "A rule either gives a `ruling` or derives facts under `derive:`. One that does both is two rules; one that "
        "does neither says nothing.",
    ),
    "no-instead": Explanation(
        "A prohibition without a way out",
        "Whoever is told not to do something needs to know what to do in its place. Say it under `instead:`.",
    ),
    "unexplained": Explanation(
        "A ruling does not say what happens if it is ignored",
        "`if_ignored` says what breaks or hurts. Without it a ruling is an order; with it a person can weigh it. Only "
        "a ruling of `may` does without.",
    ),
    "no-caution": Explanation(
        "A safety rule without a caution",
        "The reason of this rule is safety, so someone can be hurt. Name the caution that goes with it, from "
        "cautions.yaml, so that it is printed beside the ruling.",
    ),
    "unknown-placeholder": Explanation(
        "A place in a text leads nowhere",
        "Braces hold the name of a fact, `{chain.size}`, or a quantity, `{12 mm}`. This one holds neither, or a brace "
        "stands alone.",
    ),
    "uncertain-placeholder": Explanation(
        "A text puts in a fact that may be unknown",
        "When the rule fires, this fact need not be known, and the sentence would have a hole. Put in only facts that "
        "the conditions test on every branch, or that the rule derives, or add the condition `known`.",
    ),
    "wrong-example": Explanation(
        "An example says too much or too little",
        "`missing:` lists the facts for want of which a rule is open. It goes with `expect: open`, always, and with "
        "nothing else.",
    ),
    "wrong-derivation": Explanation(
        "A fact cannot be derived this way",
        "A fact is derived from a plain value, from a look-up (`lookup`, `by`, `take`), from a formula or from "
        "another fact, and what comes out must be of the fact's kind and dimension. The message says which of these "
        "is amiss.",
    ),
}
