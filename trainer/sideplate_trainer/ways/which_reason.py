"""Which reason is the right one: of a ruling that stands on one line of a sheet, among the reasons of look-alike rules.

The sheet has three lines that rules speak to, and the question names one of the lines by its number. So the sheet tells
of all three reasons alike, and each is the reason for something on it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sideplate_engine import Judge
from sideplate_engine.rules import Rule
from sideplate_trainer.hints import hints_to_a_verdict
from sideplate_trainer.look_alikes import LookAlikes, look_alikes
from sideplate_trainer.mendings import Mending
from sideplate_trainer.mixed_sheets import Sheet, SheetMixer
from sideplate_trainer.questions import NoQuestion, Option, Question, Twin, mark_choice
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.situation import Situation
from sideplate_trainer.way import Level, Way

ALONE_PASSES = 0.25
"""The share of questions put with any other reasons where those drawn evenly do not go with it.

More would give it away: a reason beside which the drawn ones do not go is seldom or never a wrong choice.
"""


def suits(rule: Rule) -> bool:
    """Whether the rule gives a ruling."""
    return rule.is_ruling


def pose(judge: Judge, situation: Situation) -> Question:
    """A sheet of numbered lines on which three rules rule, and their reasons. Raises NoQuestion."""
    draws = Draws("which reason", situation.rule, situation.seed)
    mixer = SheetMixer(judge, situation)
    alikes = look_alikes(judge, by_reason=True)
    pair = next(alikes.of(mixer.rule, draws), None)
    starts = list(mixer.starts(draws))
    for start in starts if pair is not None else ():
        for own in _lines(mixer, start, draws, alone=False):
            found = _beside(mixer, start, own, pair or (), alikes, draws)
            if found is not None:
                return _question(mixer, *found, own, alikes, draws)
    if not draws.chance(ALONE_PASSES):
        raise NoQuestion(f"the reasons drawn do not go with that of {situation.rule}, seed {situation.seed}")
    for start in starts:
        for own in _lines(mixer, start, draws, alone=True):
            found = _beside_anybody(mixer, start, own, alikes, draws)
            if found is not None:
                return _question(mixer, *found, own, alikes, draws)
    raise NoQuestion(
        f"no two rules with reasons of their own go with {situation.rule}, seed {situation.seed}"
    )


def _lines(mixer: SheetMixer, start: Sheet, draws: Draws, *, alone: bool) -> Iterator[Mending]:
    """The lines on which the ruling stands, those with a change that mends them first.

    For a rule that goes with none of those drawn for it (`alone`) then come other lines, without which it is silent.
    """
    yield from mixer.own_mendings(start, draws, by_example=not alone)
    if alone:
        for name in draws.shuffled(sorted(mixer.touching & start.facts.keys())):
            value = start.facts[name]
            without = mixer.sheet({other: kept for other, kept in start.facts.items() if other != name})
            hangs_on_it = without is not None and mixer.rule.id not in without.ruling
            if hangs_on_it and mixer.judge.knowledge.facts[name].tell(value):
                yield Mending(mixer.rule.id, name, value, value, {})


def _beside(
    mixer: SheetMixer, start: Sheet, own: Mending, pair: Iterable[Rule], alikes: LookAlikes, draws: Draws
) -> tuple[Sheet, list[Mending]] | None:
    """The sheet with two more lines that rules speak to; None where they do not go with it."""
    sheet, others = start, list[Mending]()
    for other in pair:
        added = _added(mixer, start, sheet, own, other, alikes, draws, alone=False)
        if added is None:
            return None
        sheet = added[0]
        others.append(added[1])
    return sheet, others


def _beside_anybody(
    mixer: SheetMixer, start: Sheet, own: Mending, alikes: LookAlikes, draws: Draws
) -> tuple[Sheet, list[Mending]] | None:
    """The same with the first two rules that go with it, for a rule that does not go with those drawn."""
    sheet, others = start, list[Mending]()
    for other in alikes.with_reasons_as_long(mixer.rule, draws):
        added = _added(mixer, start, sheet, own, other, alikes, draws, alone=True)
        differs = all(alikes.reasons_differ(other.id, each.rule) for each in others)
        if added is not None and differs:
            sheet = added[0]
            others.append(added[1])
        if len(others) == 2:
            return sheet, others
    return None


def _added(
    mixer: SheetMixer,
    start: Sheet,
    sheet: Sheet,
    own: Mending,
    other: Rule,
    alikes: LookAlikes,
    draws: Draws,
    *,
    alone: bool,
) -> tuple[Sheet, Mending] | None:
    """The sheet with one more line that another rule speaks to; None where it does not go with it.

    The other rule may not read the line asked about; beside a rule that is `alone` it may, with another force.
    """
    if any(not alikes.reasons_differ(other.id, id_) for id_ in start.ruling):
        return None
    if own.fact in alikes.index.touching(other.id) and (not alone or other.force == mixer.rule.force):
        return None
    for fault in draws.shuffled(list(alikes.index.mendings[other.id])):
        mixed = mixer.with_fault(sheet, fault, of_any_force=True)
        if mixed is not None:
            return mixed, fault
    return None


def _question(
    mixer: SheetMixer, sheet: Sheet, others: list[Mending], own: Mending, alikes: LookAlikes, draws: Draws
) -> Question:
    vocabulary = mixer.judge.knowledge.facts
    lines = mixer.told(sheet.facts)
    number = lines.index(vocabulary[own.fact].tell(own.bad)) + 1
    reasons = alikes.index.reasons
    options = [Option(reasons[mixer.rule.id])]
    options += [
        Option(
            reasons[other.rule],
            rule=other.rule,
            told=_told(mixer, other, lines.index(vocabulary[other.fact].tell(other.bad)) + 1),
        )
        for other in others
    ]
    return Question(
        rule=mixer.rule.id,
        way="which_reason",
        seed=mixer.situation.seed,
        case=own.fact,
        facts=sheet.facts,
        fires_on=sheet.facts,
        story=(mixer.opening(), *(f"Line {place}: {line}" for place, line in enumerate(lines, 1))),
        asks=(
            f"Look at line {number}. On it stands a {str(mixer.rule.force).upper()}.",
            "What is the reason for it?",
        ),
        key=options[0].word,
        options=tuple(draws.shuffled(options)),
        twins=()
        if own.good == own.bad
        else (
            Twin(
                vocabulary[own.fact].tell(own.good),
                {**sheet.facts, own.fact: own.good},
                f"no {str(mixer.rule.force).upper()} by this rule",
            ),
        ),
        hints=hints_to_a_verdict(mixer.judge, mixer.rule, sheet.facts),
    )


def _told(mixer: SheetMixer, other: Mending, number: int) -> tuple[str, ...]:
    rule = mixer.judge.knowledge.rules[other.rule]
    return (
        f"That is the reason of another rule: {rule.title}.",
        f"Your choice would have been right of line {number}, on which that rule's {str(rule.force).upper()} stands.",
    )


WAY = Way("Which reason is the right one?", suits, pose, mark_choice, Level.REASON)
