"""Figures for pictures, out of the knowledge. What the knowledge does not hold leaves the picture undrawn."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import wraps

from sideplate_engine import KnowledgeBase
from sideplate_engine.derivations import PlainValue
from sideplate_engine.formulas import Formula, NotComputable
from sideplate_engine.rules import Rule
from sideplate_engine.texts import QuantityPlace, Template
from sideplate_engine.vocabulary import Value


class NotInKnowledge(LookupError):
    """A figure that a picture needs and this knowledge base does not hold."""


def if_known(draw: Callable[[KnowledgeBase], str]) -> Callable[[KnowledgeBase], str]:
    """Draws, or gives an empty text where the knowledge lacks a figure."""

    @wraps(draw)
    def drawn(knowledge: KnowledgeBase) -> str:
        try:
            return draw(knowledge)
        except NotInKnowledge:
            return ""

    return drawn


def cells(knowledge: KnowledgeBase, table: str, key: str, *columns: str) -> tuple[float, ...]:
    """Figures of a table's row. Raises NotInKnowledge."""
    found = knowledge.tables.get(table)
    row = None if found is None else found.row(key)
    if row is None or any(not isinstance(row.cells.get(name), float) for name in columns):
        raise NotInKnowledge(f"the row {key} of the table {table} with {', '.join(columns)}")
    return tuple(float(row.cells[name]) for name in columns)


def recalled(knowledge: KnowledgeBase, table: str, key: str, column: str) -> bool:
    """Whether a figure of a table was recalled and not verified; a picture that prints it says so."""
    row = knowledge.tables[table].row(key)
    return row is not None and column in row.from_memory


def computed(knowledge: KnowledgeBase, formula: str, **values: float) -> float:
    """What a formula makes of values in its symbols' units. Raises NotInKnowledge."""
    try:
        return formula_of(knowledge, formula, *values).run(values)
    except NotComputable as problem:
        raise NotInKnowledge(f"a result of the formula {formula}: {problem}") from None


def formula_of(knowledge: KnowledgeBase, id_: str, *symbols: str) -> Formula:
    """A formula that has just these symbols. Raises NotInKnowledge."""
    found = knowledge.formulas.get(id_)
    if found is None or set(found.symbols) != set(symbols):
        raise NotInKnowledge(f"the formula {id_}")
    return found


def rule_of(knowledge: KnowledgeBase, id_: str) -> Rule:
    """A rule. Raises NotInKnowledge."""
    if id_ not in knowledge.rules:
        raise NotInKnowledge(f"the rule {id_}")
    return knowledge.rules[id_]


def example(knowledge: KnowledgeBase, rule: str, *facts: str) -> Mapping[str, Value]:
    """What is given in the first example that makes a rule fire and states these facts. Raises NotInKnowledge."""
    for each in rule_of(knowledge, rule).examples:
        if each.expect == "fires" and all(fact in each.given for fact in facts):
            return each.given
    raise NotInKnowledge(f"an example of the rule {rule} that states {', '.join(facts)}")


def numbers(given: Mapping[str, Value], *facts: str) -> tuple[float, ...]:
    """The numbers given for these facts. Raises NotInKnowledge."""
    values = [given.get(fact) for fact in facts]
    found = [float(value) for value in values if isinstance(value, int | float)]
    if len(found) != len(facts):
        raise NotInKnowledge(f"numbers for {', '.join(facts)}")
    return tuple(found)


def limits(knowledge: KnowledgeBase, rule: str, fact: str) -> tuple[float, ...]:
    """The numbers a rule compares a fact with, in the fact's unit. Raises NotInKnowledge."""
    for test in rule_of(knowledge, rule).conditions.tests():
        found = [float(value) for value in test.values if isinstance(value, int | float)]
        if test.fact == fact and found:
            return tuple(found)
    raise NotInKnowledge(f"a limit for {fact} in the rule {rule}")


def set_by(knowledge: KnowledgeBase, rule: str, fact: str) -> float:
    """The plain number a rule sets a fact to. Raises NotInKnowledge."""
    for derivation in rule_of(knowledge, rule).derivations:
        if (
            isinstance(derivation, PlainValue)
            and derivation.fact == fact
            and isinstance(derivation.value, int | float)
        ):
            return float(derivation.value)
    raise NotInKnowledge(f"a value for {fact} in the rule {rule}")


def quantities_in(template: Template, unit: str) -> tuple[float, ...]:
    """The quantities in one unit that a text names, in its order."""
    return tuple(
        piece.value for piece in template.pieces if isinstance(piece, QuantityPlace) and piece.unit == unit
    )
