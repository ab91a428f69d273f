"""The end of a round: how the answers were, and when each rule is checked again."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from sideplate_engine import KnowledgeBase
from sideplate_trainer.answers import Grade
from sideplate_trainer.asked_about import title_of
from sideplate_trainer.blocks import Block
from sideplate_trainer.round_state import Round
from sideplate_trainer.schedule import Standing, is_due

MEANS = {
    Grade.SOUND: "Sound (right, unaided and sure)",
    Grade.SHAKY: "Shaky (right, but helped or unsure)",
    Grade.MISSED: "Missed",
    Grade.BLIND_SPOT: "Blind spot (wrong, but sure)",
}
WORST_FIRST = (Grade.BLIND_SPOT, Grade.MISSED, Grade.SHAKY, Grade.SOUND)


def summary(
    state: Round,
    knowledge: KnowledgeBase,
    standings: Mapping[str, Standing],
    fingerprints: Mapping[str, str],
    today: date,
) -> tuple[Block, ...]:
    """The answers of the round by grade, the next check of each rule asked, and what is left to do today."""
    if not state.results:
        return (Block("End of the round", ("No question was answered.",)),)
    right = sum(result.grade.is_right for result in state.results)
    asked = len(state.results)
    early = ("You left before the end.",) if state.left else ()
    blocks = [Block("End of the round", (f"{right} of {asked} right.", *early))]
    for grade in WORST_FIRST:
        rules = [result.rule for result in state.results if result.grade is grade]
        if rules:
            checks = tuple(_next_check(id_, knowledge, standings, today) for id_ in rules)
            blocks.append(Block(f"{MEANS[grade]}: {len(rules)}", checks))
    due = sum(is_due(standings.get(id_), fingerprints[id_], today) for id_ in fingerprints)
    unmet = sum(id_ not in standings for id_ in fingerprints)
    blocks.append(Block("What is left", (f"Due today: {due}.", f"Not met yet: {unmet}.")))
    return tuple(blocks)


def _next_check(id_: str, knowledge: KnowledgeBase, standings: Mapping[str, Standing], today: date) -> str:
    days = (standings[id_].due - today).days
    return f"{title_of(knowledge, id_).rstrip('.')}. Next check in {days} {'day' if days == 1 else 'days'}."
