"""Notices when knowledge files change, by looking at their times again and again; no library is needed for it."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TypeAlias

POLL = 0.2
"""Seconds between two looks."""

Times: TypeAlias = dict[Path, tuple[int, int]]
"""For each file when it was last written, in nanoseconds, and its size."""


def times_of(folders: Iterable[Path]) -> Times:
    """When the YAML files below some folders were last written. A file that vanishes meanwhile is left out."""
    times: Times = {}
    for folder in folders:
        for path in folder.rglob("*.yaml"):
            try:
                found = path.stat()
            except OSError:
                continue
            times[path] = (found.st_mtime_ns, found.st_size)
    return times


def changes(
    folders: tuple[Path, ...], before: Times, pause: Callable[[float], None] = time.sleep
) -> Iterator[tuple[list[Path], Times]]:
    """The files that are new, gone or written again, each time some are, and their times; without end.

    `before` are the times of what is known already, so that nothing written since is missed.
    """
    while True:
        after = times_of(folders)
        changed = sorted(path for path in before.keys() | after.keys() if before.get(path) != after.get(path))
        if changed:
            before = after
            yield changed, after
        else:
            pause(POLL)
