"""Conditions as instructors write them: what each word means on what is known, on sets, on what is unknown.

Every meaning is held twice: by the plain reading of the words as written, and by what a rule with them does.
"""

from __future__ import annotations

import pytest

from sideplate_engine import Judge, KnowledgeBase
from sideplate_engine.authored_conditions import AllOf, AnyOf, FactTest, read_conditions
from sideplate_engine.authored_reading import read_conditions_of
from sideplate_engine.open_facts import status_of
from sideplate_engine.plain_reading import Truth
from sideplate_engine.yaml_tree import read_tree
from support.small_knowledge import JudgeWith, given, rule

T, F, U = Truth.TRUE, Truth.FALSE, Truth.UNKNOWN
STATUS = {T: "fires", F: "quiet", U: "open"}


def conditions(text: str, bolts: KnowledgeBase) -> AllOf:
    tree, _ = read_tree(text, "f")
    read, findings = read_conditions(tree, bolts.facts)
    assert not findings
    return read


@pytest.mark.parametrize(
    ("condition", "by_facts"),
    [
        ("bolt.size: M6", {"bolt.size: m6": T, "bolt.size: M4": F, "": U}),
        ("bolt.greased: no", {"bolt.greased: no": T, "bolt.greased: yes": F, "": U}),
        ("bolt.length: 1 in", {"bolt.length: 25.4 mm": T, "bolt.length: 25 mm": F, "": U}),
        ("bolt.turns: 3", {"bolt.turns: 3": T, "bolt.turns: 4": F, "": U}),
        (
            "bolt.finish: {one of: [bare, plated]}",
            {"bolt.finish: plated": T, "bolt.finish: painted": F, "": U},
        ),
        (
            "bolt.finish: {none of: [bare, plated]}",
            {"bolt.finish: plated": F, "bolt.finish: painted": T, "": U},
        ),
        ("bolt.length: {above: 10 mm}", {"bolt.length: 10 mm": F, "bolt.length: 10.1 mm": T, "": U}),
        ("bolt.length: {below: 10 mm}", {"bolt.length: 10 mm": F, "bolt.length: 9.9 mm": T, "": U}),
        ("bolt.length: {at least: 10 mm}", {"bolt.length: 10 mm": T, "bolt.length: 9.9 mm": F, "": U}),
        ("bolt.length: {at most: 10 mm}", {"bolt.length: 10 mm": T, "bolt.length: 10.1 mm": F, "": U}),
        ("bolt.turns: {above: 10}", {"bolt.turns: 10": F, "bolt.turns: 11": T, "": U}),
        (
            "bolt.length: {within: [10 mm, 1 in]}",
            {"bolt.length: 10 mm": T, "bolt.length: 25.4 mm": T, "bolt.length: 9 mm": F, "": U},
        ),
        (
            "bolt.length: {outside: [10 mm, 1 in]}",
            {
                "bolt.length: 10 mm": F,
                "bolt.length: 25.4 mm": F,
                "bolt.length: 9 mm": T,
                "bolt.length: 26 mm": T,
                "": U,
            },
        ),
        (
            "bolt.length: {above: 10 mm, below: 20 mm}",
            {"bolt.length: 15 mm": T, "bolt.length: 10 mm": F, "bolt.length: 20 mm": F, "": U},
        ),
        (
            "bolt.size: {same as: nut.size}",
            {
                "bolt.size: M6, nut.size: m6": T,
                "bolt.size: M6, nut.size: M4": F,
                "bolt.size: M6": U,
                "nut.size: M6": U,
            },
        ),
        (
            "bolt.size: {differs from: nut.size}",
            {"bolt.size: M6, nut.size: m6": F, "bolt.size: M6, nut.size: M4": T, "nut.size: M6": U},
        ),
        (
            "bolt.length: {same as: bolt.grip}",
            {
                "bolt.length: 25.4 mm, bolt.grip: 1 in": T,
                "bolt.length: 25 mm, bolt.grip: 1 in": F,
                "bolt.grip: 1 in": U,
            },
        ),
        (
            "bolt.length: {above fact: bolt.grip}",
            {
                "bolt.length: 25.4 mm, bolt.grip: 1 in": F,
                "bolt.length: 25.5 mm, bolt.grip: 1 in": T,
                "bolt.grip: 1 in": U,
            },
        ),
        (
            "bolt.length: {below fact: bolt.grip}",
            {"bolt.length: 25.4 mm, bolt.grip: 1 in": F, "bolt.length: 25.3 mm, bolt.grip: 1 in": T, "": U},
        ),
        (
            "bolt.grip: {at least fact: bolt.length}",
            {"bolt.length: 25.4 mm, bolt.grip: 1 in": T, "bolt.length: 25.5 mm, bolt.grip: 1 in": F, "": U},
        ),
        (
            "bolt.turns: {at most fact: bolt.nuts}",
            {"bolt.turns: 3, bolt.nuts: 3": T, "bolt.turns: 4, bolt.nuts: 3": F, "bolt.turns: 4": U},
        ),
        ("bolt.turns: known", {"bolt.turns: 3": T, "": F}),
        ("bolt.turns: unknown", {"bolt.turns: 3": F, "": T}),
        # sets
        (
            "bolt.marks: rust",
            {"bolt.marks: [bent, rust]": T, "bolt.marks: bent": F, "bolt.marks: []": F, "": U},
        ),
        (
            "bolt.marks: {one of: [rust, stretched]}",
            {"bolt.marks: [bent, rust]": T, "bolt.marks: [bent]": F, "bolt.marks: []": F, "": U},
        ),
        (
            "bolt.marks: {none of: [rust, stretched]}",
            {"bolt.marks: [bent, rust]": F, "bolt.marks: [bent]": T, "bolt.marks: []": T, "": U},
        ),
        ("bolt.marks: known", {"bolt.marks: []": T, "": F}),
        ("bolt.marks: unknown", {"bolt.marks: []": F, "": T}),
        ("bolt.tags: a1", {"bolt.tags: [A1, B2]": T, "bolt.tags: [B2]": F, "": U}),
        # several: Kleene's strong "and" and "or"
        (
            "bolt.size: M6\nbolt.turns: 3",
            {
                "bolt.size: M6, bolt.turns: 3": T,
                "bolt.size: M6": U,
                "bolt.size: M4": F,
                "bolt.size: M4, bolt.turns: 3": F,
            },
        ),
        (
            "any: [{bolt.size: M6}, {bolt.turns: 3, bolt.nuts: 1}]",
            {
                "bolt.size: M6": T,
                "bolt.turns: 3, bolt.nuts: 1": T,
                "bolt.size: M4": U,
                "bolt.size: M4, bolt.turns: 4": F,
                "bolt.turns: 4": U,
                "bolt.size: M4, bolt.turns: 3": U,
                "": U,
            },
        ),
        (
            "bolt.greased: yes\nany: [{bolt.size: M6}, {any: [{bolt.turns: 3}, {bolt.nuts: unknown}]}]",
            {
                "bolt.greased: yes": T,
                "bolt.greased: yes, bolt.nuts: 1": U,
                "bolt.greased: yes, bolt.nuts: 1, bolt.turns: 3": T,
                "bolt.greased: no": F,
                "bolt.nuts: 1": U,
            },
        ),
    ],
)
def test_a_condition_is_true_false_or_unknown(
    bolts: KnowledgeBase, judge_of: JudgeWith, condition: str, by_facts: dict[str, Truth]
) -> None:
    read = conditions(condition, bolts)
    judge: Judge = judge_of(rule("it", when=condition))
    for text, truth in by_facts.items():
        facts = given(judge, text)
        assert read_conditions_of(read, facts, bolts.facts).truth is truth, text
        outcome = judge.outcome(facts)
        assert ("it" in outcome.fired) == (truth is T), text
        assert status_of(judge.knowledge, outcome, judge.knowledge.rules["it"]).status == STATUS[truth], text


def test_a_reading_names_the_tests_that_make_it_so(bolts: KnowledgeBase) -> None:
    read = conditions("bolt.size: M6\nany: [{bolt.turns: 3}, {bolt.nuts: 1, bolt.greased: yes}]", bolts)

    def named(tests: tuple[FactTest, ...]) -> list[str]:
        return [test.fact for test in tests]

    open_ = read_conditions_of(read, {"bolt.size": "M6", "bolt.nuts": 1}, bolts.facts)
    assert (named(open_.holding), named(open_.waiting)) == (
        ["bolt.size", "bolt.nuts"],
        ["bolt.turns", "bolt.greased"],
    )
    assert open_.missing({"bolt.size": "M6", "bolt.nuts": 1}) == ("bolt.turns", "bolt.greased")
    refuted = read_conditions_of(read, {"bolt.turns": 4, "bolt.nuts": 2}, bolts.facts)
    assert (refuted.truth, named(refuted.refuting)) == (F, ["bolt.turns", "bolt.nuts"])
    held = read_conditions_of(read, {"bolt.size": "M6", "bolt.turns": 3, "bolt.nuts": 1}, bolts.facts)
    assert (held.truth, named(held.holding)) == (T, ["bolt.size", "bolt.turns"])


def test_a_half_known_comparison_misses_only_the_other_fact(bolts: KnowledgeBase) -> None:
    read = conditions("bolt.size: {same as: nut.size}", bolts)
    reading = read_conditions_of(read, {"bolt.size": "M6"}, bolts.facts)
    assert reading.missing({"bolt.size": "M6"}) == ("nut.size",)


def test_any_lists_multiply_out(bolts: KnowledgeBase) -> None:
    read = conditions(
        "bolt.size: M6\nany: [{bolt.turns: 1}, {any: [{bolt.turns: 2}, {bolt.turns: 3}]}]", bolts
    )
    spread = [[test.values[0] for test in branch] for branch in read.spread()]
    assert spread == [["M6", 1], ["M6", 2], ["M6", 3]]
    assert read.branch_count() == 3
    assert read.facts() == ("bolt.size", "bolt.turns")
    assert isinstance(read.parts[1], AnyOf)


ANY = "any: [" + ", ".join(f"{{bolt.turns: {n}}}" for n in range(1, 9)) + "]"


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("[a]", "1:1 wrong-shape: conditions are a mapping of facts to tests"),
        ("bolt.lenght: 5 mm", "1:1 unknown-fact: no fact is called bolt.lenght; did you mean bolt.length?"),
        ("bolt.length: 5 kg", '1:14 wrong-value: bolt.length: "5 kg" is a mass; a length is wanted, such as 620 mm'),
        ("bolt.size: [M4, M6]", "1:12 wrong-shape: write {one of: [...]} to give bolt.size several values"),
        ("bolt.size: {}", "1:12 wrong-shape: no test is written for bolt.size"),
        ("bolt.length: {abov: 5 mm}", "1:15 unknown-test: no test is called `abov`; did you mean above?"),
        ("bolt.size: {above: M4}", "1:13 wrong-test: `above` needs a number, and bolt.size is a code"),
        ("bolt.length: {above: [5 mm]}", "1:22 wrong-shape: `above` takes one value"),
        ("bolt.size: {one of: M4}", "1:21 wrong-shape: `one of` takes a list of values"),
        ("bolt.size: {one of: []}", "1:21 wrong-shape: `one of` takes a list of values"),
        ("bolt.size: {one of: [M4, m4]}", "1:22 repeated-value: a value is listed twice"),
        ("bolt.length: {within: [1 mm, 2 mm, 3 mm]}", "1:23 wrong-shape: `within` takes two values, the lower first"),
        ("bolt.length: {within: [3 mm, 2 mm]}", "1:24 wrong-value: the lower value comes first"),
        ("bolt.size: {same as: [nut.size]}", "1:22 wrong-shape: `same as` takes the name of a fact"),
        ("bolt.size: {same as: nut.siz}", "1:22 unknown-fact: no fact is called nut.siz; did you mean nut.size?"),
        (
            "bolt.size: {same as: bolt.size}",
            "1:22 wrong-test: bolt.size is compared with itself",
        ),
        (
            "bolt.length: {above fact: bolt.strength}",
            "1:27 wrong-test: bolt.length and bolt.strength cannot be compared: they are not of one kind",
        ),
        ("bolt.size: {above fact: nut.size}", "1:13 wrong-test: `above fact` needs numbers, and bolt.size is a code"),
        ("any: {bolt.size: M4}", "1:1 wrong-shape: `any` takes a list of two or more mappings"),
        ("any: [{bolt.size: M4}]", "1:1 wrong-shape: `any` takes a list of two or more mappings"),
        ("any: [{bolt.size: M4}, {}]", "1:24 wrong-shape: a branch of `any` without tests always holds"),
        (
            "any: [{" + ANY + ", bolt.length: {outside: [1 mm, 2 mm]}}, {any: [{" + ANY + "}, {" + ANY + "}]}]",
            None,
        ),
        (
            f"{ANY}\nbolt.grip: {{outside: [1 in, 2 in]}}\nbolt.length: {{outside: [1 mm, 2 mm]}}\n"
            "bolt.pitch: {outside: [1 mm, 2 mm]}",
            None,
        ),
        (
            f"{ANY}\nbolt.grip: {{outside: [1 in, 2 in]}}\nbolt.length: {{outside: [1 mm, 2 mm]}}\n"
            "bolt.pitch: {outside: [1 mm, 2 mm]}\nbolt.strength: {outside: [1 kN, 2 kN]}",
            "1:1 too-many-branches: `any` and `outside` multiply out to more than 64 alternatives; split the rule",
        ),
        (
            "any: [{bolt.nuts: 1}, {" * 9 + "bolt.nuts: 2" + "}]" * 9,
            "1:185 too-deep: `any` is nested more than 8 levels deep",
        ),
    ],
)  # fmt: skip
def test_what_is_no_condition_is_told_once_where_it_stands(
    bolts: KnowledgeBase, text: str, line: str | None
) -> None:
    tree, _ = read_tree(text, "f")
    _, findings = read_conditions(tree, bolts.facts)
    told = [f"{found.at.line}:{found.at.column} {found.code}: {found.message}" for found in findings]
    assert told == ([] if line is None else [line])


def test_a_word_in_quotes_is_a_value_and_not_a_test(bolts: KnowledgeBase) -> None:
    (test,) = conditions("bolt.code: 'known'", bolts).tests()
    assert test.values == ("KNOWN",)
