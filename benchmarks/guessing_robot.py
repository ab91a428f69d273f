"""A robot that answers questions without knowing the trade: by how choices look, and by what was right before.

It sees of each choice its place, its length, the words it shares with the question and with the other choices, how
often a choice of this name was right in the questions it learned from (prior), and how often it was to be chosen
(frequency). Of a sheet it sees no more than the words, as a bag. A conditional logit weighs these cues; it is learned
on one half of the questions and tried on the other, several times over. What it gets beyond chance is given away.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize  # type: ignore[import-untyped]  # SciPy ships no types

from sideplate_trainer.wording import telling_words

Numbers = NDArray[np.float64]

PLACES = 8
"""Places that are told apart; those further on count as the last of them."""

ADDED = 2.0
"""How many guesses at chance are added to how often a choice was right before: few sightings say little."""

RIDGE = 1.0
SPLITS = 5


@dataclass(frozen=True, slots=True)
class Item:
    """What the robot sees of a question: the words of the sheet, the ask, the choices, and what each goes by.

    `key` is the place of the right choice. Choices with one name are the same choice to its memory.
    """

    stem: str
    ask: str
    choices: tuple[str, ...]
    names: tuple[str, ...]
    key: int


@dataclass(frozen=True, slots=True)
class Score:
    """The share of questions the robot got right that it had not learned from, and what blind guessing gets."""

    right: float
    chance: float
    questions: int

    @property
    def points(self) -> float:
        """By how many points in a hundred it is above chance."""
        return 100 * (self.right - self.chance)


def score(items: Sequence[Item], chance: float | None = None, *, splits: int = SPLITS) -> Score:
    """The robot's score over several halvings of the items, drawn from fixed seeds.

    Chance is one in as many as there are choices, unless it is given.
    """
    looks = [look_of(item) for item in items]
    right = 0
    tried: list[int] = []
    for seed in range(splits):
        mixed = np.random.default_rng(seed).permutation(len(items)).tolist()
        learned, held_out = mixed[: len(items) // 2], mixed[len(items) // 2 :]
        memory = Memory([items[place] for place in learned])
        weights = learn(
            [np.c_[looks[place], memory.of(items[place], itself=True)] for place in learned],
            [items[place].key for place in learned],
        )
        for place in held_out:
            cues = np.c_[looks[place], memory.of(items[place])]
            right += int(np.argmax(cues @ weights)) == items[place].key
        tried += held_out
    blind = sum(1 / len(items[place].choices) for place in tried) / len(tried)
    return Score(right / len(tried), blind if chance is None else chance, len(items))


def look_of(item: Item) -> Numbers:
    """A row of cues for each choice: place, length and words. Lengths and shares count beside the other choices'."""
    words = [telling_words(choice) for choice in item.choices]
    stem, ask = telling_words(item.stem), telling_words(item.ask)
    length = np.array([len(choice) for choice in item.choices], float)
    count = np.array([len(choice.split()) for choice in item.choices], float)
    with_stem = np.array([len(each & stem) / max(1, len(each)) for each in words])
    with_ask = np.array([len(each & ask) / max(1, len(each)) for each in words])
    with_others = np.array([_likeness_to_others(words, place) for place in range(len(words))])
    places = np.eye(PLACES)[[min(place, PLACES - 1) for place in range(len(words))]]
    last = np.arange(len(words)) == len(words) - 1
    with_figure = np.array([any(map(str.isdigit, choice)) for choice in item.choices])
    with_not = np.array(["not" in choice.lower().split() for choice in item.choices])
    cues: Numbers = np.c_[
        places,
        last,
        np.log(length / length.mean()),
        length == length.max(),
        length == length.min(),
        np.log(count / count.mean()),
        with_stem - with_stem.mean(),
        with_stem == with_stem.max(),
        with_stem == with_stem.min(),
        with_ask - with_ask.mean(),
        with_others - with_others.mean(),
        with_figure,
        with_not,
    ]
    return cues


def _likeness_to_others(words: list[frozenset[str]], place: int) -> float:
    others = [each for number, each in enumerate(words) if number != place]
    shares = [len(words[place] & each) / max(1, len(words[place] | each)) for each in others]
    return sum(shares) / max(1, len(shares))


class Memory:
    """How often a choice was seen, and how often it was right."""

    def __init__(self, items: Sequence[Item]) -> None:
        self._seen = Counter(name for item in items for name in item.names)
        self._right = Counter(item.names[item.key] for item in items)

    def of(self, item: Item, *, itself: bool = False) -> Numbers:
        """A row of cues for each choice. `itself`: the item was learned from, and does not count as seen before."""
        blind = 1 / len(item.names)
        rows: list[tuple[float, float, bool]] = []
        for place, name in enumerate(item.names):
            seen = self._seen[name] - itself
            right = self._right[name] - (itself and place == item.key)
            share = (right + ADDED * blind) / (seen + ADDED)
            rows.append((float(np.log(share / (1 - share))), float(np.log1p(seen)), seen == 0))
        return np.array(rows, float)


def learn(cues: list[Numbers], keys: list[int]) -> Numbers:
    """The weights under which the right choices are likeliest (conditional logit with a ridge)."""
    most = max(len(each) for each in cues)
    padded = np.zeros((len(cues), most, cues[0].shape[1]))
    missing = np.full((len(cues), most), -1e9)
    for number, each in enumerate(cues):
        padded[number, : len(each)] = each
        missing[number, : len(each)] = 0.0
    numbers, right = np.arange(len(cues)), np.array(keys)
    chosen = padded[numbers, right]

    def unlikelihood(weights: Numbers) -> tuple[float, Numbers]:
        sums = padded @ weights + missing
        sums -= sums.max(axis=1, keepdims=True)
        shares = np.exp(sums)
        totals = shares.sum(axis=1)
        loss = float((np.log(totals) - sums[numbers, right]).sum() + RIDGE / 2 * weights @ weights)
        expected = np.einsum("qc,qcw->qw", shares / totals[:, None], padded)
        slope: Numbers = (expected - chosen).sum(axis=0) + RIDGE * weights
        return loss, slope

    found: Numbers = minimize(unlikelihood, np.zeros(padded.shape[2]), jac=True, method="L-BFGS-B").x
    return found
