"""Keys of questions of verdict come out about two, two and one in five, in every topic.

The shares are the project's own: enough of each kind that none of them can be counted on.
"""

from __future__ import annotations

from collections import Counter

import pytest

from sideplate_engine import Judge, KnowledgeBase
from sideplate_engine.rules import Rule
from sideplate_trainer.questions import NoQuestion
from sideplate_trainer.sheets_beside import SheetsBeside
from sideplate_trainer.situations import NoSituation, build
from sideplate_trainer.verdict_cases import ALLOWED, MORE, RULED, cases_of
from sideplate_trainer.verdict_shares import SHARES, kinds_drawn
from sideplate_trainer.verdicts import CANNOT_TELL, NOTHING
from sideplate_trainer.ways.is_this_allowed import pose

pytestmark = pytest.mark.slow

SEEDS = (1, 2)
DRAWS = range(100)

Counts = dict[str, Counter[str]]


def rulings(knowledge: KnowledgeBase) -> list[Rule]:
    return [rule for rule in knowledge.rules.values() if rule.is_ruling]


def shares(counted: Counter[str]) -> dict[str, float]:
    return {kind: counted[kind] / counted.total() for kind in SHARES}


def far_off(by_topic: Counts, points: float) -> dict[str, dict[str, float]]:
    return {
        topic: shares(counted)
        for topic, counted in by_topic.items()
        if shares(counted) != pytest.approx(SHARES, abs=points / 100)
    }


@pytest.fixture(scope="module")
def asked(chain_judge: Judge, knowledge: KnowledgeBase) -> Counts:
    """How often each kind of key comes in a topic, over every rule that rules and a few seeds."""
    found: Counts = {}
    for rule in rulings(knowledge):
        for seed in SEEDS:
            try:
                key = pose(chain_judge, build(chain_judge, rule.id, seed)).key
            except (NoSituation, NoQuestion):
                continue
            kind = {NOTHING: ALLOWED, CANNOT_TELL: MORE}.get(key, RULED)
            found.setdefault(rule.topic, Counter())[kind] += 1
    return found


def test_over_all_topics_the_keys_spread_forty_forty_twenty(asked: Counts) -> None:
    # About 650 questions: the standard deviation of a share is not quite 2 points.
    assert far_off({"all": sum(asked.values(), Counter())}, 5) == {}


def test_in_every_topic_the_kinds_that_come_first_of_those_to_be_had_spread_forty_forty_twenty(
    chain_judge: Judge, knowledge: KnowledgeBase
) -> None:
    """Many draws for one situation of each rule: a few questions each would be 10 points off by chance alone."""
    found: Counts = {}
    for rule in rulings(knowledge):
        try:
            sheets = SheetsBeside(chain_judge, build(chain_judge, rule.id, SEEDS[0]))
        except NoSituation:
            continue
        to_be_had = {kind for kind in SHARES if next(cases_of(kind, sheets), None) is not None}
        for seed in DRAWS if to_be_had else ():
            first = next(kind for kind in kinds_drawn(chain_judge, rule, seed) if kind in to_be_had)
            found.setdefault(rule.topic, Counter())[first] += 1
    assert found.keys() == knowledge.topics.keys()
    assert far_off(found, 5) == {}


def test_nearly_every_situation_of_every_topic_gives_a_question(
    asked: Counts, knowledge: KnowledgeBase
) -> None:
    for topic, counted in asked.items():
        wanted = len(SEEDS) * sum(rule.topic == topic for rule in rulings(knowledge))
        assert counted.total() >= 0.9 * wanted, topic
