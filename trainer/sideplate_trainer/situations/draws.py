"""Draws that come out the same on every machine and every Python.

Python promises to keep the numbers of `Random.random()` for a seed, and of no other method; so every draw here is
made from that one alone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from hashlib import sha256
from random import Random
from typing import TypeVar

Item = TypeVar("Item")


class Draws:
    """A row of draws fixed by its seed: the same words give the same row."""

    def __init__(self, *seed: str | int) -> None:
        digest = sha256("\x1f".join(str(part) for part in seed).encode()).digest()
        self._random = Random(int.from_bytes(digest))

    def chance(self, share: float) -> bool:
        """Yes in this share of draws."""
        return self._random.random() < share

    def whole(self, first: int, last: int) -> int:
        """A whole number from first to last, both included, all alike."""
        return first + min(last - first, int(self._random.random() * (last - first + 1)))

    def pick(self, items: Sequence[Item]) -> Item:
        """One of the items, all alike. The items must not be empty."""
        return items[self.whole(0, len(items) - 1)]

    def shuffled(self, items: Sequence[Item]) -> list[Item]:
        """The items in a drawn order."""
        mixed = list(items)
        for last in range(len(mixed) - 1, 0, -1):
            other = self.whole(0, last)
            mixed[last], mixed[other] = mixed[other], mixed[last]
        return mixed

    def ranked(self, weights: Mapping[Item, float]) -> list[Item]:
        """The items in a drawn order, each place drawn among those left by their weights, which must be above 0."""
        left = dict(weights)
        ranked: list[Item] = []
        while left:
            drawn = self._random.random() * sum(left.values())
            for item in left:
                drawn -= left[item]
                if drawn < 0:
                    break
            ranked.append(item)
            del left[item]
        return ranked
