"""The questions an interview can put."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass
from typing import TypeAlias

from sideplate_engine.job_parts import Part
from sideplate_engine.vocabulary import Element, Value


@dataclass(frozen=True, slots=True)
class PartsQuestion:
    """Which parts the job touches; `suggested` are those that usually go with the work planned."""

    offered: tuple[Part, ...]
    suggested: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FactQuestion:
    """One fact, the rulings it could settle, whether it could contradict what rules derive, and how much it decides."""

    fact: str
    rulings: tuple[str, ...]
    contradicts: bool
    decides: float


@dataclass(frozen=True, slots=True)
class Claim:
    """That a fact has a value, and the rulings this could settle."""

    fact: str
    value: Element
    rulings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ClaimsQuestion:
    """Claims of which those that are so are ticked. Their facts matter in no other values."""

    claims: tuple[Claim, ...]
    decides: float


@dataclass(frozen=True, slots=True)
class DoubtsQuestion:
    """Facts that rules have worked out, with their values: was any of them measured, and came out otherwise?"""

    values: MappingABC[str, Value]


Question: TypeAlias = PartsQuestion | FactQuestion | ClaimsQuestion | DoubtsQuestion
