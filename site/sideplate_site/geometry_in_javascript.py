"""The functions of the engine's geometry module as JavaScript, translated from their Python source.

Only the Python that the module is written in is known: assignments, conditions, counted loops, arithmetic and
calls. Anything else raises NotPrintable, so a function either means the same in both or is not there.
"""

from __future__ import annotations

import ast
import inspect
from collections.abc import Callable, Iterator
from functools import cache
from types import FunctionType

from sideplate_engine import geometry
from sideplate_site.javascript_printer import SIGNS, NotPrintable

MATHS = {name: f"m.plain.{name}" for name in ("sqrt", "sin", "cos", "tan", "asin", "acos", "atan", "hypot")}
BUILT_IN = {"abs": "Math.abs", "min": "Math.min", "max": "Math.max"}
COMPARISONS = {ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">=", ast.Eq: "===", ast.NotEq: "!=="}
INDENT = "  "


@cache
def geometry_in_javascript() -> str:
    """All functions that formulas can name, and those they call, as the members of an object `g`."""
    wanted = dict.fromkeys(function.__name__ for function in geometry.FUNCTIONS.values())
    done: dict[str, str] = {}
    while wanted:
        name = next(iter(wanted))
        del wanted[name]
        if name not in done:
            printer = _Printer()
            done[name] = printer.function(tree_of(_function(name)))
            wanted.update(dict.fromkeys(printer.calls))
    return "\n".join(f"g.{name} = {text};" for name, text in sorted(done.items()))


@cache
def tree_of(function: Callable[..., float]) -> ast.FunctionDef:
    """The tree of a function's source, without its docstring."""
    (tree,) = ast.parse(inspect.getsource(function)).body
    assert isinstance(tree, ast.FunctionDef)
    if ast.get_docstring(tree) is not None:
        tree.body = tree.body[1:]
    return tree


def _function(name: str) -> Callable[..., float]:
    found = getattr(geometry, name, None)
    if not isinstance(found, FunctionType):
        raise NotPrintable(f"{name} is no function of the geometry module")
    return found


class _Printer:
    """Prints one function, noting which others it calls."""

    def __init__(self) -> None:
        self.calls: dict[str, None] = {}
        self.names: set[str] = set()

    def function(self, tree: ast.FunctionDef) -> str:
        names = [argument.arg for argument in tree.args.args]
        defaults = [ast.literal_eval(each) for each in tree.args.defaults]
        self.names = {
            node.id
            for node in ast.walk(tree)
            if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)
        }
        self.names -= set(names)
        optional = dict(zip(names[len(names) - len(defaults) :], defaults, strict=True))
        arguments = ", ".join(f"{name} = {optional[name]!r}" if name in optional else name for name in names)
        declared = [f"let {', '.join(sorted(self.names))};"] if self.names else []
        self.names |= set(names)
        lines = [*declared, *self.block(tree.body)]
        return "\n".join([f"function ({arguments}) {{", *(INDENT + each for each in lines), "}"])

    def block(self, statements: list[ast.stmt]) -> Iterator[str]:
        for statement in statements:
            yield from self.statement(statement)

    def statement(self, node: ast.stmt) -> Iterator[str]:
        match node:
            case ast.Return(value=ast.expr() as value):
                yield f"return {self.value(value)};"
            case ast.Assign(targets=[ast.Name(id=name)], value=value):
                yield f"{name} = {self.value(value)};"
            case ast.Assign(targets=[ast.Tuple(elts=elements)], value=value):
                names = ", ".join(self.value(each) for each in elements)
                yield f"[{names}] = {self.value(value)};"
            case ast.AugAssign(target=ast.Name(id=name), op=op, value=value) if type(op) in SIGNS:
                yield f"{name} = {name} {SIGNS[type(op)]} {self.value(value)};"
            case ast.If(test=test, body=body, orelse=[]):
                yield f"if ({self.value(test)}) {{"
                yield from (INDENT + each for each in self.block(body))
                yield "}"
            case ast.For(
                target=ast.Name(id=name),
                iter=ast.Call(func=ast.Name(id="range"), args=[count]),
                body=body,
                orelse=[],
            ):
                yield f"for ({name} = 0; {name} < {self.value(count)}; {name} += 1) {{"
                yield from (INDENT + each for each in self.block(body))
                yield "}"
            case ast.Raise(
                exc=ast.Call(func=ast.Name(id="ValueError"), args=[ast.Constant(value=str() as said)])
            ):
                yield f"throw new m.NotComputable({quoted(said)});"
            case _:
                raise NotPrintable(ast.unparse(node))

    def value(self, node: ast.expr) -> str:
        match node:
            case ast.Constant(value=int() | float() as number) if not isinstance(number, bool):
                return repr(number)
            case ast.Name(id=name):
                return self.name(name)
            case ast.UnaryOp(op=ast.USub(), operand=operand):
                return f"(-{self.value(operand)})"
            case ast.UnaryOp(op=ast.Not(), operand=operand):
                return f"!({self.value(operand)})"
            case ast.BinOp(left=left, op=ast.Pow(), right=right):
                return f"m.power({self.value(left)}, {self.value(right)})"
            case ast.BinOp(left=left, op=ast.Div(), right=right):
                return f"m.divide({self.value(left)}, {self.value(right)})"
            case ast.BinOp(left=left, op=op, right=right) if type(op) in SIGNS:
                return f"({self.value(left)} {SIGNS[type(op)]} {self.value(right)})"
            case ast.BoolOp(op=op, values=values):
                sign = " && " if isinstance(op, ast.And) else " || "
                return f"({sign.join(self.value(each) for each in values)})"
            case ast.Compare(left=left, ops=ops, comparators=others):
                return self.comparison(left, ops, others)
            case ast.Call(func=ast.Name(id="sorted"), args=[ast.Tuple(elts=elements)], keywords=[]):
                return f"[{', '.join(self.value(each) for each in elements)}].sort((a, b) => a - b)"
            case ast.Call(func=ast.Name(id=name), args=arguments, keywords=[]):
                return f"{self.callee(name)}({', '.join(self.value(each) for each in arguments)})"
        raise NotPrintable(ast.unparse(node))

    def comparison(self, left: ast.expr, ops: list[ast.cmpop], others: list[ast.expr]) -> str:
        parts: list[str] = []
        for op, other in zip(ops, others, strict=True):
            if type(op) not in COMPARISONS:
                raise NotPrintable(ast.unparse(other))
            parts.append(f"{self.value(left)} {COMPARISONS[type(op)]} {self.value(other)}")
            left = other
        return f"({' && '.join(parts)})"

    def name(self, name: str) -> str:
        if name in self.names:
            return name
        constant = getattr(geometry, name, None)
        if not isinstance(constant, (int, float)):
            raise NotPrintable(f"{name} is no number of the geometry module")
        return repr(constant)

    def callee(self, name: str) -> str:
        if name in MATHS:
            return MATHS[name]
        if name in BUILT_IN:
            return BUILT_IN[name]
        self.calls[name] = None
        return f"g.{name}"


def quoted(text: str) -> str:
    """A text as a JavaScript string."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
