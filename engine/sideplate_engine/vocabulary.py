"""The facts a job sheet can state and rules can derive: their kinds, units, limits and words."""

from __future__ import annotations

import re
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass
from typing import Literal, TypeAlias

from sideplate_engine.file_models import Kind, VocabularyEntry, YesNo
from sideplate_engine.findings import MOST_TOLD, Finding, Position, cut, did_you_mean, listed, too_many
from sideplate_engine.quantities import QuantityError, UnknownUnit, convert, read_quantity, show, unit
from sideplate_engine.shape_check import read_as
from sideplate_engine.yaml_tree import Items, Mapping, Node, Text

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


def read_vocabulary(tree: Node) -> tuple[dict[str, Fact], list[Finding]]:
    """The facts of one vocabulary file, and all that is wrong with it; a broken entry is left out."""
    facts: dict[str, Fact] = {}
    findings: list[Finding] = []
    if not isinstance(tree, Mapping):
        return facts, [Finding("wrong-shape", "a vocabulary file is a mapping of facts", tree.at)]
    for name in tree.entries:
        at = tree.key_at[name]
        if not FACT_NAME.match(name):
            message = f"{name!r} is no fact name; write lower-case words, dotted, such as chain.pitch"
            findings.append(Finding("fact-name", message, at))
            continue
        entry, found = read_as(VocabularyEntry, tree, (name,))
        findings += found
        if entry is not None:
            fact, found = _fact(name, entry, tree, at)
            findings += found
            if fact is not None:
                facts[name] = fact
    return facts, findings


def _fact(
    name: str, entry: VocabularyEntry, tree: Mapping, at: Position
) -> tuple[Fact | None, list[Finding]]:
    node = tree.entries[name]
    assert isinstance(node, Mapping)
    problems: list[Finding] = []

    def wrong(key: str, message: str, code: str = "vocabulary") -> None:
        problems.append(Finding(code, message, node.key_at.get(key, at)))

    number = entry.kind in ("quantity", "count")
    if (entry.unit is not None) != (entry.kind == "quantity"):
        wrong("unit", "a quantity has a `unit`, and nothing else has")
    if (entry.choices is not None) != (entry.kind == "choice"):
        wrong("choices", "a choice has `choices`, and nothing else has")
    if entry.many == "yes" and entry.kind not in ("choice", "code"):
        wrong("many", "only a choice or a code can be `many`")
    for key in ("possible", "usual"):
        if getattr(entry, key) is not None and not number:
            wrong(key, f"`{key}` belongs to a quantity or a count")
    for key in ("agree", "decimals"):
        if getattr(entry, key) is not None and entry.kind != "quantity":
            wrong(key, f"`{key}` belongs to a quantity")
    if entry.given == "yes" and (entry.ask is None or entry.says is None):
        wrong("ask", "a fact that can be given has `ask` and `says`", "unspoken")
    if entry.says is not None and not _says_it_all(entry.says, entry.kind):
        wrong("says", "a flag says one sentence for yes and one for no; other kinds one with {value}")
    unit_name = entry.unit or "1"
    try:
        unit(unit_name)
    except UnknownUnit as problem:
        wrong("unit", str(problem), "unknown-unit")
        unit_name = "1"
    if problems:
        return None, problems

    limits = Fact(name, entry.kind, entry.means, at, unit_name)
    ranges: dict[str, tuple[float, float] | None] = {"possible": None, "usual": None}
    for key in ranges:
        ends: list[str] | None = getattr(entry, key)
        if ends is None:
            continue
        try:
            low, high = (limits.read_limit(end) for end in ends)
        except ValueRefused as problem:
            wrong(key, str(problem), "wrong-value")
            continue
        if low > high:
            wrong(key, f"{ends[0]} is more than {ends[1]}", "wrong-value")
        ranges[key] = (low, high)
    possible, usual = ranges["possible"], ranges["usual"]
    if possible and usual and not possible[0] <= usual[0] <= usual[1] <= possible[1]:
        wrong("usual", "what is usual lies within what is possible", "wrong-value")
    agree = None
    if entry.agree is not None:
        try:
            agree = limits.read_limit(entry.agree)
        except ValueRefused as problem:
            wrong("agree", str(problem), "wrong-value")
    if problems:
        return None, problems
    says: object = entry.says or ""
    return (
        Fact(
            name=name,
            kind=entry.kind,
            means=entry.means,
            at=at,
            unit=unit_name,
            ask=entry.ask or "",
            says=str(says.get("yes", "")) if isinstance(says, dict) else str(says),
            says_no=str(says.get("no", "")) if isinstance(says, dict) else "",
            observe=entry.observe or "",
            possible=possible,
            usual=usual,
            decimals=None if entry.decimals is None else int(entry.decimals),
            agree=agree,
            choices=entry.choices,
            many=entry.many == "yes",
            given=entry.given == "yes",
            complete=entry.complete == "yes",
            intermediate=entry.intermediate == "yes",
            background=entry.background == "yes",
            synonyms=tuple(entry.synonyms),
        ),
        [],
    )


def _says_it_all(says: str | MappingABC[YesNo, str], kind: Kind) -> bool:
    if isinstance(says, str):
        return kind != "flag" and "{value}" in says
    return kind == "flag" and set(says) == {"yes", "no"}


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
