"""Typeset formulas: brackets where the meaning needs them and only there, checked by reading the MathML back."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideplate_engine import KnowledgeBase
from sideplate_engine.expressions import NotComputable, evaluate, parse
from sideplate_site import mathml

VALUES = {"a": 2.5, "b": 0.75, "N1": 17.0}


def value_of(element: ET.Element) -> float:
    """What a reader who knows mathematics makes of typeset arithmetic: products before sums, from the left."""
    return summed(list(element))


def summed(parts: list[ET.Element]) -> float:
    total, sign, factors = 0.0, 1.0, list[ET.Element]()
    for part in parts:
        if part.tag == "mo" and part.text in ("+", "−") and factors:
            total += sign * multiplied(factors)
            sign, factors = (1.0 if part.text == "+" else -1.0), []
        elif part.tag == "mo" and part.text == "−":
            sign = -sign
        else:
            factors.append(part)
    return total + sign * multiplied(factors)


def multiplied(parts: list[ET.Element]) -> float:
    return math.prod(atom(part) for part in parts if part.tag != "mo")


def atom(element: ET.Element) -> float:
    children = list(element)
    match element.tag:
        case "mn":
            return float(str(element.text))
        case "mi":
            return math.pi if element.text == "π" else VALUES[str(element.text)]
        case "msub":
            return VALUES["".join(str(child.text) for child in children)]
        case "mfrac":
            return value_of(children[0]) / value_of(children[1])
        case "msup":
            return float(value_of(children[0]) ** value_of(children[1]))
        case "msqrt":
            return math.sqrt(value_of(element))
        case "mrow":
            bracketed = children and children[0].text == "("
            return summed(children[1:-1] if bracketed else children)
    raise AssertionError(element.tag)


def read_back(text: str) -> float:
    root = ET.fromstring(mathml.formula("y", text))
    parts = list(root)
    at = next(number for number, part in enumerate(parts) if part.text == "=")
    return summed(parts[at + 1 :])


@pytest.mark.parametrize(
    "text",
    ["a - (b - N1)", "(a - b) - N1", "a*(b + N1)", "(a + b)**2", "(a/b)**2", "a/(b*N1)", "-(a + b)", "a - -b", "2*pi*a",
     "sqrt(a + b)/N1", "a*b**2", "(a*b)**2", "a - b*N1", "a/b/N1", "a/(b/N1)", "(-a)**2"],
)  # fmt: skip
def test_what_is_typeset_means_what_was_written(text: str) -> None:
    assert read_back(text) == pytest.approx(evaluate(parse(text), VALUES))


def expressions() -> st.SearchStrategy[str]:
    leaves = st.sampled_from(["a", "b", "N1", "pi", "2", "0.5"])
    return st.recursive(
        leaves,
        lambda inner: (
            st.builds("({} {} {})".format, inner, st.sampled_from("+-*/"), inner)
            | st.builds("({})**2".format, inner)
            | st.builds("sqrt(abs({})**2)".format, leaves)
        ),
        max_leaves=8,
    )


@given(expressions().filter(lambda text: "abs" not in text))
def test_any_arithmetic_typeset_and_read_back_is_the_same(text: str) -> None:
    try:
        expected = evaluate(parse(text), VALUES)
    except (NotComputable, ValueError):
        return
    assert read_back(text) == pytest.approx(expected, rel=1e-9, abs=1e-9)


def test_numbers_stand_in_place_of_symbols_with_their_units() -> None:
    drawn = mathml.formula("L", "2*C/p", {"C": "620 mm", "p": "15.875 mm"}, "78.1")
    words = "".join(ET.fromstring(drawn).itertext())
    assert words == "L=2⋅(620mm)15.875mm=78.1"


def test_every_formula_of_the_knowledge_can_be_typeset(knowledge: KnowledgeBase) -> None:
    for formula in knowledge.formulas.values():
        if formula.expression is not None:
            root = ET.fromstring(mathml.formula("y", formula.expression.text))
            assert root.get("alttext") == f"y = {formula.expression.text}"
