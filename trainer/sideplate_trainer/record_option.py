"""The record a command works on: the usual one, or the file that is named."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

Function = TypeVar("Function", bound=Callable[..., Any])


def record_option(function: Function) -> Function:
    """Adds `--record PATH` to a command."""
    return click.option(
        "--record",
        type=click.Path(path_type=Path, dir_okay=False),
        metavar="PATH",
        help="The learner's record, if it is not the usual one.",
    )(function)


def usual_record() -> Path:
    """The record's place in the platform's folder for a user's data."""
    from platformdirs import user_data_path

    return user_data_path("sideplate", appauthor=False) / "record.sqlite3"
