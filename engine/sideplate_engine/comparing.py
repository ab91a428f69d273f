"""What changes between two knowledge bases: their rules, and the rulings on the same jobs.

A rule has changed when its fingerprint has: wording alone changes nothing. The jobs are the sheets handed in, the
examples of both bases' rules, and jobs at the limits of both. Each is judged by both bases, in each one's own terms.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass, field
from typing import Literal

from sideplate_engine.carrying import carried
from sideplate_engine.chaining import Chained
from sideplate_engine.judging import Judge
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.limit_jobs import limit_jobs
from sideplate_engine.rule_fingerprint import fingerprint
from sideplate_engine.standings import standing_of
from sideplate_engine.vocabulary import Value

Change = Literal["added", "changed", "replaced", "retired", "removed"]
Kind = Literal["sheet", "example", "limit"]


@dataclass(frozen=True, slots=True)
class RuleChange:
    """A rule that is in one base only, or decides otherwise in the other. `by` is the rule that replaces it."""

    rule: str
    change: Change
    title: str
    by: str = ""


@dataclass(frozen=True, slots=True)
class Case:
    """A job that both bases judge. Its facts are in the terms of the base it comes from."""

    kind: Kind
    name: str
    facts: MappingABC[str, Value]
    is_old: bool


@dataclass(frozen=True, slots=True)
class Reworded:
    """A ruling that stands in both bases and says something else: other figures, another force, other words."""

    case: Case
    old: str
    new: str


@dataclass(slots=True)
class RulingChange:
    """On which jobs a rule's ruling comes, goes, or says something else."""

    rule: str
    title: str
    comes: list[Case] = field(default_factory=list)
    goes: list[Case] = field(default_factory=list)
    reworded: list[Reworded] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class StandingChange:
    """A job whose standing changes."""

    case: Case
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """Everything that changes, and how many jobs of each kind were judged."""

    rules: tuple[RuleChange, ...]
    rulings: tuple[RulingChange, ...]
    standings: tuple[StandingChange, ...]
    judged: MappingABC[Kind, int]

    @property
    def is_same(self) -> bool:
        """Whether nothing was found to change."""
        return not (self.rules or self.rulings or self.standings)


Sheets = Sequence[tuple[str, MappingABC[str, Value]]]


def compare(
    old: KnowledgeBase,
    new: KnowledgeBase,
    old_sheets: Sheets,
    new_sheets: Sheets,
    after: Callable[[], None] = lambda: None,
) -> Comparison:
    """What changes from the old base to the new. Each base's sheets are in its own terms; `after` follows each job."""
    cases = _cases(old, new, old_sheets, new_sheets)
    old_judge, new_judge = Judge(old), Judge(new)
    rulings: dict[str, RulingChange] = {}
    standings: list[StandingChange] = []
    judged: dict[Kind, int] = {"sheet": 0, "example": 0, "limit": 0}
    for case in cases:
        judged[case.kind] += 1
        of, into = (old, new) if case.is_old else (new, old)
        there = carried(case.facts, of.facts, into.facts)
        before = old_judge.outcome(case.facts if case.is_old else there)
        since = new_judge.outcome(there if case.is_old else case.facts)
        _note_rulings(case, old, new, before, since, rulings)
        stood, stands = standing_of(old, before), standing_of(new, since)
        if stood != stands:
            standings.append(StandingChange(case, stood, stands))
        after()
    ordered = (rulings[id_] for id_ in sorted(rulings))
    return Comparison(_rule_changes(old, new), tuple(ordered), tuple(standings), judged)


def count_cases(old: KnowledgeBase, new: KnowledgeBase, old_sheets: Sheets, new_sheets: Sheets) -> int:
    """How many jobs `compare` judges by both."""
    return len(_cases(old, new, old_sheets, new_sheets))


def _cases(old: KnowledgeBase, new: KnowledgeBase, old_sheets: Sheets, new_sheets: Sheets) -> list[Case]:
    """The jobs of both bases, those of the new one first; a job that both have is taken once."""
    found: dict[tuple[Kind, str, frozenset[tuple[str, Value]]], Case] = {}
    for knowledge, sheets, is_old in ((new, new_sheets, False), (old, old_sheets, True)):
        for case in _cases_of(knowledge, sheets, is_old):
            found.setdefault((case.kind, case.name, frozenset(case.facts.items())), case)
    return list(found.values())


def _cases_of(knowledge: KnowledgeBase, sheets: Sheets, is_old: bool) -> Iterator[Case]:
    for name, facts in sheets:
        yield Case("sheet", name, facts, is_old)
    for rule in knowledge.rules.values():
        for example in rule.examples:
            yield Case("example", f"{rule.id}: {example.name}", example.given, is_old)
    for job in limit_jobs(knowledge):
        shown = knowledge.facts[job.fact].show(job.value)
        yield Case("limit", f"{job.rule}: {job.fact} at {shown}", job.facts, is_old)


def _rule_changes(old: KnowledgeBase, new: KnowledgeBase) -> tuple[RuleChange, ...]:
    changes: list[RuleChange] = []
    replaced = {rule.replaces: rule.id for rule in new.rules.values() if rule.replaces is not None}
    for id_, rule in new.rules.items():
        if id_ not in old.rules:
            changes.append(RuleChange(id_, "added", rule.title))
        elif fingerprint(rule) != fingerprint(old.rules[id_]):
            changes.append(RuleChange(id_, "changed", rule.title))
    for id_, rule in old.rules.items():
        if id_ in new.rules:
            continue
        if id_ in replaced:
            changes.append(RuleChange(id_, "replaced", rule.title, by=replaced[id_]))
        else:
            changes.append(RuleChange(id_, "retired" if id_ in new.retired else "removed", rule.title))
    return tuple(sorted(changes, key=lambda change: (change.rule, change.change)))


def _note_rulings(
    case: Case,
    old: KnowledgeBase,
    new: KnowledgeBase,
    before: Chained,
    since: Chained,
    rulings: dict[str, RulingChange],
) -> None:
    stood, stand = _rulings(old, before), _rulings(new, since)
    for id_ in stood.keys() | stand.keys():
        if stood.get(id_) == stand.get(id_):
            continue
        title = (new.rules.get(id_) or old.rules[id_]).title
        change = rulings.setdefault(id_, RulingChange(id_, title))
        if id_ not in stood:
            change.comes.append(case)
        elif id_ not in stand:
            change.goes.append(case)
        else:
            change.reworded.append(Reworded(case, stood[id_], stand[id_]))


def _rulings(knowledge: KnowledgeBase, outcome: Chained) -> dict[str, str]:
    """What the rulings that stand say, with their force, by rule."""
    found: dict[str, str] = {}
    for id_ in outcome.live:
        rule = knowledge.rules[id_]
        if rule.force is not None:
            found[id_] = f"{rule.force.upper()}: {rule.says.fill(outcome.facts, knowledge.facts)}"
    return found
