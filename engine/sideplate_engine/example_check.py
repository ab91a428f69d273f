"""Whether an example that stands in a rule comes out."""

from __future__ import annotations

from sideplate_engine.chaining import Chained
from sideplate_engine.findings import listed
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.open_facts import askable, status_of
from sideplate_engine.rules import Example, Rule


def example_problem(knowledge: KnowledgeBase, chained: Chained, rule: Rule, example: Example) -> str | None:
    """What is wrong with an example, as the rest of a sentence; None when the outcome is the one it expects."""
    status = status_of(knowledge, chained, rule)
    contested = [conflict.fact for conflict in chained.conflicts]
    if contested:
        return f"contradicts itself about {listed(contested, 'and')}"
    if status.status != example.expect and not (example.expect == "quiet" and status.status == "no value"):
        return f"should be {example.expect} but is {status.status}{_why(status.status, status.missing, status.reason)}"
    if example.expect == "open":
        asked = askable(knowledge, chained, status.missing)
        if set(example.missing) not in (set(status.missing), set(asked)):
            return f"is open for want of {listed(asked or status.missing, 'and')}, not {listed(example.missing, 'and')}"
    for name, wanted in example.derives.items():
        got = {result.value for result in chained.results.get(rule.id, ()) if result.fact == name}
        if not any(knowledge.facts[name].agrees(value, wanted) for value in got):
            shown = [knowledge.facts[name].show(value) for value in got] or ["nothing"]
            return f"derives {listed(shown)} for {name}, not {knowledge.facts[name].show(wanted)}"
    return None


def _why(status: str, missing: tuple[str, ...], reason: str) -> str:
    if status == "open":
        return f" for want of {listed(missing, 'and')}"
    return f": {reason}" if reason else ""
