"""What must not come to hold beside a rule's own conditions, if the rule is to stand on a believable sheet."""

from __future__ import annotations

from sideplate_engine.authored_conditions import AllOf, FactTest, Test
from sideplate_engine.derivations import LookUp
from sideplate_engine.rules import Rule
from sideplate_trainer.situations.plans import Avoid
from sideplate_trainer.situations.rule_reach import RuleReach, row_values
from sideplate_trainer.situations.workshop import Workshop

_BRANCHES_SETTLED = 4


def to_avoid(
    reach: RuleReach,
    workshop: Workshop,
    rule: Rule,
    branch: tuple[FactTest, ...],
    *,
    strict: bool,
    settled: bool,
) -> list[Avoid]:
    """What to avoid on a sheet where one branch of a rule holds: its exception, and what sets it aside.

    `strict` adds what the workshop never sees. `settled` asks that these and the other branches fail for certain, so
    that one change can silence the rule; otherwise it is enough that nothing is known of them.
    """
    avoid: list[Avoid] = []
    if rule.unless is not None:
        avoid.append(Avoid(rule.unless, "its own exception holds too", settled=settled))
    for other in reach.overriders(rule.id):
        said, harmless = f"{other.id} sets it aside", _finds_nothing(reach, other)
        avoid.append(Avoid(other.requirement, said, harmless, settled))
    branches = rule.requirement.spread()
    if settled and len(branches) <= _BRANCHES_SETTLED:
        others = (AllOf(other) for other in branches if other != branch)
        avoid += [Avoid(other, "so does another branch of them", settled=True) for other in others]
    if strict:
        avoid += [Avoid(never, "so does something the workshop never sees") for never in workshop.never]
    return avoid


def _finds_nothing(reach: RuleReach, rule: Rule) -> tuple[FactTest, ...]:
    """Tests under which a rule's look-up has nothing to give, so that it does not fire."""
    return tuple(
        FactTest(look_up.by, Test.NONE_OF, look_up.at, tuple(row_values(look_up, reach.facts[look_up.fact])))
        for look_up in rule.derivations
        if isinstance(look_up, LookUp)
    )
