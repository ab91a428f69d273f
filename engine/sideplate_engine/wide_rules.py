"""Lays conjunctions out as durable-rules wants them, and keeps its limits by construction.

Every rule is one conjunction over one wide fact. Rules go into chunks; each rule first asks for its chunk's
tag, so that a chunk's fact runs through that chunk's tests alone. Beyond its limits the library does not
complain: it hangs for ever, crashes or loses facts. The constants below each name the limit they stay under;
tests/engine/test_durable_rules_traps.py pins the limits themselves.

The engine tells property names apart by a 32-bit hash alone. So no name of ours reaches it: inside a chunk
the properties are called p0, p1 and so on, at most 240 names in all, whose hashes a test compares. A property
may then be called anything, `id` and `$or` included. Words are compared letter by letter in their JSON
spelling, never by hash, and go in as they are.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from sideplate_engine.conditions import Condition, Conjunction, Relation, Scalar
from sideplate_engine.value_kinds import Kind, comparable, settle_kinds, values_wanted

FACT_ID = "f"
"""The `id` every wide fact goes by; one fact at a time is in the engine."""

RULES_IN_A_CHUNK = 60
"""A 65th passed test waiting to be followed up is error 303; a rule has one waiting at a time.

The same bound keeps clear of two others, which overwrite memory: 128 "absent" tests behind one test, and 256
rules that end in one test. A rule adds at most one to either.
"""

TESTS_IN_A_CHUNK = 400
"""512 different tests at one level hang the engine. A rule adds one, or its longest `one of` list."""

PROPERTIES_IN_A_CHUNK = 240
"""A fact of more than 251 properties beside its id is error 302."""

VALUES_IN_A_LIST = 100
"""A longer `one of` is split over several rules, so that no rule fills a chunk's tests by itself."""

LISTS_IN_A_RULE = 12
"""A rule with 15 groups of alternatives is error 113. Further lists are spread over rules, a value each."""

RULES_IN_ALL = 4096
"""One more rule in a ruleset is error 106."""

CHUNKS_IN_ALL = 500
"""Every chunk's tag is a test at the first level, and 512 hang the engine."""

LETTERS_IN_A_WORD = 65_535
"""Lengths are 16 bits wide: a word of 65,536 bytes counts as the empty one."""

_COMPARISONS = {
    Relation.ABOVE: "$gt",
    Relation.BELOW: "$lt",
    Relation.AT_LEAST: "$gte",
    Relation.AT_MOST: "$lte",
}


class BeyondLimits(ValueError):
    """More than the engine takes. `key` is of the conjunction that is too much by itself, if one is."""

    def __init__(self, message: str, key: str = "") -> None:
        super().__init__(f"{key} {message}" if key else message)
        self.key = key


@dataclass(frozen=True, slots=True)
class Chunk:
    """Rules that share a tag. `names` maps the properties they look at to the names used inside the chunk."""

    tag: str
    names: Mapping[str, str]

    def fact(self, texts: Mapping[str, str]) -> str:
        """Return the wide fact, given the JSON text of each property that is present."""
        parts = [f'{{"id":"{FACT_ID}","t":"{self.tag}"']
        parts += [f'"{inside}":{texts[name]}' for name, inside in self.names.items() if name in texts]
        return ",".join(parts) + "}"


@dataclass(frozen=True, slots=True)
class Layout:
    """A whole ruleset as JSON; rule number n stands for the conjunction `keys[n]`."""

    rules: str
    keys: Sequence[str]
    chunks: Mapping[int, Sequence[Chunk]]
    kinds: Mapping[int, Mapping[str, Kind | None]]
    """By stratum: the properties its chunks look at, each with its kind."""


def lay_out(conjunctions: Iterable[Conjunction]) -> Layout:
    """Return the ruleset for these conjunctions.

    Raises ValueError as `settle_kinds` does and for a word too long to compare, and BeyondLimits for a conjunction
    that looks at more properties than a chunk may hold and for more rules than the engine takes.
    """
    given = tuple(conjunctions)
    kinds = settle_kinds(given)
    by_stratum: dict[int, list[Conjunction]] = defaultdict(list)
    for conjunction in given:
        by_stratum[conjunction.stratum].extend(_spread(conjunction))

    rules: list[str] = []
    keys: list[str] = []
    chunks: dict[int, list[Chunk]] = {}
    looked_at: dict[int, dict[str, Kind | None]] = {}
    for stratum, members in by_stratum.items():
        chunks[stratum] = []
        looked_at[stratum] = {}
        for number, group in enumerate(_chunked(members)):
            properties = dict.fromkeys(c.property for member in group for c in member.conditions)
            names = {name: f"p{place}" for place, name in enumerate(properties)}
            chunk = Chunk(f"{stratum}.{number}", names)
            chunks[stratum].append(chunk)
            looked_at[stratum].update({name: kinds[name] for name in names})
            for member in group:
                rules.append(f'"{len(keys)}":{_rule(chunk, member.conditions)}')
                keys.append(member.key)
    in_chunks = sum(map(len, chunks.values()))
    if len(rules) > RULES_IN_ALL or in_chunks > CHUNKS_IN_ALL:
        raise BeyondLimits(
            f"these conjunctions make {len(rules)} rules in {in_chunks} chunks; "
            f"the engine takes {RULES_IN_ALL} in {CHUNKS_IN_ALL}"
        )
    return Layout("{" + ",".join(rules) + "}", tuple(keys), chunks, looked_at)


def value_text(value: Scalar) -> str:
    """Return the JSON text of a comparable value. Raises ValueError for a word too long to compare."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        text = json.dumps(value)
        if len(text) - 2 > LETTERS_IN_A_WORD:
            raise ValueError(
                f"a word of {len(text) - 2} bytes in JSON; at most {LETTERS_IN_A_WORD} can be compared"
            )
        return text
    text = repr(float(value))
    # The engine's own JSON reader stops at an exponent that follows no fraction.
    return text if "." in text else text.replace("e", ".0e")


def _spread(conjunction: Conjunction) -> Iterator[Conjunction]:
    """Yield conjunctions of the same key within the limits; one of them holds exactly when this one does."""
    conditions = tuple(dict.fromkeys(conjunction.conditions))
    if len({condition.property for condition in conditions}) > PROPERTIES_IN_A_CHUNK:
        raise BeyondLimits(f"looks at more than {PROPERTIES_IN_A_CHUNK} properties", conjunction.key)
    lists = sorted(
        (condition for condition in conditions if condition.relation is Relation.ONE_OF),
        key=lambda condition: len(values_wanted(condition)),
        reverse=True,
    )
    others = tuple(condition for condition in conditions if condition.relation is not Relation.ONE_OF)
    pieces = [_pieces(condition, VALUES_IN_A_LIST) for condition in lists[:LISTS_IN_A_RULE]]
    pieces += [_pieces(condition, 1) for condition in lists[LISTS_IN_A_RULE:]]
    for made, choice in enumerate(product(*pieces)):
        if made == RULES_IN_ALL:
            raise BeyondLimits(
                f"spreads over more than the {RULES_IN_ALL} rules the engine takes", conjunction.key
            )
        yield Conjunction(conjunction.key, conjunction.stratum, others + choice)


def _pieces(condition: Condition, size: int) -> list[Condition]:
    values = tuple(dict.fromkeys(values_wanted(condition)))
    return [
        Condition(condition.property, Relation.ONE_OF, values[start : start + size])
        for start in range(0, len(values), size)
    ]


def _chunked(members: Iterable[Conjunction]) -> Iterator[list[Conjunction]]:
    group: list[Conjunction] = []
    properties: set[str] = set()
    tests = 0
    for member in members:
        own = {condition.property for condition in member.conditions}
        lists = [c for c in member.conditions if c.relation is Relation.ONE_OF]
        own_tests = max((len(values_wanted(condition)) for condition in lists), default=1)
        if group and (
            len(group) == RULES_IN_A_CHUNK
            or len(properties | own) > PROPERTIES_IN_A_CHUNK
            or tests + own_tests > TESTS_IN_A_CHUNK
        ):
            yield group
            group, properties, tests = [], set(), 0
        group.append(member)
        properties |= own
        tests += own_tests
    if group:
        yield group


def _rule(chunk: Chunk, conditions: Iterable[Condition]) -> str:
    tests = [f'{{"t":"{chunk.tag}"}}']
    for condition in conditions:
        tests += _tests(chunk.names[condition.property], condition)
    return f'{{"all":[{{"m":{{"$and":[{",".join(tests)}]}}}}]}}'


def _tests(name: str, condition: Condition) -> list[str]:
    texts = [value_text(comparable(value)) for value in values_wanted(condition)]
    match condition.relation:
        case Relation.UNKNOWN:
            return [f'{{"$nex":{{"{name}":1}}}}']
        case Relation.EQUALS | Relation.ONE_OF if len(texts) == 1:
            return [f'{{"{name}":{texts[0]}}}']
        case Relation.EQUALS | Relation.ONE_OF:
            alternatives = ",".join(f'{{"{name}":{text}}}' for text in texts)
            return [f'{{"$or":[{alternatives}]}}']
        case Relation.NONE_OF if texts:
            return [f'{{"$neq":{{"{name}":{text}}}}}' for text in texts]
        case Relation.KNOWN | Relation.NONE_OF:
            return [f'{{"$ex":{{"{name}":1}}}}']
        case ordering:
            return [f'{{"{_COMPARISONS[ordering]}":{{"{name}":{texts[0]}}}}}']
