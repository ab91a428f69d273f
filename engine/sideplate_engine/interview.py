"""An interview: what was answered, what nobody can say, and the parts of the job. Nothing in it is ever changed.

Each step gives a new interview that remembers the one before, so going back a question is no more than that.
Which question comes next is worked out from the interview alone, by `next_question`.
"""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass, field, replace

from sideplate_engine.interview_questions import (
    ClaimsQuestion,
    DoubtsQuestion,
    FactQuestion,
    PartsQuestion,
    Question,
)
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.vocabulary import Element, Value


@dataclass(frozen=True, slots=True)
class Interview:
    """How far an interview has come.

    `declined` facts are treated as never to be known. `denied` are values that a fact is said not to have. `parts`
    is None until the parts of the job were chosen. `doubted` are facts said to have come out otherwise than worked out.
    """

    facts: MappingABC[str, Value] = field(default_factory=dict)
    declined: frozenset[str] = frozenset()
    denied: MappingABC[str, frozenset[Element]] = field(default_factory=dict)
    parts: tuple[str, ...] | None = None
    doubted: frozenset[str] = frozenset()
    before: Interview | None = field(default=None, compare=False, repr=False)


def state(knowledge: KnowledgeBase, interview: Interview, facts: MappingABC[str, Value]) -> Interview:
    """With these facts stated, asked for or not. A fact outside the chosen parts opens the part it is at home in."""
    parts = interview.parts
    if parts is not None:
        inside = knowledge.job_parts.facts_of(parts)
        homes = (knowledge.job_parts.of(name)[:1] for name in facts if name not in inside)
        parts = tuple(dict.fromkeys((*parts, *(home for found in homes for home in found))))
    return replace(
        interview,
        facts={**interview.facts, **facts},
        declined=interview.declined - facts.keys(),
        denied={name: values for name, values in interview.denied.items() if name not in facts},
        parts=parts,
        before=interview,
    )


def choose_parts(interview: Interview, parts: Iterable[str]) -> Interview:
    """With the parts of the job chosen."""
    return replace(interview, parts=tuple(parts), before=interview)


def tick(interview: Interview, question: ClaimsQuestion, ticked: Iterable[int]) -> Interview:
    """With the claims of these numbers (from 0) said to be so, and the others said not to be so, or not to be known.

    Raises ValueError when two of them give one fact different values.
    """
    facts: dict[str, Value] = {}
    for number in ticked:
        claim = question.claims[number]
        if claim.fact in facts:
            raise ValueError(f"{claim.fact} cannot have two values")
        facts[claim.fact] = claim.value
    denied = dict(interview.denied)
    for claim in question.claims:
        if claim.fact not in facts:
            denied[claim.fact] = denied.get(claim.fact, frozenset()) | {claim.value}
    return replace(interview, facts={**interview.facts, **facts}, denied=denied, before=interview)


def doubt(interview: Interview, question: DoubtsQuestion, facts: Iterable[str]) -> Interview:
    """With these of the question's facts said to have come out otherwise; they are asked for next."""
    doubted = frozenset(facts)
    agreed = question.values.keys() - doubted
    return replace(
        interview,
        declined=interview.declined | agreed,
        doubted=interview.doubted | doubted,
        before=interview,
    )


def decline(interview: Interview, question: Question) -> Interview:
    """With nobody able to answer the question. Of the parts this leaves all, since each may be touched."""
    match question:
        case PartsQuestion(offered=offered):
            return choose_parts(interview, (part.id for part in offered))
        case FactQuestion(fact=fact):
            return replace(interview, declined=interview.declined | {fact}, before=interview)
        case ClaimsQuestion(claims=claims):
            unknown = frozenset(claim.fact for claim in claims)
            return replace(interview, declined=interview.declined | unknown, before=interview)
        case DoubtsQuestion():
            return doubt(interview, question, ())


def back(interview: Interview) -> Interview:
    """The interview before the last step; itself when it has only begun."""
    return interview if interview.before is None else interview.before
