"""Whose a rule is: the folders that knowledge was read from, each laid over those before it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from sideplate_engine.findings import Position

BUILT_IN = "built-in"
"""The name of the layer that comes with Sideplate."""


@dataclass(frozen=True, slots=True)
class Layer:
    """A knowledge folder: what it is called, and its path as positions show it."""

    name: str
    path: str


def whose(at: Position, layers: Iterable[Layer]) -> str:
    """The name of the layer a position lies in; empty when it lies in none."""
    found = {Path(layer.path).absolute(): layer.name for layer in layers}
    nearest_first = Path(at.path).absolute().parents
    return next((found[folder] for folder in nearest_first if folder in found), "")


def layer_of(folder: Path, shown_as: str, built_in: Path) -> Layer:
    """The layer of a folder: called built-in if it is, else by its path."""
    is_built_in = folder.resolve() == built_in.resolve()
    return Layer(BUILT_IN if is_built_in else shown_as, shown_as)
