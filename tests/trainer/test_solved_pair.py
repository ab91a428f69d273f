"""The first meeting of a rule: two cases, solved, and the rule after them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import pytest

from sideplate_engine import Judge, KnowledgeBase
from sideplate_trainer.blocks import Block
from sideplate_trainer.posing import posed
from sideplate_trainer.questions import NoQuestion, Question
from sideplate_trainer.round_events import Planned
from sideplate_trainer.round_preparing import rules_of
from sideplate_trainer.solved_pair import solved_pair

HEADINGS = [
    "New to you: two cases, solved",
    "The first case",
    "",
    "The second case: the same, but",
    "The rule",
]


def asked(judge: Judge, rule: str, way: str, seed: int = 3) -> Question:
    return posed(judge, Planned(rule, way, seed))


def told(blocks: Iterable[Block]) -> str:
    return " ".join(sentence for block in blocks for sentence in block.sentences)


def test_a_ruling_is_met_on_a_case_it_rules_and_one_it_is_silent_on(chain_judge: Judge) -> None:
    question = asked(chain_judge, "connector-code-differs", "is_this_allowed")
    pair = solved_pair(chain_judge, question)
    assert pair is not None
    assert [block.heading for block in pair][:5] == HEADINGS
    assert "MUST NOT: Do not fit connecting link" in told(pair[2:3])
    assert "Then the rule is silent" in told(pair[3:4])
    assert pair[4].sentences[0] == "The connecting link carries the chain's own code."
    assert [block.heading for block in pair[5:]] == ["Caution", "Source"]


def test_the_rule_comes_after_the_comparison(chain_judge: Judge) -> None:
    pair = solved_pair(chain_judge, asked(chain_judge, "connector-code-differs", "is_this_allowed"))
    assert pair is not None
    title = chain_judge.knowledge.rules["connector-code-differs"].title
    assert title.rstrip(".") not in told(pair[:4])


def test_a_number_is_met_worked_out_and_with_one_fact_changed(chain_judge: Judge) -> None:
    pair = solved_pair(chain_judge, asked(chain_judge, "elongation-from-length", "how_much"))
    assert pair is not None
    assert "chain.elongation is " in told(pair[2:3])
    assert "Then chain.elongation is " in told(pair[3:4])


def test_the_pair_is_not_the_question_itself(chain_judge: Judge, knowledge: KnowledgeBase) -> None:
    same = 0
    for rule in rules_of(knowledge, ("connectors",))[:12]:
        question = asked(chain_judge, rule, "is_this_allowed") if knowledge.rules[rule].is_ruling else None
        if question is not None:
            pair = solved_pair(chain_judge, question)
            same += pair is not None and pair[1].sentences == question.story
    assert same == 0


def test_a_procedure_is_introduced_by_all_of_its_steps(chain_judge: Judge) -> None:
    question = asked(chain_judge, "procedure:cut-a-chain", "steps_in_order")
    blocks = solved_pair(chain_judge, question)
    assert blocks is not None
    assert [block.heading for block in blocks] == [
        "New to you: a piece of work, step by step",
        "Its steps",
        "Caution",
        "Source",
    ]
    steps = chain_judge.knowledge.procedures["cut-a-chain"].steps
    assert [line.split(" ", 1)[1] for line in blocks[1].sentences] == [
        f"{step.do} {step.because}".rstrip() for step in steps
    ]


def test_what_the_knowledge_no_longer_has_has_no_pair(chain_judge: Judge) -> None:
    question = asked(chain_judge, "connector-code-differs", "is_this_allowed")
    assert solved_pair(chain_judge, replace(question, rule="gone")) is None


@pytest.mark.slow
def test_nearly_every_rule_has_a_pair_whose_cases_the_engine_agrees_with(
    chain_judge: Judge, knowledge: KnowledgeBase
) -> None:
    without: list[str] = []
    rules = [id_ for id_ in rules_of(knowledge, ()) if id_ in knowledge.rules]
    for id_ in rules:
        rule = knowledge.rules[id_]
        try:
            question = asked(chain_judge, id_, "is_this_allowed" if rule.is_ruling else "how_much")
        except NoQuestion:
            continue
        pair = solved_pair(chain_judge, question)
        if pair is None:
            without.append(id_)
            continue
        assert [block.heading for block in pair][:5] == HEADINGS
        # What is said in the engine's own words of a ruling is filled in, and no place is left open.
        assert "{" not in told(pair)
    assert len(without) <= 0.02 * len(rules), without
