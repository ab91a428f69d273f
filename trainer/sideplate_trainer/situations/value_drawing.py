"""Draws a value for one fact that satisfies tests: from what the workshop would see first, else from all there is."""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as SetABC
from dataclasses import dataclass

from sideplate_engine.authored_conditions import FactTest, Test, Vocabulary
from sideplate_engine.condition_algebra import allows
from sideplate_engine.vocabulary import Fact, Value
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.scales import Scale, Span, draw_step, fine_scale_of, scale_of, spans_of

_NEIGHBOUR_SHARE = 0.08
_COMMON_SHARE = 0.85
_SPARE_WORDS = ("AX1", "BR2", "CT3", "DN4", "EV5", "FK6")


@dataclass(frozen=True, slots=True)
class Hints:
    """Values worth trying first: `like` may be varied a little, `exact` is taken as it is, `fixed` always.

    `words` are what a code is known to take, `common` what is usual among them, `standard` a number's figures in
    tables; `can_be_empty` says that a set may hold nothing.
    """

    like: Value | None = None
    exact: Value | None = None
    fixed: Value | None = None
    words: Sequence[str] = ()
    common: SetABC[Value] = frozenset()
    can_be_empty: bool = False
    standard: Sequence[float] = ()


def draw_value(
    fact: Fact, tests: Sequence[FactTest], hints: Hints, draws: Draws, vocabulary: Vocabulary
) -> Value | None:
    """A value of the fact that satisfies every test (of it alone), or None when none is found."""
    for hint, share in ((hints.fixed, 1.0), (hints.like, 0.6), (hints.exact, 0.7)):
        if hint is None or not draws.chance(share):
            continue
        tried = [hint] if hints.standard else [written(fact, hint)]
        if hint is hints.like and not hints.standard:
            tried.insert(0, near(fact, hint, draws))
        for value in tried:
            if allows(tests, fact.name, value, vocabulary):
                return value
    if fact.many:
        return _draw_set(fact, tests, hints, draws)
    if fact.is_number:
        fitting = [value for value in hints.standard if allows(tests, fact.name, value, vocabulary)]
        if not fitting:
            return _draw_number(fact, tests, draws, vocabulary)
        return _mostly_common(fitting, hints, draws)
    options = [
        value for value in options_of(fact, hints.words, tests) if allows(tests, fact.name, value, vocabulary)
    ]
    return _mostly_common(options, hints, draws) if options else None


def _mostly_common(options: Sequence[Value], hints: Hints, draws: Draws) -> Value:
    common = [value for value in options if value in hints.common]
    return draws.pick(common if common and draws.chance(_COMMON_SHARE) else options)


def options_of(fact: Fact, words: Sequence[str], tests: Sequence[FactTest] = ()) -> list[Value]:
    """The values that a choice, a flag or a code can take, a code's being those that are known of it."""
    if fact.kind == "flag":
        return [True, False]
    if fact.choices is not None:
        return list(fact.choices)
    asked = [str(value) for test in tests for value in test.values]
    known = dict.fromkeys([*words, *asked])
    return list(known) if len(known) > 1 else [*known, *_SPARE_WORDS]


def can_hold(fact: Fact, tests: Sequence[FactTest], words: Sequence[str], vocabulary: Vocabulary) -> bool:
    """Whether some value of the fact satisfies every test; of a set, whether no test plainly contradicts another."""
    if fact.many:
        barred = _barred(tests)
        return all(
            set(map(str, test.values)) - barred for test in tests if test.test in (Test.EQUALS, Test.ONE_OF)
        )
    if fact.is_number:
        exact = _exact_values(tests)
        if exact is not None:
            return any(allows(tests, fact.name, value, vocabulary) for value in exact)
        return bool(spans_of(fine_scale_of(fact), tests, usual=False))
    return any(allows(tests, fact.name, value, vocabulary) for value in options_of(fact, words, tests))


def written(fact: Fact, value: Value) -> Value:
    """A number as it can be written down in the fact's own places; anything else as it is."""
    if not fact.is_number or isinstance(value, (str, frozenset)):
        return value
    scale = scale_of(fact)
    return scale.value(scale.nearest(value))


def near(fact: Fact, value: Value, draws: Draws) -> Value:
    """A number of the same size, read off anew; anything else as it is."""
    if not fact.is_number or isinstance(value, (str, frozenset)):
        return value
    scale = scale_of(fact)
    step = scale.nearest(value)
    reach = max(2, round(abs(step) * _NEIGHBOUR_SHARE / scale.hand))
    if fact.kind == "count":
        reach = min(reach, 3)
    moved = (round(step / scale.hand) + draws.whole(-reach, reach)) * scale.hand
    low, high = fact.possible or (float("-inf"), float("inf"))
    return scale.value(moved) if low <= scale.value(moved) <= high else value


def _draw_number(
    fact: Fact, tests: Sequence[FactTest], draws: Draws, vocabulary: Vocabulary
) -> int | float | None:
    exact = _exact_values(tests)
    if exact is not None:
        fitting = [value for value in exact if allows(tests, fact.name, value, vocabulary)]
        return draws.pick(fitting) if fitting else None
    scale = scale_of(fact)
    spans = spans_of(scale, tests, usual=True) or spans_of(scale, tests, usual=False)
    return draw_on(scale, spans, draws) if spans else None


def draw_on(scale: Scale, spans: Sequence[Span], draws: Draws) -> int | float:
    """A value on one of the spans."""
    return scale.value(draw_step(draws.pick(spans), scale, draws))


def _exact_values(tests: Sequence[FactTest]) -> list[int | float] | None:
    """The numbers that the tests list, if one of them lists numbers."""
    for test in tests:
        if test.test in (Test.EQUALS, Test.ONE_OF):
            return [value for value in test.values if not isinstance(value, str)]
    return None


def _draw_set(fact: Fact, tests: Sequence[FactTest], hints: Hints, draws: Draws) -> frozenset[str] | None:
    barred = _barred(tests)
    chosen: set[str] = set()
    for test in tests:
        if test.test in (Test.EQUALS, Test.ONE_OF):
            wanted = [word for word in map(str, test.values) if word not in barred]
            if not wanted:
                return None
            if not chosen.intersection(wanted):
                chosen.add(draws.pick(wanted))
    others = [
        str(word) for word in options_of(fact, hints.words) if word not in barred and word not in chosen
    ]
    if not chosen and hints.can_be_empty and draws.chance(0.7):
        return frozenset()
    if others and (not chosen or draws.chance(0.2)):
        chosen.add(draws.pick(others))
    return frozenset(chosen) if chosen else None


def _barred(tests: Sequence[FactTest]) -> set[str]:
    return {str(value) for test in tests if test.test is Test.NONE_OF for value in test.values}
