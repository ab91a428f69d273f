"""Hints: the way to a key, one step at a time, without the key itself."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from sideplate_engine import Judge
from sideplate_engine.condition_words import conditions_in_words
from sideplate_engine.derivations import Computation, Derivation, LookUp
from sideplate_engine.findings import listed
from sideplate_engine.proofs import GIVEN, Proofs, Step
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Fact, Value


def hints_to_a_verdict(judge: Judge, rule: Rule, facts: Mapping[str, Value]) -> tuple[str, ...]:
    """What the rule looks at, what can be worked out of it here, and last what the rule asks of it."""
    vocabulary = judge.knowledge.facts
    names = rule.requirement.facts()
    proofs = Proofs(judge.knowledge, judge.outcome(facts))
    asks = listed(conditions_in_words(rule.conditions, vocabulary), "and", 20)
    excepting = "" if rule.unless is None else listed(conditions_in_words(rule.unless, vocabulary), "and", 20)
    return (
        "Look at " + "; ".join(glossed(vocabulary[name]) for name in names) + ".",
        *worked_out(proofs.of_facts(names), vocabulary),
        f"Ask whether this is so: {asks}" + (f", unless {excepting}." if excepting else "."),
    )


def hints_to_a_number(judge: Judge, derivation: Derivation, facts: Mapping[str, Value]) -> tuple[str, ...]:
    """Where the number comes from, what that needs, and last the arithmetic or the row, but not the number."""
    vocabulary = judge.knowledge.facts
    proofs = Proofs(judge.knowledge, judge.outcome(facts))
    steps = tuple(worked_out(proofs.of_facts(derivation.reads()), vocabulary))
    match derivation:
        case Computation(formula=formula) if formula.expression is not None:
            symbols = "; ".join(f"{symbol.name} is {symbol.means}" for symbol in formula.symbols.values())
            return (
                f"{formula.title} gives it.",
                f"Work out {formula.expression.text}, where {symbols}.",
                *steps,
                f"Work out {formula.arithmetic(facts_with(judge, facts), vocabulary, 'metric')}.",
            )
        case Computation(formula=formula):
            symbols = "; ".join(symbol.means for symbol in formula.symbols.values())
            return (f"{formula.title} gives it.", f"It needs {symbols}.", *steps)
        case LookUp(table=table, by=by):
            return (
                f"It stands in a table: {table.title}.",
                *steps,
                f"Find the row by this: {glossed(vocabulary[by])}.",
            )
        case _:
            return steps


def facts_with(judge: Judge, facts: Mapping[str, Value]) -> Mapping[str, Value]:
    """The facts, and all that rules derive from them."""
    return judge.outcome(facts).facts


def glossed(fact: Fact) -> str:
    """A fact's name with what it means."""
    return f"{fact.name} ({fact.means.rstrip('.')})"


def worked_out(steps: Iterable[Step], vocabulary: Mapping[str, Fact]) -> Iterator[str]:
    """A sentence for each derived step, the deepest first, none twice."""
    told: set[str] = set()
    for step in steps:
        yield from _worked_out(step, vocabulary, told)


def _worked_out(step: Step, vocabulary: Mapping[str, Fact], told: set[str]) -> Iterator[str]:
    if step.by == GIVEN or step.fact in told:
        return
    told.add(step.fact)
    for below in step.because_of:
        yield from _worked_out(below, vocabulary, told)
    value = vocabulary[step.fact].show(step.value)
    how = f": {step.how}" if step.how else ""
    yield f"{step.fact} comes to {value}, by the rule {step.by}{how}."
