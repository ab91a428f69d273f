"""Which part fits: one of three parts, sizes, counts or supplies, on a sheet that tells all the rest.

Half the questions ask for the only one to which nothing objects; each of the others meets exactly one rule. The other
half ask for the only one that is objected to: so that no part is the right answer wherever it turns up. Only sizes and
codes are asked for in the first way alone, since which of them fits goes by what they have to match. Numbers stand in a
drawn order too: where a limit can be missed on one side only, the right one would else always come last or first.
"""

from __future__ import annotations

from sideplate_engine import Judge
from sideplate_engine.findings import listed
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Fact
from sideplate_trainer.hints import hints_to_a_verdict
from sideplate_trainer.mendings import mended_facts
from sideplate_trainer.mixed_sheets import Sheet, SheetMixer
from sideplate_trainer.parts_to_choose import NOUNS
from sideplate_trainer.questions import NoQuestion, Option, Question, Twin, mark_choice
from sideplate_trainer.retelling import change_in_words
from sideplate_trainer.rule_index import rule_index
from sideplate_trainer.shelf import Candidate, Shelf, shelf_of, shelf_of_codes
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.situation import Situation
from sideplate_trainer.situations.value_drawing import options_of
from sideplate_trainer.way import Level, Way

FITS, OBJECTED = "the one that fits", "the one objected to"


def suits(rule: Rule) -> bool:
    """Whether the rule asks for something that another choice would mend."""
    return rule.is_ruling and rule.force != "may" and any(name in NOUNS for name in mended_facts(rule))


def pose(judge: Judge, situation: Situation) -> Question:
    """A part left out of the sheet, and three to choose from. Raises NoQuestion."""
    draws = Draws("which part", situation.rule, situation.seed)
    mixer = SheetMixer(judge, situation)
    sheet = mixer.plain()
    if sheet is not None and sheet.asking == {situation.rule}:
        for own in mixer.own_mendings(sheet, draws):
            fact = judge.knowledge.facts[own.fact]
            if fact.name not in NOUNS:
                continue
            if fact.kind == "code":
                found = shelf_of_codes(mixer, sheet, own, draws)
                if found is not None and any(each.objector == mixer.rule.id for each in found[1].objected):
                    chosen = found[1].fitting[0], found[1].objected
                    return _question(mixer, found[0], fact, chosen, draws)
                continue
            other = draws.pick(rule_index(judge).finding_fault_in(fact.name))
            chosen_words = _chosen(shelf_of(mixer, sheet, own, draws), mixer.rule.id, other, draws)
            if chosen_words is not None and _passes(fact, *chosen_words, draws):
                return _question(mixer, sheet, fact, chosen_words, draws)
    raise NoQuestion(f"nothing to choose from suits {situation.rule}, seed {situation.seed}")


def _chosen(shelf: Shelf, rule: str, other: str, draws: Draws) -> tuple[Candidate, list[Candidate]] | None:
    """The key and two others; None unless two values fit, and the rule and the other object to one each.

    The coin falls after that: so each value is in the one kind of question as often as in the other.
    """
    own = draws.shuffled([each for each in shelf.objected if each.objector == rule])
    beside = own[1:] if other == rule else [each for each in shelf.objected if each.objector == other]
    if not own or not beside or len(shelf.fitting) < 2:
        return None
    fitting = draws.shuffled(shelf.fitting)
    if draws.chance(0.5):
        return own[0], fitting[:2]
    return fitting[0], [own[0], draws.pick(beside)]


def _passes(fact: Fact, key: Candidate, others: list[Candidate], draws: Draws) -> bool:
    """Lets half of the keys with the longest or the shortest name pass, and all others.

    Harmless cleaners have long names and harmful ones short ones, so that the key stands out by its name's length.
    """
    length = len(fact.show(key.value))
    between = min(len(fact.show(each.value)) for each in others) <= length
    return (between and length <= max(len(fact.show(each.value)) for each in others)) or draws.chance(0.5)


def _question(
    mixer: SheetMixer, sheet: Sheet, fact: Fact, chosen: tuple[Candidate, list[Candidate]], draws: Draws
) -> Question:
    key, others = chosen
    case = FITS if key.objector is None else OBJECTED
    options = [Option(fact.show(key.value), facts=key.sheet.facts)]
    options += [
        Option(
            fact.show(each.value),
            rule=each.objector or mixer.rule.id,
            told=_told(mixer, fact, each),
            facts=each.sheet.facts,
        )
        for each in others
    ]
    by_size = sorted(options, key=lambda option: _in_order(option.word))
    facts = {name: value for name, value in sheet.facts.items() if name != fact.name}
    noun = NOUNS[fact.name]
    return Question(
        rule=mixer.rule.id,
        way="which_part",
        seed=mixer.situation.seed,
        case=case,
        facts=facts,
        fires_on=mixer.situation.facts,
        story=(
            mixer.opening(),
            *mixer.told(facts),
            f"To choose from: {listed([option.word for option in by_size], 'and')}.",
        ),
        asks=(
            f"Which {noun} fits, with nothing to object to?"
            if case == FITS
            else f"Which {noun} is objected to?",
        ),
        key=options[0].word,
        options=tuple(draws.shuffled(options)),
        twins=tuple(
            Twin(fact.tell(each.value), each.sheet.facts, _outcome(mixer, each)) for each in (key, others[0])
        ),
        hints=hints_to_a_verdict(mixer.judge, mixer.rule, facts),
    )


def _outcome(mixer: SheetMixer, candidate: Candidate) -> str:
    if candidate.objector is None:
        return "nothing to object to"
    return str(mixer.judge.knowledge.rules[candidate.objector].force)


def _told(mixer: SheetMixer, fact: Fact, candidate: Candidate) -> tuple[str, ...]:
    """What stands against a choice, or that nothing does, and what else would have made it right."""
    knowledge = mixer.judge.knowledge
    if candidate.objector is None:
        said = f"Nothing stands against it here: {fact.tell(candidate.value)}"
    else:
        rule = knowledge.rules[candidate.objector]
        text = rule.says.fill(candidate.sheet.chained.facts, knowledge.facts)
        said = f"{str(rule.force).upper()}: {text}"
    change = _would_turn(mixer, fact, candidate)
    return (said,) if change is None else (said, f"Your choice would have been right in this case: {change}")


def _would_turn(mixer: SheetMixer, fact: Fact, candidate: Candidate) -> str | None:
    """One other fact by which the choice would be objected to, or no longer be; None where none is found."""
    vocabulary = mixer.judge.knowledge.facts
    for name, here in candidate.sheet.facts.items():
        other = vocabulary[name]
        if name == fact.name or other.is_number or other.many or other.kind == "code":
            continue
        for value in options_of(other, ()):
            turned = None if value == here else mixer.changed(candidate.sheet, name, value)
            if turned is not None and bool(turned.asking) is (candidate.objector is None):
                return change_in_words(candidate.sheet.facts, turned.facts, vocabulary)
    return None


def _in_order(word: str) -> tuple[int, str]:
    """Numbers by size, words by the alphabet."""
    first = word.split(" ", 1)[0]
    return (int(first) if first.isdigit() else 0, word)


WAY = Way("Which part fits?", suits, pose, mark_choice, Level.PICK)
