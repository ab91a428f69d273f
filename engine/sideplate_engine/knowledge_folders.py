"""Where knowledge lies: the folder that comes with Sideplate, those laid over it, and how a path in them is shown."""

from __future__ import annotations

import os
from pathlib import Path

VARIABLE = "SIDEPLATE_KNOWLEDGE"
"""The environment variable that names folders to lay over the built-in one, separated as in PATH."""


def built_in_folder() -> Path:
    """The knowledge that comes with Sideplate: inside the installed package, or beside it in a checkout."""
    package = Path(__file__).resolve().parent
    inside = package / "knowledge"
    return inside if inside.is_dir() else package.parent.parent / "knowledge"


def knowledge_folders(overlays: tuple[Path, ...]) -> tuple[Path, ...]:
    """The built-in folder and those laid over it: these, else the ones that SIDEPLATE_KNOWLEDGE names."""
    if not overlays:
        overlays = tuple(Path(part) for part in os.environ.get(VARIABLE, "").split(os.pathsep) if part)
    return (built_in_folder(), *overlays)


def shown(path: Path) -> str:
    """A path as findings show it: relative to where the reader stands, when it lies below."""
    below = f"{os.fspath(Path.cwd()).rstrip(os.sep)}{os.sep}"
    return os.path.realpath(path).removeprefix(below)
