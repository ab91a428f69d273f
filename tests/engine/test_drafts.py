"""Drafts: in order but for what only the author can say, whatever the topic and the kind of fact."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import get_args

import pytest

from sideplate_engine import Judge, KnowledgeBase, Severity, built_in_folder, load
from sideplate_engine.check_context import context_of
from sideplate_engine.checks import run_checks
from sideplate_engine.drafts import (
    FactDraft,
    RuleDraft,
    formula_draft,
    likely_fact,
    likely_source,
    procedure_draft,
    sample_of,
)
from sideplate_engine.file_models import Force, Kind
from sideplate_engine.modelines import with_modeline
from support.built_in import knowledge
from support.small_knowledge import write


def found_over_the_base(folder: Path, files: dict[str, str]) -> set[str]:
    """The codes of what loading and checking find in files laid over the built-in knowledge."""
    write(folder, files)
    folders = (built_in_folder(), folder)
    loaded = load(*folders)
    assert [finding.line() for finding in loaded.findings if finding.severity is Severity.ERROR] == []
    focus = frozenset(Path(name).stem for name in files if name.startswith("rules/"))
    context = context_of(loaded, Judge(loaded.knowledge), folders)
    found = run_checks(context)
    assert focus <= loaded.knowledge.rules.keys()
    return {finding.code for finding in found if str(folder) in finding.at.path}


@pytest.mark.slow
def test_a_draft_of_a_rule_of_every_topic_and_force_is_in_order_but_for_its_marks(tmp_path: Path) -> None:
    base = knowledge()
    forces = get_args(Force)
    files: dict[str, str] = {}
    for number, topic in enumerate(base.topics):
        fact = likely_fact(base, topic)
        draft = RuleDraft(
            f"draft-{topic}", topic, fact.name, sample_of(fact), likely_source(base), force=forces[number % 5],
            title=f"FILL IN {topic}",
        )  # fmt: skip
        files[draft.path.as_posix()] = draft.text()
    assert found_over_the_base(tmp_path, files) == {"fill-in", "draft"}


@pytest.mark.slow
def test_drafts_of_facts_of_every_kind_a_formula_and_a_procedure_are_in_order(tmp_path: Path) -> None:
    base = knowledge()
    facts = [FactDraft(f"stand.{kind}", "stand", kind) for kind in get_args(Kind)]
    facts.append(FactDraft("stand.bare_number", "stand", "quantity", "1"))
    files = {facts[0].path.as_posix(): with_modeline("".join(fact.text() for fact in facts), facts[0].path)}
    for path, text in (
        formula_draft("draft-formula", likely_source(base)),
        procedure_draft("draft-procedure", "slack", likely_source(base)),
    ):
        files[path.as_posix()] = text
    assert found_over_the_base(tmp_path, files) == {"fill-in", "unused"}


def test_the_sample_of_every_fact_holds_on_one_side_and_fails_on_the_other(tmp_path: Path) -> None:
    base = knowledge()
    files = {}
    asked = [fact for fact in base.facts.values() if fact.given]
    for number, fact in enumerate(asked):
        draft = RuleDraft(
            f"draft-{number}", "slack", fact.name, sample_of(fact), "common-practice", title=f"T {number}"
        )
        files[draft.path.as_posix()] = draft.text()
    write(tmp_path, files)
    loaded = load(built_in_folder(), tmp_path)
    judge = Judge(loaded.sound())
    for number, _ in enumerate(asked):
        rule = judge.knowledge.rules[f"draft-{number}"]
        fires, quiet = (judge.outcome(example.given) for example in rule.examples)
        assert rule.id in fires.fired
        assert rule.id not in quiet.fired


def test_a_fact_of_the_topic_is_chosen_to_begin_with(bolts: KnowledgeBase) -> None:
    base = knowledge()
    assert likely_fact(base, "slack").subject == "slack"
    assert likely_fact(base, "cleaning").subject == "clean"
    assert likely_fact(bolts, "fitting").kind != "code"


def test_what_is_written_by_the_author_stands_in_the_file_as_it_was_written() -> None:
    draft = RuleDraft(
        "it", "slack", "slack.measured", sample_of(knowledge().facts["slack.measured"]), "common-practice",
        title="Colons: and #", force="must not", says="Do not.", instead="Do, \"this\".", if_ignored="It breaks.",
    )  # fmt: skip
    text = draft.text()
    assert 'title: "Colons: and #"\n' in text
    assert "ruling: must not\nsays: Do not.\n" in text
    assert 'instead: "Do, \\"this\\"."\n' in text
    assert "instead" not in replace(draft, force="should").text()
    assert "if_ignored" not in replace(draft, force="may").text()
