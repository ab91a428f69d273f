"""Faults of other rules put on a sheet beside the fault that is asked about, each ruled on with another force."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from itertools import permutations

from sideplate_engine import Judge
from sideplate_engine.rules import Rule
from sideplate_trainer.mendings import Mending
from sideplate_trainer.mixed_sheets import Sheet, SheetMixer
from sideplate_trainer.other_forces import OtherForces
from sideplate_trainer.situations.draws import Draws


def faults_beside(
    mixer: SheetMixer, start: Sheet, own: Mending, pair: Iterable[Rule], forces: OtherForces, draws: Draws
) -> tuple[Sheet, list[Mending]] | None:
    """The sheet with the faults of two more rules, and what mends each alone; None where they do not go with it.

    Where only the facts are asked about (`forces.unable`), nothing needs to mend.
    """
    sheet, others = start, list[Mending]()
    for rule in pair:
        for fault in forces.mendings_beside(own, rule, draws):
            added = _added(mixer, sheet, fault, forces, draws)
            if added is not None and forces.look_alike((own, *others, added[1])):
                sheet = added[0]
                others.append(added[1])
                break
        else:
            return None
    return sheet, others


def stand_alike(judge: Judge, forces: OtherForces, rules: Iterable[Rule]) -> bool:
    """Whether, by their examples, each of the rules can be asked about with each other beside it.

    One that stood beside others and were seldom asked about would be a wrong choice wherever it is met.
    """
    return all(_stands_beside(judge, forces, one.id, other.id) for one, other in permutations(rules, 2))


@lru_cache(maxsize=20_000)
def _stands_beside(judge: Judge, forces: OtherForces, asked: str, other: str) -> bool:
    draws = Draws("beside", asked, other)
    for example in forces.index.mendings[asked]:
        mixer = SheetMixer.on_example(judge, example)
        start = mixer.plain()
        if start is None or asked not in start.ruling:
            continue
        for own in mixer.own_mendings(start, draws, by_example=True):
            found = faults_beside(mixer, start, own, (judge.knowledge.rules[other],), forces, draws)
            if found is not None and forces.can_be_asked(mixer, found[0], own):
                return True
    return False


def _added(
    mixer: SheetMixer, sheet: Sheet, fault: Mending, forces: OtherForces, draws: Draws
) -> tuple[Sheet, Mending] | None:
    """The sheet with one more fault, and what mends that and nothing else."""
    mixed = mixer.with_fault(sheet, fault)
    if mixed is None:
        return None
    mending = fault if forces.unable else _mending(mixer, sheet, mixed, fault, draws)
    return None if mending is None else (mixed, mending)


def _mending(mixer: SheetMixer, before: Sheet, mixed: Sheet, fault: Mending, draws: Draws) -> Mending | None:
    """What takes the added fault away, and leaves the sheet to be asked for what it was before."""
    for mending in mixer.mended(mixed, fault, draws):
        mended = mixer.changed(mixed, mending.fact, mending.good)
        if mended is not None and mended.asking == before.asking:
            return mending
    return None
