"""Every code that a finding of the engine can carry, with its explanation."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from sideplate_engine.checks import every_check
from sideplate_engine.explanations import figures, files, keys_and_values, names, rule_parts
from sideplate_engine.explanations.explanation import Explanation


@cache
def explanations() -> Mapping[str, Explanation]:
    """The explanations by code, in the order of the codes."""
    found: dict[str, Explanation] = {}
    for module in (figures, files, keys_and_values, names, rule_parts):
        found |= module.EXPLAINED
    found |= {check.CODE: Explanation(check.TITLE, check.EXPLANATION) for check in every_check()}
    return dict(sorted(found.items()))


def ignorable() -> frozenset[str]:
    """The codes that a rule may ignore: those of checks. What keeps a file from being read cannot be ignored."""
    return frozenset(check.CODE for check in every_check())
