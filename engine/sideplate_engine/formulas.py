"""Formulas: an expression (or a function of the geometry module) over symbols bound to facts.

A formula's dimensions are checked once, when it is read. On jobs it runs on floats in coherent SI units.
"""

from __future__ import annotations

import math
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass
from inspect import signature

from sideplate_engine import geometry
from sideplate_engine.expressions import (
    DimensionError,
    Expression,
    ExpressionError,
    NotComputable,
    dimension_check,
    evaluate,
    parse,
    put_in,
)
from sideplate_engine.file_models import Basis, Citation, FormulaFile
from sideplate_engine.findings import Finding, Position, did_you_mean, listed
from sideplate_engine.quantities import (
    QuantityError,
    UnknownUnit,
    coherent,
    from_coherent,
    read_quantity,
    unit,
)
from sideplate_engine.shape_check import read_as
from sideplate_engine.vocabulary import Fact, System, Value
from sideplate_engine.yaml_tree import Mapping, Node, position_of

__all__ = ["Formula", "NotComputable", "Symbol", "WorkedExample", "read_formula"]


@dataclass(frozen=True, slots=True)
class Symbol:
    """A symbol: the fact it stands for, if any, and the unit its values are stored in."""

    name: str
    fact: str | None
    unit: str
    means: str


@dataclass(frozen=True, slots=True)
class WorkedExample:
    """A case with known numbers. Values are in the symbols' units, `gives` and `within` in the result's."""

    name: str
    values: MappingABC[str, float]
    gives: float
    within: float
    sources: tuple[Citation, ...]
    note: str
    at: Position


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula, ready to run."""

    id: str
    title: str
    symbols: MappingABC[str, Symbol]
    expression: Expression | None
    function: str | None
    gives_fact: str | None
    gives_unit: str
    gives_means: str
    basis: Basis
    sources: tuple[Citation, ...]
    note: str
    worked: tuple[WorkedExample, ...]
    at: Position

    def facts(self) -> tuple[str, ...]:
        """The facts its symbols stand for."""
        return tuple(symbol.fact for symbol in self.symbols.values() if symbol.fact is not None)

    def run(self, values: MappingABC[str, float]) -> float:
        """The result in its own unit, from values in the symbols' units. Raises NotComputable."""
        coherent_values = {name: coherent(values[name], symbol.unit) for name, symbol in self.symbols.items()}
        if self.expression is not None:
            result = evaluate(self.expression, coherent_values)
        else:
            assert self.function is not None
            try:
                result = geometry.FUNCTIONS[self.function](**coherent_values)
            except (ValueError, ZeroDivisionError, OverflowError) as problem:
                raise NotComputable(str(problem)) from None
        shown = from_coherent(result, self.gives_unit)
        if not math.isfinite(shown):
            raise NotComputable("The result is too large.")
        return shown

    def arithmetic(
        self, facts: MappingABC[str, Value], vocabulary: MappingABC[str, Fact], system: System
    ) -> str:
        """The expression with the facts' values put in, as a reader would write it down."""
        shown = {
            name: vocabulary[symbol.fact].show(facts[symbol.fact], system)
            for name, symbol in self.symbols.items()
            if symbol.fact is not None
        }
        if self.expression is not None:
            return put_in(self.expression.text, shown)
        return f"{self.function}({', '.join(f'{name} = {value}' for name, value in shown.items())})"


def read_formula(tree: Node, vocabulary: MappingABC[str, Fact]) -> tuple[Formula | None, list[Finding]]:
    """A formula from its file's tree, its dimensions checked, and all that is wrong with it."""
    shape, findings = read_as(FormulaFile, tree)
    if shape is None:
        return None, findings
    assert isinstance(tree, Mapping)
    symbols: dict[str, Symbol] = {}
    for name, written in shape.symbols.items():
        at = position_of(tree, ("symbols", name))
        if not name.isidentifier():
            findings.append(Finding("formula-symbol", f"{name!r} is no symbol; write letters and digits", at))
            continue
        unit_name = _unit_of(written.fact, written.unit, vocabulary, at, findings)
        if unit_name is not None:
            symbols[name] = Symbol(name, written.fact, unit_name, written.means)
    gives_at = position_of(tree, ("gives",))
    gives_unit = _unit_of(shape.gives.fact, shape.gives.unit, vocabulary, gives_at, findings)
    if (shape.expression is None) == (shape.function is None):
        findings.append(Finding("formula", "a formula has either an `expression` or a `function`", tree.at))
    if findings or gives_unit is None:
        return None, findings
    expression = _expression(shape, symbols, gives_unit, tree, findings)
    if shape.function is not None:
        _check_function(shape.function, symbols, gives_unit, tree, findings)
    worked = _worked(shape, symbols, gives_unit, tree, findings)
    if findings:
        return None, findings
    return (
        Formula(
            shape.id,
            shape.title,
            symbols,
            expression,
            shape.function,
            shape.gives.fact,
            gives_unit,
            shape.gives.means or (vocabulary[shape.gives.fact].means if shape.gives.fact else ""),
            shape.basis,
            tuple(shape.sources),
            shape.note or "",
            worked,
            tree.at,
        ),
        [],
    )


def _unit_of(
    fact_name: str | None,
    unit_name: str | None,
    vocabulary: MappingABC[str, Fact],
    at: Position,
    findings: list[Finding],
) -> str | None:
    if (fact_name is None) == (unit_name is None):
        findings.append(Finding("formula-symbol", "write either `fact` or `unit`", at))
        return None
    if unit_name is not None:
        try:
            return unit(unit_name).symbol
        except UnknownUnit as problem:
            findings.append(Finding("unknown-unit", str(problem), at))
            return None
    assert fact_name is not None
    fact = vocabulary.get(fact_name)
    if fact is None:
        hint = did_you_mean(fact_name, vocabulary)
        findings.append(Finding("unknown-fact", f"no fact is called {fact_name}{hint}", at, names=fact_name))
        return None
    if not fact.is_number:
        findings.append(Finding("formula-symbol", f"{fact_name} is a {fact.kind}, not a number", at))
        return None
    return fact.unit


def _expression(
    shape: FormulaFile,
    symbols: MappingABC[str, Symbol],
    gives_unit: str,
    tree: Mapping,
    findings: list[Finding],
) -> Expression | None:
    if shape.expression is None:
        return None
    at = position_of(tree, ("expression",))
    try:
        expression = parse(shape.expression)
    except ExpressionError as problem:
        findings.append(Finding("formula-expression", str(problem), at))
        return None
    undeclared = sorted(expression.names - set(symbols))
    for name in undeclared:
        hint = did_you_mean(name, symbols)
        findings.append(Finding("formula-symbol", f"the symbol {name} is not declared{hint}", at))
    # One that is written wrongly in the expression would be told a second time as one that is not used.
    for name in sorted(set(symbols) - expression.names) if not undeclared else ():
        message = f"the symbol {name} is declared but not used"
        findings.append(Finding("formula-symbol", message, position_of(tree, ("symbols", name))))
    if findings:
        return None
    try:
        dimension_check(expression, {name: symbol.unit for name, symbol in symbols.items()}, gives_unit)
    except DimensionError as problem:
        findings.append(Finding("formula-dimension", str(problem), at))
    return expression


def _check_function(
    name: str,
    symbols: MappingABC[str, Symbol],
    gives_unit: str,
    tree: Mapping,
    findings: list[Finding],
) -> None:
    """That geometry has the function, and that it takes these symbols, in units that multiply."""
    function = geometry.FUNCTIONS.get(name)
    if function is None:
        message = f"geometry has no function {name}{did_you_mean(name, geometry.FUNCTIONS)}"
        findings.append(Finding("formula", message, tree.key_at["function"]))
        return
    takes = signature(function).parameters
    strange = [symbol for symbol in symbols if symbol not in takes]
    for symbol in strange:
        message = f"{name} takes no {symbol}{did_you_mean(symbol, takes)}"
        findings.append(Finding("formula-symbol", message, position_of(tree, ("symbols", symbol))))
    lacking = [n for n, taken in takes.items() if taken.default is taken.empty and n not in symbols]
    if lacking and not strange:
        message = f"{name} lacks its {listed(lacking, 'and')}"
        findings.append(Finding("formula-symbol", message, position_of(tree, ("symbols",))))
    for unit_name in (*(symbol.unit for symbol in symbols.values()), gives_unit):
        try:
            coherent(1.0, unit_name)
        except QuantityError as problem:
            findings.append(Finding("formula-dimension", str(problem), tree.key_at["function"]))


def _worked(
    shape: FormulaFile,
    symbols: MappingABC[str, Symbol],
    gives_unit: str,
    tree: Mapping,
    findings: list[Finding],
) -> tuple[WorkedExample, ...]:
    cases: list[WorkedExample] = []
    for number, case in enumerate(shape.worked):
        at = position_of(tree, ("worked", number))
        if set(case.symbols) != set(symbols):
            message = f"`with` must give {', '.join(symbols)} and nothing else"
            findings.append(Finding("formula-worked", message, at))
            continue
        try:
            cases.append(
                WorkedExample(
                    case.name,
                    {name: read_quantity(text, symbols[name].unit) for name, text in case.symbols.items()},
                    read_quantity(case.gives, gives_unit),
                    read_quantity(case.within, gives_unit),
                    tuple(case.sources),
                    case.note or "",
                    at,
                )
            )
        except QuantityError as problem:
            findings.append(Finding("wrong-value", str(problem), at))
    return tuple(cases)


def worked_result(formula: Formula, case: WorkedExample) -> tuple[float | None, str]:
    """What the formula makes of a worked case, and a sentence if that is not what the case says."""
    try:
        result = formula.run(case.values)
    except NotComputable as problem:
        return None, f"the worked case {case.name!r} cannot be computed: {problem}"
    if abs(result - case.gives) > case.within:
        return result, (
            f"the worked case {case.name!r} gives {result:.6g}, not {case.gives:.6g} within {case.within:.3g}"
        )
    return result, ""
