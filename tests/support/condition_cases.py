"""Generated conjunctions and property maps, from a seeded source of chance.

Small pools make conditions meet: a value drawn for a job is often one that a condition names, or the next
float to it. The words hold what could be mistaken for something else.
"""

from __future__ import annotations

import math
from random import Random

from sideplate_engine.conditions import Condition, Conjunction, Relation, Scalar

WORDS = (
    "", "5", "5.0", "5.000000", "true", "false", "TRUE", "absent", "null", "nil", "a", "ab", "abc", "abcd", "AB",
    'a"b', "a\\", "a\\b", "a'b", " a", "a ", "a\nb", "{", "}", "[,]", ":", "é", "naïve", "鎖", "\U0001f517", "x" * 300,
)  # fmt: skip

POINTS = (
    0.0, 1.0, -1.0, 5.0, 0.1, 0.1 + 0.2, 0.3, 15.875, 1e-05, 1e16, 1e22, 1.5e-300, 5e-324, -2.5e17, 2.0**53,
    1.7976931348623157e308, 123456.789, 1 / 3,
)  # fmt: skip

NUMBERS = POINTS + tuple(math.nextafter(point, 0.5) for point in POINTS) + (-0.0, 5, 16)

NAMES = (
    "id",
    "sid",
    "t",
    "f",
    "$m",
    "$or",
    "$forward",
    "p0",
    "p1",
    "chain.size",
    "m",
    "costarring",
    "liquid",
)
"""Names an engine could trip over. The last two share their 32-bit FNV-1a hash."""

_PRESENCE = (Relation.KNOWN, Relation.UNKNOWN)
_LISTS = (Relation.ONE_OF, Relation.NONE_OF)


def kinds_of_properties(chance: Random, properties: int) -> dict[str, tuple[Scalar, ...]]:
    """Name some properties and give each its pool of values, all of one kind."""
    names = chance.sample((*NAMES, *(f"fact.{number}" for number in range(40))), properties)
    return {name: chance.choice((WORDS, NUMBERS, (True, False))) for name in names}


def conjunctions(
    chance: Random, pools: dict[str, tuple[Scalar, ...]], how_many: int, strata: int = 2
) -> tuple[Conjunction, ...]:
    """Draw conjunctions of up to five conditions; some are empty, some ask only what is unknown."""
    return tuple(
        Conjunction(f"k{number}", chance.randrange(strata), _conditions(chance, pools))
        for number in range(how_many)
    )


def properties(chance: Random, pools: dict[str, tuple[Scalar, ...]]) -> dict[str, Scalar]:
    """Draw a job's facts: each property is there or not, and some that nobody asks about are there too."""
    share = chance.choice((0.0, 0.3, 0.7, 1.0))
    drawn = {name: chance.choice(pool) for name, pool in pools.items() if chance.random() < share}
    return drawn | {"nobody.asks": "this"}


def _conditions(chance: Random, pools: dict[str, tuple[Scalar, ...]]) -> tuple[Condition, ...]:
    return tuple(_condition(chance, *chance.choice(list(pools.items()))) for _ in range(chance.randrange(6)))


def _condition(chance: Random, name: str, pool: tuple[Scalar, ...]) -> Condition:
    relations = [
        r for r in Relation if pool is NUMBERS or r.value not in ("above", "below", "at least", "at most")
    ]
    relation = chance.choice(relations)
    if relation in _PRESENCE:
        return Condition(name, relation)
    if relation in _LISTS:
        longest = chance.choice((0, 1, 3, 8))
        return Condition(name, relation, tuple(chance.choice(pool) for _ in range(longest)))
    return Condition(name, relation, chance.choice(pool))
