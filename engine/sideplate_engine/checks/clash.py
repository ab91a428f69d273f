"""Rules that can give opposed rulings about one thing."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from sideplate_engine.check_context import CheckContext
from sideplate_engine.condition_regions import Box, Regions
from sideplate_engine.findings import Finding, listed
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.rule_regions import meeting
from sideplate_engine.rules import Rule
from sideplate_engine.standings import are_opposed
from sideplate_engine.vocabulary import Value

CODE = "clash"
TITLE = "Two rules can contradict each other"
EXPLANATION = (
    "Both rules speak about one subject, their rulings are opposed, and there are facts on which both fire; the "
    "message gives such facts. On that sheet the judgement would report a conflict instead of a ruling. Decide which "
    "of the two knows better and let it name the other under `overrides:`; or write the exception into the other's "
    "`unless:`; or, if the two do not speak about the same thing after all, give one of them a subject of its own."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each pair of opposed rulings that can stand together."""
    knowledge = context.knowledge
    above = knowledge.overriders
    by_subject: dict[str, list[Rule]] = {}
    for rule in knowledge.rules.values():
        if rule.about is not None:
            by_subject.setdefault(rule.about, []).append(rule)
    for rules in by_subject.values():
        for one, other in combinations(rules, 2):
            if not are_opposed(str(one.force), str(other.force)):
                continue
            over = {*above.get(one.id, ()), *above.get(other.id, ())}
            if over & {one.id, other.id}:
                continue
            firm = [knowledge.rules[id_] for id_ in sorted(over) if id_ not in above]
            met = next(meeting(knowledge, one, other, firm), None)
            if met is not None:
                yield _finding(knowledge, one, other, *met)


def _finding(knowledge: KnowledgeBase, one: Rule, other: Rule, regions: Regions, box: Box) -> Finding:
    when = listed(_words(knowledge, regions, box), "and")
    message = (
        f"{one.id} says `{one.force}` and {other.id} says `{other.force}` about {one.about}, "
        f"and both fire when {when}"
    )
    return Finding(CODE, message, one.place("ruling"))


_COMPARED = {2: "is less than", 4: "is the same as", 8: "is more than"}


def _words(knowledge: KnowledgeBase, regions: Regions, box: Box) -> list[str]:
    """One state of each fact in a box, as clauses; derived facts follow from the others and are left out."""
    words: list[str] = []
    for dimension, bits in sorted(box.items()):
        if len(dimension) == 2:
            relation = bits & -bits
            clause = _COMPARED[relation] if relation in _COMPARED and bits & relation else "differs from"
            words.append(f"{dimension[0]} {clause} {dimension[1]}")
            continue
        fact = knowledge.facts[dimension[0]]
        states = [state for state in regions.values(fact.name, bits) if state is not None]
        if bits == 1:
            words.append(f"{fact.name} is not known")
        elif fact.given and bits != regions.known(dimension) and bits != regions.every(dimension):
            words.append(f"{fact.name} is {fact.show(_likeliest(states))}")
    return words


def _likeliest(states: list[Value]) -> Value:
    """The state to name: of sets the smallest that says something."""
    return next((state for state in states if state != frozenset()), states[0])
