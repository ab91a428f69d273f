"""The printers refuse what has no counterpart, so that nothing is ever printed that means something else."""

from __future__ import annotations

import ast

import pytest

from sideplate_engine import geometry
from sideplate_engine.expressions import parse
from sideplate_site.geometry_in_javascript import _Printer, geometry_in_javascript, quoted
from sideplate_site.javascript_printer import NotPrintable, expression_in_javascript


def test_an_expression_becomes_a_function_over_the_library() -> None:
    printed = expression_in_javascript(parse("2*C/p + ceil(-N1)**2"))
    assert printed == "function (v) { return (m.divide((2.0 * v.C), v.p) + m.power(m.ceil((-v.N1)), 2.0)); }"


def test_every_function_that_formulas_can_name_is_printed() -> None:
    printed = geometry_in_javascript()
    for function in geometry.FUNCTIONS.values():
        assert f"g.{function.__name__} = function (" in printed


@pytest.mark.parametrize(
    "source",
    [
        "def f(x):\n    while x: x = x - 1",
        "def f(x):\n    return [x]",
        "def f(x):\n    return x % 2",
        "def f(x):\n    return x.y",
        "def f(x):\n    return unknown_name",
        "def f(x):\n    return x is 1",
        "def f(x):\n    raise KeyError('x')",
    ],
)
def test_python_without_a_counterpart_is_refused(source: str) -> None:
    (tree,) = ast.parse(source).body
    assert isinstance(tree, ast.FunctionDef)
    with pytest.raises(NotPrintable):
        _Printer().function(tree)


def test_texts_are_quoted_for_javascript() -> None:
    assert quoted('a "b" \\ c') == '"a \\"b\\" \\\\ c"'
