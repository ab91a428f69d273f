"""Questions do not give their answer away: a robot that guesses from looks gets little beyond chance.

This is a sample, small enough to be run everywhere. `benchmarks/give_aways.py` poses 2,000 questions in each way, where
the robot has to stay within three points of chance; with so few as here, luck alone makes for more.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable
from importlib import import_module
from itertools import islice
from pathlib import Path
from typing import Any

import pytest

from sideplate_trainer.ways import all_ways
from support.built_in import judge

pytestmark = pytest.mark.slow

BENCHMARKS = Path(__file__).parents[2] / "benchmarks"
QUESTIONS = 150
POINTS = 3
ERRORS = 3
"""How many standard errors of a share, at most, luck is allowed."""


@pytest.fixture
def robot(monkeypatch: pytest.MonkeyPatch) -> Any:
    monkeypatch.syspath_prepend(str(BENCHMARKS))
    return import_module("guessing_robot")


@pytest.fixture
def give_aways(robot: Any) -> Any:
    return import_module("give_aways")


@pytest.mark.parametrize("way", sorted(all_ways()))
def test_a_robot_that_guesses_from_looks_stays_near_chance(give_aways: Any, way: str) -> None:
    found = give_aways.robots_score(way, list(give_aways.posed_in(judge(), way, QUESTIONS)))
    assert found.questions == QUESTIONS
    luck = 100 * (max(found.chance * (1 - found.chance), 0.02) / QUESTIONS) ** 0.5
    assert found.points <= POINTS + ERRORS * luck, f"{found.right:.1%}, and chance {found.chance:.1%}"


def items(robot: Any, key: Callable[[list[str]], str]) -> Iterable[Any]:
    """Questions of three words each, of which `key` tells the right one."""
    draws = random.Random(7)
    words = ["ring", "clip", "plate", "pin and bush", "roller", "rear sprocket", "slack", "manual"]
    while True:
        choices = draws.sample(words, 3)
        yield robot.Item("", "", tuple(choices), tuple(choices), choices.index(key(choices)))


@pytest.mark.parametrize(
    "key",
    [
        pytest.param(lambda choices: max(choices, key=len), id="the longest is right"),
        pytest.param(lambda choices: choices[1], id="the second is right"),
        pytest.param(lambda choices: "slack" if "slack" in choices else choices[0], id="one word is right"),
    ],
)
def test_the_robot_finds_a_give_away_where_there_is_one(robot: Any, key: Callable[[list[str]], str]) -> None:
    assert robot.score(list(islice(items(robot, key), 200))).points > 20


def test_the_robot_finds_nothing_where_nothing_is_given_away(robot: Any) -> None:
    draws = random.Random(11)
    found = robot.score(list(islice(items(robot, draws.choice), 400)))
    assert abs(found.points) < 10
