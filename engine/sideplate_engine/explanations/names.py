"""Findings about names that lead nowhere, and names that are taken."""

from __future__ import annotations

from sideplate_engine.explanations.explanation import Explanation


def _unknown(what: str, where: str) -> Explanation:
    return Explanation(
        f"There is no such {what}",
        f"The name leads to no {what}. {where} The message names the nearest one that exists when one is near "
        "enough to be meant. If the name is right, the thing itself is still to be written, or its own file has an "
        "error that keeps it from being used.",
    )


EXPLAINED = {
    "unknown-fact": _unknown("fact", "Facts are declared in vocabulary/, one file a subject."),
    "unknown-source": _unknown("source", "Sources are declared in sources.yaml, with how far each was read."),
    "unknown-caution": _unknown("caution", "Cautions are declared in cautions.yaml."),
    "unknown-table": _unknown("table", "Tables are the files of tables/, and their id is the file's name."),
    "unknown-column": _unknown("column", "The columns of a table are listed at its top."),
    "unknown-formula": _unknown(
        "formula", "Formulas are the files of formulas/, and their id is the file's name."
    ),
    "unknown-rule": _unknown(
        "rule", "`overrides` names rules in force, and `replaces` a rule of another folder."
    ),
    "unknown-topic": _unknown(
        "topic", "Topics are declared in topics.yaml; a rule's topic is the folder it lies in."
    ),
    "unknown-subject": _unknown("subject", "What rulings are about is declared in subjects.yaml."),
    "unknown-step": _unknown("step", "`after` names steps of the same procedure."),
    "unknown-check": Explanation(
        "There is no such check to ignore",
        "An entry under `ignore:` names a check that does not exist or cannot be ignored. `sideplate check` prints "
        "each finding's code in square brackets. What keeps a file from being read cannot be ignored.",
    ),
    "repeated-id": Explanation(
        "The id is taken",
        "Two things of one kind have one id. An id is used once and never again, not even after its rule is retired: "
        "learners' records and other rules go by it. Give the new one a name of its own. A school's rule that is to "
        "stand in place of a built-in one names it under `replaces:`.",
    ),
    "repeated-fact": Explanation(
        "A fact is declared or stated twice",
        "The vocabulary declares the fact in two places, or a sheet states it twice, perhaps once by its dotted name "
        "and once inside a nested mapping. Keep one.",
    ),
    "repeated-example": Explanation(
        "Two examples of a rule have one name",
        "An example is found by its rule and its name, in tests and in messages. Name each after what is special "
        "about it.",
    ),
    "repeated-step": Explanation(
        "Two steps have one id",
        "`after` names steps by their ids, so each id stands for one step. Rename one of the two, and look through "
        "the `after` lists for which is meant.",
    ),
    "retired": Explanation(
        "A retired rule lies in the wrong place",
        "A rule that is no longer in force has the status `retired` and lies in rules/retired/; its id stays taken "
        "for ever. Move the file or change its status.",
    ),
    "idle-ignore": Explanation(
        "Something is ignored that is not found",
        "The rule ignores a finding, with a reason, but the check finds nothing there any more. The entry would hide "
        "the next real finding, so take it away. One entry silences one finding.",
    ),
}
