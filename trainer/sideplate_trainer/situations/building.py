"""Builds situations: a plan worked backwards from a rule, filled, judged, and dressed as a story."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping as MappingABC
from collections.abc import Sequence

from sideplate_engine import Judge, built_in_folder
from sideplate_engine.authored_conditions import FactTest
from sideplate_engine.derivations import Computation
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Value
from sideplate_trainer.situations.avoiding import to_avoid
from sideplate_trainer.situations.backward_plan import make_plan
from sideplate_trainer.situations.candidates import Candidate, Scrutiny
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.example_varying import ExampleVarying
from sideplate_trainer.situations.machine_choice import MachineChoice
from sideplate_trainer.situations.near_misses import NearMissFinder
from sideplate_trainer.situations.plans import Avoid, DeadEnd
from sideplate_trainer.situations.rule_reach import RuleReach
from sideplate_trainer.situations.settling import Settler
from sideplate_trainer.situations.sheet_filling import Filler
from sideplate_trainer.situations.single_changes import SingleChanges
from sideplate_trainer.situations.situation import NoSituation, Situation
from sideplate_trainer.situations.stories import tell_story
from sideplate_trainer.situations.workshop import Workshop, read_workshop

_ATTEMPTS, _STRICT_ATTEMPTS, _UNVARIED_ATTEMPTS = 32, 24, 4
_CANDIDATES = 4
_SETTLED_SHARE = 0.75
_DEEP = 3

Facts = MappingABC[str, Value]


class SituationBuilder:
    """Builds situations from one knowledge base and one workshop; keep it, for it remembers what rules rest on."""

    def __init__(self, judge: Judge, workshop: Workshop | None = None) -> None:
        self.judge = judge
        self.knowledge = judge.knowledge
        self.reach = RuleReach(judge.knowledge)
        if workshop is None:
            workshop, _ = read_workshop(built_in_folder(), judge.knowledge.facts)
        self.workshop = workshop
        self._machines = MachineChoice(judge, self.reach, workshop)
        self._scrutiny = Scrutiny(judge, workshop)
        self._examples = ExampleVarying(self.reach, self._scrutiny, self._machines)

    def build(self, rule_id: str, seed: int) -> Situation:
        """A situation in which a rule fires and stands: always the same for one base, rule and seed.

        Raises NoSituation where none is found, and KeyError for a rule that is not in the base.
        """
        rule = self.knowledge.rules[rule_id]
        draws = Draws("situation", rule_id, seed)
        coloured = self._scrutiny.coloured(rule, self._candidate(rule, draws), draws)
        facts = {name: coloured[name] for name in self.knowledge.facts if name in coloured}
        quick, chained = self.quick_judge([rule.id]), self.judge.outcome(facts)
        changes = SingleChanges(quick, self.reach, self.workshop, rule, chained, draws)
        near_misses = NearMissFinder(self.judge, self.workshop, rule, changes).find()
        return Situation(
            rule=rule_id,
            seed=seed,
            facts=facts,
            story=tell_story(self.workshop, self.knowledge.facts, rule.topic, facts, draws),
            near_misses=near_misses,
        )

    def sheet(self, rule_id: str, seed: int) -> Facts:
        """The bare sheet of a situation, without colour, story and near misses. Raises as `build` does."""
        rule = self.knowledge.rules[rule_id]
        return self._candidate(rule, Draws("situation", rule_id, seed)).facts

    def has_example_sheet(self, rule_id: str) -> bool:
        """Whether one of a rule's own examples is a sheet on which it stands."""
        rule = self.knowledge.rules[rule_id]
        draws = Draws("example", rule_id)
        fires = (example.given for example in rule.examples if example.expect == "fires" and not example.todo)
        return any(self._examples.stands_on(rule, given, draws) is not None for given in fires)

    def solve(
        self, goals: Sequence[FactTest], avoid: Sequence[Avoid], draws: Draws, pinned: Facts, quick: Judge
    ) -> dict[str, Value]:
        """A sheet with the pinned facts on it on which every goal holds, by a judge of what they rest on.

        Raises DeadEnd; another draw may do.
        """
        plan = make_plan(self.reach, goals, avoid, draws, pinned, {})
        filler = Filler(self.reach, plan, draws, self._machines.hinter({}, None), pinned)
        return Settler(filler, quick).settled(filler.fill())

    def quick_judge(self, rules: Sequence[str]) -> Judge:
        """A judge of these rules and all that they rest on."""
        return self.reach.judge_of(self.reach.rules_below(rules))

    def _candidate(self, rule: Rule, draws: Draws) -> Candidate:
        """The least odd of a few sheets on which the rule stands. Raises NoSituation."""
        reasons: Counter[str] = Counter()
        best: Candidate | None = None
        found = 0
        settled, deep = draws.chance(_SETTLED_SHARE), self._is_deep(rule)
        for attempt in range(_ATTEMPTS):
            strict = attempt < _STRICT_ATTEMPTS
            varied = (deep or attempt >= _UNVARIED_ATTEMPTS) and draws.chance(0.6)
            try:
                if varied:
                    candidate = self._varied(rule, draws, strict=strict)
                else:
                    now_settled = settled and strict and found % 2 == 0
                    candidate = self._drawn(rule, draws, strict=strict, settled=now_settled)
            except DeadEnd as problem:
                reasons[str(problem)] += 1
                continue
            found += 1
            as_odd_again = best is not None and candidate.oddness == best.oddness
            if best is None or candidate.oddness < best.oddness:
                best = candidate
            if best.oddness == 0 or as_odd_again or found == _CANDIDATES:
                break
        if best is None:
            raise NoSituation(rule.id, reasons.most_common(1)[0][0])
        return best

    def _is_deep(self, rule: Rule) -> bool:
        """Whether a rule rests on several formulas, so that figures drawn apart seldom go together."""
        below = [self.knowledge.rules[id_] for id_ in self.reach.rules_below([rule.id])]
        formulas = [each for other in below for each in other.derivations if isinstance(each, Computation)]
        return len(formulas) >= _DEEP

    def _varied(self, rule: Rule, draws: Draws, *, strict: bool) -> Candidate:
        """A candidate close to one of the rule's own examples, then moved away from it. Raises DeadEnd."""
        example = self._examples.given_by(rule, draws)
        candidate = self._examples.stands_on(rule, example, draws)
        if candidate is None:
            candidate = self._drawn(rule, draws, strict=strict, settled=False, anchor=example)
        return self._examples.moved(rule, candidate, draws)

    def _drawn(
        self, rule: Rule, draws: Draws, *, strict: bool, settled: bool, anchor: Facts | None = None
    ) -> Candidate:
        """A candidate drawn for one branch of the rule's conditions, close to an anchor if one is given.

        Raises DeadEnd.
        """
        branch = draws.pick(rule.requirement.spread())
        example = anchor or (self._examples.given_by(rule, draws) if draws.chance(0.5) else {})
        machine = self._machines.fitting(branch, draws)
        avoid = to_avoid(self.reach, self.workshop, rule, branch, strict=strict, settled=settled)
        plan = make_plan(self.reach, branch, avoid, draws, {}, example, usual=strict)
        filler = Filler(
            self.reach, plan, draws, self._machines.hinter(example, machine, close=anchor is not None), {}
        )
        facts = Settler(filler, self.quick_judge([rule.id])).settled(filler.fill())
        return self._scrutiny.candidate(rule, facts, machine)
