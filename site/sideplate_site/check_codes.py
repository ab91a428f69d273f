"""The codes that `sideplate check` gives, with what each means, as the engine's checks explain themselves."""

from __future__ import annotations

from dataclasses import dataclass

from sideplate_engine.checks import every_check


@dataclass(frozen=True, slots=True)
class CheckCode:
    """A code, what it says in a line, and what to do about it."""

    code: str
    title: str
    explanation: str


def check_codes() -> tuple[CheckCode, ...]:
    """Every code, by name."""
    found = (CheckCode(check.CODE, check.TITLE, check.EXPLANATION) for check in every_check())
    return tuple(sorted(found, key=lambda each: each.code))
