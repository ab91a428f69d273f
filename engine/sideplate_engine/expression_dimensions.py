"""The dimension of a formula's result, found by running the expression once on Pint quantities.

Every quantity in the run is one unit of its kind: only dimensions are looked at, so no value can spoil the
check (a difference of two equal lengths divides as well as any other length). Plain numbers stay plain, and a
plain zero goes with anything.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Mapping
from typing import Any

# simpleeval ships no type information; this module and `expressions` are its only border.
from simpleeval import SimpleEval  # type: ignore[import-untyped]

from sideplate_engine.quantities import (
    QuantityError,
    coherent,
    dimension_in_words,
    pint_quantity,
    with_article,
)


class DimensionError(ValueError):
    """A formula whose dimensions do not come out. The message says which do not agree."""


def check_dimensions(tree: ast.expr, units: Mapping[str, str], result: str, fact: str | None) -> None:
    """Raise DimensionError unless `tree`, over symbols with these units, gives what `result` measures.

    `fact` is the name of the fact that takes the result, for the message.
    """
    evaluator = SimpleEval(operators=dict(_OPERATORS), functions=dict(_FUNCTIONS), names=_quantities(units))
    found = _as_quantity(evaluator.eval("", previously_parsed=tree))
    wanted = _one(result)
    if found.dimensionality != wanted.dimensionality:
        given, needed = _in_words(found), _in_words(wanted)
        ending = f"the fact {fact} is {needed}" if fact else f"{needed} is wanted"
        raise DimensionError(f"the result is {given}, but {ending}")


def _quantities(units: Mapping[str, str]) -> dict[str, Any]:
    return {name: _one(symbol) for name, symbol in units.items()}


def _one(symbol: str) -> Any:
    try:
        coherent(1.0, symbol)
    except QuantityError as error:
        raise DimensionError(str(error)) from None
    return pint_quantity(1.0, symbol)


def _as_quantity(value: Any) -> Any:
    return pint_quantity(1.0, "1") if isinstance(value, float) else value


def _in_words(value: Any) -> str:
    return with_article(dimension_in_words(_as_quantity(value)))


def _is_plain_zero(value: Any) -> bool:
    return isinstance(value, float) and value == 0


def _alike(done: str) -> Callable[..., Any]:
    """What adds, subtracts or compares: every operand has one dimension, and so has the result."""

    def combine(*values: Any) -> Any:
        if not (counted := [_as_quantity(value) for value in values if not _is_plain_zero(value)]):
            return 0.0
        first = counted[0]
        for other in counted[1:]:
            if other.dimensionality != first.dimensionality:
                raise DimensionError(f"{_in_words(first)} and {_in_words(other)} cannot be {done}")
        return first

    return combine


def _product(a: Any, b: Any) -> Any:
    return _as_quantity(a) * _as_quantity(b)


def _quotient(a: Any, b: Any) -> Any:
    return _as_quantity(a) / _as_quantity(b)


def _power(base: Any, exponent: Any) -> Any:
    base = _as_quantity(base)
    if isinstance(exponent, float):
        return base**exponent
    if not exponent.dimensionless:
        raise DimensionError(f"an exponent is {_in_words(exponent)}; it must be a bare number")
    if not base.dimensionless:
        raise DimensionError(f"the power of {_in_words(base)} must be a number written out, not a symbol")
    return base


def _same(value: Any) -> Any:
    return value


def _bare(name: str) -> Callable[[Any], Any]:
    """A function of a bare number (angles are bare numbers), giving a bare number."""

    def call(value: Any) -> Any:
        if not _as_quantity(value).dimensionless:
            raise DimensionError(f"{name} is taken of {_in_words(value)}; it needs a bare number")
        return pint_quantity(1.0, "1")

    return call


_OPERATORS: Mapping[type[ast.AST], Callable[..., Any]] = {
    ast.Add: _alike("added"),
    ast.Sub: _alike("subtracted"),
    ast.Mult: _product,
    ast.Div: _quotient,
    ast.Pow: _power,
    ast.USub: _same,
}
_FUNCTIONS: Mapping[str, Callable[..., Any]] = {
    "sqrt": lambda value: _as_quantity(value) ** 0.5,
    "abs": _same,
    "min": _alike("compared"),
    "max": _alike("compared"),
    **{name: _bare(name) for name in ("sin", "cos", "tan", "asin", "acos", "atan", "ceil", "floor", "round")},
}
