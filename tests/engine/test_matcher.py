"""What the matcher finds, past every limit of the engine under it, and how it gets over an accident.

Where no other expectation is written out, the plain reading is the yardstick.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from itertools import combinations
from pathlib import Path
from random import Random

import pytest

from sideplate_engine import wide_rules
from sideplate_engine.conditions import Condition, Conjunction, Relation, Scalar
from sideplate_engine.durable_rules_loading import durable_rules_engine as engine
from sideplate_engine.matcher import Matcher, MatcherError
from sideplate_engine.plain_reading import compile_conjunctions
from sideplate_engine.wide_rules import lay_out
from support import condition_cases


def one(*conditions: Condition) -> Matcher:
    return Matcher([Conjunction("it", 0, conditions)])


def holds(matcher: Matcher, **properties: Scalar) -> bool:
    return matcher.matches(0, properties) == {"it"}


# Conditions


def test_a_conjunction_without_conditions_always_holds() -> None:
    matcher = one()
    assert holds(matcher)
    assert holds(matcher, anything="x")


def test_a_conjunction_that_asks_only_what_is_unknown_holds_of_an_empty_sheet() -> None:
    matcher = one(Condition("a", Relation.UNKNOWN), Condition("b", Relation.UNKNOWN))
    assert holds(matcher)
    assert holds(matcher, c="x")
    assert not holds(matcher, b="x")


def test_known_holds_whatever_the_value() -> None:
    matcher = one(Condition("a", Relation.KNOWN))
    assert all(holds(matcher, a=value) for value in ("", "x", 0.0, 5, False, "x" * 70_000, math.inf))
    assert not holds(matcher)


def test_none_of_holds_only_of_a_property_that_is_present() -> None:
    matcher = one(Condition("a", Relation.NONE_OF, ("x", "y")))
    assert holds(matcher, a="z")
    assert not holds(matcher, a="y")
    assert not holds(matcher)


def test_one_of_nothing_never_holds_and_none_of_nothing_asks_for_presence() -> None:
    assert not holds(one(Condition("a", Relation.ONE_OF, ())), a="x")
    assert holds(one(Condition("a", Relation.NONE_OF, ())), a="x")
    assert not holds(one(Condition("a", Relation.NONE_OF, ())))


@pytest.mark.parametrize(
    ("relation", "below", "at", "above"),
    [
        (Relation.ABOVE, False, False, True),
        (Relation.AT_LEAST, False, True, True),
        (Relation.BELOW, True, False, False),
        (Relation.AT_MOST, True, True, False),
        (Relation.EQUALS, False, True, False),
    ],
)
@pytest.mark.parametrize("bound", [15.875, 0.0, -3.5, 1e-05, 1e16, 1e22, 5e-324, -1e-300, 12])
def test_numbers_are_compared_to_the_last_bit(
    relation: Relation, below: bool, at: bool, above: bool, bound: float
) -> None:
    matcher = one(Condition("a", relation, bound))
    assert holds(matcher, a=math.nextafter(bound, -math.inf)) is below
    assert holds(matcher, a=bound) is at
    assert holds(matcher, a=math.nextafter(bound, math.inf)) is above


def test_a_whole_number_counts_as_the_same_float() -> None:
    assert holds(one(Condition("a", Relation.EQUALS, 16)), a=16.0)
    assert holds(one(Condition("a", Relation.EQUALS, 16.0)), a=16)
    assert holds(one(Condition("a", Relation.AT_LEAST, 2**70)), a=float(2**70))


@pytest.mark.parametrize("word", [word for word in condition_cases.WORDS if word])
def test_a_word_equals_itself_and_none_of_its_neighbours(word: str) -> None:
    matcher = one(Condition("a", Relation.EQUALS, word))
    assert holds(matcher, a=word)
    assert not any(holds(matcher, a=other) for other in ("", word + "x", word[:-1], word + '"', "x" + word))


def test_several_conditions_on_one_property_must_all_hold() -> None:
    matcher = one(Condition("a", Relation.ABOVE, 1.0), Condition("a", Relation.NONE_OF, (2.0, 3.0)))
    assert [value for value in range(6) if holds(matcher, a=value)] == [4, 5]


def test_only_conjunctions_of_the_stratum_asked_for_are_reported() -> None:
    matcher = Matcher([Conjunction("low", -1, ()), Conjunction("high", 7, ())])
    assert matcher.matches(-1, {}) == {"low"}
    assert matcher.matches(7, {}) == {"high"}
    assert matcher.matches(0, {}) == frozenset()


def test_a_matcher_of_nothing_finds_nothing() -> None:
    assert Matcher(()).matches(0, {"a": "x"}) == frozenset()


# Names


def test_a_property_may_be_called_anything() -> None:
    names = ("id", "sid", "$or", "$m", "$forward", "t", "p0", "p1", "a.b", "", 'a"b', "naïve")
    matcher = Matcher([Conjunction(name, 0, (Condition(name, Relation.EQUALS, "x"),)) for name in names])
    for name in names:
        assert matcher.matches(0, {name: "x"}) == {name}


def fnv1a(name: str) -> int:
    """The 32-bit FNV-1a hash of Fowler, Noll and Vo: offset basis 0x811C9DC5, prime 0x01000193."""
    state = 0x811C9DC5
    for byte in name.encode():
        state = (state ^ byte) * 0x01000193 & 0xFFFFFFFF
    return state


def test_the_hash_is_the_published_one() -> None:
    # The authors' test vectors, recalled from memory.
    assert [fnv1a(word) for word in ("", "a", "foobar")] == [0x811C9DC5, 0xE40C292C, 0xBF9CF968]


def test_properties_whose_hashes_collide_are_told_apart() -> None:
    assert fnv1a("costarring") == fnv1a("liquid")
    matcher = one(Condition("costarring", Relation.KNOWN))
    assert not holds(matcher, liquid="x")
    assert holds(matcher, costarring="x")


def test_no_two_names_that_reach_the_engine_share_a_hash() -> None:
    inside = [f"p{number}" for number in range(wide_rules.PROPERTIES_IN_A_CHUNK)]
    reserved = ["id", "sid", "t", "m", "$s", "$m", "$i", "$forward", "$and", "$or", "$nex", "$ex", "$neq"]
    assert not [pair for pair in combinations(inside + reserved, 2) if fnv1a(pair[0]) == fnv1a(pair[1])]


# What is refused


@pytest.mark.parametrize(
    ("first", "second", "complaint"),
    [
        (5.0, "5", "a is a number in k0 and a word in k1"),
        (True, "true", "a is yes or no in k0 and a word in k1"),
        (1, True, "a is a number in k0 and yes or no in k1"),
    ],
)
def test_conditions_that_disagree_about_a_kind_are_refused(
    first: Scalar, second: Scalar, complaint: str
) -> None:
    conditions = [Condition("a", Relation.EQUALS, first), Condition("a", Relation.EQUALS, second)]
    with pytest.raises(ValueError, match=complaint):
        Matcher([Conjunction(f"k{n}", n, (condition,)) for n, condition in enumerate(conditions)])


@pytest.mark.parametrize(
    ("asked", "given"), [("5", 5), (5.0, "5.000000"), (True, "true"), (True, 1), (1.0, True), (False, 0.0)]
)
def test_a_value_of_another_kind_is_refused(asked: Scalar, given: Scalar) -> None:
    matcher = one(Condition("a", Relation.EQUALS, asked))
    with pytest.raises(ValueError, match=r"^a takes "):
        matcher.matches(0, {"a": given})
    assert holds(matcher, a=asked), "a refusal leaves the matcher as it was"


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf"), 10**400])
def test_a_number_that_is_none_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="compared"):
        one(Condition("a", Relation.ABOVE, 1.0)).matches(0, {"a": value})
    with pytest.raises(ValueError, match="compared"):
        one(Condition("a", Relation.ABOVE, value))


def test_a_word_is_refused_when_its_json_passes_65535_bytes() -> None:
    matcher = one(Condition("a", Relation.EQUALS, ""))
    assert not holds(matcher, a="x" * 65_535)
    for too_long in ("x" * 65_536, "é" * 11_000):
        with pytest.raises(ValueError, match="65535"):
            matcher.matches(0, {"a": too_long})
        with pytest.raises(ValueError, match="65535"):
            one(Condition("a", Relation.EQUALS, too_long))


@pytest.mark.parametrize(
    "condition",
    [
        Condition("a", Relation.EQUALS),
        Condition("a", Relation.EQUALS, ("x",)),
        Condition("a", Relation.ONE_OF, "x"),
        Condition("a", Relation.KNOWN, "x"),
        Condition("a", Relation.ABOVE, "x"),
        Condition("a", Relation.AT_MOST, True),
    ],
)
def test_a_relation_with_the_wrong_sort_of_value_is_refused(condition: Condition) -> None:
    with pytest.raises(ValueError, match=f"^a {condition.relation.value}: "):
        one(condition)


def test_two_conjunctions_with_one_key_are_refused() -> None:
    with pytest.raises(ValueError, match="two conjunctions have the key k"):
        Matcher([Conjunction("k", 0, ()), Conjunction("k", 1, ())])


def test_a_conjunction_over_too_many_properties_is_refused() -> None:
    with pytest.raises(ValueError, match="it looks at more than 240 properties"):
        one(*(Condition(f"a{n}", Relation.KNOWN) for n in range(241)))


def test_more_rules_than_the_engine_takes_are_refused() -> None:
    with pytest.raises(ValueError, match="4097 rules"):
        Matcher(Conjunction(f"k{n}", 0, ()) for n in range(4097))
    with pytest.raises(ValueError, match="501 rules"):
        Matcher(Conjunction(f"k{n}", n, ()) for n in range(501))
    fives = (Condition(f"a{n}", Relation.ONE_OF, tuple("abcde")) for n in range(18))
    with pytest.raises(ValueError, match="it spreads over more than the 4096 rules"):
        one(*fives)


# Past the limits


def agrees(conjunctions: list[Conjunction], *jobs: Mapping[str, Scalar]) -> None:
    matcher = Matcher(conjunctions)
    plainly = compile_conjunctions(conjunctions)
    for job in jobs:
        assert matcher.matches(0, job) == plainly(0, job)


def test_300_conjunctions_that_all_hold_are_all_found() -> None:
    conjunctions = [Conjunction(f"k{n}", 0, (Condition(f"a{n}", Relation.KNOWN),)) for n in range(300)]
    job = {f"a{n}": "x" for n in range(300)}
    assert Matcher(conjunctions).matches(0, job) == set(job.keys() and {f"k{n}" for n in range(300)})


def test_300_conjunctions_may_share_their_only_condition() -> None:
    conjunctions = [Conjunction(f"k{n}", 0, (Condition("a", Relation.EQUALS, "x"),)) for n in range(300)]
    assert len(Matcher(conjunctions).matches(0, {"a": "x"})) == 300


def test_1200_different_tests_of_one_property_are_told_apart() -> None:
    conjunctions = [Conjunction(f"k{n}", 0, (Condition("a", Relation.EQUALS, f"w{n}"),)) for n in range(1200)]
    matcher = Matcher(conjunctions)
    for n in (0, 59, 60, 511, 512, 1199):
        assert matcher.matches(0, {"a": f"w{n}"}) == {f"k{n}"}


def test_a_list_of_3000_words_is_one_condition() -> None:
    words = tuple(f"w{n}" for n in range(3000))
    matcher = one(Condition("a", Relation.ONE_OF, words), Condition("b", Relation.KNOWN))
    assert all(holds(matcher, a=words[n], b="x") for n in (0, 99, 100, 1500, 2999))
    assert not holds(matcher, a="w3000", b="x")
    assert not holds(matcher, a="w5")
    without = one(Condition("a", Relation.NONE_OF, words[:800]))
    assert holds(without, a="w800")
    assert not holds(without, a="w799")


def test_sixty_long_lists_over_one_property_stay_apart() -> None:
    words = [f"w{n}" for n in range(600)]
    agrees(
        [Conjunction(f"k{n}", 0, (Condition("a", Relation.ONE_OF, tuple(words[n::7])),)) for n in range(60)],
        *({"a": word} for word in words[::13]),
    )


def test_a_conjunction_may_hold_more_lists_than_a_rule_has_groups() -> None:
    lists = [Condition(f"a{n}", Relation.ONE_OF, ("x", "y")) for n in range(18)]
    matcher = one(*lists)
    job: dict[str, Scalar] = {f"a{n}": "xy"[n % 2] for n in range(18)}
    assert holds(matcher, **job)
    assert not any(holds(matcher, **{**job, f"a{n}": "z"}) for n in range(18))


def test_two_lists_on_one_property_leave_what_they_share() -> None:
    matcher = one(
        Condition("a", Relation.ONE_OF, tuple("abc")), Condition("a", Relation.ONE_OF, tuple("bcd"))
    )
    assert "".join(letter for letter in "abcd" if holds(matcher, a=letter)) == "bc"


def test_240_absences_in_one_conjunction_and_four_in_each_of_60() -> None:
    chain = [Conjunction("it", 0, tuple(Condition(f"a{n}", Relation.UNKNOWN) for n in range(240)))]
    agrees(chain, {}, {"a0": "x"}, {"a239": "x"})
    several = [
        Conjunction(f"k{n}", 0, tuple(Condition(f"a{4 * n + m}", Relation.UNKNOWN) for m in range(4)))
        for n in range(60)
    ]
    agrees(several, {}, {f"a{n}": "x" for n in range(0, 240, 5)})


def test_300_conjunctions_may_each_ask_a_different_absence() -> None:
    absences = [Conjunction(f"k{n}", 0, (Condition(f"a{n}", Relation.UNKNOWN),)) for n in range(300)]
    agrees(absences, {}, {f"a{n}": "x" for n in range(0, 300, 2)})


def test_the_layout_keeps_every_limit_on_generated_bases() -> None:
    for seed in range(5):
        chance = Random(seed)
        pools = condition_cases.kinds_of_properties(chance, properties=50)
        layout = lay_out(condition_cases.conjunctions(chance, pools, how_many=700))
        rules = json.loads(layout.rules)
        tags = [rule["all"][0]["m"]["$and"][0]["t"] for rule in rules.values()]
        for chunks in layout.chunks.values():
            for chunk in chunks:
                assert tags.count(chunk.tag) <= wide_rules.RULES_IN_A_CHUNK
                assert len(chunk.names) <= wide_rules.PROPERTIES_IN_A_CHUNK
        assert not re.search(r"[:\[]-?\d+e", layout.rules), "an exponent without a fraction"


# In the long run


def test_five_thousand_judgements_leave_memory_as_it_was() -> None:
    statm = Path("/proc/self/statm")
    if not statm.exists():
        pytest.skip("no /proc here to read the size of this process from")
    chance = Random(5)
    pools = condition_cases.kinds_of_properties(chance, properties=30)
    matcher = Matcher(condition_cases.conjunctions(chance, pools, how_many=150, strata=1))
    jobs = [condition_cases.properties(chance, pools) for _ in range(100)]

    def judge(times: int) -> int:
        for number in range(times):
            matcher.matches(0, jobs[number % len(jobs)])
        return int(statm.read_text().split()[1])

    before = judge(1000)
    assert judge(5000) - before < 64, "pages of memory gained"


def test_a_job_leaves_nothing_behind_for_the_next() -> None:
    matcher = one(Condition("a", Relation.KNOWN), Condition("b", Relation.KNOWN))
    for _ in range(100):
        assert not holds(matcher, a="x")
        assert not holds(matcher, b="x")
        assert holds(matcher, a="x", b="x")
        assert not holds(matcher)


@pytest.mark.parametrize("function", ["start_action_for_state", "complete_and_start_action", "retract_fact"])
@pytest.mark.parametrize("accident", [KeyboardInterrupt, MemoryError])
def test_after_an_accident_in_the_middle_the_matcher_is_right_again(
    monkeypatch: pytest.MonkeyPatch, function: str, accident: type[BaseException]
) -> None:
    matcher = Matcher([Conjunction(f"k{n}", 0, (Condition("a", Relation.EQUALS, "x"),)) for n in range(5)])
    expected = matcher.matches(0, {"a": "x"})

    def fail(*_: object) -> None:
        raise accident

    with monkeypatch.context() as patch:
        patch.setattr(engine, function, fail)
        with pytest.raises(accident):
            matcher.matches(0, {"a": "x"})
    assert matcher.matches(0, {"a": "x"}) == expected
    assert matcher.matches(0, {"a": "y"}) == frozenset()


def test_a_refusal_by_the_engine_is_a_matcher_error(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise engine.error("Could not assert fact, error code: 303")

    matcher = one()
    with monkeypatch.context() as patch:
        patch.setattr(engine, "assert_fact", refuse)
        with pytest.raises(MatcherError, match=r"refused a job's facts: .* 303"):
            matcher.matches(0, {})
    assert holds(matcher)


def test_a_fact_taken_without_a_firing_is_a_matcher_error(monkeypatch: pytest.MonkeyPatch) -> None:
    matcher = one()
    with monkeypatch.context() as patch:
        patch.setattr(engine, "start_action_for_state", lambda *_: None)
        with pytest.raises(MatcherError, match="outcome 0"):
            matcher.matches(0, {})
    assert holds(matcher)


def test_a_closed_matcher_compiles_itself_again() -> None:
    matcher = one(Condition("a", Relation.KNOWN))
    matcher.close()
    matcher.close()
    assert holds(matcher, a="x")


def test_threads_may_share_a_matcher() -> None:
    chance = Random(11)
    pools = condition_cases.kinds_of_properties(chance, properties=20)
    conjunctions = condition_cases.conjunctions(chance, pools, how_many=130, strata=1)
    matcher = Matcher(conjunctions)
    plainly = compile_conjunctions(conjunctions)
    jobs = [condition_cases.properties(chance, pools) for _ in range(400)]
    with ThreadPoolExecutor(8) as threads:
        found = list(threads.map(lambda job: matcher.matches(0, job), jobs))
    assert found == [plainly(0, job) for job in jobs]
