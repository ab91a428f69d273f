"""The plain reading of conditions: three-valued, in Python alone.

It says of a single condition whether it is true, false or cannot be told yet, which is what "why not" needs,
and it is the yardstick that the matcher is tested against. `compile_conjunctions` gives the same outcomes as
the matcher by the thousand, for work that wants no proofs.

The connective is Kleene's strong "and": S. C. Kleene, Introduction to Metamathematics (1952), section 64.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from enum import Enum

from sideplate_engine.conditions import Condition, Conjunction, Relation, Scalar
from sideplate_engine.value_kinds import Kind, comparable_as, kind_of, settle_kinds, values_wanted


class Truth(Enum):
    """What can be said of a condition on the facts given so far."""

    TRUE = "true"
    FALSE = "false"
    UNKNOWN = "unknown"


def read(condition: Condition, properties: Mapping[str, Scalar]) -> Truth:
    """Return whether the condition is true, false or not to be told, its property being absent.

    KNOWN and UNKNOWN are never themselves unknown. Raises ValueError for an ill-formed condition and for a
    value of another kind than the condition's.
    """
    name = condition.property
    wanted = values_wanted(condition)
    if condition.relation is Relation.KNOWN:
        return _truth(name in properties)
    if condition.relation is Relation.UNKNOWN:
        return _truth(name not in properties)
    if name not in properties:
        return Truth.UNKNOWN
    value = properties[name]
    for other in wanted or (value,):
        value = comparable_as(name, value, kind_of(other))
    return _truth(_compares(condition.relation, value, wanted))


def read_all(conditions: Iterable[Condition], properties: Mapping[str, Scalar]) -> Truth:
    """Return the Kleene conjunction: false if any is false, else unknown if any is unknown, else true."""
    readings = {read(condition, properties) for condition in conditions}
    if Truth.FALSE in readings:
        return Truth.FALSE
    return Truth.UNKNOWN if Truth.UNKNOWN in readings else Truth.TRUE


def holds(conjunction: Conjunction, properties: Mapping[str, Scalar]) -> bool:
    """Return whether every condition is true: exactly what the matcher reports."""
    return read_all(conjunction.conditions, properties) is Truth.TRUE


def compile_conjunctions(
    conjunctions: Iterable[Conjunction],
) -> Callable[[int, Mapping[str, Scalar]], frozenset[str]]:
    """Return a fast function of (stratum, properties): the keys of that stratum's conjunctions that hold.

    Work goes by property, not by conjunction. Every conjunction is one bit of a whole number; a property's
    value, looked up once, gives the bits of the conjunctions it leaves standing. Raises ValueError as
    `settle_kinds` does; the function raises it for a value of another kind.
    """
    all_of_them = tuple(conjunctions)
    kinds = settle_kinds(all_of_them)
    by_stratum: dict[int, list[Conjunction]] = defaultdict(list)
    for conjunction in all_of_them:
        by_stratum[conjunction.stratum].append(conjunction)
    readings = {stratum: _compile_stratum(members, kinds) for stratum, members in by_stratum.items()}

    def matching(stratum: int, properties: Mapping[str, Scalar]) -> frozenset[str]:
        reading = readings.get(stratum)
        return reading(properties) if reading else frozenset()

    return matching


def _truth(known_to_hold: bool) -> Truth:
    return Truth.TRUE if known_to_hold else Truth.FALSE


def _compares(relation: Relation, value: Scalar, wanted: Sequence[Scalar]) -> bool:
    """Whether a value that is present, of the kind wanted, stands in the relation to the values wanted."""
    match relation:
        case Relation.KNOWN:
            return True
        case Relation.UNKNOWN:
            return False
        case Relation.EQUALS | Relation.ONE_OF:
            return value in wanted
        case Relation.NONE_OF:
            return value not in wanted
    (bound,) = wanted
    # values_wanted lets only numbers through here; the check says so to the type checker.
    if isinstance(value, str) or isinstance(bound, str):
        raise TypeError(f"words are not ordered: {value!r}, {bound!r}")
    match relation:
        case Relation.ABOVE:
            return value > bound
        case Relation.BELOW:
            return value < bound
        case Relation.AT_LEAST:
            return value >= bound
        case Relation.AT_MOST:
            return value <= bound


_Standing = Callable[[Scalar], int]
"""From a property's value to the bits of the conjunctions it does not refute."""


def _compile_stratum(
    conjunctions: Sequence[Conjunction], kinds: Mapping[str, Kind | None]
) -> Callable[[Mapping[str, Scalar]], frozenset[str]]:
    keys = [conjunction.key for conjunction in conjunctions]
    everything = (1 << len(keys)) - 1
    asked: dict[str, list[tuple[int, Condition]]] = defaultdict(list)
    for number, conjunction in enumerate(conjunctions):
        for condition in conjunction.conditions:
            asked[condition.property].append((1 << number, condition))
    lookups = [
        (
            name,
            _standing_when_absent(tests, everything),
            _standing_by_value(name, kinds[name], tests, everything),
        )
        for name, tests in asked.items()
    ]

    def reading(properties: Mapping[str, Scalar]) -> frozenset[str]:
        standing = everything
        for name, when_absent, by_value in lookups:
            value = properties.get(name)
            standing &= when_absent if value is None else by_value(value)
        holding = []
        while standing:
            lowest = standing & -standing
            holding.append(keys[lowest.bit_length() - 1])
            standing ^= lowest
        return frozenset(holding)

    return reading


def _standing_when_absent(tests: Sequence[tuple[int, Condition]], everything: int) -> int:
    refuted = 0
    for bit, condition in tests:
        if condition.relation is not Relation.UNKNOWN:
            refuted |= bit
    return everything & ~refuted


def _standing_by_value(
    name: str, kind: Kind | None, tests: Sequence[tuple[int, Condition]], everything: int
) -> _Standing:
    wanted = [(bit, condition.relation, values_wanted(condition)) for bit, condition in tests]

    def standing_at(value: Scalar) -> int:
        refuted = 0
        for bit, relation, values in wanted:
            if not _compares(relation, value, values):
                refuted |= bit
        return everything & ~refuted

    points = {value for _, _, values in wanted for value in values}
    match kind:
        case None:
            return _for_presence(standing_at(True))
        case Kind.NUMBER:
            return _for_numbers(name, sorted(float(point) for point in points), standing_at)
        case Kind.WORD:
            longer_than_any = "".join(str(point) for point in points) + "x"
            by_word = {point: standing_at(point) for point in points}
            return _for_choices(name, kind, by_word, otherwise=standing_at(longer_than_any))
        case Kind.YES_OR_NO:
            by_answer: dict[Scalar, int] = {answer: standing_at(answer) for answer in (True, False)}
            return _for_choices(name, kind, by_answer, otherwise=0)


def _for_presence(when_present: int) -> _Standing:
    def standing(value: Scalar) -> int:
        kind_of(value)  # refuses what is no scalar
        return when_present

    return standing


def _for_choices(name: str, kind: Kind, by_choice: Mapping[Scalar, int], otherwise: int) -> _Standing:
    expected = str if kind is Kind.WORD else bool

    def standing(value: Scalar) -> int:
        if type(value) is not expected:  # the usual case is let through without more ado
            value = comparable_as(name, value, kind)
        return by_choice.get(value, otherwise)

    return standing


def _for_numbers(name: str, points: Sequence[float], standing_at: _Standing) -> _Standing:
    """Work out the bits at each number mentioned and in each gap between; a value is then one bisection."""
    at_points = [standing_at(point) for point in points]
    below_points = [standing_at(-math.inf)]
    below_points += [standing_at(math.nextafter(point, math.inf)) for point in points]

    def standing(value: Scalar) -> int:
        usual = type(value) is float and math.isfinite(value)
        number = value if usual else comparable_as(name, value, Kind.NUMBER)
        place = bisect_left(points, number)
        if place < len(points) and points[place] == number:
            return at_points[place]
        return below_points[place]

    return standing
