"""One thing of the knowledge base at length, as lines of text: what `sideplate show` prints."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from sideplate_engine import KnowledgeBase
from sideplate_engine.condition_words import conditions_in_words
from sideplate_engine.derivations import Computation, CopyOf, Derivation, LookUp
from sideplate_engine.findings import listed
from sideplate_engine.formulas import Formula
from sideplate_engine.procedures import Procedure
from sideplate_engine.rules import Rule
from sideplate_engine.tables import Row, Table
from sideplate_engine.vocabulary import Fact, System
from sideplate_trainer.finding_explanations import every_explanation
from sideplate_trainer.finding_names import Entry
from sideplate_trainer.telling import labelled, wrapped


def describe(knowledge: KnowledgeBase, entry: Entry, width: int, system: System = "metric") -> Iterator[str]:
    """The lines about one entry, under a heading that says what it is."""
    yield from wrapped(f"{entry.kind} {entry.name}: {entry.line}", width, subsequent_indent="  ")
    match entry.kind:
        case "rule":
            rule = knowledge.rules.get(entry.name) or knowledge.retired[entry.name]
            yield from _rule(knowledge, rule, width, system)
        case "fact":
            yield from _fact(knowledge, knowledge.facts[entry.name], width, system)
        case "size":
            yield from _size(knowledge, entry.name, width)
        case "table":
            yield from _table(knowledge.tables[entry.name], width)
        case "formula":
            yield from _formula(knowledge, knowledge.formulas[entry.name], width)
        case "procedure":
            yield from _procedure(knowledge, entry.name, width)
        case "source":
            yield from _source(knowledge, entry.name, width)
        case "caution":
            yield from labelled("Do", knowledge.cautions[entry.name].do, width)
            used = [rule.id for rule in knowledge.rules.values() if rule.caution == entry.name]
            yield from labelled("Rules", ", ".join(used), width)
        case "check":
            yield from labelled("Means", every_explanation()[entry.name].text, width)
        case _:
            yield from labelled("About", knowledge.topics[entry.name].about, width)
            yield from _rule_list(knowledge.rules_of(entry.name), width)
    yield from labelled("Whose", _whose(knowledge, entry), width)


def _whose(knowledge: KnowledgeBase, entry: Entry) -> str:
    """Which folder a thing that has a file of its own, or an entry in the vocabulary, comes from."""
    kinds: Mapping[str, Mapping[str, Rule | Fact | Table | Formula | Procedure]] = {
        "rule": {**knowledge.rules, **knowledge.retired},
        "fact": knowledge.facts,
        "table": knowledge.tables,
        "formula": knowledge.formulas,
        "procedure": knowledge.procedures,
    }
    thing = kinds.get(entry.kind, {}).get(entry.name)
    return "" if thing is None else knowledge.whose(thing.at)


def _rule(knowledge: KnowledgeBase, rule: Rule, width: int, system: System) -> Iterator[str]:
    facts = knowledge.facts
    yield from labelled("Ruling" if rule.force else "Says", _said(rule), width)
    for number, clause in enumerate(conditions_in_words(rule.conditions, facts, system)):
        yield from labelled("When" if number == 0 else "and", clause, width)
    if rule.unless is not None:
        yield from labelled("Unless", " and ".join(conditions_in_words(rule.unless, facts, system)), width)
    for derivation in rule.derivations:
        yield from labelled("Derives", f"{derivation.fact}, {_where_from(derivation, knowledge)}", width)
    yield from labelled("Instead", rule.instead.source if rule.instead else "", width)
    yield from labelled("Because", f"{rule.because_text.source} ({rule.because.kind})", width)
    yield from labelled("If ignored", rule.if_ignored.source if rule.if_ignored else "", width)
    if rule.caution is not None:
        caution = knowledge.cautions[rule.caution]
        yield from labelled("Caution", f"{caution.hazard} {caution.do}", width)
    yield from _sources(knowledge.cite(rule.sources), width)
    yield from labelled("Overrides", ", ".join(rule.overrides), width)
    yield from labelled("Replaces", rule.replaces or "", width)
    above = [other.id for other in knowledge.rules.values() if rule.id in other.overrides]
    yield from labelled("Set aside by", ", ".join(above), width)
    for example in rule.examples:
        given = ", ".join(
            f"{name} {facts[name].show(value, system)}" for name, value in example.given.items()
        )
        yield from labelled("Example", f"{example.name}: with {given} it is {example.expect}", width)
    yield from labelled("Status", rule.status, width)
    yield from labelled("File", str(rule.at.path), width)


def _said(rule: Rule) -> str:
    return rule.says.source if rule.force is None else f"{rule.force.upper()}: {rule.says.source}"


def _where_from(derivation: Derivation, knowledge: KnowledgeBase) -> str:
    match derivation:
        case LookUp():
            return f"from table {derivation.table.id} by {derivation.by}, column {derivation.take}"
        case Computation():
            return f"by formula {derivation.formula.id}"
        case CopyOf():
            return f"the same as {derivation.source}"
        case _:
            return f"as {knowledge.facts[derivation.fact].show(derivation.value)}"


def _fact(knowledge: KnowledgeBase, fact: Fact, width: int, system: System) -> Iterator[str]:
    unit = f", stored in {fact.unit}" if fact.kind == "quantity" and fact.unit != "1" else ""
    several = ", several at once" if fact.many else ""
    yield from labelled("Kind", f"{fact.kind}{unit}{several}", width)
    for choice, gloss in (fact.choices or {}).items():
        yield from labelled("Choice", f"{choice}: {gloss}", width)
    for label, ends in (("Possible", fact.possible), ("Usual", fact.usual)):
        if ends is not None:
            low, high = (fact.show_element(end, system) for end in ends)
            yield from labelled(label, f"{low} to {high}", width)
    yield from labelled("Ask", fact.ask, width)
    yield from labelled("Observe", fact.observe, width)
    if not fact.given:
        yield from labelled("Given", "no: rules derive it (stated, it is checked against them)", width)
    yield from labelled("Derived by", ", ".join(rule.id for rule in knowledge.derivers(fact.name)), width)
    read_by = [rule.id for rule in knowledge.rules.values() if fact.name in rule.reads()]
    yield from labelled("Read by", ", ".join(read_by) or "no rule", width)


def _size(knowledge: KnowledgeBase, number: str, width: int) -> Iterator[str]:
    table = knowledge.tables["sizes"]
    row = table.row(number.upper())
    assert row is not None
    for name, cell in row.cells.items():
        if name != table.key:
            recalled = "; recalled, not verified" if _is_recalled(row, name) else ""
            yield from labelled(name, f"{table.columns[name].show(cell)}{recalled}", width, indent=2)
    yield from labelled("Basis", row.basis, width)
    yield from _sources(knowledge.cite(row.sources), width)


def _is_recalled(row: Row, column: str) -> bool:
    return row.basis == "memory" or column in row.from_memory


def _table(table: Table, width: int) -> Iterator[str]:
    yield from labelled("Note", table.note, width)
    for column in table.columns.values():
        unit = "" if column.unit == "1" else f" ({column.unit})"
        yield from labelled("Column", f"{column.name}{unit}: {column.means}", width)
    for key, row in table.rows.items():
        cells = "; ".join(
            f"{name} {table.columns[name].show(cell)}{' (recalled)' if _is_recalled(row, name) else ''}"
            for name, cell in row.cells.items()
            if name != table.key
        )
        yield from labelled(str(key), cells, width)


def _formula(knowledge: KnowledgeBase, formula: Formula, width: int) -> Iterator[str]:
    how = formula.expression.text if formula.expression is not None else f"function {formula.function}"
    yield from labelled("Expression", how, width)
    for symbol in formula.symbols.values():
        bound = f", fact {symbol.fact}" if symbol.fact else ""
        unit = "" if symbol.unit == "1" else f" in {symbol.unit}"
        yield from labelled(symbol.name, f"{symbol.means}{unit}{bound}", width)
    unit = "" if formula.gives_unit == "1" else f" in {formula.gives_unit}"
    yield from labelled("Gives", f"{formula.gives_means}{unit} {formula.gives_fact or ''}".strip(), width)
    yield from labelled("Note", formula.note, width)
    for case in formula.worked:
        put_in = ", ".join(
            f"{name} = {value:g}{'' if formula.symbols[name].unit == '1' else ' ' + formula.symbols[name].unit}"
            for name, value in case.values.items()
        )
        gives = f"{case.gives:g}{unit.replace(' in ', ' ')}"
        cited = listed(knowledge.cite(case.sources), "and")
        yield from labelled("Worked", f"{case.name}: {put_in} gives {gives} ({cited})", width)
    yield from labelled("Basis", formula.basis, width)
    yield from _sources(knowledge.cite(formula.sources), width)


def _procedure(knowledge: KnowledgeBase, name: str, width: int) -> Iterator[str]:
    procedure = knowledge.procedures[name]
    yield from labelled("For", procedure.purpose, width)
    for number, step in enumerate(procedure.steps, 1):
        yield from labelled(f"{number}.", step.do, width)
        yield from labelled("", f"Because: {step.because}" if step.because else "", width)
        if step.caution is not None:
            caution = knowledge.cautions[step.caution]
            yield from labelled("Caution", f"{caution.hazard} {caution.do}", width)
    yield from _sources(knowledge.cite(procedure.sources), width)


def _source(knowledge: KnowledgeBase, name: str, width: int) -> Iterator[str]:
    source = knowledge.sources[name]
    yield from labelled("Kind", source.kind, width)
    yield from labelled("Verified", source.verified, width)
    yield from labelled("Note", source.note or "", width)
    cited_by = [rule.id for rule in knowledge.rules.values() if any(c.work == name for c in rule.sources)]
    cited_by += [
        formula.id for formula in knowledge.formulas.values() if any(c.work == name for c in formula.sources)
    ]
    cited_by += [
        f"{table.id} {key}"
        for table in knowledge.tables.values()
        for key, row in table.rows.items()
        if any(c.work == name for c in row.sources)
    ]
    yield from labelled("Cited by", ", ".join(cited_by) or "nothing", width)


def _sources(sources: Iterable[str], width: int) -> Iterator[str]:
    for source in sources:
        yield from labelled("Source", source, width)


def _rule_list(rules: Iterable[Rule], width: int) -> Iterator[str]:
    for rule in rules:
        yield from labelled("Rule", f"{rule.id}: {rule.title}", width)
