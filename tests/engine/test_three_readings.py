"""The matcher, the plain reading, its compiled form and CLIPS must agree on every generated job.

The outside check is CLIPS 6.4, through clipspy: a rule engine that shares no code and no design with ours.
"""

from __future__ import annotations

from contextlib import closing
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sideplate_engine.conditions import Conjunction, Scalar
from sideplate_engine.matcher import Matcher
from sideplate_engine.plain_reading import compile_conjunctions, holds
from support import condition_cases
from support.clips_reading import ClipsReading


def all_agree(conjunctions: tuple[Conjunction, ...], jobs: list[dict[str, Scalar]]) -> int:
    """Judge every job at every stratum by all four readings; return how many conjunctions held in all."""
    by_clips = ClipsReading(conjunctions)
    compiled = compile_conjunctions(conjunctions)
    held = 0
    with closing(Matcher(conjunctions)) as matcher:
        for job in jobs:
            for stratum in {conjunction.stratum for conjunction in conjunctions}:
                plainly = {c.key for c in conjunctions if c.stratum == stratum and holds(c, job)}
                assert matcher.matches(stratum, job) == plainly, job
                assert compiled(stratum, job) == plainly, job
                assert by_clips.matches(stratum, job) == plainly, job
                held += len(plainly)
    return held


@pytest.mark.parametrize("seed", range(40))
def test_the_readings_agree_on_small_bases(seed: int) -> None:
    chance = Random(seed)
    pools = condition_cases.kinds_of_properties(chance, properties=8)
    conjunctions = condition_cases.conjunctions(chance, pools, how_many=25)
    jobs = [condition_cases.properties(chance, pools) for _ in range(100)]
    assert all_agree(conjunctions, jobs) > len(jobs), "the generated jobs met hardly any condition"


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(1000, 1004))
def test_the_readings_agree_on_bases_of_many_chunks(seed: int) -> None:
    chance = Random(seed)
    pools = condition_cases.kinds_of_properties(chance, properties=45)
    conjunctions = condition_cases.conjunctions(chance, pools, how_many=400)
    jobs = [condition_cases.properties(chance, pools) for _ in range(100)]
    assert all_agree(conjunctions, jobs) > len(jobs)


# The engine keeps a discarded ruleset's state in memory, so the number of bases is kept low.
@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.randoms(use_true_random=False), st.integers(1, 12), st.integers(1, 10))
def test_the_readings_agree_on_whatever_hypothesis_finds(chance: Random, how_many: int, wide: int) -> None:
    pools = condition_cases.kinds_of_properties(chance, properties=wide)
    conjunctions = condition_cases.conjunctions(chance, pools, how_many)
    all_agree(conjunctions, [condition_cases.properties(chance, pools) for _ in range(20)])
