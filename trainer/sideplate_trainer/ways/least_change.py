"""The least change that makes it right: of three changes of one fact each, the one that takes a ruling away.

The sheet has three faults, ruled on with different force, and the question names one force. Each change mends a fault,
but only one mends that which is asked about. The sheet is put together from the rules' own examples, for all three in
the same manner: so nothing but the force asked about tells them apart.
"""

from __future__ import annotations

from sideplate_engine import Judge
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Fact
from sideplate_trainer.faults_beside import faults_beside, stand_alike
from sideplate_trainer.hints import hints_to_a_verdict
from sideplate_trainer.mendings import Mending
from sideplate_trainer.mixed_sheets import Sheet, SheetMixer
from sideplate_trainer.other_forces import other_forces
from sideplate_trainer.questions import NoQuestion, Option, Question, Twin, mark_choice
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.situation import Situation
from sideplate_trainer.way import Level, Way


def suits(rule: Rule) -> bool:
    """Whether the rule asks for something, so that there is something to put right."""
    return rule.is_ruling and rule.force != "may"


def pose(judge: Judge, situation: Situation) -> Question:
    """A sheet with three faults, and a change for each. Raises NoQuestion."""
    draws = Draws("least change", situation.rule, situation.seed)
    mixer = SheetMixer(judge, situation)
    forces = other_forces(judge, _change, _helps, unable=False)
    pair = forces.pair_beside(mixer.rule, draws)
    if pair is None or not stand_alike(judge, forces, (mixer.rule, *pair)):
        raise NoQuestion(f"no two rules of other force go with {situation.rule}, seed {situation.seed}")
    for start, own in mixer.example_starts(draws):
        mended = mixer.changed(start, own.fact, own.good)
        if mended is None or mended.asking:
            continue
        found = faults_beside(mixer, start, own, pair, forces, draws)
        if found is None:
            continue
        sheet, others = found
        if _each_mends_its_own(mixer, sheet, [own, *others]):
            return _question(mixer, sheet, own, others, draws)
    raise NoQuestion(f"no two faults of another force go with that of {mixer.rule.id}, seed {situation.seed}")


def _each_mends_its_own(mixer: SheetMixer, sheet: Sheet, mendings: list[Mending]) -> bool:
    """Whether each change leaves no ruling of the force that is put right by it, and one of the forces of the others.

    So each of the three could be asked about on this sheet, and none is a wrong choice only.
    """
    rules = mixer.judge.knowledge.rules
    forces = [str(rules[each.rule].force) for each in mendings]
    for place, mending in enumerate(mendings):
        mended = mixer.changed(sheet, mending.fact, mending.good)
        if mended is None:
            return False
        if any(mixer.has_force(mended, force) is (other == place) for other, force in enumerate(forces)):
            return False
    return True


def _helps(mixer: SheetMixer, sheet: Sheet, own: Mending) -> bool:
    """Whether no ruling of the force asked about is left after a change."""
    mended = mixer.changed(sheet, own.fact, own.good)
    return mended is not None and not mixer.has_force(mended, str(mixer.rule.force))


def _change(fact: Fact, mending: Mending) -> str:
    return fact.tell(mending.good)


def _question(mixer: SheetMixer, sheet: Sheet, own: Mending, others: list[Mending], draws: Draws) -> Question:
    vocabulary = mixer.judge.knowledge.facts
    force = str(mixer.rule.force).upper()
    options = [
        Option(
            _change(vocabulary[each.fact], each),
            rule=None if each is own else each.rule,
            told=() if each is own else _told(mixer, sheet, each),
            facts={**sheet.facts, each.fact: each.good},
        )
        for each in (own, *others)
    ]
    mended = {**sheet.facts, own.fact: own.good}
    return Question(
        rule=mixer.rule.id,
        way="least_change",
        seed=mixer.situation.seed,
        case=own.fact,
        facts=sheet.facts,
        fires_on=sheet.facts,
        story=(mixer.opening(), *mixer.told(sheet.facts)),
        asks=(
            f"Rulings of different force stand on this sheet, a {force} among them.",
            f"After which change of one fact is there no {force}?",
        ),
        key=options[0].word,
        options=tuple(draws.shuffled(options)),
        twins=(Twin(options[0].word, mended, f"no {mixer.rule.force} stands"),),
        hints=hints_to_a_verdict(mixer.judge, mixer.rule, sheet.facts),
    )


def _told(mixer: SheetMixer, sheet: Sheet, other: Mending) -> tuple[str, ...]:
    knowledge = mixer.judge.knowledge
    rule = knowledge.rules[other.rule]
    force = str(rule.force).upper()
    said = rule.says.fill(sheet.chained.facts, knowledge.facts)
    return (
        f"As told: {knowledge.facts[other.fact].tell(other.bad)} On that stands a {force}: {said}",
        f"Your change takes that away, and a {str(mixer.rule.force).upper()} still stands.",
        f"Your choice would have been right if the {force} had been asked about.",
    )


WAY = Way("What is the least change that makes it right?", suits, pose, mark_choice, Level.FAULT)
