"""What a rule asks of the facts: single conditions, and conjunctions of them.

A condition looks at one property of a job's facts. Alternatives (`any:`) are spread out into several
conjunctions before they come here, and a comparison of two facts is worked out beforehand and becomes a
property of its own, so that nothing in a conjunction ever looks at two properties at once.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

Scalar = str | float | bool
"""A value a condition can look at: a word, a number in its stored unit, or yes/no."""


class Relation(Enum):
    """How a property's value is compared with the condition's own value."""

    EQUALS = "equals"
    ONE_OF = "one of"
    NONE_OF = "none of"
    ABOVE = "above"
    BELOW = "below"
    AT_LEAST = "at least"
    AT_MOST = "at most"
    KNOWN = "known"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Condition:
    """One test of one property. `value` is a tuple for ONE_OF and NONE_OF, None for KNOWN and UNKNOWN.

    NONE_OF, like every relation but UNKNOWN, holds only of a property that is present.
    """

    property: str
    relation: Relation
    value: Scalar | tuple[Scalar, ...] | None = None


@dataclass(frozen=True, slots=True)
class Conjunction:
    """Conditions that must all hold of the facts complete below one stratum. `key` names it, uniquely."""

    key: str
    stratum: int
    conditions: tuple[Condition, ...]
