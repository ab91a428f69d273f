"""Look-alike rules, and putting one that is known beside one that is new."""

from __future__ import annotations

from sideplate_engine import KnowledgeBase
from sideplate_trainer.companions import ONE_IN, Companions, beside_new, companions_in
from support.small_knowledge import JudgeWith, rule

PAIR = (
    rule("bent", when="{bolt.marks: bent, bolt.nuts: {above: 4}}", ruling="must", says="Renew it."),
    rule("rusty", when="{bolt.marks: rust, bolt.nuts: {above: 2}}", ruling="should", says="Brush it."),
    rule("greased", when="bolt.greased: no", ruling="should", says="Grease it."),
    rule("painted", when="bolt.finish: painted", ruling="should", says="Scrape it.", family="look"),
    rule("turned", when="bolt.turns: {above: 3}", ruling="should", says="Turn it.", family="look"),
    rule("rusty-too", when="{bolt.marks: rust, bolt.nuts: {above: 1}}", ruling="should", says="Brush it."),
)


def small(judge_of: JudgeWith) -> Companions:
    return companions_in(judge_of(*PAIR).knowledge)


def test_rules_that_read_the_same_facts_and_come_to_different_things_look_alike(judge_of: JudgeWith) -> None:
    companions = small(judge_of)
    assert companions.of("bent") == ("rusty", "rusty-too")
    assert companions.of("rusty") == ("bent",)
    assert companions.of("greased") == ()


def test_rules_of_one_family_look_alike_whatever_they_read(judge_of: JudgeWith) -> None:
    assert small(judge_of).of("painted") == ("turned",)


def test_what_is_no_rule_has_no_look_alike(judge_of: JudgeWith) -> None:
    assert small(judge_of).of("procedure:fit-it") == ()


def test_looking_alike_is_mutual_over_the_whole_base(knowledge: KnowledgeBase) -> None:
    companions = companions_in(knowledge)
    found = {id_: companions.of(id_) for id_ in knowledge.rules}
    assert all(id_ in found[other] for id_, others in found.items() for other in others)
    assert sum(map(bool, found.values())) > len(found) / 2


def test_two_rules_of_the_base_that_apprentices_mix_up_are_found(knowledge: KnowledgeBase) -> None:
    # Whichever way a clip points, one of the two rules speaks.
    assert companions_in(knowledge).of("clip-points-trailing") == ("clip-points-leading",)


def arranged(judge_of: JudgeWith, order: list[str], met: set[str], wanted: int) -> tuple[str, ...]:
    new = frozenset(order) - met
    return beside_new(order, new, frozenset(met), small(judge_of), wanted)


def test_a_look_alike_that_comes_in_the_round_anyway_comes_next_to_the_new_rule(judge_of: JudgeWith) -> None:
    order = ["greased", "rusty", "painted", "bent"]
    assert arranged(judge_of, order, {"greased", "rusty"}, 4) == ("greased", "rusty", "painted", "bent")
    order = ["bent", "painted", "greased", "rusty"]
    assert arranged(judge_of, order, {"rusty"}, 4) == ("bent", "rusty", "painted", "greased")


def test_one_question_in_five_may_be_asked_early_to_stand_beside_a_new_rule(judge_of: JudgeWith) -> None:
    order = ["bent", "painted", *(f"other-{number}" for number in range(5)), "rusty", "turned"]
    known = {*order} - {"bent", "painted"}
    assert arranged(judge_of, order, known, ONE_IN - 1)[: ONE_IN - 1] == tuple(order[: ONE_IN - 1])
    brought = arranged(judge_of, order, known, ONE_IN)
    assert brought[:4] == ("bent", "rusty", "painted", "other-0")
    assert arranged(judge_of, order, known, 2 * ONE_IN)[:4] == ("bent", "rusty", "painted", "turned")


def test_a_look_alike_that_was_never_met_is_left_where_it_is(judge_of: JudgeWith) -> None:
    order = ["bent", "greased", "rusty"]
    assert arranged(judge_of, order, {"greased"}, 3) == ("bent", "greased", "rusty")


def test_nothing_is_lost_or_asked_twice_by_arranging(judge_of: JudgeWith, knowledge: KnowledgeBase) -> None:
    order = list(knowledge.rules)
    for wanted in (1, 5, 20, len(order)):
        found = beside_new(
            order, frozenset(order[:40]), frozenset(order[40:]), companions_in(knowledge), wanted
        )
        assert sorted(found) == sorted(order)
