"""Is this allowed: the verdict on a deed, or on the job as it stands, from what the story tells.

A rule that is about a subject asks about that deed by name, with the five verdicts a ruling can amount to. A rule that
is about none asks about the job as told: whether it says `must` or `must not` is then only a matter of how the rule is
put, so both count as one. Whatever is not mentioned is in order, and the story says what nobody knows yet; that
decides nothing, except where two completions of it disagree, which is when the key is `cannot tell yet`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from sideplate_engine import Judge
from sideplate_engine.authored_conditions import Test
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Fact, Value
from sideplate_trainer.hints import hints_to_a_verdict
from sideplate_trainer.idle_facts import all_values, idle_facts
from sideplate_trainer.questions import Marked, NoQuestion, Question, Twin, chosen_option
from sideplate_trainer.retelling import change_in_words
from sideplate_trainer.sheets_beside import SheetsBeside
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.situation import Situation
from sideplate_trainer.situations.stories import USE, tell_facts
from sideplate_trainer.verdict_cases import AS_TOLD, MORE_NEEDED, NEAR_MISS, Case, cases_of
from sideplate_trainer.verdict_shares import kinds_drawn
from sideplate_trainer.verdicts import CANNOT_TELL, options_for
from sideplate_trainer.way import Level, Way

__all__ = ["AS_TOLD", "MORE_NEEDED", "NEAR_MISS", "WAY", "mark", "pose", "suits"]

IN_ORDER = "Whatever is not mentioned is in order."
IDLE_FROM_STORY = 0.25
"""How often what is not known yet, and decides nothing, is a fact that the story would have told."""

MOST_TRIES = 12
"""Of how many facts every value is tried at most."""


def suits(rule: Rule) -> bool:
    """Whether the rule gives a ruling."""
    return rule.is_ruling


def pose(judge: Judge, situation: Situation) -> Question:
    """A question of the kind that the seed draws, or of another where that cannot be had. Raises NoQuestion."""
    poser = _Poser(judge, situation)
    for kind in kinds_drawn(judge, poser.rule, situation.seed):
        for case in cases_of(kind, poser.sheets):
            return poser.question(case)
    raise NoQuestion(f"no verdict stands out in the situation of {situation.rule}, seed {situation.seed}")


class _Poser:
    def __init__(self, judge: Judge, situation: Situation) -> None:
        self.judge = judge
        self.situation = situation
        self.rule = judge.knowledge.rules[situation.rule]
        self.vocabulary: Mapping[str, Fact] = judge.knowledge.facts
        self.sheets = SheetsBeside(judge, situation)

    def question(self, case: Case) -> Question:
        case = self.with_something_unknown(case)
        key = CANNOT_TELL if case.name == MORE_NEEDED else str(self.sheets.word(case.facts))
        return Question(
            rule=self.rule.id,
            way="is_this_allowed",
            seed=self.situation.seed,
            case=case.name,
            facts=case.facts,
            fires_on=case.fires_on,
            story=tuple(self.story(case)),
            asks=(IN_ORDER, *self.asked()),
            key=key,
            options=options_for(self.rule.about),
            subject=self.rule.about,
            twins=tuple(self.twin(case.facts, beside) for beside in case.beside),
            hints=hints_to_a_verdict(self.judge, self.rule, case.facts),
        )

    def story(self, case: Case) -> Iterator[str]:
        yield self.situation.story[0]
        yield from tell_facts(self.vocabulary, case.facts)
        yield from (f"Not to be found out: {self.vocabulary[name].ask}" for name in self.not_to_be_had(case))
        if case.unknown is not None:
            yield f"Not known yet: {self.vocabulary[case.unknown].ask}"

    def twin(self, before: Mapping[str, Value], after: Mapping[str, Value]) -> Twin:
        return Twin(change_in_words(before, after, self.vocabulary), after, str(self.sheets.word(after)))

    def asked(self) -> tuple[str, ...]:
        if self.rule.about is None:
            return ("Can the job go ahead as told? The gravest ruling counts.",)
        deed = self.judge.knowledge.subjects[self.rule.about]
        return (f"In question: {deed}", "Which ruling stands on it? The gravest counts.")

    def not_to_be_had(self, case: Case) -> list[str]:
        """The facts whose very absence the rule reads."""
        return [
            test.fact
            for test in self.rule.conditions.tests()
            if test.test is Test.UNKNOWN
            and test.fact not in case.facts
            and test.fact != case.unknown
            and self.vocabulary[test.fact].given
        ]

    def with_something_unknown(self, case: Case) -> Case:
        """The case with as many sentences as one in which a fact was left out, and with something that is not known.

        What is left out, or is not known, is idle, unless it is what decides.
        """
        draws = self.sheets.draws("idle")
        decider_left_out = case.unknown is not None and case.unknown in case.fires_on
        left_out = None if decider_left_out else self.one_that_can_go(case, draws)
        if left_out is not None:
            case = case.without(left_out)
        if case.unknown is not None:
            return case
        from_story = left_out if draws.chance(IDLE_FROM_STORY) else None
        return replace(case, unknown=from_story or self.idle_beside(case, draws) or left_out)

    def one_that_can_go(self, case: Case, draws: Draws) -> str | None:
        """A fact of the story that decides nothing; None where there is none."""
        return next((name for name in draws.shuffled(sorted(case.facts)) if self.can_go(case, name)), None)

    def idle_beside(self, case: Case, draws: Draws) -> str | None:
        """A fact that the story does not tell and that would decide nothing; None where none is found."""
        idle = idle_facts(self.judge, self.rule.about)
        chained = self.sheets.outcome(case.facts)
        tries = MOST_TRIES
        for name in idle.not_told(self.rule.topic, chained, draws):
            if idle.is_idle(name, chained):
                return name
            values = all_values(self.vocabulary[name]) if tries else ()
            if values:
                tries -= 1
                words = {self.sheets.word({**case.facts, name: value}) for value in values}
                if words == {self.sheets.word(case.facts)}:
                    return name
        return None

    def can_go(self, case: Case, name: str) -> bool:
        """Whether a fact of the story decides nothing, neither here nor in the cases beside it."""
        if name == USE or name in self.rule.reads() or not self.vocabulary[name].ask:
            return False
        less = case.without(name)
        idle = idle_facts(self.judge, self.rule.about)
        return all(
            name in before
            and self.sheets.word(after) == self.sheets.word(before)
            and idle.is_idle(name, self.sheets.outcome(after))
            for before, after in zip((case.facts, *case.beside), (less.facts, *less.beside), strict=True)
        )


def mark(question: Question, answer: str) -> Marked:
    """Right or wrong by the key; of a wrong choice, in which case it would be right. Raises AnswerRefused."""
    option = chosen_option(question, answer)
    if option.word == question.key:
        return Marked(option.word, True)
    said = [f"You said: {option.word}."]
    for twin in question.twins:
        if twin.outcome == option.word:
            said.append(f"That would be right if this were told instead: {twin.change}")
    return Marked(option.word, False, tuple(said))


WAY = Way("Is this allowed?", suits, pose, mark, Level.VERDICT)
