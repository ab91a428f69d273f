"""What a question can be about: a rule, or a procedure under an id of its own, `procedure:` and its name.

Rounds, schedule and log hold ids only, so that a procedure is scheduled, logged and blamed as a rule is.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence

from sideplate_engine import KnowledgeBase
from sideplate_engine.procedures import Procedure
from sideplate_engine.rule_fingerprint import fingerprint as rule_fingerprint

PROCEDURE = "procedure:"
LENGTH = 16


def id_of_procedure(procedure: Procedure) -> str:
    """The id under which a procedure is asked about."""
    return f"{PROCEDURE}{procedure.id}"


def is_procedure(id_: str) -> bool:
    """Whether an id is that of a procedure."""
    return id_.startswith(PROCEDURE)


def procedure_of(knowledge: KnowledgeBase, id_: str) -> Procedure | None:
    """The procedure that an id stands for; None for a rule's. Raises KeyError where the base has no such procedure."""
    return knowledge.procedures[id_.removeprefix(PROCEDURE)] if is_procedure(id_) else None


def is_known(knowledge: KnowledgeBase, id_: str) -> bool:
    """Whether the base still has what an id stands for."""
    if is_procedure(id_):
        return id_.removeprefix(PROCEDURE) in knowledge.procedures
    return id_ in knowledge.rules


def title_of(knowledge: KnowledgeBase, id_: str) -> str:
    """The title of what an id stands for. Raises KeyError for an id that is not known."""
    procedure = procedure_of(knowledge, id_)
    return knowledge.rules[id_].title if procedure is None else procedure.title


def topic_of(knowledge: KnowledgeBase, id_: str) -> str | None:
    """The topic of what an id stands for; None for a procedure that names none. Raises KeyError as above."""
    procedure = procedure_of(knowledge, id_)
    return knowledge.rules[id_].topic if procedure is None else procedure.topic


def with_procedures(knowledge: KnowledgeBase, rules: Sequence[str]) -> tuple[str, ...]:
    """Rules in their order, and each procedure behind the last rule of its topic, so that its reasons are known."""
    last = {knowledge.rules[id_].topic: place for place, id_ in enumerate(rules)}
    behind: dict[int, list[str]] = {}
    for procedure in knowledge.procedures.values():
        place = last.get(procedure.topic or "", len(rules) - 1)
        behind.setdefault(place, []).append(id_of_procedure(procedure))
    found = list(behind.get(-1, ()))
    for place, id_ in enumerate(rules):
        found += [id_, *behind.get(place, ())]
    return tuple(found)


def fingerprint_of(knowledge: KnowledgeBase, id_: str) -> str:
    """A short hash of what is decided, not of its wording: of a procedure, which steps wait for which."""
    procedure = procedure_of(knowledge, id_)
    if procedure is None:
        return rule_fingerprint(knowledge.rules[id_])
    waits = sorted([step.id, sorted(step.after)] for step in procedure.steps)
    return hashlib.sha256(json.dumps(waits).encode()).hexdigest()[:LENGTH]
