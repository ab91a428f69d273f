"""What a mapping may hold: each slip told once, with the place and the name of what was meant."""

from __future__ import annotations

import pytest

from sideplate_engine.file_models import FileModel, FormulaFile, RuleFile, TopicEntry, VocabularyEntry
from sideplate_engine.shape_check import read_as
from sideplate_engine.yaml_tree import read_tree

FLAG = "kind: flag, means: m"


def told(model: type[FileModel], text: str) -> list[str]:
    tree, _ = read_tree(text, "f")
    assert tree is not None
    entry, findings = read_as(model, tree)
    assert (entry is None) == bool(findings)
    return [f"{finding.at.column} {finding.code}: {finding.message}" for finding in findings]


@pytest.mark.parametrize(
    ("model", "text", "lines"),
    [
        (TopicEntry, "{title: t, about: a}", []),
        (TopicEntry, "{title: t}", ["1 missing-key: the key `about` is missing here"]),
        (TopicEntry, "{}", ["1 missing-key: the keys `title` and `about` are missing here"]),
        (TopicEntry, "{titel: t, about: a}", ["2 unknown-key: no key is called `titel` here; did you mean title?"]),
        (
            TopicEntry,
            "{title: t, about: a, x: b}",
            ["22 unknown-key: no key is called `x` here; the keys are title, about and after"],
        ),
        (TopicEntry, "{title: , about: [a]}", [
            "2 empty: `title` is empty",
            "11 wrong-shape: `about` must be text, not a list",
        ]),
        (TopicEntry, "{title: t, about: a, after: b}", ["22 wrong-shape: `after` must be a list, not text"]),
        (TopicEntry, "{title: t, about: a, after: [b, {c: d}]}", [
            "33 wrong-shape: an item of `after` must be text, not a mapping"
        ]),
        (TopicEntry, "[a]", ["1 wrong-shape: the file must be a mapping, not a list"]),
        (VocabularyEntry, f"{{{FLAG}, says: {{yes: a, no: b}}}}", []),
        (VocabularyEntry, f"{{{FLAG}, says: {{yes: a, on: b}}}}", [
            "39 unknown-key: no key is called `on` here; did you mean no?"
        ]),
        (VocabularyEntry, f"{{{FLAG}, says: [a]}}", ["24 wrong-shape: `says` must be text, not a list"]),
        (VocabularyEntry, "{kind: flagg, means: m}", [
            "2 unknown-word: `kind` is quantity, count, choice, flag or code, not 'flagg'; did you mean flag?"
        ]),
        (VocabularyEntry, "{kind: {a: b}, means: m}", ["2 wrong-shape: `kind` must be text, not a mapping"]),
        (VocabularyEntry, f"{{{FLAG}, decimals: 9}}", [
            "24 wrong-shape: `decimals` is a whole number from 0 to 6, not '9'"
        ]),
        (VocabularyEntry, f"{{{FLAG}, possible: [1], usual: [1, 2, 3]}}", [
            "24 empty: `possible` holds too little: 2 at least",
            "39 wrong-shape: `usual` holds too much: 2 at most",
        ]),
        (VocabularyEntry, f"{{{FLAG}, choices: {{a: b, '': c}}}}", ["40 unknown-key: no key is called `` here"]),
        (
            FormulaFile,
            "{id: A, title: t, symbols: {C: {fct: f, means: m}}, gives: , basis: paper, sources: [{work: w}]}",
            [
                "2 wrong-shape: `id` is lower-case words and figures joined by hyphens, not 'A'",
                "33 unknown-key: no key is called `fct` here; did you mean fact?",
                "53 wrong-shape: `gives` must be a mapping, not empty",
            ],
        ),
        (
            FormulaFile,
            "{id: a, title: t, symbols: {C: {means: m}}, gives: {}, basis: paper, sources: [{work: w}],"
            " worked: [{name: n, wiht: {C: 1}, gives: 1, within: 1, sources: [{work: w}]}]}",
            ["111 unknown-key: no key is called `wiht` here; did you mean with?"],
        ),
        (
            RuleFile,
            "{id: a, title: t, status: draft, says: s, because: {kind: why, text: t}, sources: [{wrk: w}],"
            " examples: [{name: n, given: {}, expect: open}, x]}",
            [
                "53 unknown-word: `kind` is definition, cause, measurement, standard, practice or safety, not 'why'",
                "85 unknown-key: no key is called `wrk` here; did you mean work?",
                "142 wrong-shape: an item of `examples` must be a mapping, not text",
            ],
        ),
    ],
)  # fmt: skip
def test_each_slip_is_told_once_where_it_stands(model: type[FileModel], text: str, lines: list[str]) -> None:
    assert told(model, text) == lines


def test_of_very_many_slips_a_hundred_are_told() -> None:
    lines = told(TopicEntry, "{title: t, about: a, " + ", ".join(f"k{n}: x" for n in range(150)) + "}")
    assert len(lines) == 101
    assert lines[-1] == "1 too-many-findings: more than 100 things are wrong here; the rest is not told"


def test_a_very_long_word_only_begins_in_the_message() -> None:
    (line,) = told(TopicEntry, f"{{title: t, about: a, {'k' * 1000}: x}}")
    assert len(line) < 150


def test_a_part_of_a_tree_is_read_with_its_places_in_the_whole() -> None:
    tree, _ = read_tree("a:\n  title: t\nb:\n  about: x\n", "f")
    assert tree is not None
    _, (finding,) = read_as(TopicEntry, tree, ("b",))
    assert (finding.at.line, finding.message) == (3, "the key `title` is missing here")
