"""Which rules are judged before which: a rule that reads a derived fact sits above the rules that derive it.

A derived fact is complete when every rule that derives it, and every rule that could set one of those aside,
has been judged. `unless`, `unknown` and `overrides` therefore only ever look at what is complete.
"""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

from sideplate_engine.rules import Rule


@dataclass(frozen=True, slots=True)
class Strata:
    """The stratum of each rule (from 1), and the stratum after which each fact is complete (given ones: 0)."""

    of_rule: MappingABC[str, int]
    fact_complete: MappingABC[str, int]

    @property
    def count(self) -> int:
        """How many strata there are."""
        return max(self.of_rule.values(), default=0)


MOST_NAMED = 12
"""Rules of a cycle that its message names; of a longer one it says how many more there are."""


class CyclicRules(ValueError):
    """Rules that need each other's conclusions. `rules` are the ids in the cycle, in order."""

    def __init__(self, rules: tuple[str, ...]) -> None:
        left_out = len(rules) - MOST_NAMED
        more = (f"{left_out} more",) if left_out > 0 else ()
        super().__init__(" -> ".join((*rules[:MOST_NAMED], *more, rules[0])))
        self.rules = rules


def overriders(rules: Iterable[Rule]) -> dict[str, tuple[str, ...]]:
    """For each rule that others override, the ids of those others (direct ones), sorted."""
    found: dict[str, set[str]] = {}
    for rule in rules:
        for overridden in set(rule.overrides) - {rule.id}:
            found.setdefault(overridden, set()).add(rule.id)
    return {overridden: tuple(sorted(ids)) for overridden, ids in found.items()}


def stratify(rules: Iterable[Rule]) -> Strata:
    """The strata of a rule base. Raises CyclicRules."""
    by_id = {rule.id: rule for rule in rules}
    above = overriders(by_id.values())
    derivers: dict[str, list[str]] = {}
    for rule in by_id.values():
        for fact in rule.derives():
            derivers.setdefault(fact, []).append(rule.id)

    # A node is ("rule", id): judged; ("settled", id): known whether set aside; ("fact", name): complete.
    graph: TopologicalSorter[tuple[str, str]] = TopologicalSorter()
    for rule in by_id.values():
        graph.add(("rule", rule.id), *(("fact", fact) for fact in rule.reads()))
        settled_after = [("settled", other) for other in above.get(rule.id, ()) if other in by_id]
        graph.add(("settled", rule.id), ("rule", rule.id), *settled_after)
    for fact, ids in derivers.items():
        graph.add(("fact", fact), *(("settled", id_) for id_ in ids))
    try:
        order = list(graph.static_order())
    except CycleError as problem:
        nodes = problem.args[1]
        cycle = dict.fromkeys(name for kind, name in reversed(nodes) if kind != "fact")
        raise CyclicRules(tuple(cycle)) from None

    level: dict[tuple[str, str], int] = {}
    for node in order:
        kind, name = node
        if kind == "rule":
            level[node] = 1 + max((level.get(("fact", fact), 0) for fact in by_id[name].reads()), default=0)
        elif kind == "settled":
            others = [level[("settled", other)] for other in above.get(name, ()) if other in by_id]
            level[node] = max([level[("rule", name)], *others])
        else:
            level[node] = max((level[("settled", id_)] for id_ in derivers.get(name, ())), default=0)
    return Strata(
        {name: value for (kind, name), value in level.items() if kind == "rule"},
        {name: value for (kind, name), value in level.items() if kind == "fact"},
    )
