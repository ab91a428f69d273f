"""The judge: a compiled knowledge base that turns job sheets into judgements."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from collections.abc import Sequence

from sideplate_engine.authored_reading import read_conditions_of
from sideplate_engine.chaining import Chained, FactConflict, Match, chain
from sideplate_engine.compiled_rules import compile_rules
from sideplate_engine.judgement import DEFER, Conflict, Judgement, Overridden, Ruling, Side
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.matcher import Matcher
from sideplate_engine.open_facts import open_facts
from sideplate_engine.plain_reading import Truth, compile_conjunctions
from sideplate_engine.proofs import Proofs
from sideplate_engine.rules import Rule
from sideplate_engine.sentences import as_sentence
from sideplate_engine.standings import are_opposed, gravest
from sideplate_engine.vocabulary import System, Value

FORCE_ORDER = ("must not", "must", "should not", "should", "may")


class Judge:
    """Judges job sheets by the matcher, with proofs; outcomes alone by the plain reading, much faster.

    Making one compiles the rules; keep it. It may be shared between threads.
    """

    def __init__(self, knowledge: KnowledgeBase) -> None:
        self.knowledge = knowledge
        self._compiled = compile_rules(knowledge)
        self._plain: Match | None = None
        self._matcher: Matcher | None = None

    def judge(
        self,
        given: MappingABC[str, Value],
        job: str = "",
        system: System = "metric",
        warnings: Sequence[str] = (),
    ) -> Judgement:
        """The judgement on facts already read and checked. `system` is the reader's: metric or us."""
        if self._matcher is None:
            self._matcher = Matcher(self._compiled.conjunctions)
        return self.explain(self.chain(given, self._matcher.matches), job, system, warnings)

    def outcome(self, given: MappingABC[str, Value]) -> Chained:
        """What fires and what is derived, by the plain reading, without texts and proofs."""
        if self._plain is None:
            self._plain = compile_conjunctions(self._compiled.conjunctions)
        return self.chain(given, self._plain)

    def chain(self, given: MappingABC[str, Value], match: Match) -> Chained:
        """The outcome with a way of matching handed in."""
        return chain(self.knowledge, self._compiled, match, given)

    def explain(
        self, chained: Chained, job: str = "", system: System = "metric", warnings: Sequence[str] = ()
    ) -> Judgement:
        """The judgement that an outcome comes to, with texts, proofs, cautions and what is open."""
        proofs = Proofs(self.knowledge, chained, system)
        rulings = self._rulings(chained, proofs, system)
        conflicts = (
            *(self._fact_conflict(conflict, proofs, system) for conflict in chained.conflicts),
            *_opposed_rulings(self.knowledge, rulings),
        )
        cautions = {
            ruling.caution: self.knowledge.cautions[ruling.caution]
            for ruling in rulings
            if ruling.caution is not None
        }
        return Judgement(
            job=job,
            standing=gravest((ruling.force for ruling in rulings), bool(conflicts)),
            rulings=rulings,
            derived={name: proofs.of_fact(name) for name in sorted(chained.derived)},
            open=open_facts(self.knowledge, chained),
            overridden=tuple(
                self._overridden(id_, by, chained, system) for id_, by in chained.overridden.items()
            ),
            conflicts=conflicts,
            warnings=(*warnings, *map(as_sentence, chained.doubts)),
            cautions=cautions,
            defer=DEFER,
            system=system,
            knowledge=self.knowledge,
            chained=chained,
        )

    def _rulings(self, chained: Chained, proofs: Proofs, system: System) -> tuple[Ruling, ...]:
        rules = [self.knowledge.rules[id_] for id_ in chained.live]
        topics = list(self.knowledge.topics)
        standing = sorted(
            (rule for rule in rules if rule.force is not None),
            key=lambda rule: (FORCE_ORDER.index(str(rule.force)), topics.index(rule.topic), rule.id),
        )
        return tuple(self._ruling(rule, chained, proofs, system) for rule in standing)

    def _ruling(self, rule: Rule, chained: Chained, proofs: Proofs, system: System) -> Ruling:
        assert rule.force is not None
        facts, vocabulary = chained.facts, self.knowledge.facts
        lifted_by: tuple[str, ...] = ()
        if rule.unless is not None:
            exception = read_conditions_of(rule.unless, facts, vocabulary)
            if exception.truth is Truth.UNKNOWN:
                lifted_by = exception.missing(facts)
        return Ruling(
            rule=rule.id,
            topic=rule.topic,
            title=rule.title,
            force=rule.force,
            says=rule.says.fill(facts, vocabulary, system),
            instead="" if rule.instead is None else rule.instead.fill(facts, vocabulary, system),
            because=rule.because_text.fill(facts, vocabulary, system),
            because_kind=rule.because.kind,
            if_ignored="" if rule.if_ignored is None else rule.if_ignored.fill(facts, vocabulary, system),
            sources=self.knowledge.cite(rule.sources),
            caution=rule.caution,
            about=rule.about,
            from_facts=proofs.of_rule(rule),
            lifted_by=lifted_by,
            overrides=tuple(id_ for id_, by in chained.overridden.items() if rule.id in by),
        )

    def _overridden(self, id_: str, by: tuple[str, ...], chained: Chained, system: System) -> Overridden:
        """What a rule that was set aside would have said: with its own derived values, not those that stand."""
        rule = self.knowledge.rules[id_]
        own = {result.fact: result.value for result in chained.results.get(id_, ())}
        vocabulary = self.knowledge.facts
        because = " ".join(
            self.knowledge.rules[other].because_text.fill(chained.facts, vocabulary, system) for other in by
        )
        return Overridden(
            rule=id_,
            title=rule.title,
            says=rule.says.fill({**chained.facts, **own}, vocabulary, system),
            by=by,
            because=because,
            differs=rule.is_ruling
            or any(not self._stands(name, value, chained) for name, value in own.items()),
        )

    def _stands(self, name: str, value: Value, chained: Chained) -> bool:
        """Whether what is known of a fact in the end is this value, as near as people round."""
        return name in chained.facts and self.knowledge.facts[name].agrees(chained.facts[name], value)

    def _fact_conflict(self, conflict: FactConflict, proofs: Proofs, system: System) -> Conflict:
        fact = self.knowledge.facts[conflict.fact]
        sides: list[Side] = []
        for value, by in conflict.values:
            said = f"{fact.name} is {fact.show(value, system)}"
            for who in by:
                rule = self.knowledge.rules.get(who)
                from_facts = () if rule is None else proofs.of_derivation(rule, fact.name, value).because_of
                sides.append(Side(who, said, from_facts, None if rule is None else rule.at))
        if conflict.has_given:
            message = (
                f"The sheet's {fact.name} and what the rules make of the other facts disagree; check both."
            )
        else:
            message = f"Rules give {fact.name} different values; none of them is used."
        return Conflict(fact.name, message, tuple(sides))


def _opposed_rulings(knowledge: KnowledgeBase, rulings: Sequence[Ruling]) -> list[Conflict]:
    found: list[Conflict] = []
    about = [ruling for ruling in rulings if ruling.about is not None]
    for number, one in enumerate(about):
        for other in about[number + 1 :]:
            if one.about == other.about and are_opposed(one.force, other.force):
                sides = tuple(
                    Side(
                        ruling.rule,
                        f"{ruling.force}: {ruling.says}",
                        ruling.from_facts,
                        knowledge.rules[ruling.rule].at,
                    )
                    for ruling in (one, other)
                )
                message = (
                    f"Two rules give opposed rulings about one thing: {knowledge.subjects[str(one.about)]}"
                )
                found.append(Conflict(str(one.about), message, sides))
    return found
