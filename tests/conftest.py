"""What every test may use."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest
from hypothesis import settings

from sideplate_engine import Judge, KnowledgeBase, Loaded
from support.small_knowledge import JudgeWith, LoadWith, judge_with, load_with

# A machine that is busy is no failure: the wall's clock decides nothing here.
settings.register_profile("sideplate", deadline=None, print_blob=True)
settings.load_profile("sideplate")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--update", action="store_true", help="rewrite the expected texts instead of comparing")
    parser.addoption("--every-seed", action="store_true", help="ask every rule in every way on every seed")


@pytest.fixture(scope="session", autouse=True)
def cache_of_its_own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Commands keep knowledge ready in a folder of the test run, and leave the user's alone."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SIDEPLATE_CACHE", str(tmp_path_factory.mktemp("cache")))
        yield


@pytest.fixture
def update(request: pytest.FixtureRequest) -> bool:
    """Whether expected texts are to be rewritten."""
    return bool(request.config.getoption("--update"))


@pytest.fixture
def judge_of(tmp_path: Path) -> JudgeWith:
    """A function from rules and other files to a judge on the small knowledge base with them."""

    def make(*more: Mapping[str, str | bytes]) -> Judge:
        return judge_with(tmp_path, *more)

    return make


@pytest.fixture
def loaded_of(tmp_path: Path) -> LoadWith:
    """A function from files laid over the small knowledge base to what loading finds."""

    def make(*more: Mapping[str, str | bytes]) -> Loaded:
        return load_with(tmp_path, *more)

    return make


@pytest.fixture(scope="session")
def bolts(tmp_path_factory: pytest.TempPathFactory) -> KnowledgeBase:
    """The small knowledge base, without rules."""
    return load_with(tmp_path_factory.mktemp("bolts")).sound()
