"""Checks a knowledge base whole: what loading finds, what the checks find, and whether each rule can be practised."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from sideplate_engine import Judge, KnowledgeBase, Severity, load
from sideplate_engine.check_context import CheckContext, context_of
from sideplate_engine.checks import every_check, run_checks
from sideplate_engine.explanations.explanation import Explanation
from sideplate_engine.finding_codes import explanations, ignorable
from sideplate_engine.findings import Finding
from sideplate_engine.ignoring import without_ignored
from sideplate_engine.loading import Trees, shown
from sideplate_engine.yaml_tree import UnreadableFile
from sideplate_trainer.situations import unbuildable
from sideplate_trainer.situations.workshop import read_workshop

Step = Callable[[str], None]
"""Told what is about to be looked at."""

STEPS = len(every_check()) + 2
"""How many steps a check takes: loading, each check, practice."""

PRACTICE = {
    "no-situation": Explanation(
        "No situation can be built for a rule",
        "Practice questions come from job sheets that the program makes up so that the rule fires and stands. For "
        "this rule it found none: the message says what stood in the way. The rule judges all the same, but nobody "
        "can be asked about it. Look for conditions that are hardly ever met together, for a rule that overrides "
        "this one nearly everywhere, or for values that cannot be written down exactly. An example in which it "
        "fires is tried first.",
    ),
    "workshop": Explanation(
        "A file of the workshop is not as it should be",
        "people.yaml, machines.yaml and never.yaml describe the invented workshop that practice stories are set in. "
        "The message says what shape is needed; the files themselves begin with a word on each.",
    ),
}
"""What the trainer's own findings mean."""


@dataclass(frozen=True, slots=True)
class Checked:
    """A knowledge base and all that was found in it, in order. `context` is None where errors kept it from judging."""

    knowledge: KnowledgeBase
    findings: tuple[Finding, ...]
    texts: Mapping[str, str]
    context: CheckContext | None

    @property
    def errors(self) -> int:
        """How many of the findings are errors."""
        return sum(finding.severity is Severity.ERROR for finding in self.findings)


def every_explanation() -> dict[str, Explanation]:
    """What each code means that a finding can carry, the trainer's own included."""
    return dict(sorted((dict(explanations()) | PRACTICE).items()))


def check_folders(
    folders: tuple[Path, ...],
    step: Step = lambda what: None,
    trees: Trees | None = None,
    focus: Callable[[KnowledgeBase, Mapping[str, str]], frozenset[str] | None] = lambda knowledge, texts: (
        None
    ),
) -> Checked:
    """Everything wrong with the knowledge in some folders, later ones laid over earlier ones.

    `focus` may narrow the look to some rules, from the base and its texts; practice is then left out.
    """
    step("reading")
    loaded = load(*folders, trees=trees)
    if any(finding.severity is Severity.ERROR for finding in loaded.findings):
        # Examples are judged with the whole base, so they say nothing while a part of it is missing.
        return Checked(loaded.knowledge, loaded.findings, loaded.texts, None)
    narrowed = focus(loaded.knowledge, loaded.texts)
    context = context_of(loaded, Judge(loaded.knowledge), folders, narrowed)
    findings = [*loaded.findings, *run_checks(context, lambda check: step(check.CODE))]
    if narrowed is None:
        step("practice")
        findings += [*unbuildable(context.judge), *_workshop(folders, context)]
    left = without_ignored(loaded.knowledge, findings, ignorable() | {"no-situation"})
    if narrowed is not None:
        # What was not looked at may still find what is ignored.
        left = tuple(finding for finding in left if finding.code != "idle-ignore")
    return Checked(loaded.knowledge, left, {**loaded.texts, **context.other_texts}, context)


def _workshop(folders: tuple[Path, ...], context: CheckContext) -> Iterator[Finding]:
    """What is wrong with the workshops of those folders that have one."""
    for folder in folders:
        if not (folder / "workshop" / "people.yaml").is_file():
            continue
        try:
            _, found = read_workshop(folder, context.knowledge.facts)
        except UnreadableFile as problem:
            found = [problem.finding]
        for finding in found:
            path = folder / finding.at.path
            if context.text_of(path) is not None:
                finding = replace(finding, at=replace(finding.at, path=shown(path)))
            yield finding
