"""What stands on the pages, kind by kind, in the order in which a mechanic wants it."""

from __future__ import annotations

import re
from pathlib import Path
from types import ModuleType

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_site import pictures
from sideplate_site.book import Book
from sideplate_site.calculators import calculator, fillings, formulas_script, reader_unit
from sideplate_site.page import Page
from sideplate_site.pages.example_pairs import changed, nearest
from sideplate_site.pages.fact_page import fact_page
from sideplate_site.pages.formula_page import formula_page
from sideplate_site.pages.home_page import QUESTIONS, SYMPTOMS, home_page
from sideplate_site.pages.lists import glossary_page
from sideplate_site.pages.procedure_page import procedure_page
from sideplate_site.pages.rule_page import rule_page
from sideplate_site.pages.sources_page import sources_page
from sideplate_site.pages.table_page import CALCULATORS, table_page
from sideplate_site.picture_places import ON_FACTS, ON_FORMULAS, ON_PROCEDURES, ON_TABLES, ON_TOPICS
from sideplate_site.relations import relations_of


def plain(text: str) -> str:
    """The words of a page without its tags, single-spaced."""
    return " ".join(re.sub(r"<[^>]+>", " ", text.replace("<wbr>", "")).split())


def headings(page: Page) -> list[str]:
    return [section.heading for section in page.sections if section.body]


def test_a_rule_page_gives_the_ruling_then_when_why_caution_source_examples_and_neighbours(
    book: Book,
) -> None:
    page = rule_page(book, book.knowledge.rules["connector-code-differs"])
    assert plain(page.lead).startswith(
        "must not Do not fit connecting link connector.code to chain chain.code . Instead:"
    )
    assert headings(page) == [
        "When it applies",
        "Why",
        "Caution",
        "Where it comes from",
        "Examples",
        "Its place among the rules",
        "This rule",
    ]


def test_an_example_that_keeps_quiet_stands_beside_the_one_that_fires_with_the_change_marked(
    book: Book,
) -> None:
    rule = book.knowledge.rules["connector-code-differs"]
    examples = next(
        section.body for section in rule_page(book, rule).sections if section.anchor == "examples"
    )
    assert examples.count("sp-example sp-fires") == 1
    assert "Do not fit connecting link VX2 to chain VX3." in plain(examples)
    assert "<mark>VX2</mark>" in examples
    assert "<mark>VX3</mark>" in examples
    assert "<mark>not stated</mark>" in examples


def test_the_nearest_example_is_the_one_with_fewest_facts_changed(book: Book) -> None:
    for rule in book.knowledge.rules.values():
        firing = [example for example in rule.examples if example.expect == "fires"]
        for example in rule.examples:
            found = nearest(example, firing)
            if found is not None:
                assert all(len(changed(example, found)) <= len(changed(example, other)) for other in firing)


def test_what_a_rule_reads_feeds_and_is_set_aside_by_is_what_the_rules_say(knowledge: KnowledgeBase) -> None:
    relations = relations_of(knowledge)
    for rule in knowledge.rules.values():
        for fact in rule.reads():
            assert rule.id in relations.read_by[fact]
        for other in rule.overrides:
            assert rule.id in relations.set_aside_by[other]
        for fed in relations.feeds(rule):
            assert set(knowledge.rules[fed].reads()) & set(rule.derives())


def test_a_fact_page_tells_how_to_observe_it_and_which_rules_speak_of_each_choice(book: Book) -> None:
    page = fact_page(book, book.knowledge.facts["chain.measured_length"])
    assert "How to observe it" in headings(page)
    choices = next(
        section.body
        for section in fact_page(book, book.knowledge.facts["chain.condition"]).sections
        if section.anchor == "choices"
    )
    assert 'id="is-kinked-links"' in choices
    assert "../rules/" in choices


def test_a_fact_page_shows_both_systems_of_units(book: Book) -> None:
    values = next(
        section.body
        for section in fact_page(book, book.knowledge.facts["chain.measured_length"]).sections
        if section.anchor == "values"
    )
    assert re.search(r"Possible [\d.]+ mm \([\d.]+ in\) to", plain(values))


def test_a_formula_page_has_its_symbols_calculator_and_worked_cases_with_the_numbers_put_in(
    book: Book,
) -> None:
    page = formula_page(book, book.knowledge.formulas["chain-length-in-pitches"])
    assert headings(page)[:3] == ["Symbols", "Calculator", "Worked cases"]
    worked = next(section.body for section in page.sections if section.anchor == "worked")
    assert worked.count("<math") == len(book.knowledge.formulas["chain-length-in-pitches"].worked)
    assert "1111.25" in worked


def test_a_formula_of_the_geometry_is_derived_on_its_page(book: Book) -> None:
    page = formula_page(book, book.knowledge.formulas["slack-in-line"])
    derivation = next(section.body for section in page.sections if section.anchor == "derivation")
    assert "<math" in derivation
    assert "../explanation/slack-geometry.html" in derivation


def test_a_procedure_page_numbers_its_steps_and_gives_each_its_own_caution(book: Book) -> None:
    procedure = book.knowledge.procedures["cut-a-chain"]
    steps = procedure_page(book, procedure).sections[0].body
    assert steps.count("<li id=") == len(procedure.steps)
    assert steps.count("sp-caution") == sum(step.caution is not None for step in procedure.steps)


def test_a_table_page_marks_recalled_figures(book: Book) -> None:
    table = book.knowledge.tables["sizes"]
    rows = next(section.body for section in table_page(book, table).sections if section.anchor == "rows")
    recalled = sum(
        name in row.from_memory
        or (row.basis == "memory" and column.reads is not None and column.reads.is_number)
        for row in table.rows.values()
        for name, column in table.columns.items()
        if name in row.cells and name != table.key
    )
    assert rows.count("<sup>†</sup>") == recalled
    assert "recalled, not verified" in rows


def test_the_glossary_holds_every_fact(book: Book) -> None:
    lead = glossary_page(book).lead
    assert [name for name in book.knowledge.facts if f'id="{name}"' not in lead] == []


def test_every_source_says_how_far_it_was_read_and_what_cites_it(book: Book) -> None:
    page = sources_page(book)
    text = plain(" ".join(section.body for section in page.sections))
    for source in book.knowledge.sources.values():
        assert plain(source.title) in text.replace("&amp;", "&")
    assert text.count("How far it was read") == len(book.knowledge.sources)


def test_the_home_page_names_only_what_there_is(book: Book) -> None:
    knowledge = book.knowledge
    assert [name for name in SYMPTOMS if name not in knowledge.facts] == []
    holders = {"tables": knowledge.tables, "formulas": knowledge.formulas, "topics": knowledge.topics}
    assert [name for _, kind, name in QUESTIONS if name not in holders[kind]] == []
    assert headings(home_page(book))[:3] == ["By what you see", "By task", "By part"]


def test_pictures_are_placed_only_where_there_is_something(knowledge: KnowledgeBase) -> None:
    for places, things in (
        (ON_TOPICS, knowledge.topics),
        (ON_TABLES, knowledge.tables),
        (ON_FACTS, knowledge.facts),
        (ON_PROCEDURES, knowledge.procedures),
        (ON_FORMULAS, knowledge.formulas),
    ):
        assert [name for name in places if name not in things] == []


@pytest.mark.parametrize("name", pictures.names())
def test_a_picture_is_drawn_with_a_caption_and_words_for_who_cannot_see_it(
    name: str, knowledge: KnowledgeBase
) -> None:
    picture = pictures.draw(name, knowledge)
    assert picture.svg
    assert f'role="img" aria-label="{picture.alt}"' in picture.figure()
    assert picture.title in picture.figure()


def test_a_module_that_draws_nothing_is_refused(
    monkeypatch: pytest.MonkeyPatch, knowledge: KnowledgeBase
) -> None:
    monkeypatch.setattr(pictures, "import_module", lambda name: ModuleType(name))
    with pytest.raises(pictures.NoPicture, match="no TITLE and no ALT and no draw"):
        pictures.draw("nothing", knowledge)


def test_a_picture_of_sizes_is_to_scale(knowledge: KnowledgeBase) -> None:
    svg = pictures.draw("chain-sizes", knowledge).svg
    widths = [float(width) for width in re.findall(r'<circle [^>]*r="([\d.]+)" fill', svg)]
    sizes = [
        float(row.cells["roller_diameter"])
        for row in knowledge.tables["sizes"].rows.values()
        if "roller_diameter" in row.cells
    ]
    scale = widths[0] / 7.77  # the 420's roller, table sizes
    assert all(any(abs(width / scale - size) < 0.01 for size in sizes) for width in widths)


@pytest.mark.parametrize(
    ("stored", "us"),
    [("mm", "in"), ("kN", "lbf"), ("km", "mi"), ("1", "1"), ("%", "%"), ("rpm", "rpm"), ("m/s", "ft/min")],
)
def test_a_calculator_shows_the_units_the_reader_knows(stored: str, us: str) -> None:
    assert reader_unit(stored, "metric") == stored
    assert reader_unit(stored, "us") == us


def test_a_calculator_offers_the_rows_that_rules_take_its_figures_from(book: Book) -> None:
    formula = book.knowledge.formulas["chain-length-in-pitches"]
    found = {filling.table: filling.columns for filling in fillings(book, formula)}
    assert found["sizes"] == (("p", "pitch"),)
    form = calculator(book, formula)
    assert "&quot;p&quot;: 15.875" in form
    assert 'data-formula="links-needed"' in form


def test_every_formula_has_its_calculator_script(knowledge: KnowledgeBase) -> None:
    script = formulas_script(knowledge)
    assert [id_ for id_ in knowledge.formulas if f'"{id_}": {{symbols:' not in script] == []
    assert [id_ for ids in CALCULATORS.values() for id_ in ids if id_ not in knowledge.formulas] == []


def test_the_printed_pages_name_no_folder_of_this_machine(book: Book) -> None:
    here = str(Path(__file__).resolve().parents[2])
    for rule in list(book.knowledge.rules.values())[:20]:
        assert here not in rule_page(book, rule).text()
