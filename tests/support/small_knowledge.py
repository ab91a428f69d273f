"""A small invented knowledge base about bolts, and rules written for one test.

Nothing in it is a figure from outside: it exists so that tests of the engine need no real knowledge.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from textwrap import dedent, indent

from sideplate_engine import Judge, Loaded, load, read_sheet
from sideplate_engine.vocabulary import Value

VOCABULARY = """\
bolt.size:
  kind: code
  means: The size stamped on the head.
  ask: What size is it?
  says: It is size {value}.
bolt.code:
  kind: code
  means: The maker's code on the head.
  ask: What code is on it?
  says: Its code is {value}.
nut.size:
  kind: code
  means: The size of the nut.
  ask: What size is the nut?
  says: The nut is size {value}.
nut.code:
  kind: code
  means: The maker's code on the nut.
  ask: What code is on the nut?
  says: The nut's code is {value}.
bolt.length:
  kind: quantity
  unit: mm
  possible: [1 mm, 500 mm]
  usual: [5 mm, 200 mm]
  decimals: 1
  means: Length under the head.
  ask: How long is it?
  says: It is {value} long.
bolt.grip:
  kind: quantity
  unit: in
  possible: [0 in, 20 in]
  means: The thickness it holds.
  ask: How thick is what it holds?
  says: It holds {value}.
bolt.turns:
  kind: count
  possible: ["1", "100"]
  means: Turns given.
  ask: How many turns was it given?
  says: It was given {value} turns.
bolt.nuts:
  kind: count
  means: Nuts on it.
  ask: How many nuts are on it?
  says: It has {value} nuts.
bolt.finish:
  kind: choice
  choices: {bare: No coat., plated: A metal coat., painted: A coat of paint.}
  means: What covers it.
  ask: What covers it?
  says: It is {value}.
bolt.marks:
  kind: choice
  many: yes
  choices: {rust: Red dust., bent: Not straight., stretched: Longer than new.}
  means: What is wrong with it.
  ask: What is wrong with it?
  says: It shows {value}.
bolt.tags:
  kind: code
  many: yes
  means: Tags tied to it.
  ask: Which tags are tied to it?
  says: It carries {value}.
bolt.greased:
  kind: flag
  means: Whether there is grease on it.
  ask: Is it greased?
  says: {yes: It is greased., no: It is dry.}
bolt.pitch:
  kind: quantity
  unit: mm
  possible: [0.1 mm, 10 mm]
  agree: 0.05 mm
  decimals: 2
  means: One turn's travel.
  ask: What is the pitch?
  says: The pitch is {value}.
bolt.strength:
  kind: quantity
  unit: kN
  possible: [0 kN, 90 kN]
  means: What it bears.
  ask: What does it bear?
  says: It bears {value}.
bolt.travel: {kind: quantity, unit: mm, possible: [0 mm, 300 mm], decimals: 1, given: no, means: How far it came.}
bolt.share: {kind: quantity, unit: "1", given: no, means: Travel as a part of the rest.}
bolt.verdict: {kind: choice, choices: {good: Use it., worn: Watch it., done: Renew it.}, given: no, means: State.}
bolt.ready: {kind: flag, given: no, means: Nothing speaks against it.}
"""

TABLE = """\
id: threads
title: Threads by size
key: size
columns:
  size: {kind: code, means: Size number.}
  pitch: {kind: quantity, unit: mm, means: Travel of one turn.}
  strength: {kind: quantity, unit: N, means: What it bears.}
  note: {kind: text, means: What else is known.}
rows:
  - {size: M4, pitch: 0.7, strength: 4000, note: small, sources: [{work: thread-book, at: page 4}], basis: handbook}
  - {size: M6, pitch: 1, strength: 9000, sources: [{work: thread-book}], basis: handbook, from_memory: [strength]}
  - {size: M8, pitch: 1.25, sources: [{work: thread-book}], basis: memory}
"""

FORMULA = """\
id: travel
title: Travel of a nut
symbols:
  n: {fact: bolt.turns, means: turns}
  p: {fact: bolt.pitch, means: pitch}
expression: n*p
gives: {fact: bolt.travel}
basis: handbook
sources: [{work: thread-book, at: page 9}]
worked:
  - {name: ten turns, with: {n: 10, p: 0.7 mm}, gives: 7 mm, within: 0.01 mm, sources: [{work: thread-book}]}
"""

SHARE = """\
id: share
title: Travel as a part of the length
symbols:
  t: {fact: bolt.travel, means: travel}
  l: {fact: bolt.length, means: length}
expression: t/(l - t)
gives: {fact: bolt.share}
basis: practice
sources: [{work: thread-book}]
"""

PROCEDURE = """\
id: tighten
title: Tighten a bolt
for: When it is loose.
sources: [{work: thread-book}]
steps:
  - {id: clean, do: Clean the thread.}
  - {id: turn, do: Turn it home., after: [clean], caution: sharp-edges}
"""

SOURCES = "thread-book: {title: The book of threads, kind: handbook, verified: all of it}\n"
CAUTIONS = "sharp-edges: {hazard: Threads cut., do: Wear gloves.}\n"
TOPICS = """\
fitting: {title: Fitting, about: How it goes in.}
checking: {title: Checking, about: What to look for., after: [fitting]}
"""
SUBJECTS = "use-the-bolt: Using the bolt that is at hand.\n"

FILES: Mapping[str, str] = {
    "vocabulary/bolt.yaml": VOCABULARY,
    "tables/threads.yaml": TABLE,
    "formulas/travel.yaml": FORMULA,
    "formulas/share.yaml": SHARE,
    "procedures/tighten.yaml": PROCEDURE,
    "sources.yaml": SOURCES,
    "cautions.yaml": CAUTIONS,
    "topics.yaml": TOPICS,
    "subjects.yaml": SUBJECTS,
}
"""The base by path, without any rule."""

RULE_KEYS: Mapping[str, str] = {
    "title": "A rule of the test",
    "status": "draft",
    "says": "Look at it.",
    "because": "{kind: practice, text: It is done so.}",
    "sources": "[{work: thread-book}]",
}

_MAPPINGS = ("when", "unless", "derive")
_TEXTS = ("title", "says", "instead", "if_ignored")

ANY_EXAMPLE = "[{name: any, given: {bolt.size: M4}, expect: quiet}]"

Files = dict[str, str]
JudgeWith = Callable[..., Judge]
LoadWith = Callable[..., Loaded]
"""What the fixtures `judge_of` and `loaded_of` are: they take any number of files laid over the base."""


def rule(id_: str, topic: str = "fitting", **keys: str) -> Files:
    """One rule as a file: the keys given as YAML, whatever else a rule needs filled in.

    Without `ruling` and `derive` it rules `should`. A key of several lines becomes a block.
    """
    written = {"id": id_, **RULE_KEYS, **keys}
    if "ruling" not in keys and "derive" not in keys:
        written["ruling"] = "should"
    if "derive" not in keys:
        written.setdefault("if_ignored", "It comes loose.")
    if written.get("ruling", "").endswith("not"):
        written.setdefault("instead", "Take another.")
    written.setdefault("examples", ANY_EXAMPLE)
    return {f"rules/{topic}/{id_}.yaml": "".join(_entry(key, value) for key, value in written.items())}


def _entry(key: str, value: str) -> str:
    if key in _TEXTS:
        return f"{key}: {json.dumps(value, ensure_ascii=False) if '{' in value else value}\n"
    text = dedent(value).strip("\n")
    in_block = "\n" in text or (key in _MAPPINGS and not text.startswith("{"))
    return f"{key}:\n{indent(text, '  ')}\n" if in_block else f"{key}: {text}\n"


def write(folder: Path, files: Mapping[str, str | bytes]) -> Path:
    """Writes the files below the folder, which is made, and returns it."""
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return folder


def load_with(folder: Path, *more: Mapping[str, str | bytes]) -> Loaded:
    """The small base with more files laid over it, loaded from a folder it is written to."""
    files: dict[str, str | bytes] = dict(FILES)
    for extra in more:
        files.update(extra)
    return load(write(folder, files))


def judge_with(folder: Path, *more: Mapping[str, str | bytes]) -> Judge:
    """A judge on the small base and these files, in which nothing may be wrong."""
    return Judge(load_with(folder, *more).sound())


def given(judge: Judge, facts: str) -> dict[str, Value]:
    """Facts written as on a job sheet, in one line without the outer braces; none at all for an empty text."""
    if not facts:
        return {}
    return dict(read_sheet(f"facts: {{{facts}}}", "sheet", judge.knowledge.facts).facts)
