"""No check against the world outside without the name of what it checks against."""

from __future__ import annotations

from pathlib import Path

import pytest

HERE = Path(__file__).parent
AT_LEAST = 120


def outside_checks(session: pytest.Session) -> list[pytest.Item]:
    return [item for item in session.items if item.path.parent == HERE and item.path != Path(__file__)]


def source_of(item: pytest.Item) -> str:
    return " ".join(str(text) for mark in item.iter_markers("source") for text in mark.args).strip()


def test_every_check_against_the_outside_names_its_source(request: pytest.FixtureRequest) -> None:
    nameless = [item.nodeid for item in outside_checks(request.session) if not source_of(item)]
    assert not nameless


def test_there_are_at_least_120_checks_against_the_outside(request: pytest.FixtureRequest) -> None:
    checks = outside_checks(request.session)
    files = {path for path in HERE.glob("test_*.py") if path != Path(__file__)}
    if {item.path for item in checks} != files:
        pytest.skip("only a part of tests/outside was collected, so there is nothing to count")
    assert len(checks) >= AT_LEAST
