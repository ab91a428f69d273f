"""What a situation is: a job sheet in which a chosen rule fires, its story, and the changes that silence the rule."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sideplate_engine.authored_conditions import FactTest
from sideplate_engine.vocabulary import Value


class NoSituation(Exception):
    """No job sheet was found in which a rule fires; the message says why, in plain words."""

    def __init__(self, rule: str, reason: str) -> None:
        super().__init__(f"no job sheet was found in which {rule} fires: {reason}")
        self.rule = rule
        self.reason = reason


@dataclass(frozen=True, slots=True)
class NearMiss:
    """The same sheet with one fact changed, added or taken away, so that the rule no longer fires.

    `test` is the condition that this breaks (or the exception's that it meets). `status` is what becomes of the
    rule: quiet, open, excepted, or no value.
    """

    facts: Mapping[str, Value]
    changed: str
    test: FactTest
    status: str


@dataclass(frozen=True, slots=True)
class Situation:
    """A sheet of the invented workshop in which a rule fires: the facts given, and the story that tells them."""

    rule: str
    seed: int
    facts: Mapping[str, Value]
    story: tuple[str, ...]
    near_misses: tuple[NearMiss, ...]
