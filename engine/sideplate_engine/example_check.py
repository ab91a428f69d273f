"""Runs the examples that stand in the rules, and the worked cases that stand in the formulas."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.authored_conditions import FactTest
from sideplate_engine.authored_reading import truth_of
from sideplate_engine.findings import Finding, Severity, listed
from sideplate_engine.formulas import worked_result
from sideplate_engine.judging import Judge
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.open_facts import askable, status_of
from sideplate_engine.plain_reading import Truth
from sideplate_engine.rules import Example, Rule


def check_examples(judge: Judge) -> list[Finding]:
    """Every example that does not come out, and every `todo` example that does."""
    findings: list[Finding] = []
    for rule in judge.knowledge.rules.values():
        for example in rule.examples:
            problem = example_problem(judge, rule, example)
            if example.todo and problem is None:
                message = f"the example {example.name!r} comes out now; take its `todo` away"
                findings.append(Finding("todo-holds", message, example.at))
            elif problem is not None and not example.todo:
                findings.append(
                    Finding("example-fails", f"the example {example.name!r} {problem}", example.at)
                )
    return findings


def example_problem(judge: Judge, rule: Rule, example: Example) -> str | None:
    """What is wrong with an example, as the rest of a sentence; None when it comes out."""
    knowledge = judge.knowledge
    chained = judge.outcome(example.given)
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


def unearned(judge: Judge, rule: Rule) -> list[str]:
    """What a rule's examples lack for it to count as checked: a firing, a quiet one, a condition seen one way only."""
    lacking: list[str] = []
    expected = {example.expect for example in rule.examples if not example.todo}
    if not expected & {"fires", "overridden"}:
        lacking.append("no example fires")
    # A rule that only derives, without conditions of its own, is never quiet: it waits for its inputs.
    silent = {"quiet", "excepted"} if rule.conditions.parts else {"quiet", "excepted", "open"}
    if not expected & silent:
        lacking.append("no example is quiet")
    outcomes = [judge.outcome(example.given).facts for example in rule.examples if not example.todo]
    for test in _tests(rule):
        seen = {truth_of(test, facts, judge.knowledge.facts) for facts in outcomes}
        for truth, words in ((Truth.TRUE, "holding"), (Truth.FALSE, "failing")):
            if truth not in seen:
                lacking.append(f"no example shows the condition on {test.fact} (line {test.at.line}) {words}")
    return lacking


def _tests(rule: Rule) -> Iterator[FactTest]:
    yield from rule.conditions.tests()
    if rule.unless is not None:
        yield from rule.unless.tests()


def check_status(judge: Judge) -> list[Finding]:
    """Rules called checked whose evidence is short, and drafts (a warning)."""
    findings: list[Finding] = []
    for rule in judge.knowledge.rules.values():
        if rule.status == "draft":
            message = f"the rule {rule.id} is a draft"
            findings.append(Finding("draft", message, rule.place("status"), Severity.WARNING))
            continue
        for lack in unearned(judge, rule):
            findings.append(Finding("unearned", f"the rule is not checked yet: {lack}", rule.place("status")))
    return findings


def check_worked_cases(knowledge: KnowledgeBase) -> list[Finding]:
    """Every worked case that does not come out, and formulas without one (a warning)."""
    findings: list[Finding] = []
    for formula in knowledge.formulas.values():
        if not formula.worked:
            message = f"the formula {formula.id} has no worked case"
            findings.append(Finding("no-worked-case", message, formula.at, Severity.WARNING))
        for case in formula.worked:
            _, problem = worked_result(formula, case)
            if problem:
                findings.append(Finding("worked-case-fails", problem, case.at))
    return findings
