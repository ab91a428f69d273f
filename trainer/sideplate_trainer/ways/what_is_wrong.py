"""What is wrong on this sheet: one line of it, or nothing.

What the rule rests on beside the faulty line is told as certain, so that no other line could be put right instead. The
other lines are facts that look-alike rules look at and find in order. About one sheet in five has no fault. A rule that
permits something is asked about on a sheet without a fault: its line is the one that tempts.
"""

from __future__ import annotations

from sideplate_engine import Judge
from sideplate_engine.rules import Rule
from sideplate_trainer.hints import hints_to_a_verdict
from sideplate_trainer.look_alikes import look_alikes
from sideplate_trainer.mendings import Mending
from sideplate_trainer.mixed_sheets import Sheet, SheetMixer
from sideplate_trainer.questions import NoQuestion, Option, Question, Twin, mark_choice
from sideplate_trainer.rule_index import rule_index
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.situation import Situation
from sideplate_trainer.way import Level, Way
from sideplate_trainer.wording import is_negative

OTHER_LINES, FEWEST_OTHERS = 3, 2
FAULTLESS = 0.14
"""The share of sheets without a fault of rules that ask for something; with those that permit it comes to a fifth."""

A_NEGATIVE_PASSES = 0.3
"""The share of questions asked whose faulty line alone says that something is not so: good lines seldom do."""

NOTHING_WRONG = Option("nothing is wrong", "every line can stay as it is")


def suits(rule: Rule) -> bool:
    """Whether the rule gives a ruling."""
    return rule.is_ruling


def pose(judge: Judge, situation: Situation) -> Question:
    """A sheet with one fault, or with none where the seed draws that. Raises NoQuestion."""
    draws = Draws("what is wrong", situation.rule, situation.seed)
    mixer = SheetMixer(judge, situation)
    own, faulty = _fault(mixer, draws)
    sheet, others = _with_lines(mixer, faulty, own, draws)
    if _is_the_one_negative(mixer, own, others) and not draws.chance(A_NEGATIVE_PASSES):
        raise NoQuestion(f"the fault of {mixer.rule.id} is the one negative line, seed {situation.seed}")
    faultless = mixer.rule.force == "may" or (draws.chance(FAULTLESS) and _is_clean(mixer, sheet, own))
    if faultless and mixer.rule.force != "may":
        clean = mixer.changed(sheet, own.fact, own.good)
        if clean is None or clean.asking:
            raise NoQuestion(f"{situation.rule} cannot be mended among other lines, seed {situation.seed}")
        sheet = clean
    return _question(mixer, sheet, own, draws.shuffled([own, *others]), faultless=faultless)


def _fault(mixer: SheetMixer, draws: Draws) -> tuple[Mending, Sheet]:
    """What mends the sheet, and the sheet, on which nothing is left to ask for once it is mended. Raises NoQuestion."""
    rule = mixer.rule
    sheet = mixer.plain()
    if sheet is not None and rule.id in sheet.ruling and (rule.force != "may" or not sheet.asking):
        found = [
            mending
            for mending in mixer.own_mendings(sheet, draws)
            if rule.force == "may" or _nothing_left(mixer, sheet, mending)
        ]
        if found:
            return min(found, key=lambda mending: not _is_clean(mixer, sheet, mending)), sheet
    raise NoQuestion(f"no one change puts the situation of {rule.id} right, seed {mixer.situation.seed}")


def _nothing_left(mixer: SheetMixer, sheet: Sheet, mending: Mending) -> bool:
    mended = mixer.changed(sheet, mending.fact, mending.good)
    return mended is not None and not mended.asking


def _is_clean(mixer: SheetMixer, sheet: Sheet, mending: Mending) -> bool:
    """Whether the mended line would be in order on any make of machine and part."""
    mended = mixer.changed(sheet, mending.fact, mending.good)
    return mended is not None and not mixer.may_be_a_fault(mended, mending.fact, mending.good)


def _with_lines(mixer: SheetMixer, sheet: Sheet, own: Mending, draws: Draws) -> tuple[Sheet, list[Mending]]:
    """The sheet with lines of look-alike rules, all in order, and in order still once the fault is mended.

    Lines that say as the faulty one does that something is so, or that it is not, come first. Raises NoQuestion where
    too few go with it.
    """
    facts = mixer.judge.knowledge.facts
    negative = is_negative(facts[own.fact].tell(own.bad))

    def put_otherwise(line: Mending) -> bool:
        return is_negative(facts[line.fact].tell(line.good)) is not negative

    others: list[Mending] = []
    for rule in look_alikes(mixer.judge, by_reason=False).anyone(mixer.rule, draws):
        for line in sorted(
            draws.shuffled(list(rule_index(mixer.judge).mendings[rule.id])), key=put_otherwise
        ):
            mixed = mixer.with_line(sheet, line)
            if mixed is not None and (mixer.rule.force == "may" or _nothing_left(mixer, mixed, own)):
                sheet = mixed
                others.append(line)
                break
        if len(others) == OTHER_LINES:
            break
    if len(others) < FEWEST_OTHERS:
        raise NoQuestion(f"no lines of other rules go with the situation of {mixer.rule.id}")
    return sheet, others


def _is_the_one_negative(mixer: SheetMixer, own: Mending, others: list[Mending]) -> bool:
    facts = mixer.judge.knowledge.facts
    beside = [facts[each.fact].tell(each.good) for each in others]
    return is_negative(facts[own.fact].tell(own.bad)) and not any(map(is_negative, beside))


def _question(
    mixer: SheetMixer, sheet: Sheet, own: Mending, lines: list[Mending], *, faultless: bool
) -> Question:
    vocabulary = mixer.judge.knowledge.facts
    key = NOTHING_WRONG.word if faultless else f"line {lines.index(own) + 1}"
    options = [
        Option(
            f"line {number}",
            vocabulary[line.fact].tell(sheet.facts[line.fact]),
            rule=None if f"line {number}" == key else line.rule,
            told=_told_of_a_line(mixer, sheet, line),
        )
        for number, line in enumerate(lines, 1)
    ]
    nothing = NOTHING_WRONG
    if not faultless:
        nothing = Option(
            nothing.word, nothing.means, rule=mixer.rule.id, told=_told_of_nothing(mixer, sheet, own)
        )
    certain = sheet.facts.keys() - {line.fact for line in lines}
    other = own.bad if faultless else own.good
    return Question(
        rule=mixer.rule.id,
        way="what_is_wrong",
        seed=mixer.situation.seed,
        case="faultless" if faultless else own.fact,
        facts=sheet.facts,
        fires_on=mixer.situation.facts,
        story=(mixer.opening(), *mixer.told(sheet.facts, certain)),
        asks=("So much is certain. At most one line below can be wrong.", "Which one is it?"),
        key=key,
        options=(*options, nothing),
        twins=()
        if mixer.rule.force == "may"
        else (_twin(mixer, sheet, own.fact, other, faultless=faultless),),
        hints=hints_to_a_verdict(mixer.judge, mixer.rule, sheet.facts),
    )


def _twin(mixer: SheetMixer, sheet: Sheet, fact: str, other: object, *, faultless: bool) -> Twin:
    vocabulary = mixer.judge.knowledge.facts
    facts = {**sheet.facts, fact: other}
    outcome = f"a {str(mixer.rule.force).upper()} stands" if faultless else "nothing is wrong"
    return Twin(vocabulary[fact].tell(other), facts, outcome)  # type: ignore[arg-type]


def _told_of_a_line(mixer: SheetMixer, sheet: Sheet, line: Mending) -> tuple[str, ...]:
    """Why a line that was chosen is in order, and how it would have to read to be wrong."""
    rule = mixer.judge.knowledge.rules[line.rule]
    fact = mixer.judge.knowledge.facts[line.fact]
    said = [f"You said that this is wrong: {fact.tell(sheet.facts[line.fact])}"]
    if line.rule in sheet.ruling and rule.force == "may":
        return (*said, f"A rule permits it: {rule.title}.")
    said.append(f"The rule on it is silent here: {rule.title}.")
    worse = mixer.changed(sheet, line.fact, line.bad)
    if worse is not None and line.rule in worse.asking:
        said.append(f"Your choice would have been right if the line read: {fact.tell(line.bad)}")
    return tuple(said)


def _told_of_nothing(mixer: SheetMixer, sheet: Sheet, own: Mending) -> tuple[str, ...]:
    fact = mixer.judge.knowledge.facts[own.fact]
    return (
        f"You said that nothing is wrong, and this is: {fact.tell(own.bad)}",
        f"Your choice would have been right if the line read: {fact.tell(own.good)}",
    )


WAY = Way("What is wrong on this sheet?", suits, pose, mark_choice, Level.FAULT)
