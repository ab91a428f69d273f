"""The facts a job sheet can state and rules can derive: their kinds, units, limits and words."""

from __future__ import annotations

import re
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass
from typing import Literal, TypeAlias

from sideplate_engine.file_models import Kind
from sideplate_engine.findings import MOST_TOLD, Finding, Position, cut, did_you_mean, listed, too_many
from sideplate_engine.quantities import QuantityError, convert, read_quantity, show, unit
from sideplate_engine.yaml_tree import Items, Node, Text

Element: TypeAlias = str | int | float | bool
Value: TypeAlias = Element | frozenset[str]
System: TypeAlias = Literal["metric", "us"]

FACT_NAME = re.compile(r"^[a-z][a-z0-9_]*(\.[a-z][a-z0-9_]*)+$")
MAX_WORD = 200


class ValueRefused(ValueError):
    """A text that is no value of the fact it was given for; the message says what to write instead."""


@dataclass(frozen=True, slots=True)
class Fact:
    """One entry of the vocabulary. `possible` and `usual` are in the stored unit.

    An `intermediate` fact is a step on the way to others: proofs show it, a judgement's summary does not.
    A `background` fact describes the machine on most sheets: by itself it makes no ruling worth asking about.
    """

    name: str
    kind: Kind
    means: str
    at: Position
    unit: str = "1"
    ask: str = ""
    says: str = ""
    says_no: str = ""
    observe: str = ""
    possible: tuple[float, float] | None = None
    usual: tuple[float, float] | None = None
    decimals: int | None = None
    agree: float | None = None
    choices: MappingABC[str, str] | None = None
    many: bool = False
    given: bool = True
    complete: bool = False
    intermediate: bool = False
    background: bool = False
    synonyms: tuple[str, ...] = ()

    @property
    def subject(self) -> str:
        """The part the fact belongs to: `chain` of `chain.pitch`."""
        return self.name.split(".", 1)[0]

    @property
    def is_number(self) -> bool:
        """Whether values are ordered numbers."""
        return self.kind in ("quantity", "count")

    def read_element(self, text: str) -> Element:
        """One value from its text (of a set, one element). Raises ValueRefused."""
        text = text.strip()
        if not text:
            raise ValueRefused("nothing is written here; leave the fact out if it is not known")
        if len(text) > MAX_WORD:
            raise ValueRefused(f"a value has at most {MAX_WORD} characters")
        if not (text.isprintable() or all(letter.isprintable() or letter.isspace() for letter in text)):
            raise ValueRefused("a character that cannot be seen stands in it; type the value anew")
        match self.kind:
            case "quantity":
                return self._quantity(text)
            case "count":
                return self._count(text)
            case "choice":
                return self._choice(text)
            case "flag":
                if text.lower() not in ("yes", "no"):
                    raise ValueRefused(f"write yes or no, not {cut(text)!r}")
                return text.lower() == "yes"
            case "code":
                return " ".join(text.split()).upper()

    def read_limit(self, text: str) -> float:
        """A number in the stored unit, without regard to what is possible. Raises ValueRefused."""
        if self.kind == "count":
            if not re.fullmatch("[0-9]{1,9}", text.strip()):
                raise ValueRefused(f"write a whole number, not {cut(text)!r}")
            return float(text)
        try:
            return read_quantity(text, self.unit)
        except QuantityError as problem:
            raise ValueRefused(str(problem)) from None

    def _quantity(self, text: str) -> float:
        value = self.read_limit(text)
        self._within_possible(value, text)
        return value

    def _count(self, text: str) -> int:
        value = int(self.read_limit(text))
        self._within_possible(value, text)
        return value

    def _within_possible(self, value: float, text: str) -> None:
        if self.possible is not None and not self.possible[0] <= value <= self.possible[1]:
            low, high = (self.show_element(limit, "metric") for limit in self.possible)
            raise ValueRefused(f"{text} cannot be: {self.name} lies between {low} and {high}")

    def _choice(self, text: str) -> str:
        assert self.choices is not None
        word = " ".join(text.lower().split())
        for choice in self.choices:
            if choice.lower() == word:
                return choice
        known = list(self.choices)
        raise ValueRefused(f"{cut(text)!r} is not {listed(known)}{did_you_mean(text, known)}")

    def is_unusual(self, value: Value) -> bool:
        """Whether a value is possible but outside the usual range."""
        if self.usual is None or isinstance(value, (str, frozenset)):
            return False
        return not self.usual[0] <= value <= self.usual[1]

    def agrees(self, one: Value, other: Value) -> bool:
        """Whether two values of this fact are the same within what measuring allows.

        A quantity agrees within the vocabulary's `agree:`, else within half a per cent of the larger.
        """
        if (
            self.kind != "quantity"
            or isinstance(one, (str, frozenset))
            or isinstance(other, (str, frozenset))
        ):
            return one == other
        allowed = self.agree if self.agree is not None else 0.005 * max(abs(one), abs(other))
        return abs(one - other) <= allowed + 1e-9

    def show(self, value: Value, system: System = "metric") -> str:
        """A value as a reader wants it: with its unit, a set as a list in words."""
        if isinstance(value, frozenset):
            known = list(self.choices or sorted(value))
            return listed([word for word in known if word in value], "and", limit=50) or "none"
        return self.show_element(value, system)

    def show_element(self, value: Element, system: System) -> str:
        """One element as a reader wants it."""
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, str):
            return value
        if self.kind == "count":
            return str(int(value))
        return show(float(value), self.unit, system, self.decimals)

    def tell(self, value: Value, system: System = "metric") -> str:
        """The fact and its value as a sentence of a story; empty where the vocabulary has none."""
        if isinstance(value, bool):
            return self.says if value else self.says_no
        return self.says.replace("{value}", self.show(value, system))


def to_json(value: Value) -> object:
    """A value as JSON holds it."""
    return sorted(value) if isinstance(value, frozenset) else value


def read_value(fact: Fact, node: Node) -> tuple[Value | None, list[Finding]]:
    """A fact's value from a job sheet or an example: text, or for a set a list of texts (or one text)."""
    if fact.many:
        items = node.items if isinstance(node, Items) else (node,)
        elements: set[str] = set()
        findings: list[Finding] = []
        for item in items:
            if len(findings) == MOST_TOLD:
                findings.append(too_many(node.at))
                break
            element, found = _element(fact, item)
            findings += found
            if element is not None:
                elements.add(str(element))
        return (None, findings) if findings else (frozenset(elements), [])
    if isinstance(node, Items):
        return None, [Finding("wrong-value", f"{fact.name} takes one value, not a list", node.at)]
    return _element(fact, node)


def _element(fact: Fact, node: Node) -> tuple[Element | None, list[Finding]]:
    if not isinstance(node, Text):
        return None, [Finding("wrong-value", f"{fact.name} takes a plain value here", node.at)]
    try:
        return fact.read_element(node.value), []
    except ValueRefused as problem:
        return None, [Finding("wrong-value", f"{fact.name}: {problem}", node.at)]


def same_kind(one: Fact, other: Fact) -> bool:
    """Whether two facts' values can be compared with each other."""
    if one.many or other.many or one.kind != other.kind:
        return False
    if one.kind == "quantity":
        return unit(one.unit).dimension == unit(other.unit).dimension
    return one.kind != "choice" or set(one.choices or ()) == set(other.choices or ())


def in_unit_of(value: float, fact: Fact, target: Fact) -> float:
    """A stored value of one fact in the stored unit of another of the same dimension."""
    if fact.kind == "count" or fact.unit == target.unit:
        return value
    return convert(value, fact.unit, target.unit)
