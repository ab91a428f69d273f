"""Cases for a question of verdict: beside a situation, sheets on which one is ruled, none is, or more is needed.

Every case comes from the situation of one rule, changed as little as it takes, and is judged by the whole base.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from sideplate_engine.vocabulary import Value
from sideplate_trainer.parts_to_choose import is_a_description
from sideplate_trainer.sheets_beside import SheetsBeside, with_change, without
from sideplate_trainer.situations.stories import USE
from sideplate_trainer.verdicts import NOTHING

AS_TOLD, NEAR_MISS, MORE_NEEDED = "as told", "near miss", "more needed"

RULED, ALLOWED, MORE = "ruled", "allowed", "more"
"""The three kinds of key: a ruling that asks for something or forbids it, nothing against it, cannot tell yet."""

MOST_SIBLINGS, MOST_UNKNOWN = 6, 12

Facts = Mapping[str, Value]


@dataclass(frozen=True, slots=True)
class Case:
    """A sheet to ask about. `unknown` is the fact that decides, where more is needed.

    `beside` are the sheets next to it; on `fires_on`, which is near it, the rule asked about fires.
    """

    name: str
    facts: Facts
    fires_on: Facts
    beside: tuple[Facts, ...] = ()
    unknown: str | None = None

    def without(self, name: str) -> Case:
        """The case with a fact told neither here nor in the cases beside it."""
        beside = tuple(without(facts, name) for facts in self.beside)
        return replace(
            self, facts=without(self.facts, name), fires_on=without(self.fires_on, name), beside=beside
        )


def cases_of(kind: str, sheets: SheetsBeside) -> Iterator[Case]:
    """The cases whose key is of a kind, the plainest first."""
    if kind == MORE:
        yield from _open(sheets)
    elif (kind == ALLOWED) == sheets.permits:
        yield from _as_told(sheets)
    else:
        yield from _near(sheets)


def _as_told(sheets: SheetsBeside) -> Iterator[Case]:
    for sheet in sheets.ruled_by_it():
        beside = next((near for near, _ in sheets.contrasting(sheet)), None)
        yield Case(AS_TOLD, sheet, sheet, () if beside is None else (beside,))


def _near(sheets: SheetsBeside) -> Iterator[Case]:
    """Cases beside the rule: it is silent, and the verdict is of the other kind."""
    for sheet in sheets.ruled_by_it():
        for near, word in sheets.contrasting(sheet):
            if NOTHING in (word, sheets.word(sheet)):
                yield Case(NEAR_MISS, near, sheet, (sheet,))
    for sheet in sheets.ruled_by_it():
        for near in _ruled_by_others(sheets, sheet) if sheets.permits else _put_right(sheets, sheet):
            yield Case(NEAR_MISS, near, sheet, (sheet,))


def _put_right(sheets: SheetsBeside, sheet: Facts) -> Iterator[Facts]:
    """Sheets with nothing against them, two changes away, or with what is found fault with not mentioned at all."""
    for near in sheets.near_misses():
        facts = with_change(sheet, near)
        if near.status == "open" or not sheets.is_silent(facts):
            continue
        for mended in sheets.mended(facts):
            if sheets.word(mended) == NOTHING and sheets.is_silent(mended):
                yield mended
    for near in sheets.near_misses():
        facts = with_change(sheet, near)
        if near.changed in facts or is_a_description(sheets.knowledge.facts[near.changed]):
            continue
        if sheets.word(facts) == NOTHING and sheets.is_fit(facts):
            yield facts


def _ruled_by_others(sheets: SheetsBeside, sheet: Facts) -> Iterator[Facts]:
    """Sheets on which another rule objects, by what its own examples show."""
    vocabulary = sheets.knowledge.facts
    for rule in sheets.siblings()[:MOST_SIBLINGS]:
        reads = sheets.touching(rule)
        for example in rule.examples:
            if example.expect != "fires" or example.todo:
                continue
            changes = {name: value for name, value in example.given.items() if name in reads and name != USE}
            if not all(vocabulary[name].given and vocabulary[name].tell(changes[name]) for name in changes):
                continue
            facts = {**sheet, **changes}
            found = sheets.verdict(facts)
            if found is not None and rule.id in found.rules and sheets.is_fit(facts):
                yield facts


def _open(sheets: SheetsBeside) -> Iterator[Case]:
    """Cases in which one fact that is not known decides between two verdicts."""
    for sheet in sheets.ruled_by_it():
        yield from _without_a_decider(sheets, sheet)
    for sheet in sheets.ruled_by_it():
        yield from _with_a_new_unknown(sheets, sheet)


def _without_a_decider(sheets: SheetsBeside, sheet: Facts) -> Iterator[Case]:
    """The sheet without a fact that the rule rests on, where the fact's values lead to two verdicts.

    Not where not knowing the fact is itself something to rule on.
    """
    rests_on = list(sheets.rule.requirement.facts())
    if sheets.permits:
        rests_on += [name for rule in sheets.siblings() for name in rule.requirement.facts()]
    near_misses = [near for near in sheets.near_misses() if near.changed in near.facts]
    names = (*(near.changed for near in near_misses), *sheets.given_below(sheet, rests_on))
    for name in dict.fromkeys(names):
        facts = without(sheet, name)
        if name not in sheet or name == USE or sheets.word(facts) != NOTHING:
            continue
        if not sheets.permits and not sheets.is_open(facts):
            continue
        close = [near.facts[name] for near in near_misses if near.changed == name]
        for value in (*close, *sheets.values(name, facts)):
            other = {**facts, name: value}
            if sheets.word(other) not in (None, sheets.word(sheet)) and sheets.is_fit(other):
                yield Case(MORE_NEEDED, facts, sheet, (sheet, other), name)
                break


def _with_a_new_unknown(sheets: SheetsBeside, sheet: Facts) -> Iterator[Case]:
    """A sheet with nothing against it, and a fact it does not give that would bring a ruling."""
    vocabulary = sheets.knowledge.facts
    allowed = (
        [sheet] if sheets.permits else [near for near, word in sheets.contrasting(sheet) if word == NOTHING]
    )
    read = {name for rule in (sheets.rule, *sheets.siblings()) for name in rule.requirement.facts()}
    for facts in allowed or _put_right(sheets, sheet):
        names = [name for name in sorted(read - facts.keys()) if vocabulary[name].given]
        for name in sheets.draws("unknown").shuffled(names)[:MOST_UNKNOWN]:
            completed = [{**facts, name: value} for value in sheets.values(name, facts)]
            fit = [each for each in completed if sheets.word(each) is not None and sheets.is_fit(each)]
            ruled = [each for each in fit if sheets.word(each) != NOTHING]
            free = [each for each in fit if sheets.word(each) == NOTHING]
            if ruled and free:
                yield Case(MORE_NEEDED, facts, sheet, (ruled[0], free[0]), name)
