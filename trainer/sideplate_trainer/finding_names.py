"""Finds what a reader means by a name, of a rule, a fact, a size or anything else that can be shown."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher

from sideplate_engine import KnowledgeBase
from sideplate_trainer.finding_explanations import every_explanation


@dataclass(frozen=True, slots=True)
class Entry:
    """Something that can be shown: its kind, its name, a line about it, and words it is searched by."""

    kind: str
    name: str
    line: str
    words: str


def entries(knowledge: KnowledgeBase) -> Iterator[Entry]:
    """Everything that can be shown, kinds in the order in which an exact name is looked up."""
    for rule in (*knowledge.rules.values(), *knowledge.retired.values()):
        words = f"{rule.says.source} {rule.because_text.source} {rule.topic}"
        yield Entry("rule", rule.id, rule.title, words)
    for fact in knowledge.facts.values():
        choices = " ".join(fact.choices or ())
        yield Entry("fact", fact.name, fact.means, f"{fact.ask} {choices} {' '.join(fact.synonyms)}")
    sizes = knowledge.tables.get("sizes")
    for key in sizes.rows if sizes is not None else ():
        yield Entry("size", str(key), "A chain size.", "size number chain")
    for table in knowledge.tables.values():
        yield Entry("table", table.id, table.title, table.note)
    for formula in knowledge.formulas.values():
        yield Entry("formula", formula.id, formula.title, formula.note)
    for procedure in knowledge.procedures.values():
        words = " ".join(step.do for step in procedure.steps)
        yield Entry("procedure", procedure.id, procedure.title, f"{procedure.purpose} {words}")
    for name, source in knowledge.sources.items():
        yield Entry("source", name, source.title, source.kind)
    for name, caution in knowledge.cautions.items():
        yield Entry("caution", name, caution.hazard, caution.do)
    for name, topic in knowledge.topics.items():
        yield Entry("topic", name, topic.title, topic.about)
    for code, explanation in every_explanation().items():
        yield Entry("check", code, explanation.title, explanation.text)


def exact(knowledge: KnowledgeBase, name: str) -> list[Entry]:
    """What carries exactly this name, in any case: one name may be a rule and a table at once."""
    return [entry for entry in entries(knowledge) if entry.name.lower() == name.lower()]


def search(knowledge: KnowledgeBase, query: str, most: int = 12) -> list[Entry]:
    """What the words of a query are found in, the best first. Words in a name or title count most."""
    wanted = [word for word in query.lower().replace(".", " ").replace("-", " ").split() if word]
    scored = [(score, entry) for entry in entries(knowledge) if (score := _score(entry, wanted)) > 0]
    scored.sort(key=lambda pair: (-pair[0], pair[1].kind, pair[1].name))
    return [entry for _, entry in scored[:most]]


def _score(entry: Entry, wanted: list[str]) -> float:
    name = entry.name.lower().replace(".", " ").replace("-", " ").replace("_", " ").split()
    line = entry.line.lower()
    words = entry.words.lower()
    total = 0.0
    for word in wanted:
        best = 0.0
        if word in name:
            best = 4.0
        elif any(word in part or SequenceMatcher(None, word, part).ratio() > 0.8 for part in name):
            best = 3.0
        elif word in line:
            best = 2.0
        elif word in words:
            best = 1.0
        if best == 0.0:
            return 0.0
        total += best
    return total
