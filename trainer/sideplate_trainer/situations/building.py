"""Builds situations: a plan worked backwards from a rule, filled, judged, and dressed as a story."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping as MappingABC
from collections.abc import Sequence
from dataclasses import dataclass

from sideplate_engine import Judge, built_in_folder
from sideplate_engine.authored_conditions import FactTest, Test
from sideplate_engine.derivations import LookUp
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Value
from sideplate_trainer.situations.backward_plan import Avoid, DeadEnd, make_plan
from sideplate_trainer.situations.consistency import contradiction, is_absurd, rulings, unusual, writable
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.near_misses import NearMissFinder
from sideplate_trainer.situations.rule_reach import RuleReach, row_values
from sideplate_trainer.situations.settling import Settler
from sideplate_trainer.situations.sheet_filling import Filler
from sideplate_trainer.situations.situation import NoSituation, Situation
from sideplate_trainer.situations.stories import tell_story
from sideplate_trainer.situations.test_algebra import allows
from sideplate_trainer.situations.value_drawing import Hints
from sideplate_trainer.situations.workshop import Machine, Workshop, defines, read_workshop

_ATTEMPTS = 40
_STRICT_ATTEMPTS = 28
_CANDIDATES = 5
_ANOTHER_RULING, _ABSURD = 4, 20

Facts = MappingABC[str, Value]


@dataclass(frozen=True, slots=True)
class _Candidate:
    """A sheet on which the rule is live, the machine it was drawn for, and how odd it is: 0 is not odd at all."""

    facts: Facts
    machine: Machine | None
    oddness: int


class SituationBuilder:
    """Builds situations from one knowledge base and one workshop; keep it, for it remembers what rules rest on."""

    def __init__(self, judge: Judge, workshop: Workshop | None = None) -> None:
        self.judge = judge
        self.knowledge = judge.knowledge
        self.reach = RuleReach(judge.knowledge)
        if workshop is None:
            workshop, _ = read_workshop(built_in_folder(), judge.knowledge.facts)
        self.workshop = workshop
        self._machine_facts = {
            machine.name: judge.outcome(machine.facts).facts for machine in workshop.machines
        }
        self._common = self._common_values()

    def build(self, rule_id: str, seed: int) -> Situation:
        """A situation in which a rule fires and stands: always the same for one base, rule and seed.

        Raises NoSituation where none is found, and KeyError for a rule that is not in the base.
        """
        rule = self.knowledge.rules[rule_id]
        draws = Draws("situation", rule_id, seed)
        candidate = self._candidate(rule, draws)
        facts = self._coloured(rule, candidate, draws)
        order = {name: number for number, name in enumerate(self.knowledge.facts)}
        facts = {name: facts[name] for name in sorted(facts, key=order.__getitem__)}
        finder = NearMissFinder(self.judge, self._quick(rule), self.reach, self.workshop, rule, facts, draws)
        return Situation(
            rule=rule_id,
            seed=seed,
            facts=facts,
            story=tell_story(self.workshop, self.knowledge.facts, rule.topic, facts, draws),
            near_misses=finder.find(),
        )

    def solve(
        self, goals: Sequence[FactTest], avoid: Sequence[Avoid], draws: Draws, pinned: Facts, quick: Judge
    ) -> dict[str, Value]:
        """A sheet with these facts on it on which every goal holds. Raises DeadEnd."""
        plan = make_plan(self.reach, goals, avoid, draws, pinned, {})
        filler = Filler(self.reach, plan, draws, self._hinter({}, None), pinned)
        return Settler(filler, quick).settled(filler.fill())

    def _quick(self, rule: Rule) -> Judge:
        return self.reach.judge_of(self.reach.rules_below([rule.id]))

    def _candidate(self, rule: Rule, draws: Draws) -> _Candidate:
        reasons: Counter[str] = Counter()
        best: _Candidate | None = None
        found = 0
        for attempt in range(_ATTEMPTS):
            try:
                candidate = self._attempt(rule, draws, strict=attempt < _STRICT_ATTEMPTS)
            except DeadEnd as problem:
                reasons[str(problem)] += 1
                continue
            found += 1
            if best is None or candidate.oddness < best.oddness:
                best = candidate
            if best.oddness == 0 or found == _CANDIDATES:
                return best
        best = best or self._from_example(rule, draws)
        if best is None:
            raise NoSituation(rule.id, reasons.most_common(1)[0][0])
        return best

    def _attempt(self, rule: Rule, draws: Draws, *, strict: bool) -> _Candidate:
        branch = draws.pick(rule.requirement.spread())
        fires = [example.given for example in rule.examples if example.expect == "fires" and not example.todo]
        example = draws.pick(fires) if fires and draws.chance(0.5) else {}
        machine = self._machine(branch, draws)
        avoid = self._to_avoid(rule, strict=strict)
        plan = make_plan(self.reach, branch, avoid, draws, {}, example, usual=strict)
        filler = Filler(self.reach, plan, draws, self._hinter(example, machine), {})
        facts = Settler(filler, self._quick(rule)).settled(filler.fill())
        return self._judged(rule, facts, machine)

    def _judged(self, rule: Rule, facts: Facts, machine: Machine | None) -> _Candidate:
        """The candidate that a sheet makes. Raises DeadEnd where the rule does not stand on it."""
        if not writable(self.knowledge, facts):
            raise DeadEnd("only values that cannot be written down exactly would do")
        chained = self.judge.outcome(facts)
        if rule.id in chained.overridden:
            raise DeadEnd(f"{' and '.join(chained.overridden[rule.id])} sets it aside")
        if rule.id not in chained.live:
            raise DeadEnd(chained.no_value.get(rule.id, "its conditions do not come to hold together"))
        problem = contradiction(self.knowledge, chained)
        if problem is not None:
            raise DeadEnd(problem)
        others = rulings(self.knowledge, chained) - {rule.id}
        oddness = _ANOTHER_RULING * len(others) + unusual(self.knowledge, chained)
        if is_absurd(self.knowledge, self.workshop, chained.facts):
            oddness += _ABSURD
        return _Candidate(facts, machine, oddness)

    def _to_avoid(self, rule: Rule, *, strict: bool) -> list[Avoid]:
        avoid = [] if rule.unless is None else [Avoid(rule.unless, "its own exception holds too")]
        for other in self.reach.overriders(rule.id):
            avoid.append(Avoid(other.requirement, f"{other.id} sets it aside", self._found_nowhere(other)))
        if strict:
            avoid += [
                Avoid(never, "so does something the workshop never sees") for never in self.workshop.never
            ]
        return avoid

    def _found_nowhere(self, rule: Rule) -> tuple[FactTest, ...]:
        """Tests under which a rule's look-up has nothing to give, so that it does not fire."""
        return tuple(
            FactTest(
                look_up.by,
                Test.NONE_OF,
                look_up.at,
                tuple(row_values(look_up, self.knowledge.facts[look_up.fact])),
            )
            for look_up in rule.derivations
            if isinstance(look_up, LookUp)
        )

    def _machine(self, branch: Sequence[FactTest], draws: Draws) -> Machine | None:
        """A machine that the tests allow; an uncommon one only where they ask for what it is."""
        asked = [test for test in branch if defines(test.fact) and test.other is None]
        fitting = [
            machine
            for machine in self.workshop.machines
            if all(
                allows([test], test.fact, machine.facts[test.fact], self.knowledge.facts)
                for test in asked
                if test.fact in machine.facts
            )
            and (asked or not machine.only_when_asked)
        ]
        return draws.pick(fitting) if fitting else None

    def _hinter(self, example: Facts, machine: Machine | None) -> _Hinter:
        own = {} if machine is None else self._machine_facts[machine.name]
        return _Hinter(self.reach, self._common, example, own)

    def _common_values(self) -> dict[str, frozenset[Value]]:
        """For each fact, the values it takes on machines that come in unasked, or else in examples."""
        on_machines: dict[str, set[Value]] = {}
        for machine in self.workshop.machines:
            if not machine.only_when_asked:
                for name, value in self._machine_facts[machine.name].items():
                    on_machines.setdefault(name, set()).add(value)
        in_examples: dict[str, set[Value]] = {}
        for rule in self.knowledge.rules.values():
            for example in rule.examples:
                for name, value in example.given.items():
                    in_examples.setdefault(name, set()).add(value)
        return {name: frozenset(known) for name, known in {**in_examples, **on_machines}.items()}

    def _from_example(self, rule: Rule, draws: Draws) -> _Candidate | None:
        """The last resort: one of the rule's own examples as it stands."""
        for example in draws.shuffled(rule.examples):
            try:
                machine = self._machine((), draws)
                return self._judged(rule, dict(example.given), machine)
            except DeadEnd:
                continue
        return None

    def _colours(self, candidate: _Candidate, draws: Draws) -> list[str]:
        """Facts of the machine that a story might mention beside these: of the machine itself, or of the same parts."""
        assert candidate.machine is not None
        subjects = {"bike", "chain", *(name.split(".")[0] for name in candidate.facts)}
        names = [name for name in candidate.machine.facts if self.knowledge.facts[name].subject in subjects]
        mixed = draws.shuffled(names)
        return sorted(mixed, key=lambda name: name != "bike.use") if draws.chance(0.5) else mixed

    def _coloured(self, rule: Rule, candidate: _Candidate, draws: Draws) -> Facts:
        """The sheet with two to four more facts of the machine that change no ruling and contradict nothing."""
        facts = dict(candidate.facts)
        if candidate.machine is None:
            return facts
        before = self.judge.outcome(facts)
        stands, odd = rulings(self.knowledge, before), unusual(self.knowledge, before)
        wanted = draws.whole(2, 4)
        for name in self._colours(candidate, draws):
            if name in before.facts:
                continue
            tried = {**facts, name: candidate.machine.facts[name]}
            chained = self.judge.outcome(tried)
            if (
                rule.id in chained.live
                and rulings(self.knowledge, chained) == stands
                and contradiction(self.knowledge, chained) is None
                and unusual(self.knowledge, chained) <= odd
                and not is_absurd(self.knowledge, self.workshop, chained.facts)
            ):
                facts = tried
                wanted -= 1
                if wanted == 0:
                    break
        return facts


@dataclass(frozen=True, slots=True)
class _Hinter:
    """What to try first for a fact: an example's value, then the machine's."""

    reach: RuleReach
    common: MappingABC[str, frozenset[Value]]
    example: Facts
    machine: Facts

    def __call__(self, name: str) -> Hints:
        words = self.reach.words_of(name)
        if defines(name) and name in self.machine:
            return Hints(fixed=self.machine[name], words=words)
        return Hints(
            like=self.example.get(name),
            exact=self.machine.get(name),
            words=words,
            common=self.common.get(name, frozenset()),
            standard=self.reach.standard(name),
        )
