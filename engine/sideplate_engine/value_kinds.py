"""Which kind of value each property has, settled once for a whole set of conjunctions.

Both readings of the conditions, the matcher and the plain one, start from here, so that they accept and
refuse the same conditions and the same values. That matters most to the matcher: its engine holds the number
5 and the word "5" to be equal, and likewise yes and the word "true".
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from enum import Enum

from sideplate_engine.conditions import Condition, Conjunction, Relation, Scalar


class Kind(Enum):
    """What sort of value a property has; a property keeps one kind throughout."""

    WORD = "a word"
    NUMBER = "a number"
    YES_OR_NO = "yes or no"


ORDERINGS = frozenset({Relation.ABOVE, Relation.BELOW, Relation.AT_LEAST, Relation.AT_MOST})
"""The relations that ask for a number."""

PRESENCES = frozenset({Relation.KNOWN, Relation.UNKNOWN})
"""The relations that look only at whether the property is there."""

_LISTS = frozenset({Relation.ONE_OF, Relation.NONE_OF})


def kind_of(value: object) -> Kind:
    """Return the kind of a value. Raises ValueError for what is no scalar at all."""
    if isinstance(value, bool):
        return Kind.YES_OR_NO
    if isinstance(value, int | float):
        return Kind.NUMBER
    if isinstance(value, str):
        return Kind.WORD
    raise ValueError(f"{value!r} is neither a word, a number nor yes or no")


def comparable(value: Scalar) -> Scalar:
    """Return the value as it is compared: any number as a float, the rest as it stands.

    Raises ValueError for what is no scalar, and for a number that is not finite or too large for a float.
    """
    if kind_of(value) is not Kind.NUMBER:
        return value
    try:
        number = float(value)
    except OverflowError:
        raise ValueError("a whole number this large cannot be compared") from None
    if not math.isfinite(number):
        raise ValueError(f"{number} is not a number that can be compared")
    return number


def comparable_as(name: str, value: Scalar, kind: Kind) -> Scalar:
    """Return `comparable(value)`. Raises ValueError, naming the property, if the value is of another kind."""
    if kind_of(value) is not kind:
        raise ValueError(f"{name} takes {kind.value}, not {value!r}")
    return comparable(value) if kind is Kind.NUMBER else value


def values_wanted(condition: Condition) -> tuple[Scalar, ...]:
    """Return the values a condition compares with, numbers as floats; none for KNOWN and UNKNOWN.

    Raises ValueError when relation and value do not go together.
    """
    value = condition.value
    where = f"{condition.property} {condition.relation.value}"
    if condition.relation in PRESENCES:
        if value is not None:
            raise ValueError(f"{where}: this relation takes no value, and {value!r} was given")
        return ()
    if condition.relation in _LISTS:
        if not isinstance(value, tuple):
            raise ValueError(f"{where}: a tuple of values is needed, not {value!r}")
        return tuple(comparable(one) for one in value)
    if value is None or isinstance(value, tuple):
        raise ValueError(f"{where}: one value is needed, not {value!r}")
    if condition.relation in ORDERINGS and kind_of(value) is not Kind.NUMBER:
        raise ValueError(f"{where}: only numbers are ordered, and {value!r} is not one")
    return (comparable(value),)


def settle_kinds(conjunctions: Iterable[Conjunction]) -> Mapping[str, Kind | None]:
    """Return the kind of every property looked at; None where only its presence is asked about.

    Raises ValueError when two conjunctions share a key, when a condition is ill formed, and when conditions
    disagree about the kind of a property (both conjunctions are named).
    """
    kinds: dict[str, Kind | None] = {}
    settled_by: dict[str, str] = {}
    keys: set[str] = set()
    for conjunction in conjunctions:
        if conjunction.key in keys:
            raise ValueError(f"two conjunctions have the key {conjunction.key}")
        keys.add(conjunction.key)
        for condition in conjunction.conditions:
            name = condition.property
            settled = kinds.setdefault(name, None)
            for kind in map(kind_of, values_wanted(condition)):
                if settled is None:
                    settled = kinds[name] = kind
                    settled_by[name] = conjunction.key
                elif settled is not kind:
                    here = f"{kind.value} in {conjunction.key}"
                    raise ValueError(f"{name} is {settled.value} in {settled_by[name]} and {here}")
    return kinds
