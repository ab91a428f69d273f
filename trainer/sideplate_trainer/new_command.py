"""`sideplate new`: a draft of a rule, a fact, a formula or a procedure, to be filled in by its author."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import click

from sideplate_engine import KnowledgeBase, built_in_folder, load
from sideplate_engine.drafts import (
    FILL_IN,
    FactDraft,
    RuleDraft,
    formula_draft,
    likely_fact,
    likely_source,
    procedure_draft,
    sample_of,
    taken,
)
from sideplate_engine.file_models import IDENTIFIER, Kind
from sideplate_engine.findings import did_you_mean
from sideplate_engine.knowledge_folders import knowledge_folders
from sideplate_engine.modelines import with_modeline
from sideplate_engine.vocabulary import FACT_NAME
from sideplate_trainer.drafting_questions import KINDS, ask_for_fact, ask_for_rule
from sideplate_trainer.front.choosing import face_for
from sideplate_trainer.knowledge_option import (
    UNREADABLE,
    any_error,
    knowledge_option,
    tell_findings,
)

INTERRUPTED = 130


@click.command(
    epilog=f"""\b
Examples:
  sideplate new rule slack our-stand-too-low --in our-rules
  sideplate new fact stand stand.height --kind quantity --in our-rules
  sideplate new formula slack stand-lift --in our-rules
  sideplate new procedure wear weigh-the-chain --in our-rules
  sideplate new rule wear chain-too-old --interactive --in our-rules
What is left to write begins {FILL_IN} in the file; `sideplate check` finds it."""
)
@click.argument("what", type=click.Choice(["rule", "fact", "formula", "procedure"]))
@click.argument("topic")
@click.argument("name", metavar="ID")
@click.option(
    "--in",
    "folder",
    type=click.Path(path_type=Path, file_okay=False),
    metavar="DIR",
    help="The folder of your own knowledge; made when it is not there. Without it, the built-in folder of a checkout.",
)
@click.option("--about", "fact", metavar="FACT", help="The fact a new rule looks at.")
@click.option(
    "--kind", type=click.Choice(KINDS), default="flag", help="The kind of a new fact (default flag)."
)
@click.option("--unit", default="mm", help="The unit of a new fact that is a quantity (default mm).")
@click.option("--interactive", is_flag=True, help="Ask for what a rule or a fact needs.")
@click.option("--plain", is_flag=True, help="Ask in plain lines, for screen readers and simple terminals.")
@knowledge_option
def command(
    what: str,
    topic: str,
    name: str,
    folder: Path | None,
    fact: str | None,
    kind: Kind,
    unit: str,
    interactive: bool,
    plain: bool,
    overlays: tuple[Path, ...],
) -> None:
    """Write a draft of WHAT: rule, fact, formula or procedure.

    TOPIC is the folder a rule goes to, and the topic of a procedure or a formula; for a fact it is the vocabulary file,
    such as chain. ID is the new name.
    """
    into = _folder(folder)
    knowledge = _knowledge(into, overlays)
    face = face_for(plain) if interactive else None
    try:
        if what == "fact":
            draft = _fact_draft(knowledge, topic, name, kind, unit)
            written = _add_fact(into, draft if face is None else ask_for_fact(face, draft))
        else:
            _known_topic(knowledge, topic)
            _free_id(knowledge, name)
            if what == "rule":
                rule = _rule_draft(knowledge, topic, name, fact)
                rule = rule if face is None else ask_for_rule(face, knowledge, rule)
                written = _write(into, rule.path, rule.text())
            elif what == "formula":
                written = _write(into, *formula_draft(name, likely_source(knowledge)))
            else:
                written = _write(into, *procedure_draft(name, topic, likely_source(knowledge)))
    except (EOFError, KeyboardInterrupt):
        click.echo("\nNothing was written.")
        sys.exit(INTERRUPTED)
    click.echo(f"The draft is in {written}.")
    over = "" if folder is None else f" --knowledge {folder}"
    click.echo(f"Write what is marked {FILL_IN}; `sideplate check{over}` says what is left.")


def _folder(folder: Path | None) -> Path:
    """The folder to write to: the one named, else the built-in one where that is a checkout's."""
    if folder is not None:
        return folder
    built_in = built_in_folder()
    if built_in.parent.name == "sideplate_engine":
        raise click.UsageError(
            "Name a folder of your own with --in DIR; the built-in knowledge is not yours to change."
        )
    return built_in


def _knowledge(into: Path, overlays: tuple[Path, ...]) -> KnowledgeBase:
    """What the draft is written against: the usual folders and the one it goes to. Errors in them end with 2."""
    folders = {folder.resolve(): folder for folder in knowledge_folders(overlays)}
    if into.is_dir():
        folders.setdefault(into.resolve(), into)
    loaded = load(*folders.values())
    if any_error(loaded.findings):
        tell_findings(loaded.findings, loaded.texts)
        sys.exit(UNREADABLE)
    return loaded.knowledge


def _known_topic(knowledge: KnowledgeBase, topic: str) -> None:
    if topic not in knowledge.topics:
        raise click.BadParameter(
            f"no topic is called {topic}{did_you_mean(topic, knowledge.topics)}", param_hint="TOPIC"
        )


def _free_id(knowledge: KnowledgeBase, name: str) -> None:
    if not re.match(IDENTIFIER, name):
        raise click.BadParameter(
            f"{name} is no id; write lower-case words and figures joined by hyphens", param_hint="ID"
        )
    if name in taken(knowledge):
        raise click.BadParameter(f"{name} is taken by {taken(knowledge)[name]}", param_hint="ID")


def _rule_draft(knowledge: KnowledgeBase, topic: str, name: str, fact: str | None) -> RuleDraft:
    if fact is not None and fact not in knowledge.facts:
        raise click.BadParameter(
            f"no fact is called {fact}{did_you_mean(fact, knowledge.facts)}", param_hint="--about"
        )
    about = likely_fact(knowledge, topic) if fact is None else knowledge.facts[fact]
    return RuleDraft(name, topic, about.name, sample_of(about), likely_source(knowledge))


def _fact_draft(knowledge: KnowledgeBase, subject: str, name: str, kind: Kind, unit: str) -> FactDraft:
    if not FACT_NAME.match(name):
        raise click.BadParameter(
            f"{name} is no fact name; write lower-case words, dotted, such as chain.pitch", param_hint="ID"
        )
    if name in knowledge.facts:
        raise click.BadParameter(f"{name} is declared at {knowledge.facts[name].at}", param_hint="ID")
    if not re.match(IDENTIFIER, subject):
        raise click.BadParameter(
            f"{subject} is no name of a vocabulary file, such as chain", param_hint="TOPIC"
        )
    return FactDraft(name, subject, kind, unit)


def _add_fact(into: Path, draft: FactDraft) -> Path:
    """The fact at the end of its vocabulary file, which is made where there is none."""
    path = into / draft.path
    if not path.exists():
        return _write(into, draft.path, with_modeline(draft.text(), draft.path))
    before = path.read_text(encoding="utf-8")
    gap = "" if before.endswith("\n") or not before else "\n"
    path.write_text(f"{before}{gap}{draft.text()}", encoding="utf-8")
    return path


def _write(into: Path, path: Path, text: str) -> Path:
    target = into / path
    if target.exists():
        raise click.UsageError(f"{target} is there already.")
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_text(text, encoding="utf-8")
    return target
