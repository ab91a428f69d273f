"""The ways of asking: every module in this folder is one, and holds a `WAY`. A new one is a new file."""

from __future__ import annotations

import pkgutil
from collections.abc import Mapping
from functools import cache
from importlib import import_module
from types import MappingProxyType

from sideplate_engine.rules import Rule
from sideplate_trainer.questions import Marked, Question
from sideplate_trainer.way import Way


@cache
def all_ways() -> Mapping[str, Way]:
    """Every way of asking, by the name of its module, in the order of the names."""
    names = sorted(module.name for module in pkgutil.iter_modules(__path__))
    found: dict[str, Way] = {}
    for name in names:
        way = import_module(f"{__name__}.{name}").WAY
        assert isinstance(way, Way), f"{name} holds no WAY"
        found[name] = way
    return MappingProxyType(found)


def ways_for(rule: Rule) -> tuple[str, ...]:
    """The ways in which a rule can be asked about."""
    return tuple(name for name, way in all_ways().items() if way.suits(rule))


def mark(question: Question, answer: str) -> Marked:
    """The answer, marked by the way that posed the question. Raises AnswerRefused for what is no answer."""
    return all_ways()[question.way].mark(question, answer)
