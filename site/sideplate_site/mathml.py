"""Formulas typeset as MathML, which browsers draw by themselves: no script, no font from elsewhere.

An expression is read again from its text, since the engine's tree has constant parts worked out already
(`2*pi` is one number there).
"""

from __future__ import annotations

import ast
from collections.abc import Mapping

from sideplate_engine.quantities import show
from sideplate_site.markup import Html, el, joined

SUM, PRODUCT, SIGN, POWER, SOLID = range(5)
"""How tightly a piece holds together; a looser one is bracketed inside a tighter one."""

GREEK = {"pi": "π", "alpha": "α", "beta": "β"}
PLAIN_FUNCTIONS = frozenset({"sin", "cos", "tan", "min", "max"})
INVERSE = {"asin": "arcsin", "acos": "arccos", "atan": "arctan"}
AROUND = {"ceil": ("⌈", "⌉"), "floor": ("⌊", "⌋"), "abs": ("|", "|")}


class NotTypeset(ValueError):
    """Something that is not arithmetic, and so has no formula to draw."""


def formula(gives: str, text: str, numbers: Mapping[str, str] | None = None, result: str = "") -> Html:
    """`gives = expression` as a formula of its own line, with numbers in place of symbols where there are any."""
    inside = [_name(gives), _operator("="), _typeset(read(text), numbers or {}, SUM)]
    if result:
        inside += [_operator("="), _number(result)]
    return block(joined(inside), f"{gives} = {text}")


def block(inside: Html, said: str) -> Html:
    """Typeset mathematics on a line of its own. `said` is the same as plain text."""
    return el("math", inside, display="block", alttext=said)


def line(gives: str, node: ast.expr) -> Html:
    """`gives = expression` from a tree, on a line of its own."""
    said = f"{gives} = {ast.unparse(node)}"
    return block(joined((_name(gives), _operator("="), _typeset(node, {}, SUM))), said)


def read(text: str) -> ast.expr:
    """The tree of an expression that the engine has let through."""
    return ast.parse(" ".join(text.split()), mode="eval").body


def symbol(name: str) -> Html:
    """A symbol in running text."""
    return el("math", _name(name), alttext=name)


def shown(value: float, unit: str) -> str:
    """A number with its unit, as it is put into a formula."""
    return show(value, unit)


def _typeset(node: ast.expr, numbers: Mapping[str, str], around: int) -> Html:
    piece, holds = _piece(node, numbers)
    return _bracketed(piece) if holds < around else piece


def _piece(node: ast.expr, numbers: Mapping[str, str]) -> tuple[Html, int]:
    match node:
        case ast.Constant(value=int() | float() as value):
            return _number(f"{value:.12g}"), SOLID
        case ast.Name(id=name) if name in numbers:
            return _number(numbers[name]), PRODUCT if " " in numbers[name] else SOLID
        case ast.Name(id=name):
            return _name(name), SOLID
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return joined((_operator("−"), _typeset(operand, numbers, SIGN))), SIGN
        case ast.BinOp(left=left, op=ast.Div(), right=right):
            above, below = _typeset(left, numbers, SUM), _typeset(right, numbers, SUM)
            return el("mfrac", _row(above), _row(below)), SOLID
        case ast.BinOp(left=left, op=ast.Pow(), right=right):
            base = _typeset(left, numbers, SOLID)
            if isinstance(left, ast.BinOp) and isinstance(left.op, ast.Div):
                base = _bracketed(base)
            return el("msup", _row(base), _row(_typeset(right, numbers, SUM))), POWER
        case ast.BinOp(left=left, op=ast.Mult(), right=right):
            first, second = _typeset(left, numbers, PRODUCT), _typeset(right, numbers, SIGN)
            return joined((first, _operator("⋅"), second)), PRODUCT
        case ast.BinOp(left=left, op=ast.Add() | ast.Sub() as op, right=right):
            sign = "+" if isinstance(op, ast.Add) else "−"
            second = _typeset(right, numbers, SUM if sign == "+" else PRODUCT)
            return joined((_typeset(left, numbers, SUM), _operator(sign), second)), SUM
        case ast.Call(func=ast.Name(id=name), args=arguments):
            return _call(name, [_typeset(each, numbers, SUM) for each in arguments])
    raise NotTypeset(ast.unparse(node))


def _call(name: str, arguments: list[Html]) -> tuple[Html, int]:
    if name == "sqrt":
        return el("msqrt", _row(arguments[0])), SOLID
    if name in AROUND:
        opening, closing = AROUND[name]
        return _row(joined((_operator(opening), arguments[0], _operator(closing)))), SOLID
    called = el("mi", INVERSE.get(name, name if name in PLAIN_FUNCTIONS else name.replace("_", " ")))
    inside = joined(arguments, _operator(","))
    return joined((called, Html("<mo>&#x2061;</mo>"), _bracketed(inside))), SOLID


def _name(name: str) -> Html:
    """A symbol: `N1` and `d_max` have what follows the letter below the line; a whole word stays one."""
    if name in GREEK:
        return el("mi", GREEK[name])
    letters = name.rstrip("0123456789")
    digits = name[len(letters) :]
    if digits and letters:
        return el("msub", el("mi", letters), el("mn", digits))
    return el("mi", name) if len(name) == 1 else el("mtext", name.replace("_", "\u00a0"))


def _number(text: str) -> Html:
    figure, _, unit = text.partition(" ")
    number = el("mn", figure.replace("-", "−"))
    return joined((number, Html("<mspace width='0.2em'></mspace>"), el("mtext", unit))) if unit else number


def _operator(sign: str) -> Html:
    return el("mo", sign)


def _row(inside: Html) -> Html:
    return el("mrow", inside)


def _bracketed(inside: Html) -> Html:
    return el("mrow", el("mo", "("), inside, el("mo", ")"))
