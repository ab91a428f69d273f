"""How often each kind of verdict is asked for, so that a topic comes to two, two and one in five."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache

from sideplate_engine import Judge
from sideplate_engine.rules import Rule
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.verdict_cases import ALLOWED, MORE, RULED

SHARES = {RULED: 0.4, ALLOWED: 0.4, MORE: 0.2}
"""In five questions something is ruled in two, nothing is in two, and one cannot be told yet."""

LEAST = 0.05
"""No kind is drawn less often than this, however many rules of a topic can only permit."""


def kinds_drawn(judge: Judge, rule: Rule, seed: int) -> list[str]:
    """The kinds of verdict in the order in which a rule is to be asked about them: the next where one cannot be had."""
    return Draws("is this allowed", rule.id, seed).ranked(verdict_shares(judge)[rule.topic])


@lru_cache(maxsize=4)
def verdict_shares(judge: Judge) -> Mapping[str, Mapping[str, float]]:
    """For each topic, the shares to draw by.

    A rule that permits a deed on which no other rule rules is always asked about with nothing against it. The other
    rules of its topic have that less often in return.
    """
    rules = [rule for rule in judge.knowledge.rules.values() if rule.is_ruling and rule.status != "draft"]
    objected_to = {rule.about for rule in rules if rule.force != "may"}
    return {
        topic: _shares_of([rule for rule in rules if rule.topic == topic], objected_to)
        for topic in judge.knowledge.topics
    }


def _shares_of(rules: Sequence[Rule], objected_to: set[str | None]) -> Mapping[str, float]:
    only_permit = sum(
        rule.force == "may" and rule.about is not None and rule.about not in objected_to for rule in rules
    )
    others = len(rules) - only_permit
    if not others:
        return SHARES
    of_all = {kind: share * len(rules) for kind, share in SHARES.items()}
    of_others = {**of_all, ALLOWED: of_all[ALLOWED] - only_permit}
    return {kind: max(LEAST, count / others) for kind, count in of_others.items()}
