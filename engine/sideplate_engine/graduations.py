"""The step in which a number fact is read, as on the graduations of a rule."""

from __future__ import annotations

import math

from sideplate_engine.vocabulary import Fact


def graduation(fact: Fact, near: float, figures: int = 3) -> float:
    """The step in the fact's unit: its last shown decimal, or where it has none set the last of so many figures."""
    if fact.kind == "count":
        return 1.0
    if fact.decimals is not None:
        return float(10.0**-fact.decimals)
    return float(10.0 ** (math.floor(math.log10(abs(near))) - figures + 1)) if near else 0.01
