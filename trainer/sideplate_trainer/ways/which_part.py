"""Which part fits: of two parts, sizes, counts or supplies, on a sheet that tells all the rest; or both, or neither.

Half the questions ask which fits and half which is objected to, whichever the two are: so nothing about a part but what
the rules say of it makes it the right answer. One of two is right in half the questions. Which of two codes fits goes
by what it has to match, and both never do; so of codes there are three to choose from, each as likely to be the one.
"""

from __future__ import annotations

from collections.abc import Iterator

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
from sideplate_trainer.shelf import Candidate, Shelf, goes_beside, shelf_of, shelf_of_codes
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.situation import Situation
from sideplate_trainer.situations.value_drawing import options_of
from sideplate_trainer.way import Level, Way

FITS, OBJECTED = "the one that fits", "the one objected to"
BOTH, NEITHER = "both", "neither"


def suits(rule: Rule) -> bool:
    """Whether the rule asks for something that another choice would mend."""
    return rule.is_ruling and rule.force != "may" and any(name in NOUNS for name in mended_facts(rule))


def pose(judge: Judge, situation: Situation) -> Question:
    """A part left out of the sheet, and what to choose from. Raises NoQuestion."""
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
                if found is not None:
                    return _of_codes(mixer, found[0], fact, found[1], draws)
                continue
            beside = goes_beside(judge, situation.rule, fact.name)
            if beside:
                two = _two(shelf_of(mixer, sheet, own, draws), situation.rule, draws.pick(beside), draws)
                if two is not None:
                    return _of_two(mixer, sheet, fact, two, draws)
    raise NoQuestion(f"nothing to choose from suits {situation.rule}, seed {situation.seed}")


def _two(shelf: Shelf, rule: str, other: str, draws: Draws) -> list[Candidate] | None:
    """One that fits and one objected to, or else two alike; None unless each of that could be had.

    What is drawn comes after that: so each part is as often beside one of its own kind as every other.
    """
    own = draws.shuffled([each for each in shelf.objected if each.objector == rule])
    beside = own[1:] if other == rule else [each for each in shelf.objected if each.objector == other]
    if not own or not beside or len(shelf.fitting) < 2:
        return None
    fitting = draws.shuffled(shelf.fitting)
    if draws.chance(0.5):
        return draws.shuffled([own[0], fitting[0]])
    return fitting[:2] if draws.chance(0.5) else draws.shuffled([own[0], draws.pick(beside)])


def _of_two(mixer: SheetMixer, sheet: Sheet, fact: Fact, two: list[Candidate], draws: Draws) -> Question:
    case = FITS if draws.chance(0.5) else OBJECTED
    meant = [each for each in two if (each.objector is None) is (case == FITS)]
    key = fact.show(meant[0].value) if len(meant) == 1 else BOTH if meant else NEITHER
    noun = NOUNS[fact.name]
    options = [
        _part(mixer, fact, each, case, other, is_key=fact.show(each.value) == key)
        for each, other in zip(two, reversed(two), strict=True)
    ]
    for word in (BOTH, NEITHER):
        left_out = [each for each in two if (each in meant) is (word == NEITHER)]
        options.append(
            Option(word)
            if word == key
            else Option(
                word,
                rule=left_out[0].objector or mixer.rule.id,
                told=tuple(_stands(mixer, fact, each) for each in left_out),
            )
        )
    ask = (
        f"Which {noun} fits, with nothing to object to?" if case == FITS else f"Which {noun} is objected to?"
    )
    return _question(mixer, sheet, fact, options, key, case, ask, two)


def _of_codes(mixer: SheetMixer, sheet: Sheet, fact: Fact, shelf: Shelf, draws: Draws) -> Question:
    key = fact.show(shelf.fitting[0].value)
    three = draws.shuffled([*shelf.fitting, *shelf.objected])
    options = [_part(mixer, fact, each, FITS, None, is_key=each in shelf.fitting) for each in three]
    ask = f"Which {NOUNS[fact.name]} fits, with nothing to object to?"
    return _question(mixer, sheet, fact, options, key, FITS, ask, [*shelf.fitting, *shelf.objected])


def _part(
    mixer: SheetMixer, fact: Fact, candidate: Candidate, case: str, other: Candidate | None, *, is_key: bool
) -> Option:
    word = fact.show(candidate.value)
    if is_key:
        return Option(word, facts=candidate.sheet.facts)
    told = [_stands(mixer, fact, candidate)]
    if (candidate.objector is None) is (case == FITS):
        # What was said of it is so, but of the other as well.
        told += [] if other is None else [f"It is the same with the other one. {_stands(mixer, fact, other)}"]
    else:
        told += _would_turn(mixer, fact, candidate)
    return Option(
        word, rule=candidate.objector or mixer.rule.id, told=tuple(told), facts=candidate.sheet.facts
    )


def _question(
    mixer: SheetMixer,
    sheet: Sheet,
    fact: Fact,
    options: list[Option],
    key: str,
    case: str,
    ask: str,
    candidates: list[Candidate],
) -> Question:
    facts = {name: value for name, value in sheet.facts.items() if name != fact.name}
    by_size = sorted((fact.show(each.value) for each in candidates), key=_in_order)
    return Question(
        rule=mixer.rule.id,
        way="which_part",
        seed=mixer.situation.seed,
        case=case,
        facts=facts,
        fires_on=mixer.situation.facts,
        story=(mixer.opening(), *mixer.told(facts), f"To choose from: {listed(by_size, 'and')}."),
        asks=(ask,),
        key=key,
        options=tuple(options),
        twins=tuple(
            Twin(fact.tell(each.value), each.sheet.facts, _outcome(mixer, each)) for each in candidates[:2]
        ),
        hints=hints_to_a_verdict(mixer.judge, mixer.rule, facts),
    )


def _outcome(mixer: SheetMixer, candidate: Candidate) -> str:
    if candidate.objector is None:
        return "nothing to object to"
    return str(mixer.judge.knowledge.rules[candidate.objector].force).upper()


def _stands(mixer: SheetMixer, fact: Fact, candidate: Candidate) -> str:
    """What stands against a part, or that nothing does."""
    knowledge = mixer.judge.knowledge
    if candidate.objector is None:
        return f"Nothing stands against it here: {fact.tell(candidate.value)}"
    rule = knowledge.rules[candidate.objector]
    return f"{str(rule.force).upper()}: {rule.says.fill(candidate.sheet.chained.facts, knowledge.facts)}"


def _would_turn(mixer: SheetMixer, fact: Fact, candidate: Candidate) -> Iterator[str]:
    """One other fact by which this part would be objected to, or no longer be; nothing where none is found."""
    knowledge, index = mixer.judge.knowledge, rule_index(mixer.judge)
    for name, here in candidate.sheet.facts.items():
        other = knowledge.facts[name]
        if name == fact.name or other.is_number or other.many or other.kind == "code":
            continue
        for value in options_of(other, ()):
            turned = None if value == here else mixer.changed(candidate.sheet, name, value)
            if turned is None:
                continue
            change = change_in_words(candidate.sheet.facts, turned.facts, knowledge.facts)
            if candidate.objector is not None and not turned.asking:
                yield f"It would fit if this were told instead: {change}"
                return
            # An objection to that other fact is none to the part.
            if candidate.objector is None and any(fact.name in index.touching(id_) for id_ in turned.asking):
                yield f"It would be objected to if this were told instead: {change}"
                return


def _in_order(word: str) -> tuple[int, str]:
    """Numbers by size, words by the alphabet."""
    first = word.split(" ", 1)[0]
    return (int(first) if first.isdigit() else 0, word)


WAY = Way("Which part fits?", suits, pose, mark_choice, Level.PICK)
