"""Whole knowledge bases and sheets drawn from a seeded source of chance, without meaning but of every form.

Facts come in layers: what a sheet states, and above it what rules derive, layer by layer. A rule reads only layers
below its own and sets aside only rules of its own layer or above, so a base is never cyclic. Values come from
small pools in which millimetres and inches meet, so conditions often hold, and rules often contradict each other.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

from sideplate_engine import KnowledgeBase, load
from sideplate_engine.vocabulary import Value
from support.small_knowledge import RULE_KEYS, write

LAYERS = 4
CODES = ("A", "B", "C", "D")
CHOICES = ("low", "middle", "high")
MILLIMETRES = ("5", "12.7", "25.4", "30", "38.1")
INCHES = ("0.5", "1", "1.2", "1.5")
COUNTS = ("0", "1", "2", "3")
FORCES = ("must", "must not", "should", "should not", "may")
SUBJECTS = ("one", "other")

_DECLARED = {
    "code": "kind: code",
    "tags": "kind: code, many: yes",
    "choice": "kind: choice, choices: {low: l, middle: m, high: h}",
    "marks": "kind: choice, many: yes, choices: {low: l, middle: m, high: h}",
    "mm": "kind: quantity, unit: mm, possible: [0 mm, 60 mm]",
    "in": "kind: quantity, unit: in",
    "count": "kind: count",
    "flag": "kind: flag",
    "ratio": "kind: quantity, unit: '1', possible: ['0', '2']",
}
_WRITTEN = {
    "code": CODES,
    "tags": CODES,
    "choice": CHOICES,
    "marks": CHOICES,
    "mm": tuple(f"{number} mm" for number in MILLIMETRES),
    "in": tuple(f"{number} in" for number in INCHES),
    "count": COUNTS,
    "flag": ("yes", "no"),
    "ratio": ("'0.5'", "'1'", "'1.5'"),
}
_SETS = ("tags", "marks")
_ORDERED = ("mm", "in", "count", "ratio")
_ALIKE = ({"mm", "in"}, {"code"}, {"choice"}, {"count"}, {"flag"}, {"ratio"})
_COMPARED = {"same as", "differs from"}
_COMPARED_NUMBERS = {"above fact", "below fact", "at least fact", "at most fact"}

TABLE = """\
id: shades
title: Shades
key: code
columns: {code: {kind: code, means: m}, choice: {kind: choice, choices: {low: l, high: h}, means: m}}
rows:
  - {code: A, choice: low, sources: [{work: thread-book}], basis: practice}
  - {code: B, choice: high, sources: [{work: thread-book}], basis: memory}
  - {code: C, sources: [{work: thread-book}], basis: practice}
"""


@dataclass(frozen=True)
class Names:
    """The facts of a base: of each, its kind and its layer (0 is what sheets state)."""

    kind: Mapping[str, str]
    layer: Mapping[str, int]

    def below(self, layer: int) -> list[str]:
        return [name for name, own in self.layer.items() if own < layer]

    def of(self, layer: int) -> list[str]:
        return [name for name, own in self.layer.items() if own == layer]


def knowledge_base(chance: Random, rules: int) -> tuple[KnowledgeBase, Names]:
    """Draw a base of so many rules; it is written to files and loaded like any other."""
    drawn = names(chance)
    return loaded(files(chance, drawn, rules)), drawn


def loaded(written: Mapping[str, str]) -> KnowledgeBase:
    """The base that is in these files."""
    with TemporaryDirectory() as folder:
        return load(write(Path(folder), written)).sound()


def files(chance: Random, names: Names, rules: int) -> dict[str, str]:
    """The base as files: the vocabulary spread over several, a rule a file."""
    found = {
        "sources.yaml": "thread-book: {title: The book of threads, kind: handbook, verified: all of it}\n",
        "topics.yaml": "fitting: {title: F, about: f}\nchecking: {title: C, about: c}\n",
        "subjects.yaml": "".join(f"{subject}: Something.\n" for subject in SUBJECTS),
        "tables/shades.yaml": TABLE,
    }
    for name, kind in names.kind.items():
        path = f"vocabulary/{chance.choice('abc')}.yaml"
        found[path] = found.get(path, "") + _declared(name, kind)
    for layer in range(1, LAYERS):
        counts = [name for name in names.below(layer) if names.kind[name] == "count"]
        one, other = chance.sample(counts, 2)
        found[f"formulas/quotient-{layer}.yaml"] = (
            f"id: quotient-{layer}\ntitle: Quotient\nexpression: a/b\ngives: {{unit: '1', means: q}}\n"
            f"symbols: {{a: {{fact: {one}, means: a}}, b: {{fact: {other}, means: b}}}}\n"
            "basis: practice\nsources: [{work: thread-book}]\n"
        )
    layers: dict[str, int] = {}
    for number in range(rules):
        id_ = f"r{number}"
        layer = chance.randint(1, LAYERS - 1)
        topic = chance.choice(("fitting", "checking"))
        earlier = [other for other, own in layers.items() if own >= layer]
        found[f"rules/{topic}/{id_}.yaml"] = _rule(chance, names, id_, layer, earlier)
        layers[id_] = layer
    return found


def sheet(chance: Random, names: Names) -> dict[str, Value]:
    """Draw a sheet: any fact may be stated, derived ones seldom."""
    share = chance.choice((0.2, 0.5, 0.8, 1.0))
    stated = [
        name
        for name, layer in names.layer.items()
        if chance.random() < (share if layer == 0 else share * 0.15)
    ]
    chance.shuffle(stated)
    return {name: _value(chance, names.kind[name]) for name in stated}


def names(chance: Random) -> Names:
    """Draw the facts of a base."""
    kind: dict[str, str] = {}
    layer: dict[str, int] = {}
    for each in _DECLARED:
        for number in range(2):
            kind[f"given.{each}{number}"] = each
            layer[f"given.{each}{number}"] = 0
    for above in range(1, LAYERS):
        for each in chance.sample(list(_DECLARED), 5):
            kind[f"derived{above}.{each}"] = each
            layer[f"derived{above}.{each}"] = above
    return Names(kind, layer)


def _declared(name: str, kind: str) -> str:
    says = "{yes: y, no: n}" if kind == "flag" else "'{value}'"
    return f"{name}: {{{_DECLARED[kind]}, means: m, ask: 'a?', says: {says}}}\n"


def _value(chance: Random, kind: str) -> Value:
    if kind in _SETS:
        pool = CODES if kind == "tags" else CHOICES
        return frozenset(chance.sample(pool, chance.randrange(len(pool))))
    written = chance.choice(_WRITTEN[kind]).strip("'")
    match kind:
        case "flag":
            return written == "yes"
        case "count":
            return int(written)
        case "code" | "choice":
            return written
        case _:
            return float(written.split()[0])


def _rule(chance: Random, names: Names, id_: str, layer: int, earlier: list[str]) -> str:
    written = {"id": id_, **RULE_KEYS, "when": _conditions(chance, names, layer, depth=0)}
    if chance.random() < 0.3:
        written["unless"] = _conditions(chance, names, layer, depth=1)
    if chance.random() < 0.5:
        written["derive"] = _derived(chance, names, layer)
        if chance.random() < 0.1:
            del written["when"]
    else:
        written |= {"ruling": chance.choice(FORCES), "instead": "That.", "if_ignored": "It breaks."}
        if chance.random() < 0.4:
            written["about"] = chance.choice(SUBJECTS)
    if earlier and chance.random() < 0.3:
        written["overrides"] = f"[{', '.join(chance.sample(earlier, min(len(earlier), 2)))}]"
    written["examples"] = "[{name: none, given: {}, expect: quiet}]"
    return "".join(f"{key}: {value}\n" for key, value in written.items())


def _derived(chance: Random, names: Names, layer: int) -> str:
    name = chance.choice(names.of(layer))
    kind = names.kind[name]
    alike = [other for other in names.below(layer) if names.kind[other] == kind and kind not in _SETS]
    source = chance.choice(_WRITTEN[kind])
    if kind in _SETS and chance.random() < 0.5:
        source = f"[{', '.join(chance.sample(_WRITTEN[kind], 2))}]"
    if alike and chance.random() < 0.3:
        source = f"{{fact: {chance.choice(alike)}}}"
    if kind == "choice" and chance.random() < 0.5:
        code = chance.choice([other for other in names.below(layer) if names.kind[other] == "code"])
        source = f"{{lookup: shades, by: {code}, take: choice}}"
    if kind == "ratio" and chance.random() < 0.5:
        source = f"{{formula: quotient-{layer}}}"
    return f"{{{name}: {source}}}"


def _conditions(chance: Random, names: Names, layer: int, depth: int) -> str:
    facts = chance.sample(names.below(layer), chance.choice((1, 1, 2, 2, 3)))
    parts = [f"{fact}: {_test(chance, names, layer, fact)}" for fact in facts]
    if depth < 2 and chance.random() < 0.3:
        branches = [_conditions(chance, names, layer, depth + 1) for _ in range(chance.choice((2, 2, 3)))]
        parts.insert(chance.randrange(len(parts) + 1), f"any: [{', '.join(branches)}]")
    return f"{{{', '.join(parts)}}}"


def _test(chance: Random, names: Names, layer: int, fact: str) -> str:
    kind = names.kind[fact]
    pool = _WRITTEN[kind]
    alike = next((group for group in _ALIKE if kind in group), set())
    others = [name for name in names.below(layer) if names.kind[name] in alike and name != fact]
    drawn = chance.random()
    if drawn < 0.12:
        return chance.choice(("known", "unknown"))
    if drawn < 0.3 and others:
        words = _COMPARED | (_COMPARED_NUMBERS if kind in _ORDERED else set())
        return f"{{{chance.choice(sorted(words))}: {chance.choice(others)}}}"
    if drawn < 0.6 and kind in _ORDERED:
        low, high = sorted(chance.sample(range(len(pool)), 2))
        return chance.choice(
            (
                f"{{above: {pool[low]}}}",
                f"{{below: {pool[high]}}}",
                f"{{at least: {pool[low]}, at most: {pool[high]}}}",
                f"{{within: [{pool[low]}, {pool[high]}]}}",
                f"{{outside: [{pool[low]}, {pool[high]}]}}",
            )
        )
    if drawn < 0.8:
        word = chance.choice(("one of", "none of"))
        return f"{{{word}: [{', '.join(chance.sample(pool, chance.randint(1, 2)))}]}}"
    return chance.choice(pool)
