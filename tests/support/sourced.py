"""Checks against the world outside: every one names the work its figure was read in."""

from __future__ import annotations

import pytest
from _pytest.mark.structures import ParameterSet


def check(source: str, *values: object, name: str) -> ParameterSet:
    """One parametrised check: its values, its name, and the source of the figure it holds Sideplate to."""
    return pytest.param(*values, id=name, marks=pytest.mark.source(source))
