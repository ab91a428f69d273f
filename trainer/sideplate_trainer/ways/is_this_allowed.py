"""Is this allowed: the verdict on a deed, or on the job as it stands, from what the story tells.

A rule that is about a subject asks about that deed by name, with the five verdicts a ruling can amount to. A rule that
is about none asks about the job as told: whether it says `must` or `must not` is then only a matter of how the rule is
put, so both count as one. Whatever is not mentioned is in order, and the story says what nobody knows yet; that
decides nothing, except where two completions of it disagree, which is when the key is `cannot tell yet`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sideplate_engine import Judge
from sideplate_engine.authored_conditions import Test
from sideplate_engine.open_facts import status_of
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Fact, Value
from sideplate_trainer.hints import hints_to_a_verdict
from sideplate_trainer.questions import Marked, NoQuestion, Question, Twin, chosen_option
from sideplate_trainer.retelling import Untellable, change_in_words, retell
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.situation import NearMiss, Situation
from sideplate_trainer.verdicts import CANNOT_TELL, NOTHING, Contested, Verdict, options_for, verdict
from sideplate_trainer.way import Level, Way

AS_TOLD, NEAR_MISS, MORE_NEEDED = "as told", "near miss", "more needed"
SHARES = (AS_TOLD, AS_TOLD, NEAR_MISS, NEAR_MISS, MORE_NEEDED)
"""In five questions: two in which the rule rules, two in which it is just silent, one that cannot be told yet."""

IN_ORDER = "Whatever is not mentioned is in order."
MOST_DECOY_VALUES = 8


def suits(rule: Rule) -> bool:
    """Whether the rule gives a ruling."""
    return rule.is_ruling


def pose(judge: Judge, situation: Situation) -> Question:
    """The case that the seed draws, or another where that one cannot be had. Raises NoQuestion."""
    poser = _Poser(judge, situation, judge.knowledge.rules[situation.rule])
    wanted = Draws("is this allowed", situation.rule, situation.seed).pick(SHARES)
    for case in dict.fromkeys((wanted, AS_TOLD, NEAR_MISS)):
        try:
            question = poser.posed(case)
        except (Untellable, Contested):
            continue
        if question is not None:
            return question
    raise NoQuestion(f"no verdict stands out in the situation of {situation.rule}, seed {situation.seed}")


@dataclass(frozen=True, slots=True)
class _Poser:
    judge: Judge
    situation: Situation
    rule: Rule

    @property
    def subject(self) -> str | None:
        return self.rule.about

    @property
    def vocabulary(self) -> Mapping[str, Fact]:
        return self.judge.knowledge.facts

    def verdict(self, facts: Mapping[str, Value]) -> Verdict:
        return verdict(self.judge, facts, self.subject)

    def posed(self, case: str) -> Question | None:
        fires_on = self.situation.facts
        on_target = self.verdict(fires_on)
        if self.rule.force != "may" and self.rule.id not in on_target.rules:
            return None
        if case == AS_TOLD:
            twins = [self.twin(fires_on, near.facts) for near, _ in self.contrasting(on_target)][:1]
            return self.question(case, fires_on, on_target.word, twins)
        for near, on_near in self.contrasting(on_target):
            if case == NEAR_MISS and NOTHING in (on_near.word, on_target.word):
                return self.question(case, near.facts, on_near.word, [self.twin(near.facts, fires_on)])
            if case == MORE_NEEDED and (facts := self.without_the_decider(near)) is not None:
                twins = [self.twin(facts, fires_on), self.twin(facts, near.facts)]
                return self.question(case, facts, CANNOT_TELL, twins)
        return None

    def contrasting(self, on_target: Verdict) -> Iterator[tuple[NearMiss, Verdict]]:
        """The near misses on which another verdict stands, in an order drawn by the seed."""
        silent = [near for near in self.situation.near_misses if near.status != "open"]
        for near in Draws("near miss", self.rule.id, self.situation.seed).shuffled(silent):
            try:
                on_near = self.verdict(near.facts)
            except Contested:
                continue
            if on_near.word != on_target.word:
                yield near, on_near

    def without_the_decider(self, near: NearMiss) -> Mapping[str, Value] | None:
        """The situation without the fact that the near miss changes: its two values lead to two verdicts.

        None where the fact is added or taken away, and where not knowing the fact is itself something to rule on.
        """
        fires_on = self.situation.facts
        if near.changed not in fires_on or near.changed not in near.facts:
            return None
        facts = {name: value for name, value in fires_on.items() if name != near.changed}
        chained = self.judge.outcome(facts)
        if status_of(self.judge.knowledge, chained, self.rule).status != "open":
            return None
        return facts if self.verdict(facts).word == NOTHING else None

    def twin(self, before: Mapping[str, Value], after: Mapping[str, Value]) -> Twin:
        return Twin(change_in_words(before, after, self.vocabulary), after, self.verdict(after).word)

    def question(self, case: str, facts: Mapping[str, Value], key: str, twins: list[Twin]) -> Question:
        unknown = sorted(self.situation.facts.keys() - facts.keys()) if case == MORE_NEEDED else []
        story = (
            *retell(self.situation, facts, self.vocabulary),
            *(f"Not to be found out: {self.vocabulary[name].ask}" for name in self.not_to_be_had(facts)),
            *(f"Not known yet: {self.vocabulary[name].ask}" for name in unknown or self.decoy(facts, key)),
        )
        return Question(
            rule=self.rule.id,
            way="is_this_allowed",
            seed=self.situation.seed,
            case=case,
            facts=facts,
            fires_on=self.situation.facts,
            story=story,
            asks=(IN_ORDER, *self.asked()),
            key=key,
            options=options_for(self.subject),
            subject=self.subject,
            twins=tuple(twins),
            hints=hints_to_a_verdict(self.judge, self.rule, facts),
        )

    def asked(self) -> tuple[str, ...]:
        if self.subject is None:
            return ("Can the job go ahead as told? The gravest ruling counts.",)
        deed = self.judge.knowledge.subjects[self.subject]
        return (f"In question: {deed}", "Which ruling stands on it? The gravest counts.")

    def not_to_be_had(self, facts: Mapping[str, Value]) -> list[str]:
        """The facts whose very absence the rule reads."""
        return [
            test.fact
            for test in self.rule.conditions.tests()
            if test.test is Test.UNKNOWN and test.fact not in facts and self.vocabulary[test.fact].given
        ]

    def decoy(self, facts: Mapping[str, Value], key: str) -> list[str]:
        """A fact nobody knows that looks as if it mattered and does not, whatever its value. Empty where none is found.

        Without it, a story that leaves something open would always be one that cannot be told yet.
        """
        parts = {name.split(".", 1)[0] for name in facts}
        candidates = [
            fact
            for fact in self.vocabulary.values()
            if fact.given
            and fact.subject in parts
            and fact.name not in self.situation.facts
            and self.values(fact)
        ]
        read = set(self.rule.reads())
        for fact in Draws("decoy", self.rule.id, self.situation.seed).shuffled(candidates):
            if fact.name not in read and all(
                self.stays(facts, fact, value, key) for value in self.values(fact)
            ):
                return [fact.name]
        return []

    def values(self, fact: Fact) -> tuple[Value, ...]:
        """Every value of a flag or a short choice; none for facts whose values cannot be gone through."""
        if fact.kind == "flag":
            return (True, False)
        choices = tuple(fact.choices or ())
        return (
            choices if fact.kind == "choice" and not fact.many and len(choices) <= MOST_DECOY_VALUES else ()
        )

    def stays(self, facts: Mapping[str, Value], fact: Fact, value: Value, key: str) -> bool:
        try:
            return self.verdict({**facts, fact.name: value}).word == key
        except Contested:
            return False


def mark(question: Question, answer: str) -> Marked:
    """Right or wrong by the key; of a wrong choice, in which case it would be right. Raises AnswerRefused."""
    option = chosen_option(question, answer)
    if option.word == question.key:
        return Marked(option.word, True)
    said = [f"You said: {option.word}."]
    for twin in question.twins:
        if twin.outcome == option.word:
            said.append(f"That would be right here: {twin.change}")
    return Marked(option.word, False, tuple(said))


WAY = Way("Is this allowed?", suits, pose, mark, Level.VERDICT)
