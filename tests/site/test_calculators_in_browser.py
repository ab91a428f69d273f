"""Calculators in a real browser: the script printed from the formulas against the engine that runs them."""

from __future__ import annotations

import math
import random
from collections.abc import Mapping

import pytest
from playwright.sync_api import Page

from sideplate_engine import KnowledgeBase
from sideplate_engine.formulas import Formula, NotComputable
from support.site_pages import keep

pytestmark = pytest.mark.slow

INPUTS = 1000
SEED = 20261125
LENGTH = "formulas/chain-length-in-pitches.html"
COMPUTE = """cases => cases.map(([id, values]) => {
  try { return window.sideplate.compute(id, values); }
  catch (problem) {
    if (problem instanceof window.sideplate.maths.NotComputable) return null;
    throw problem;
  }
})"""


def random_values(formula: Formula, knowledge: KnowledgeBase, chance: random.Random) -> dict[str, float]:
    """Values for every symbol: usual ones, possible ones, and now and then one that makes no sense."""
    return {name: _value(symbol.fact, knowledge, chance) for name, symbol in formula.symbols.items()}


def _value(fact_name: str | None, knowledge: KnowledgeBase, chance: random.Random) -> float:
    fact = None if fact_name is None else knowledge.facts[fact_name]
    ends = None if fact is None else chance.choice((fact.usual or fact.possible, fact.possible))
    low, high = ends if ends is not None else (0.0, 1000.0)
    if chance.random() < 0.03:
        low, high = -high - 1, 0.0
    value = chance.uniform(low, high)
    if fact is not None and fact.kind == "count":
        return float(round(value))
    return round(value, chance.choice((0, 1, 3, 9)))


def by_the_engine(formula: Formula, values: Mapping[str, float]) -> float | None:
    try:
        result = formula.run(values)
    except NotComputable:
        return None
    return result if math.isfinite(result) else None


def test_a_thousand_random_inputs_give_what_the_engine_gives(
    page: Page, site_address: str, knowledge: KnowledgeBase
) -> None:
    chance = random.Random(SEED)
    formulas = list(knowledge.formulas.values())
    cases = []
    for number in range(INPUTS):
        formula = formulas[number % len(formulas)]
        cases.append((formula, random_values(formula, knowledge, chance)))
    page.goto(site_address + LENGTH)
    found = page.evaluate(COMPUTE, [[formula.id, values] for formula, values in cases])
    expected = [by_the_engine(formula, values) for formula, values in cases]
    wrong = [
        (formula.id, values, one, other)
        for (formula, values), one, other in zip(cases, expected, found, strict=True)
        if not _same(one, other)
    ]
    assert wrong == []
    # Both kinds of outcome came up, and every formula gave a result.
    assert None in expected
    computed = {
        formula.id for (formula, _), result in zip(cases, expected, strict=True) if result is not None
    }
    assert computed == set(knowledge.formulas)


def _same(one: float | None, other: float | None) -> bool:
    if one is None or other is None:
        return one is other
    return math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-9)


def test_every_published_worked_case_comes_out_in_the_browser(
    page: Page, site_address: str, knowledge: KnowledgeBase
) -> None:
    cases = [(formula, case) for formula in knowledge.formulas.values() for case in formula.worked]
    page.goto(site_address + LENGTH)
    found = page.evaluate(COMPUTE, [[formula.id, dict(case.values)] for formula, case in cases])
    wrong = [
        (formula.id, case.name, result)
        for (formula, case), result in zip(cases, found, strict=True)
        if result is None or abs(result - case.gives) > case.within
    ]
    assert wrong == []


@pytest.mark.parametrize(
    ("written", "value"),
    [("620", 620), ("24.375", 24.375), ("24,375", 24.375), ("24 3/8", 24.375), ("24-3/8", 24.375), ("3/8", 0.375),
     ("-3/8", -0.375), ("−2", -2), (".5", 0.5), ("5.", 5)],
)  # fmt: skip
def test_numbers_are_read_as_a_hand_writes_them(
    page: Page, site_address: str, written: str, value: float
) -> None:
    page.goto(site_address + LENGTH)
    assert page.evaluate("text => window.sideplate.readNumber(text)", written) == value


@pytest.mark.parametrize("written", ["", "abc", "1/0", "2 mm", "1e5", "--2", "1 2", "Infinity"])
def test_what_is_no_number_is_not_read_as_one(page: Page, site_address: str, written: str) -> None:
    page.goto(site_address + LENGTH)
    assert page.evaluate("text => Number.isNaN(window.sideplate.readNumber(text))", written) is True


def test_a_mechanic_fills_in_a_calculator_in_inches(page: Page, site_address: str) -> None:
    page.goto(site_address + LENGTH)
    form = page.locator("form[data-formula=chain-length-in-pitches]")
    form.get_by_label("US", exact=True).check()
    form.get_by_label("Centre distance").fill("24 3/8")
    form.locator("input[data-symbol=p]").fill("5/8")
    form.get_by_label("Teeth on the front sprocket").fill("15")
    form.get_by_label("Teeth on the rear sprocket").fill("45")
    # 2 × 24.375/0.625 + (15 + 45)/2 + ((45 - 15)/2π)² × 0.625/24.375 = 78 + 30 + 0.5846, worked by hand
    answers = form.locator("output").all_inner_texts()
    assert answers[0].endswith(": 108.58")
    assert answers[1].endswith(": 110")
    form.get_by_label("metric", exact=True).check()
    assert form.get_by_label("Centre distance").input_value() == "619.125"
    assert form.locator("output").first.inner_text().endswith(": 108.58")
    keep(page, "formula")


def test_a_size_fills_in_its_pitch(page: Page, site_address: str) -> None:
    page.goto(site_address + "tables/sizes.html")
    form = page.locator("form[data-formula=chain-length-in-pitches]")
    form.get_by_label("Take figures from the table: Chain sizes").select_option("428")
    assert form.locator("input[data-symbol=p]").input_value() == "12.7"


def test_a_calculator_says_what_it_lacks_and_what_cannot_be(page: Page, site_address: str) -> None:
    page.goto(site_address + LENGTH)
    form = page.locator("form[data-formula=chain-length-in-pitches]")
    form.get_by_label("Teeth on the front sprocket").fill("fifteen")
    assert form.locator("output").first.inner_text() == "Enter a whole number: teeth on the front sprocket."
    assert form.get_by_label("Teeth on the front sprocket").get_attribute("aria-invalid") == "true"
    form.get_by_label("Teeth on the front sprocket").fill("15")
    form.get_by_label("Centre distance").fill("0")
    assert form.locator("output").first.inner_text() == "It divides by zero."
