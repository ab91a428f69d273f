"""What an author is asked when a draft is filled in at the prompt; an empty line leaves a place marked in the file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import get_args

from sideplate_engine import KnowledgeBase
from sideplate_engine.authored_conditions import AllOf, read_conditions
from sideplate_engine.authored_reading import read_conditions_of
from sideplate_engine.drafts import FactDraft, RuleDraft, Sample, sample_of
from sideplate_engine.file_models import Because, Force, Kind
from sideplate_engine.findings import did_you_mean, listed
from sideplate_engine.plain_reading import Truth
from sideplate_engine.rules import NEEDS_INSTEAD, read_facts
from sideplate_engine.texts import TextRefused, read_template
from sideplate_engine.units import UNITS, UnknownUnit, unit
from sideplate_engine.yaml_tree import UnreadableFile, read_tree
from sideplate_trainer.blocks import Block
from sideplate_trainer.front.face import Asking, Face

FORCES: tuple[Force, ...] = get_args(Force)
KINDS: tuple[str, ...] = get_args(Kind)
REASONS: tuple[str, ...] = get_args(Because.model_fields["kind"].annotation)

KEYS = "Enter leaves it to be filled in later   Ctrl-C writes nothing"

Check = Callable[[str], str | None]


class Questioner:
    """Puts one question after another; what is left empty keeps what the draft has."""

    def __init__(self, face: Face) -> None:
        self.face = face

    def ask(
        self, question: str, label: str, refused: Check = lambda line: None, words: Sequence[str] = ()
    ) -> str:
        """A line, stripped; empty when it is left for later."""
        self.face.tell((Block("", (question,)),))
        asking = Asking(label, KEYS, "A new draft", tuple(words), (), lambda line: _check(line, refused))
        return self.face.ask(asking).strip()


def _check(line: str, refused: Check) -> str | None:
    return refused(line.strip()) if line.strip() else None


def ask_for_rule(face: Face, knowledge: KnowledgeBase, draft: RuleDraft) -> RuleDraft:
    """The draft with what the author says put in."""
    questions = Questioner(face)

    def one_of(known: Sequence[str]) -> Check:
        return lambda line: (
            None if line in known else f"Write {listed(list(known))}{did_you_mean(line, known)}."
        )

    def text(line: str) -> str | None:
        try:
            read_template(line, knowledge.facts)
        except TextRefused as problem:
            return f"{problem}."
        return None

    facts = list(knowledge.facts)
    known_fact = f"Which fact does the rule look at? Empty: {draft.fact}."
    fact = questions.ask(known_fact, "fact", lambda line: _no_fact(line, facts), facts) or draft.fact
    sample = _ask_for_sample(questions, knowledge, fact, draft.sample if fact == draft.fact else None)
    line = questions.ask(f"How strong is the ruling? Empty: {draft.force}.", "ruling", one_of(FORCES), FORCES)
    force = next((force for force in FORCES if force == line), draft.force)
    draft = replace(draft, fact=fact, sample=sample, force=force)
    draft = replace(draft, title=questions.ask("The rule in a few words?", "title") or draft.title)
    draft = replace(draft, says=questions.ask("What does it say is to be done?", "says", text) or draft.says)
    if draft.force in NEEDS_INSTEAD:
        instead = questions.ask("What is to be done in place of it?", "instead", text)
        draft = replace(draft, instead=instead or draft.instead)
    kind = questions.ask(
        f"What kind of reason is there? Empty: {draft.kind}.", "because", one_of(REASONS), REASONS
    )
    because = questions.ask("The physical cause, in two to four plain sentences?", "because", text)
    draft = replace(draft, kind=kind or draft.kind, because=because or draft.because)
    if draft.force != "may":
        ignored = questions.ask("What breaks or hurts when it is ignored?", "if ignored", text)
        draft = replace(draft, if_ignored=ignored or draft.if_ignored)
    works = list(knowledge.sources)
    source = questions.ask(
        f"Which work does it rest on, a key of sources.yaml? Empty: {draft.source}.",
        "source",
        lambda line: None if line in works else f"No source is called {line}{did_you_mean(line, works)}.",
        works,
    )
    return replace(draft, source=source or draft.source)


def _no_fact(line: str, facts: Sequence[str]) -> str | None:
    return None if line in facts else f"No fact is called {line}{did_you_mean(line, facts)}."


def _ask_for_sample(
    questions: Questioner, knowledge: KnowledgeBase, fact: str, usual: Sample | None
) -> Sample:
    """The condition on a fact, and a value on either side of it, each held to the other."""
    begun = usual or sample_of(knowledge.facts[fact])
    test = questions.ask(
        f"When does it apply? A value, or a test such as {begun.test}. Empty: {begun.test}.",
        fact,
        lambda line: _conditions(f"{fact}: {line}", knowledge)[1],
    )
    if not test:
        return begun

    def side(wanted: Truth, what: str) -> Check:
        return lambda line: _beside(fact, test, line, wanted, what, knowledge)

    holds = questions.ask("A value for which it applies?", fact, side(Truth.TRUE, "does not apply"))
    fails = questions.ask(
        "A value, as near as can be, for which it does not?", fact, side(Truth.FALSE, "applies")
    )
    return Sample(test, holds or begun.holds, fails or begun.fails)


def _conditions(text: str, knowledge: KnowledgeBase) -> tuple[AllOf, str | None]:
    """Conditions as a rule file holds them, and what is wrong with them."""
    try:
        tree, findings = read_tree(text, "what was typed")
    except UnreadableFile as problem:
        return AllOf(), f"{problem.finding.message}."
    conditions, found = read_conditions(tree, knowledge.facts)
    problems = [finding.message for finding in (*findings, *found)]
    return conditions, f"{problems[0]}." if problems else None


def _beside(
    fact: str, test: str, value: str, wanted: Truth, what: str, knowledge: KnowledgeBase
) -> str | None:
    try:
        tree, _ = read_tree(f"{fact}: {value}", "what was typed")
    except UnreadableFile as problem:
        return f"{problem.finding.message}."
    assert tree is not None
    facts, findings = read_facts(tree, knowledge.facts)
    if findings:
        return f"{findings[0].message}."
    conditions, _ = _conditions(f"{fact}: {test}", knowledge)
    truth = read_conditions_of(conditions, facts, knowledge.facts).truth
    return None if truth is wanted else f"With {value} the rule {what}."


def ask_for_fact(face: Face, draft: FactDraft) -> FactDraft:
    """The draft with what the author says put in."""
    questions = Questioner(face)

    def known_kind(line: str) -> str | None:
        return None if line in KINDS else f"Write {listed(list(KINDS))}{did_you_mean(line, KINDS)}."

    def known_unit(line: str) -> str | None:
        try:
            unit(line)
        except UnknownUnit as problem:
            return f"{problem}."
        return None

    kind = questions.ask(f"What sort of value does it take? Empty: {draft.kind}.", "kind", known_kind, KINDS)
    chosen = next((known for known in get_args(Kind) if known == kind), draft.kind)
    draft = replace(draft, kind=chosen)
    if draft.kind == "quantity":
        stored = questions.ask(
            f"In which unit is it stored? Empty: {draft.unit}.", "unit", known_unit, tuple(UNITS)
        )
        draft = replace(draft, unit=stored or draft.unit)
    means = questions.ask("What is it, in a sentence?", "means")
    asks = questions.ask("How is a customer asked for it?", "ask")
    return replace(draft, means=means or draft.means, ask=asks or draft.ask)
