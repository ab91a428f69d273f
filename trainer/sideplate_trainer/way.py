"""What a way of asking is: a name, three functions, and how much it asks for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import IntEnum

from sideplate_engine import Judge
from sideplate_engine.rules import Rule
from sideplate_trainer.questions import Marked, Question
from sideplate_trainer.situations.situation import Situation


class Level(IntEnum):
    """How much a way asks for, the easiest first: harder ones begin on higher rungs, see `way_choice`."""

    VERDICT = 0
    """What the rules say of a case."""

    PICK = 1
    """A part, a number or an order that goes with the rules."""

    FAULT = 2
    """What goes against a rule, or what would change its ruling."""

    REASON = 3
    """Why the rule rules."""


@dataclass(frozen=True, slots=True)
class Way:
    """A way of asking.

    `suits` says whether a rule can be asked about so; `pose` makes the question of a situation (raises NoQuestion);
    `mark` marks an answer to a question it posed (raises AnswerRefused for what is no answer). `of_procedures` says
    that it asks about procedures: the situation then holds no more than the id and the seed.
    """

    title: str
    suits: Callable[[Rule], bool]
    pose: Callable[[Judge, Situation], Question]
    mark: Callable[[Question, str], Marked]
    level: Level
    of_procedures: bool = False
