from __future__ import annotations

import pytest

from sideplate_engine import matcher_canary
from sideplate_engine.conditions import Condition, Conjunction, Relation
from sideplate_engine.matcher_canary import CanaryError, canary

pytestmark = pytest.mark.slow

CONJUNCTIONS = [
    Conjunction("small", 0, (Condition("size", Relation.BELOW, 10.0),)),
    Conjunction("unmeasured", 1, (Condition("size", Relation.UNKNOWN),)),
]


def test_a_sound_base_passes() -> None:
    canary(CONJUNCTIONS, [{}, {"size": 5.0}, {"size": 10.0}], seconds=30)


def test_a_base_that_hangs_is_stopped() -> None:
    with pytest.raises(CanaryError, match=r"no answer in 0\.001 s"):
        canary(CONJUNCTIONS, [{}], seconds=0.001)


def test_a_sample_that_is_refused_is_reported() -> None:
    with pytest.raises(CanaryError, match=r"exit 1.*size takes a number, not 'small'"):
        canary(CONJUNCTIONS, [{"size": "small"}], seconds=30)


def test_a_crash_is_reported(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(matcher_canary, "_CHILD", "import os; os.abort()")
    with pytest.raises(CanaryError, match="failed on the sample jobs"):
        canary(CONJUNCTIONS, [{}], seconds=30)


def test_a_wrong_answer_is_reported(monkeypatch: pytest.MonkeyPatch) -> None:
    blind = "from sideplate_engine import matcher_canary as c; c.Matcher.matches = lambda *_: frozenset(); "
    monkeypatch.setattr(matcher_canary, "_CHILD", blind + "c.judge_standard_input()")
    with pytest.raises(CanaryError, match=r"sample 0, stratum 1: the readings differ on \['unmeasured'\]"):
        canary(CONJUNCTIONS, [{}], seconds=30)
