"""What every test of the trainer may use."""

from __future__ import annotations

import pytest

from sideplate_engine import Judge, KnowledgeBase, load
from support.bench_practice import bench_judge
from support.small_practice import practice_judge


@pytest.fixture(scope="session")
def judge(tmp_path_factory: pytest.TempPathFactory) -> Judge:
    """A judge on the small base about bolts, with rules to practise."""
    return practice_judge(tmp_path_factory.mktemp("practice"))


@pytest.fixture(scope="session")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Judge:
    """A judge on the small base about bolts, with rules that can stand beside each other on a sheet."""
    return bench_judge(tmp_path_factory.mktemp("bench"))


@pytest.fixture(scope="session")
def knowledge() -> KnowledgeBase:
    """The knowledge that comes with Sideplate."""
    return load().knowledge


@pytest.fixture(scope="session")
def chain_judge(knowledge: KnowledgeBase) -> Judge:
    """A judge on the knowledge that comes with Sideplate."""
    return Judge(knowledge)
