"""Formula expressions: arithmetic over symbols, read once, evaluated many times, its dimensions checked.

Evaluation is simpleeval's, over a tree in which nothing but arithmetic has been let through. Numbers are
floats throughout, so no power can grow without bound.
"""

from __future__ import annotations

import ast
import math
import operator
import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

# simpleeval ships no type information; this module and expression_dimensions are its only border.
from simpleeval import SimpleEval  # type: ignore[import-untyped]

from sideplate_engine.expression_dimensions import DimensionError, check_dimensions
from sideplate_engine.expression_text import DEEPEST, ExpressionError, put_in, tokens
from sideplate_engine.quantities import canonical

__all__ = [
    "FUNCTIONS",
    "DimensionError",
    "Expression",
    "ExpressionError",
    "NotComputable",
    "dimension_check",
    "evaluate",
    "parse",
    "put_in",
]

MOST_NODES = 200
"""The most numbers, symbols, operations and calls in an expression."""


class NotComputable(ArithmeticError):
    """The values given have no result: the message says why, in a plain sentence."""


@dataclass(frozen=True, slots=True)
class Expression:
    """An expression that has been read. `names` are its symbols, without `pi`."""

    text: str
    names: frozenset[str]
    tree: ast.expr = field(compare=False, repr=False)


def _divide(a: float, b: float) -> float:
    try:
        return a / b
    except ZeroDivisionError:
        raise NotComputable("It divides by zero.") from None


def _power(a: float, b: float) -> float:
    try:
        return math.pow(a, b)
    except OverflowError:
        raise NotComputable(f"The power {a:g} ** {b:g} is too large.") from None
    except ValueError:
        if a == 0:
            raise NotComputable("It divides by zero: zero has no negative power.") from None
        raise NotComputable(f"The negative number {a:g} has no power {b:g}.") from None


def _square_root(x: float) -> float:
    if x < 0:
        raise NotComputable(f"It takes the square root of the negative number {x:g}.")
    return math.sqrt(x)


def _angle_of(function: Callable[[float], float], name: str) -> Callable[[float], float]:
    def angle(x: float) -> float:
        # A ratio that should be exactly 1 can come out a hair above it.
        near = x if -1 <= x <= 1 else canonical(x)
        if not -1 <= near <= 1:
            raise NotComputable(f"It takes {name} of {x:g}, which is not between -1 and 1.")
        return function(near)

    return angle


def _of_finite(function: Callable[[float], float]) -> Callable[[float], float]:
    def checked(x: float) -> float:
        if not math.isfinite(x):
            raise NotComputable("A number in it is too large.")
        return function(x)

    return checked


def _whole(function: Callable[[float], float]) -> Callable[[float], float]:
    # Rounding noise must not push a whole number of links up to the next.
    return _of_finite(lambda x: float(function(canonical(x))))


def _nearest(x: float) -> float:
    below = math.floor(abs(x))
    return math.copysign(below + (abs(x) - below >= 0.5), x)


OPERATORS: Mapping[type[ast.AST], Callable[..., float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: _divide,
    ast.Pow: _power,
    ast.USub: operator.neg,
}
FUNCTIONS: Mapping[str, Callable[..., float]] = {
    "sqrt": _square_root,
    "sin": _of_finite(math.sin),
    "cos": _of_finite(math.cos),
    "tan": _of_finite(math.tan),
    "asin": _angle_of(math.asin, "asin"),
    "acos": _angle_of(math.acos, "acos"),
    "atan": math.atan,
    "ceil": _whole(math.ceil),
    "floor": _whole(math.floor),
    "round": _whole(_nearest),
    "abs": abs,
    "min": min,
    "max": max,
}
_SEVERAL = frozenset({"min", "max"})


class _Evaluators(threading.local):
    """One evaluator a thread: it holds the names while it runs."""

    def __init__(self) -> None:
        self.one = SimpleEval(operators=dict(OPERATORS), functions=dict(FUNCTIONS), names={})


_evaluators = _Evaluators()


def parse(text: str) -> Expression:
    """Read an expression: numbers, symbols, `pi`, + - * / **, brackets and the functions listed in FUNCTIONS.

    `round` takes a half away from zero. Raises ExpressionError for anything else, for an expression over the
    limits, and for a part without symbols that has no value, such as `1/0`.
    """
    found = tokens(text)
    for token in found:
        if token.kind == "number" and not math.isfinite(float(token.text)):
            raise ExpressionError("this number is too large", token.start + 1)
    one_line = text.translate(str.maketrans("\t\r\n", "   "))
    indent = len(one_line) - len(one_line.lstrip())
    if indent == len(one_line):
        raise ExpressionError("the expression is empty", 1)
    try:
        body = ast.parse(one_line[indent:], mode="eval").body
    except SyntaxError as error:
        raise ExpressionError("this is not arithmetic", indent + max(error.offset or 1, 1)) from None
    except (RecursionError, MemoryError):
        raise ExpressionError("it is nested too deeply", 1) from None
    reader = _Reader(indent)
    tree = reader.read(body, 1)
    return Expression(text, frozenset(reader.names), tree)


def evaluate(expression: Expression, values: Mapping[str, float]) -> float:
    """The value of an expression for the values of its symbols, in coherent SI units.

    Raises NotComputable when a symbol has no finite value, or the arithmetic has no finite result.
    """
    try:
        numbers = {name: float(values[name]) for name in expression.names}
    except KeyError as missing:
        raise NotComputable(f"The symbol {missing.args[0]} has no value.") from None
    if not all(map(math.isfinite, numbers.values())):
        raise NotComputable("One of its numbers is not finite.")
    return _computed(expression.tree, numbers)


def dimension_check(
    expression: Expression, units: Mapping[str, str], result: str, fact: str | None = None
) -> None:
    """Raise DimensionError unless the expression gives what the unit `result` measures.

    `units` holds the unit of every symbol. `fact`, if given, names the fact that takes the result, for the
    message. Starts Pint the first time.
    """
    check_dimensions(expression.tree, units, result, fact)


def _computed(tree: ast.expr, numbers: dict[str, float]) -> float:
    evaluator = _evaluators.one
    evaluator.names = numbers
    result = float(evaluator.eval("", previously_parsed=tree))
    if not math.isfinite(result):
        raise NotComputable("The result is too large.")
    return result


class _Reader:
    """Lets arithmetic through, node by node, and works out at once every part that has no symbol in it."""

    def __init__(self, indent: int) -> None:
        self.indent = indent
        self.names: set[str] = set()
        self.nodes = 0

    def read(self, node: ast.expr, depth: int) -> ast.expr:
        self.nodes += 1
        if self.nodes > MOST_NODES:
            raise self.wrong(node, f"an expression has at most {MOST_NODES} parts")
        if depth > DEEPEST:
            raise self.wrong(node, f"it is nested more than {DEEPEST} levels deep")
        parts: list[ast.expr]
        match node:
            case ast.Constant(value=int() | float() as value) if not isinstance(value, bool):
                return ast.copy_location(ast.Constant(float(value)), node)
            case ast.Name(id="pi"):
                return ast.copy_location(ast.Constant(math.pi), node)
            case ast.Name(id=name):
                if name in FUNCTIONS:
                    raise self.wrong(node, f"{name} is a function; it needs brackets with a number in them")
                self.names.add(name)
                return node
            case ast.BinOp(op=ast.Add() | ast.Sub() | ast.Mult() | ast.Div() | ast.Pow()):
                node.left = self.read(node.left, depth + 1)
                node.right = self.read(node.right, depth + 1)
                parts = [node.left, node.right]
            case ast.UnaryOp(op=ast.USub()):
                node.operand = self.read(node.operand, depth + 1)
                parts = [node.operand]
            case ast.Call(func=ast.Name(id=name), keywords=[]):
                self.check_call(node, name)
                node.args = [self.read(argument, depth + 1) for argument in node.args]
                parts = node.args
            case _:
                raise self.wrong(node, "only + - * / **, brackets and the listed functions can be used")
        return self.folded(node) if all(isinstance(part, ast.Constant) for part in parts) else node

    def check_call(self, node: ast.Call, name: str) -> None:
        if name not in FUNCTIONS:
            raise self.wrong(node, f"there is no function {name}; there are {', '.join(FUNCTIONS)}")
        if name in _SEVERAL and len(node.args) < 2:
            raise self.wrong(node, f"{name} compares two numbers or more")
        if name not in _SEVERAL and len(node.args) != 1:
            raise self.wrong(node, f"{name} takes one number")

    def folded(self, node: ast.expr) -> ast.expr:
        try:
            return ast.copy_location(ast.Constant(_computed(node, {})), node)
        except NotComputable as error:
            raise self.wrong(node, str(error)) from None

    def wrong(self, node: ast.expr, message: str) -> ExpressionError:
        return ExpressionError(message, self.indent + node.col_offset + 1)
