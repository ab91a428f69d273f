"""Texts with places to fill in: `{chain.size}` a fact's value, `{12 mm}` a quantity in the reader's units."""

from __future__ import annotations

import re
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass

from sideplate_engine.findings import did_you_mean
from sideplate_engine.quantities import QuantityError, read_any, show
from sideplate_engine.vocabulary import FACT_NAME, Fact, System, Value

_DECIMALS = re.compile("[-+]?[0-9 ]+(?:[.,]([0-9]+))?(?![0-9 ]*/)")
_PLACE = re.compile(r"\{([^{}]*)\}")


class TextRefused(ValueError):
    """A text with a place that names no fact and no quantity, or with a stray brace.

    `name` is the fact looked for in vain, if it was one.
    """

    def __init__(self, message: str, name: str = "") -> None:
        super().__init__(message)
        self.name = name


@dataclass(frozen=True, slots=True)
class FactPlace:
    """A place for a fact's value."""

    fact: str


@dataclass(frozen=True, slots=True)
class QuantityPlace:
    """A quantity written into the text, with the decimals it was written with."""

    value: float
    unit: str
    written: str

    def show(self, system: System) -> str:
        """The quantity as it was written, or in the reader's units where those are others."""
        places = _DECIMALS.match(self.written)
        decimals = len(places[1] or "") if places else None
        here, there = (show(self.value, self.unit, each, decimals) for each in ("metric", system))
        return self.written if here == there else there


@dataclass(frozen=True, slots=True)
class Template:
    """A text in pieces: plain words, and places."""

    source: str
    pieces: tuple[str | FactPlace | QuantityPlace, ...]

    def facts(self) -> tuple[str, ...]:
        """The facts it has places for, once each."""
        return tuple(dict.fromkeys(piece.fact for piece in self.pieces if isinstance(piece, FactPlace)))

    def fill(
        self, facts: MappingABC[str, Value], vocabulary: MappingABC[str, Fact], system: System = "metric"
    ) -> str:
        """The text with the values put in; a fact that is not known is named in square brackets."""
        return "".join(self._piece(piece, facts, vocabulary, system) for piece in self.pieces)

    def _piece(
        self,
        piece: str | FactPlace | QuantityPlace,
        facts: MappingABC[str, Value],
        vocabulary: MappingABC[str, Fact],
        system: System,
    ) -> str:
        match piece:
            case str():
                return piece
            case FactPlace(fact):
                value = facts.get(fact)
                return f"[{fact}]" if value is None else vocabulary[fact].show(value, system)
            case QuantityPlace():
                return piece.show(system)


def read_template(text: str, vocabulary: MappingABC[str, Fact]) -> Template:
    """The text in pieces. Raises TextRefused when a place can hold nothing."""
    folded = " ".join(text.split())
    pieces: list[str | FactPlace | QuantityPlace] = []
    end = 0
    for place in _PLACE.finditer(folded):
        pieces.append(folded[end : place.start()])
        pieces.append(_place(place.group(1).strip(), vocabulary))
        end = place.end()
    pieces.append(folded[end:])
    if any(isinstance(piece, str) and re.search(r"[{}]", piece) for piece in pieces):
        raise TextRefused("a brace stands alone; write {fact.name} or {12 mm}")
    return Template(folded, tuple(piece for piece in pieces if piece != ""))


def _place(inner: str, vocabulary: MappingABC[str, Fact]) -> FactPlace | QuantityPlace:
    if inner in vocabulary:
        return FactPlace(inner)
    if FACT_NAME.match(inner) or not any(letter.isdigit() for letter in inner):
        raise TextRefused(f"{{{inner}}} names no fact{did_you_mean(inner, vocabulary)}", inner)
    try:
        value, unit = read_any(inner)
    except QuantityError as problem:
        raise TextRefused(f"{{{inner}}} is neither a fact nor a quantity: {problem}") from None
    return QuantityPlace(value, unit.symbol, inner)
