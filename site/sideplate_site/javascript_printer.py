"""Formulas as JavaScript, printed from the very trees that the engine runs.

What is printed calls the small library in `theme/assets/calculator.js`, which does what the engine's own
functions do: divide, raise and round in the same way, and refuse what has no result.
"""

from __future__ import annotations

import ast
import json

from sideplate_engine.expressions import Expression

SIGNS = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*"}


class NotPrintable(ValueError):
    """A piece of Python that has no counterpart here."""


def expression_in_javascript(expression: Expression) -> str:
    """A function from the values of the symbols, in coherent SI units, to the result."""
    return f"function (v) {{ return {_print(expression.tree)}; }}"


def _print(node: ast.expr) -> str:
    match node:
        case ast.Constant(value=int() | float() as value):
            return json.dumps(float(value))
        case ast.Name(id=name):
            return f"v.{name}"
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return f"(-{_print(operand)})"
        case ast.BinOp(left=left, op=ast.Div(), right=right):
            return f"m.divide({_print(left)}, {_print(right)})"
        case ast.BinOp(left=left, op=ast.Pow(), right=right):
            return f"m.power({_print(left)}, {_print(right)})"
        case ast.BinOp(left=left, op=op, right=right) if type(op) in SIGNS:
            return f"({_print(left)} {SIGNS[type(op)]} {_print(right)})"
        case ast.Call(func=ast.Name(id=name), args=arguments):
            return f"m.{name}({', '.join(_print(each) for each in arguments)})"
    raise NotPrintable(ast.unparse(node))
