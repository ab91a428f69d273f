"""A progress bar on standard error for whatever takes longer than a second; nothing where no one watches."""

from __future__ import annotations

import sys
import time
from types import TracebackType
from typing import Any

import click

SOON = 1.0
"""Seconds after which a bar appears."""


class Progress:
    """Counts steps, and shows them as a bar once they take long. Use it as a context manager."""

    def __init__(self, label: str, steps: int) -> None:
        self.label = label
        self.steps = steps
        self.done = 0
        self._began = time.monotonic()
        self._bar: Any = None

    def __enter__(self) -> Progress:
        """Starts to count."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        problem: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        """Takes the bar away."""
        if self._bar is not None:
            self._bar.__exit__(kind, problem, traceback)

    def step(self, what: str = "") -> None:
        """One more step is done, or begins; `what` says which."""
        self.done += 1
        if self._bar is not None:
            self._bar.update(1, what)
        elif sys.stderr.isatty() and time.monotonic() - self._began > SOON:
            bar = click.progressbar(
                length=self.steps, label=self.label, file=sys.stderr, item_show_func=lambda item: item or ""
            )
            self._bar = bar.__enter__()
            self._bar.update(min(self.done, self.steps), what)
