"""Drafts of knowledge files: everything that can be filled in is, and what only the author can say is marked.

A mark is text that begins `FILL IN`; the check of that name finds each until it is written. Apart from the marks and
from being drafts, the files are in order.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass
from pathlib import Path

from sideplate_engine.file_models import Force, Kind
from sideplate_engine.graduations import graduation
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.modelines import with_modeline
from sideplate_engine.rules import NEEDS_INSTEAD
from sideplate_engine.sheet_writing import written
from sideplate_engine.vocabulary import Element, Fact
from sideplate_engine.yaml_writing import scalar

FILL_IN = "FILL IN"
"""How a text begins that its author still has to write."""


def mark(what: str) -> str:
    """A text that is still to be written."""
    return f"{FILL_IN} {what}"


@dataclass(frozen=True, slots=True)
class Sample:
    """A condition on a fact as a rule writes it, a value for which it holds, and one for which it does not."""

    test: str
    holds: str
    fails: str


@dataclass(frozen=True, slots=True)
class RuleDraft:
    """What an author says of a new rule."""

    id: str
    topic: str
    fact: str
    sample: Sample
    source: str
    title: str = mark("the rule in a few words")
    force: Force = "should"
    says: str = mark("what to do, in one sentence")
    instead: str = mark("what to do in place of it")
    kind: str = "practice"
    because: str = mark("the physical cause, in two to four plain sentences")
    if_ignored: str = mark("what breaks or hurts")

    @property
    def path(self) -> Path:
        """Where it goes in a knowledge folder."""
        return Path("rules") / self.topic / f"{self.id}.yaml"

    def text(self) -> str:
        """The file."""
        lines = [
            f"id: {self.id}",
            f"title: {scalar(self.title)}",
            "status: draft",
            "when:",
            f"  {self.fact}: {self.sample.test}",
            f"ruling: {self.force}",
            f"says: {scalar(self.says)}",
            *([f"instead: {scalar(self.instead)}"] if self.force in NEEDS_INSTEAD else []),
            "because:",
            f"  kind: {self.kind}",
            f"  text: {scalar(self.because)}",
            *([] if self.force == "may" else [f"if_ignored: {scalar(self.if_ignored)}"]),
            f"sources: [{{work: {self.source}, at: {scalar(mark('the page or clause'), in_brackets=True)}}}]",
            "examples:",
            f"  - {{name: the case, given: {{{self.fact}: {self.sample.holds}}}, expect: fires}}",
            f"  - {{name: just not, given: {{{self.fact}: {self.sample.fails}}}, expect: quiet}}",
        ]
        return with_modeline("".join(f"{line}\n" for line in lines), self.path)


@dataclass(frozen=True, slots=True)
class FactDraft:
    """What an author says of a new fact."""

    name: str
    subject_file: str
    kind: Kind = "flag"
    unit: str = "mm"
    means: str = mark("what it is, in a sentence")
    ask: str = mark("the question to a customer")

    @property
    def path(self) -> Path:
        """Where it goes in a knowledge folder."""
        return Path("vocabulary") / f"{self.subject_file}.yaml"

    def text(self) -> str:
        """The block for the file."""
        return "".join(f"{line}\n" for line in self._lines())

    def _lines(self) -> Iterator[str]:
        yield f"{self.name}:"
        yield f"  kind: {self.kind}"
        match self.kind:
            case "quantity":
                yield f"  unit: {scalar(self.unit)}"
                unit = "" if self.unit == "1" else f" {self.unit}"
                yield f"  possible: [0{unit}, 1000{unit}]  # {mark('what it can be at all')}"
            case "count":
                yield f"  possible: [0, 1000]  # {mark('what it can be at all')}"
            case "choice":
                yield "  choices:"
                yield f"    one way: {mark('what the first word means')}"
                yield f"    another: {mark('what the second word means')}"
        yield f"  means: {scalar(self.means)}"
        yield f"  ask: {scalar(self.ask)}"
        if self.kind == "flag":
            yield "  says:"
            yield f"    yes: {mark('the sentence when it is so')}"
            yield f"    no: {mark('the sentence when it is not')}"
        else:
            yield f'  says: "{mark("a sentence that tells it")} {{value}}"'


def formula_draft(id_: str, source: str) -> tuple[Path, str]:
    """A formula's path and text: the simplest there is, to be written over."""
    path = Path("formulas") / f"{id_}.yaml"
    lines = (
        f"id: {id_}",
        f"title: {mark('what it works out')}",
        "symbols:",
        "  x:",
        '    unit: "1"',
        f"    means: {mark('what x is, or put fact in place of unit')}",
        f"expression: 2*x  # {mark('the expression')}",
        "gives:",
        '  unit: "1"',
        f"  means: {mark('the result, or put fact in place of unit')}",
        "basis: practice",
        f"sources: [{{work: {source}, at: {mark('the page or clause')}}}]",
        "worked:",
        f"  - name: {mark('a case that was published')}",
        '    with: {x: "3"}',
        '    gives: "6"',
        '    within: "0.01"',
        f"    sources: [{{work: {source}, at: {mark('the page of the case')}}}]",
    )
    return path, with_modeline("".join(f"{line}\n" for line in lines), path)


def procedure_draft(id_: str, topic: str, source: str) -> tuple[Path, str]:
    """A procedure's path and text: two steps in order."""
    path = Path("procedures") / f"{id_}.yaml"
    lines = (
        f"id: {id_}",
        f"title: {mark('the work in a few words')}",
        f"for: {mark('when it is done and why, in one sentence')}",
        f"topic: {topic}",
        f"sources: [{{work: {source}, at: {mark('the page or clause')}}}]",
        "steps:",
        "  - id: first",
        f"    do: {mark('the first step')}",
        f"    because: {mark('why it comes first')}",
        "  - id: second",
        f"    do: {mark('the second step')}",
        f"    because: {mark('why')}",
        "    after: [first]",
    )
    return path, with_modeline("".join(f"{line}\n" for line in lines), path)


def likely_fact(knowledge: KnowledgeBase, topic: str) -> Fact:
    """The fact that the rules of a topic look at most and that can be asked for; codes come last."""
    read = Counter(name for rule in knowledge.rules_of(topic) for name in rule.reads())
    askable = [fact for fact in knowledge.facts.values() if fact.given]
    return min(askable, key=lambda fact: (fact.kind == "code", -read[fact.name], fact.name))


def likely_source(knowledge: KnowledgeBase) -> str:
    """A source to begin with: the practice that is cited most, where there is any, else the first work."""
    cited = Counter(citation.work for rule in knowledge.rules.values() for citation in rule.sources)
    practices = [name for name, source in knowledge.sources.items() if source.kind == "practice"]
    works = practices or list(knowledge.sources)[:1] or [mark("a key of sources.yaml")]
    return max(works, key=lambda name: cited[name])


def sample_of(fact: Fact) -> Sample:
    """A condition on a fact to begin with."""
    match fact.kind:
        case "choice":
            words = [scalar(word, in_brackets=True) for word in fact.choices or {}]
            return (
                Sample(words[0], f"[{words[0]}]", f"[{words[1]}]")
                if fact.many
                else Sample(*words[:1], *words[:2])
            )
        case "flag":
            return Sample("no", "no", "yes")
        case "code":
            return Sample(FILL_IN, FILL_IN, "OTHER")
        case _:
            low, high = fact.usual or fact.possible or (0.0, 100.0)
            middle = _on_scale(fact, (low + high) / 2)
            return Sample(
                f"{{above: {_said(fact, middle)}}}", _said(fact, _on_scale(fact, high)), _said(fact, middle)
            )


def _on_scale(fact: Fact, value: float) -> float:
    """The value that a person can read off nearest below."""
    step = graduation(fact, value)
    return round(value // step * step, 9)


def _said(fact: Fact, value: float) -> str:
    as_element: Element = round(value) if fact.kind == "count" else value
    return scalar(written(as_element, fact), in_brackets=True)


def taken(knowledge: KnowledgeBase) -> MappingABC[str, str]:
    """Every id that a new file cannot have, with what has it."""
    return {
        **{id_: f"the procedure {id_}" for id_ in knowledge.procedures},
        **{id_: f"the formula {id_}" for id_ in knowledge.formulas},
        **{id_: f"the rule {id_}" for id_ in knowledge.rules},
        **{id_: f"the retired rule {id_}" for id_ in knowledge.retired},
    }
