"""How well the examples cover the rules and how many changed rules they catch: as lines, and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from sideplate_engine.coverage import RuleCoverage
from sideplate_engine.mutation import Strength


def coverage_lines(coverage: Sequence[RuleCoverage]) -> Iterator[str]:
    """What the examples show of the rules in all, then what they do not show of single rules."""
    yield "What the examples show"
    for words, shown in _counts(coverage):
        yield f"  {words:<28}{sum(shown):>6} of {len(shown)}"
    for rule in coverage:
        for lack in (
            *rule.lacking(),
            *(f"no example shows it set {id_} aside" for id_ in rule.unexercised()),
        ):
            yield f"{rule.rule.at}: {rule.rule.id}: {lack}"


def _counts(coverage: Iterable[RuleCoverage]) -> Iterator[tuple[str, list[bool]]]:
    rules = list(coverage)
    yield "rules seen to fire", [rule.fires for rule in rules]
    conditional = [rule for rule in rules if rule.rule.conditions.parts]
    yield "rules seen to be quiet", [rule.quiet or rule.excepted for rule in conditional]
    yield "rules seen to wait", [rule.open for rule in rules]
    yield "conditions seen to hold", [seen.holding for rule in rules for seen in rule.tests]
    yield "conditions seen to fail", [seen.failing for rule in rules for seen in rule.tests]
    yield "exceptions seen to apply", [rule.excepted for rule in rules if rule.rule.unless is not None]
    yield "overrides seen to apply", [shown for rule in rules for _, shown in rule.overrides]


def coverage_data(coverage: Iterable[RuleCoverage]) -> dict[str, Any]:
    """The same as JSON holds it, rule by rule."""
    return {
        rule.rule.id: {
            "fires": rule.fires,
            "quiet": rule.quiet,
            "open": rule.open,
            "excepted": rule.excepted,
            "conditions": [
                {
                    "line": seen.test.at.line,
                    "condition": seen.words,
                    "holding": seen.holding,
                    "failing": seen.failing,
                }
                for seen in rule.tests
            ],
            "overrides": dict(rule.overrides),
        }
        for rule in coverage
    }


def strength_lines(strength: Strength) -> Iterator[str]:
    """Each changed rule that no example catches, at its place, then the score."""
    for survivor in strength.survivors:
        yield f"{survivor.at}: no example of {survivor.rule} notices: {survivor.what}"
    yield (
        f"Of {strength.made} rules with one small change the examples catch {strength.caught}, "
        f"{strength.score:.1%}."
    )


def strength_data(strength: Strength) -> dict[str, Any]:
    """The same as JSON holds it."""
    return {
        "made": strength.made,
        "caught": strength.caught,
        "score": round(strength.score, 4),
        "survivors": [
            {
                "path": survivor.at.path,
                "line": survivor.at.line,
                "column": survivor.at.column,
                "rule": survivor.rule,
                "change": survivor.what,
            }
            for survivor in strength.survivors
        ],
    }
