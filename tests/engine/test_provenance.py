"""The account of where knowledge comes from: what counts as a figure, and under which kind of work it counts."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import pytest

from sideplate_engine import Loaded
from sideplate_engine.provenance import GROUNDS, Account, account_as_data, account_of
from support.small_knowledge import rule

LoadWith = Callable[..., Loaded]

SOURCES = {
    "sources.yaml": """\
thread-book: {title: The book of threads, kind: handbook, verified: all of it}
thread-norm: {title: The norm of threads, kind: standard, verified: title only}
maker-page: {title: A maker's page, kind: catalogue, verified: the page}
custom: {title: What everybody does, kind: practice, verified: seen often}
own-sum: {title: Worked out here, kind: own, verified: by the authors}
recalled: {title: Recalled, kind: memory, verified: not verified}
"""
}


def account(loaded_of: LoadWith, *files: Mapping[str, str]) -> Account:
    return account_of(loaded_of(SOURCES, *files).sound())


def one_rule(**keys: str) -> dict[str, str]:
    return rule("the-rule", **{"when": "{bolt.size: M4}", **keys})


def table(row: str) -> dict[str, str]:
    text = (
        "id: threads\ntitle: Threads\nkey: size\ncolumns:\n"
        "  size: {kind: code, means: Size.}\n"
        "  pitch: {kind: quantity, unit: mm, means: Pitch.}\n"
        "  turns: {kind: count, means: Turns.}\n"
        "  finish: {kind: choice, choices: {bare: No coat., plated: A coat.}, means: Coat.}\n"
        "  note: {kind: text, means: A note.}\n"
        f"rows:\n  - {row}\n"
    )
    return {"tables/threads.yaml": text}


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        ("{size: M4, pitch: 0.7, turns: 3, finish: bare, note: n, sources: [{work: thread-norm}], basis: standard}",
         {"standard": 3}),
        ("{size: M4, pitch: 0.7, turns: 3, from_memory: [turns], sources: [{work: thread-book}], basis: handbook}",
         {"handbook": 1, "memory": 1}),
        ("{size: M4, pitch: 0.7, sources: [{work: thread-norm}, {work: recalled}], basis: memory}", {"memory": 1}),
        ("{size: M4, pitch: 0.7, sources: [{work: thread-book}, {work: custom}], basis: handbook}",
         {"handbook": 1}),
        ("{size: M4, pitch: 0.7, sources: [{work: maker-page}, {work: custom}], basis: practice}",
         {"practice": 1}),
        ("{size: M4, pitch: 0.7, sources: [{work: maker-page}, {work: thread-book}], basis: practice}",
         {"catalogue": 1}),
        ("{size: M4, pitch: 0.7, sources: [{work: custom}], basis: standard}", {"practice": 1}),
    ],
    ids=["key and text are no figures", "a recalled cell", "a recalled row", "the basis decides", "the weakest of it",
         "only works of the basis", "a basis that no source bears out"],
)  # fmt: skip
def test_a_cell_counts_under_its_rows_basis_as_its_sources_bear_it_out(
    loaded_of: LoadWith, row: str, expected: Mapping[str, int]
) -> None:
    assert account(loaded_of, table(row)).figures["table cells"] == expected


@pytest.mark.parametrize(
    ("cited", "ground"),
    [
        ("[{work: thread-norm}]", "standard"),
        ("[{work: thread-norm}, {work: thread-book}]", "handbook"),
        ("[{work: thread-norm}, {work: custom}]", "practice"),
        ("[{work: custom}, {work: recalled}]", "memory"),
        ("[{work: own-sum}, {work: custom}]", "practice"),
        ("[{work: own-sum}]", "own"),
    ],
)
def test_a_rule_rests_on_the_weakest_work_it_cites(loaded_of: LoadWith, cited: str, ground: str) -> None:
    assert account(loaded_of, one_rule(sources=cited)).rules == {ground: 1}


@pytest.mark.parametrize(
    ("cited", "published"),
    [("[{work: maker-page}, {work: custom}]", 1), ("[{work: own-sum}, {work: custom}, {work: recalled}]", 0)],
    ids=["a maker's page is published", "own work, custom and memory are not"],
)
def test_a_rule_that_cites_any_published_work_is_counted(
    loaded_of: LoadWith, cited: str, published: int
) -> None:
    assert account(loaded_of, one_rule(sources=cited)).rules_on_published_work == published


@pytest.mark.parametrize(
    ("when", "limits"),
    [
        ("bolt.length: {above: 5 mm, at most: 9 mm}", 2),
        ("bolt.length: {within: [5 mm, 9 mm]}", 2),
        ("bolt.turns: {at least: 3}", 1),
        ("bolt.nuts: {above: 0}", 0),
        ("bolt.size: M4", 0),
        ("bolt.size: {differs from: nut.size}", 0),
        ("any: [{bolt.length: {above: 5 mm}}, {bolt.size: M4, bolt.length: {above: 5 mm}}]", 1),
    ],
    ids=["two limits", "a range", "a count", "nought asks for a sign", "a code", "two facts", "told twice"],
)
def test_a_limit_is_a_number_that_a_condition_compares_with(
    loaded_of: LoadWith, when: str, limits: int
) -> None:
    counted = account(loaded_of, one_rule(when=f"{{{when}}}")).figures["limits in rules"]
    assert sum(counted.values()) == limits


def test_a_limit_of_an_exception_counts_too(loaded_of: LoadWith) -> None:
    found = account(loaded_of, one_rule(unless="{bolt.length: {below: 12 mm}}"))
    assert found.figures["limits in rules"] == {"handbook": 1}


@pytest.mark.parametrize(
    ("derive", "values"),
    [
        ("{bolt.travel: 7 mm}", 1),
        ("{bolt.travel: 0 mm}", 0),
        ("{bolt.verdict: good}", 0),
        ("{bolt.travel: {formula: travel}}", 0),
    ],
    ids=["a number", "nought", "a word", "a formula counts as a formula"],
)
def test_a_number_that_a_rule_sets_is_a_figure(loaded_of: LoadWith, derive: str, values: int) -> None:
    counted = account(loaded_of, one_rule(derive=derive)).figures["values set by rules"]
    assert sum(counted.values()) == values


def test_quantities_told_in_a_rules_texts_are_figures(loaded_of: LoadWith) -> None:
    told = one_rule(
        ruling="should not",
        says="Do not go past {12 mm}.",
        instead="Stop at {12 mm}.",
        because="{kind: measurement, text: 'Above {30 kN} and {2 %} it gives.'}",
    )
    assert account(loaded_of, told).figures["figures told in rules"] == {"handbook": 3}


def test_formulas_and_worked_cases_are_figures(loaded_of: LoadWith) -> None:
    found = account(loaded_of)
    assert found.figures["formulas"] == {"handbook": 2}
    assert found.figures["worked cases"] == {"handbook": 1}


def test_a_work_that_is_not_among_the_sources_is_as_good_as_recalled(loaded_of: LoadWith) -> None:
    loaded = loaded_of(SOURCES, one_rule(sources="[{work: no-such-book}]"))
    assert account_of(loaded.knowledge).rules == {"memory": 1}


def test_the_plain_data_name_every_kind_of_work_and_add_up(loaded_of: LoadWith) -> None:
    found = account(loaded_of, one_rule(when="{bolt.length: {above: 5 mm}}"))
    data = account_as_data(found)
    assert list(data["figures"]) == list(GROUNDS) == list(data["rules"])
    assert sum(data["figures"].values()) == found.figure_count
    assert sum(sum(sort.values()) for sort in data["figures by sort"].values()) == found.figure_count
    assert sum(data["rules"].values()) == found.rule_count == 1
