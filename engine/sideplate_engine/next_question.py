"""Which question an interview asks next: the one that decides most of what can still change.

It begins broad, with the work planned and the parts of the job. Then it asks for facts, one at a time where a fact
decides much; facts that matter only in a few of their values are put together as a list to tick off. What could only
contradict what rules have worked out comes last, on one list.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from sideplate_engine.authored_conditions import FactTest, Test
from sideplate_engine.interview import Interview
from sideplate_engine.interview_questions import (
    Claim,
    ClaimsQuestion,
    DoubtsQuestion,
    FactQuestion,
    PartsQuestion,
    Question,
)
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.open_facts import WEIGHT
from sideplate_engine.prospects import Prospects
from sideplate_engine.stakes import DoubtAtStake, RulingAtStake, at_stake
from sideplate_engine.vocabulary import Element

FIRST = "work.task"
"""The fact that an interview begins with, where the vocabulary has it."""

DOUBT = 0.5
"""The weight of a possible contradiction, less than that of any ruling."""

MOST_CLAIMS = 8
MOST_VALUES = 3
"""A list to tick off has so many claims at most, and so many about one fact."""


def next_question(knowledge: KnowledgeBase, interview: Interview) -> Question | None:
    """The next question, or None when no answer can change the rulings any more."""
    broad = _broad(knowledge, interview)
    if broad is not None:
        return broad
    offered = (part.id for part in knowledge.job_parts.offered)
    inside = knowledge.job_parts.facts_of(offered if interview.parts is None else interview.parts)
    askable = frozenset(name for name in inside if knowledge.facts[name].given) - interview.declined
    return _Asking(Prospects(knowledge, interview.facts, askable, interview.denied), interview).question()


def _broad(knowledge: KnowledgeBase, interview: Interview) -> Question | None:
    """The work planned, then the parts of the job, unless they are known or there is no choice."""
    if interview.parts is not None:
        return None
    if FIRST in knowledge.facts and FIRST not in interview.facts and FIRST not in interview.declined:
        rulings = (id_ for id_, rule in knowledge.rules.items() if rule.is_ruling and FIRST in rule.reads())
        return FactQuestion(FIRST, tuple(rulings), contradicts=False, decides=0.0)
    parts = knowledge.job_parts
    if len(parts.offered) < 2:
        return None
    tasks = interview.facts.get(FIRST, frozenset())
    from_task = parts.for_tasks(tasks) if isinstance(tasks, frozenset) else parts.for_tasks((str(tasks),))
    homes = (parts.of(name)[:1] for name in interview.facts)
    wanted = {*from_task, *(home for found in homes for home in found)}
    return PartsQuestion(parts.offered, tuple(part.id for part in parts.offered if part.id in wanted))


class _Asking:
    """Weighs what is at stake, for one question."""

    def __init__(self, prospects: Prospects, interview: Interview) -> None:
        self.prospects = prospects
        self.knowledge = prospects.knowledge
        self.interview = interview
        self.decides: defaultdict[str, float] = defaultdict(float)
        self.rulings: defaultdict[str, list[str]] = defaultdict(list)
        self.doubts: list[str] = []
        for stake in at_stake(prospects):
            self._weigh(stake)

    def _weigh(self, stake: RulingAtStake | DoubtAtStake) -> None:
        if isinstance(stake, RulingAtStake):
            weight = float(WEIGHT[str(self.knowledge.rules[stake.rule].force)])
        elif stake.wanted.keys() == {stake.fact}:
            self.doubts.append(stake.fact)
            return
        else:
            weight = DOUBT
        for fact, share in stake.wanted.items():
            # A fact that a ruling waits for alone decides more than one of several.
            self.decides[fact] += weight * share / len(stake.wanted)
            if isinstance(stake, RulingAtStake):
                self.rulings[fact].append(stake.rule)

    def question(self) -> Question | None:
        for fact in self.doubts:
            if fact in self.interview.doubted:
                return self._of_fact(fact)
        order = {name: number for number, name in enumerate(self.knowledge.facts)}
        ranked = sorted(self.decides, key=lambda fact: (-round(self.decides[fact], 6), order[fact]))
        if ranked:
            claims = self._claims(ranked)
            if len({claim.fact for claim in claims}) > 1:
                return ClaimsQuestion(claims, self.decides[ranked[0]])
            return self._of_fact(ranked[0])
        worked_out = {
            fact: value
            for fact in self.doubts
            for value in self.prospects.outlooks[fact].values or ()
            if self.prospects.outlooks[fact].is_settled
        }
        if worked_out:
            return DoubtsQuestion(worked_out)
        return self._of_fact(self.doubts[0]) if self.doubts else None

    def _of_fact(self, fact: str) -> FactQuestion:
        rulings = tuple(self.rulings[fact])
        return FactQuestion(fact, rulings, fact in self.doubts, round(self.decides[fact], 6))

    def _claims(self, ranked: list[str]) -> tuple[Claim, ...]:
        """The list to tick off that begins with the first fact, from facts of its part; empty where there is none."""
        tests = self._open_tests()
        home = self.knowledge.job_parts.of(ranked[0])[:1]
        claims: list[Claim] = []
        for fact in ranked:
            if self.knowledge.job_parts.of(fact)[:1] != home:
                continue
            values = self._values_that_matter(fact, tests[fact])
            if not values and fact == ranked[0]:
                return ()
            if len(claims) + len(values) <= MOST_CLAIMS:
                rulings = tuple(self.rulings[fact])
                claims += [Claim(fact, value, rulings) for value in values]
        return tuple(claims)

    def _values_that_matter(self, fact_name: str, tests: Iterable[FactTest]) -> list[Element]:
        """The values that make a difference; none when others do too, or when they are too many for a list."""
        fact = self.knowledge.facts[fact_name]
        possible = self.prospects.outlooks[fact_name].values
        if fact.many or possible is None or self.knowledge.derivers(fact_name):
            return []
        values: dict[Element, None] = {}
        for test in tests:
            if test.test not in (Test.EQUALS, Test.ONE_OF):
                return []
            values.update(dict.fromkeys(value for value in test.values if value in possible))
        return list(values) if len(values) <= MOST_VALUES else []

    def _open_tests(self) -> defaultdict[str, list[FactTest]]:
        """The tests of each fact in rules that may fire."""
        found: defaultdict[str, list[FactTest]] = defaultdict(list)
        for test in self._tests():
            for name in test.facts():
                found[name].append(test)
        return found

    def _tests(self) -> Iterator[FactTest]:
        for rule in self.knowledge.rules.values():
            if self.prospects.may_fire(rule.id):
                yield from rule.requirement.tests()
                if rule.unless is not None:
                    yield from rule.unless.tests()
