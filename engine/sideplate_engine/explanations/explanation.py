"""The form of an explanation."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Explanation:
    """What a finding's code stands for: a title, and a paragraph on what it means and how to put it right."""

    title: str
    text: str
