"""Which fact is still missing: of three things that nobody knows yet, the one on which a ruling hangs.

The other two could bring a ruling of another force, but whatever the answer, none of the force that is asked about.
"""

from __future__ import annotations

from itertools import permutations

from sideplate_engine import Judge
from sideplate_engine.open_facts import status_of
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Fact
from sideplate_trainer.faults_beside import faults_beside, stand_alike
from sideplate_trainer.hints import hints_to_a_verdict
from sideplate_trainer.mendings import Mending
from sideplate_trainer.mixed_sheets import Sheet, SheetMixer
from sideplate_trainer.other_forces import other_forces
from sideplate_trainer.questions import NoQuestion, Option, Question, Twin, mark_choice
from sideplate_trainer.rule_index import rule_index
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.situation import Situation
from sideplate_trainer.way import Level, Way


def suits(rule: Rule) -> bool:
    """Whether the rule gives a ruling."""
    return rule.is_ruling


def pose(judge: Judge, situation: Situation) -> Question:
    """A sheet with three facts left out. Raises NoQuestion."""
    draws = Draws("missing fact", situation.rule, situation.seed)
    mixer = SheetMixer(judge, situation)
    forces = other_forces(judge, _asked, _alone_decides, unable=True)
    pair = forces.pair_beside(mixer.rule, draws)
    if pair is None or not stand_alike(judge, forces, (mixer.rule, *pair)):
        raise NoQuestion(f"no two rules of other force go with {situation.rule}, seed {situation.seed}")
    for start, own in mixer.example_starts(draws):
        found = faults_beside(mixer, start, own, pair, forces, draws)
        if found is None:
            continue
        full, others = found
        three = [own, *others]
        sheet = _without(mixer, full, three)
        # A ruling hangs on each of them, so that none is a wrong choice only.
        if (
            sheet is not None
            and all(_hangs_on(mixer, sheet, each) for each in three)
            and _apart(mixer, sheet, three)
        ):
            return _question(mixer, sheet, own, others, draws)
    raise NoQuestion(f"no two facts that decide otherwise go with {situation.rule}, seed {situation.seed}")


def _asked(fact: Fact, mending: Mending) -> str:
    return fact.ask


def _without(mixer: SheetMixer, sheet: Sheet, left_out: list[Mending]) -> Sheet | None:
    names = {each.fact for each in left_out}
    return mixer.sheet({name: value for name, value in sheet.facts.items() if name not in names})


def _alone_decides(mixer: SheetMixer, sheet: Sheet, own: Mending) -> bool:
    """Whether a ruling hangs on a fact once that is left out of a sheet."""
    without = _without(mixer, sheet, [own])
    return without is not None and _hangs_on(mixer, without, own)


def _hangs_on(mixer: SheetMixer, sheet: Sheet, left_out: Mending) -> bool:
    """Whether its rule is open, and the fact's two values decide whether anything of that rule's force stands."""
    knowledge = mixer.judge.knowledge
    rule = knowledge.rules[left_out.rule]
    if status_of(knowledge, sheet.chained, rule).status != "open" or mixer.has_force(sheet, str(rule.force)):
        return False
    fires = mixer.changed(sheet, left_out.fact, left_out.bad)
    silent = mixer.changed(sheet, left_out.fact, left_out.good)
    return (
        fires is not None
        and rule.id in fires.ruling
        and silent is not None
        and not mixer.has_force(silent, str(rule.force))
    )


def _apart(mixer: SheetMixer, sheet: Sheet, mendings: list[Mending]) -> bool:
    """Whether no answer about one of the facts brings a ruling of a force that another is to decide about."""
    index, rules = rule_index(mixer.judge), mixer.judge.knowledge.rules
    return not any(
        index.can_bring(one.fact, str(rules[other.rule].force), sheet.facts)
        for one, other in permutations(mendings, 2)
    )


def _question(mixer: SheetMixer, sheet: Sheet, own: Mending, others: list[Mending], draws: Draws) -> Question:
    vocabulary = mixer.judge.knowledge.facts
    force = str(mixer.rule.force).upper()
    options = [
        Option(
            _asked(vocabulary[each.fact], each),
            rule=None if each is own else each.rule,
            told=() if each is own else _told(mixer, each),
        )
        for each in (own, *others)
    ]
    fact = vocabulary[own.fact]
    twins = [
        Twin(fact.tell(value), {**sheet.facts, own.fact: value}, outcome)
        for value, outcome in (
            (own.bad, f"a {force} stands"),
            (own.good, f"no {force} stands"),
        )
    ]
    return Question(
        rule=mixer.rule.id,
        way="missing_fact",
        seed=mixer.situation.seed,
        case=own.fact,
        facts=sheet.facts,
        fires_on={**sheet.facts, own.fact: own.bad},
        story=(mixer.opening(), *mixer.told(sheet.facts)),
        asks=(
            f"Three things are not known yet. Whether a {force} stands hangs on one of them.",
            "Which one has to be found out?",
        ),
        key=options[0].word,
        options=tuple(draws.shuffled(options)),
        twins=tuple(twins),
        hints=hints_to_a_verdict(mixer.judge, mixer.rule, sheet.facts),
    )


def _told(mixer: SheetMixer, other: Mending) -> tuple[str, ...]:
    rule = mixer.judge.knowledge.rules[other.rule]
    force, own = str(rule.force).upper(), str(mixer.rule.force).upper()
    return (
        f"Its answer decides about a {force}: {rule.title}.",
        f"Whatever the answer, it brings no {own} here.",
        f"Your choice would have been right if the {force} had been asked about.",
    )


WAY = Way("Which fact is still missing?", suits, pose, mark_choice, Level.FAULT)
