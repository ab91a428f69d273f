"""A judgement as plain data, in the form that `sideplate judge --json` prints."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sideplate_engine.judgement import Conflict, Judgement, Ruling
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.proofs import Step
from sideplate_engine.vocabulary import to_json


def judgement_as_data(judgement: Judgement) -> dict[str, Any]:
    """The judgement as dicts and lists. Values stay in the vocabulary's stored units, whatever the reader's are."""
    facts = judgement.knowledge.facts
    return {
        "job": judgement.job,
        "standing": judgement.standing,
        "rulings": [_ruling(ruling, judgement.knowledge) for ruling in judgement.rulings],
        "derived": {
            name: {
                "value": to_json(step.value),
                **({"unit": facts[name].unit} if facts[name].kind == "quantity" else {}),
                "by": step.by,
                "whose": ", ".join(_whose(judgement, name)),
                "how": step.how,
                "from_memory": step.from_memory,
                "from": [_step(below) for below in step.because_of],
            }
            for name, step in judgement.derived.items()
        },
        "open": [
            {"fact": fact.fact, "ask": fact.ask, "would_settle": list(fact.would_settle)}
            for fact in judgement.open
        ],
        "overridden": [
            {
                "rule": set_aside.rule,
                "by": ", ".join(set_aside.by),
                "says": set_aside.says,
                "because": set_aside.because,
                "differs": set_aside.differs,
            }
            for set_aside in judgement.overridden
        ],
        "conflicts": [_conflict(conflict) for conflict in judgement.conflicts],
        "warnings": list(judgement.warnings),
        "cautions": [
            {"id": id_, "hazard": caution.hazard, "do": caution.do}
            for id_, caution in judgement.cautions.items()
        ],
        "defer": judgement.defer,
    }


def _ruling(ruling: Ruling, knowledge: KnowledgeBase) -> dict[str, Any]:
    return {
        "rule": ruling.rule,
        "whose": knowledge.whose(knowledge.rules[ruling.rule].at),
        "topic": ruling.topic,
        "force": ruling.force,
        "says": ruling.says,
        "instead": ruling.instead,
        "because": ruling.because,
        "if_ignored": ruling.if_ignored,
        "sources": list(ruling.sources),
        "caution": ruling.caution,
        "lifted_by": list(ruling.lifted_by),
        "from": [_step(step) for step in ruling.from_facts],
    }


def _whose(judgement: Judgement, fact: str) -> Iterable[str]:
    """Whose the rules that derive a fact are, none named twice."""
    rules = judgement.knowledge.rules
    by = judgement.chained.derived[fact].by
    return dict.fromkeys(judgement.knowledge.whose(rules[id_].at) for id_ in by)


def _step(step: Step) -> dict[str, Any]:
    return {
        "fact": step.fact,
        "value": to_json(step.value),
        "by": step.by,
        "how": step.how,
        "from": [_step(below) for below in step.because_of],
    }


def _conflict(conflict: Conflict) -> dict[str, Any]:
    return {
        "about": conflict.about,
        "message": conflict.message,
        "sides": [
            {
                "by": side.by,
                "says": side.says,
                "at": None if side.at is None else str(side.at),
                "from": [_step(step) for step in side.from_facts],
            }
            for side in conflict.sides
        ],
    }
