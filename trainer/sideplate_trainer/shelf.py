"""What there is to choose from for one fact of a sheet: values that nothing objects to, and some that one rule does."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from sideplate_engine import Judge
from sideplate_engine.open_facts import status_of
from sideplate_engine.vocabulary import Fact, Value
from sideplate_trainer.mendings import Mending
from sideplate_trainer.mixed_sheets import Sheet, SheetMixer
from sideplate_trainer.rule_index import rule_index
from sideplate_trainer.situations import builder_of
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.value_drawing import options_of

TRIED_AT_MOST = 16
FEWEST_FITTING = 2
COUNTS_AWAY = 4
"""How far from the count on the sheet other counts are tried."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A value, the sheet with it, and the one rule that objects to it, if one does."""

    value: Value
    sheet: Sheet
    objector: str | None


@dataclass(frozen=True, slots=True)
class Shelf:
    """The values that fit, and those that are objected to, each by exactly one rule."""

    fitting: list[Candidate]
    objected: list[Candidate]


def shelf_of(mixer: SheetMixer, sheet: Sheet, own: Mending, draws: Draws) -> Shelf:
    """The shelf for the fact that mends a sheet."""
    fact = mixer.judge.knowledge.facts[own.fact]
    shelf = Shelf([], [])
    for value in _values(fact, own, draws):
        candidate = _candidate(mixer, sheet, fact, value)
        if candidate is not None:
            (shelf.fitting if candidate.objector is None else shelf.objected).append(candidate)
    return shelf


def shelf_of_codes(mixer: SheetMixer, sheet: Sheet, own: Mending, draws: Draws) -> tuple[Sheet, Shelf] | None:
    """Three codes that are about, and the sheet with the first of them wherever it gave the one that fits.

    Which code fits goes by the other codes on a sheet. So they are drawn first, each as likely to be the one. None
    where not just that one fits, or where it would not be so with each of the three in its turn.
    """
    fact = mixer.judge.knowledge.facts[own.fact]
    builder = builder_of(mixer.judge)
    about = {
        str(machine.facts[fact.name])
        for machine in builder.workshop.machines
        if fact.name in machine.facts and not machine.only_when_asked
    }
    drawn = draws.shuffled(sorted(about or builder.reach.words_of(fact.name)))[:3]
    found = [_recoded(mixer, sheet, own, [code, *(each for each in drawn if each != code)]) for code in drawn]
    return found[0] if len(found) == 3 and all(found) else None


def _recoded(mixer: SheetMixer, sheet: Sheet, own: Mending, codes: list[str]) -> tuple[Sheet, Shelf] | None:
    """The sheet with the first code where it gave the fitting one; None where not just that one fits then."""
    vocabulary = mixer.judge.knowledge.facts
    recoded = mixer.sheet(
        {
            name: codes[0] if vocabulary[name].kind == "code" and value == own.good else value
            for name, value in sheet.facts.items()
        }
    )
    if recoded is None:
        return None
    fits, *others = (_candidate(mixer, recoded, vocabulary[own.fact], code) for code in codes)
    objected = [each for each in others if each is not None and each.objector is not None]
    if fits is None or fits.objector is not None or len(objected) < len(others):
        return None
    if not any(each.objector == mixer.rule.id for each in objected):
        return None
    return recoded, Shelf([fits], objected)


def goes_beside(judge: Judge, rule: str, fact: str) -> tuple[str, ...]:
    """The rules that object to a value on the shelf of a rule, by its example, and it to one on theirs; itself too.

    So a value stands beside that of another rule about as often as it is the one asked about.
    """
    objectors = _objectors(judge, rule, fact)
    return tuple(other for other in objectors if rule in _objectors(judge, other, fact))


@lru_cache(maxsize=1000)
def _objectors(judge: Judge, rule: str, fact: str) -> tuple[str, ...]:
    """The rules that object to a value on the shelf of the rule's example: itself only where it objects to two."""
    for example in rule_index(judge).mendings[rule]:
        if example.fact != fact:
            continue
        mixer = SheetMixer.on_example(judge, example)
        sheet = mixer.sheet(mixer.situation.facts)
        if sheet is None or sheet.asking != {rule}:
            continue
        shelf = shelf_of(mixer, sheet, example, Draws("objectors", rule, fact))
        if len(shelf.fitting) < FEWEST_FITTING:
            continue
        counted = Counter(str(each.objector) for each in shelf.objected)
        return tuple(sorted(id_ for id_, count in counted.items() if id_ != rule or count > 1))
    return ()


def _values(fact: Fact, own: Mending, draws: Draws) -> Iterator[Value]:
    """The two values that are known already, then others; of a set, each word alone."""
    if fact.is_number:
        here = int(float(str(own.bad)))
        values: list[Value] = [here + away for away in range(-COUNTS_AWAY, COUNTS_AWAY + 1)]
    else:
        values = options_of(fact, ())
    tried = [own.bad, own.good, *draws.shuffled(values)[:TRIED_AT_MOST]]
    yield from dict.fromkeys(
        frozenset({str(value)}) if fact.many and isinstance(value, str) else value for value in tried
    )


def _candidate(mixer: SheetMixer, sheet: Sheet, fact: Fact, value: Value) -> Candidate | None:
    if isinstance(value, frozenset):
        if len(value) != 1:
            return None
    elif fact.possible is not None and not fact.possible[0] <= float(value) <= fact.possible[1]:
        return None
    changed = mixer.changed(sheet, fact.name, value)
    if changed is None:
        return None
    if changed.asking:
        return Candidate(value, changed, *changed.asking) if len(changed.asking) == 1 else None
    status = status_of(mixer.judge.knowledge, changed.chained, mixer.rule).status
    in_order = status != "open" and not mixer.may_be_a_fault(changed, fact.name, value)
    return Candidate(value, changed, None) if in_order else None
