"""What the checks against the world outside share: the mark that names a check's source."""

from __future__ import annotations

import pytest


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line(
        "markers", "source(text): the published work, or the library, a check holds Sideplate to"
    )
