"""YAML as a tree of text with places, and nothing cleverer.

PyYAML's C parser gives the events; this module builds the tree from them. Every scalar stays the text that was
written: the vocabulary, not YAML, decides what `520`, `no` and `0125` are. What YAML can do beyond that
(anchors, aliases, tags, several documents, repeated keys) is refused with its place.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeAlias, cast

import yaml

from sideplate_engine.findings import MOST_TOLD, Finding, Position, cut

MAX_BYTES = 1024 * 1024
MAX_DEPTH = 64
MAX_NODES = 40_000
"""Keys and values in a file; with this and the length no file takes a second to read."""

_HINTS = {
    "mapping values are not allowed": "; put a text that holds a colon in quotes",
    "block mapping did not find expected key": "; put a whole text that begins with a bracket or a quote in quotes",
    "cannot start any token": "; put a text that begins with a sign in quotes",
}
"""What most often lies behind a complaint of the parser."""

_NODES = (yaml.ScalarEvent, yaml.SequenceStartEvent, yaml.MappingStartEvent)
_QUOTES = ("'", '"')

Key: TypeAlias = str | int


@dataclass(frozen=True, slots=True)
class Text:
    """A scalar, as written. `quoted` tells `"known"` (text) from a bare `known`."""

    value: str
    at: Position
    quoted: bool = False


@dataclass(frozen=True, slots=True)
class Items:
    """A sequence."""

    items: tuple[Node, ...]
    at: Position


@dataclass(frozen=True, slots=True)
class Mapping:
    """A mapping; the keys keep their own places and their order."""

    entries: dict[str, Node] = field(default_factory=dict)
    key_at: dict[str, Position] = field(default_factory=dict)
    at: Position = field(default_factory=lambda: Position(""))


Node: TypeAlias = Text | Items | Mapping


class UnreadableFile(Exception):
    """A file or text that cannot be turned into a tree. Carries what was found."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(finding.line())
        self.finding = finding


def read_text(path: Path, shown_as: str | None = None) -> str:
    """The text of a file of at most 1 MiB in UTF-8.

    Raises UnreadableFile for a missing file, a folder, a file too large or not in UTF-8.
    """
    name = shown_as or str(path)
    at = Position(name)
    try:
        if path.is_dir():
            raise UnreadableFile(Finding("not-a-file", "this is a folder; name a YAML file in it", at))
        with path.open("rb") as stream:
            raw = stream.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise UnreadableFile(Finding("no-such-file", "there is no such file", at)) from None
    except OSError as problem:
        reason = problem.strerror or str(problem)
        raise UnreadableFile(
            Finding("unreadable-file", f"the file cannot be read: {reason}", at)
        ) from problem
    return decode(raw, name)


def decode(raw: bytes, name: str) -> str:
    """Bytes as text: at most 1 MiB of UTF-8, a leading byte-order mark dropped. Raises UnreadableFile."""
    if len(raw) > MAX_BYTES:
        raise UnreadableFile(Finding("file-too-large", "the file is larger than 1 MiB", Position(name)))
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        before = raw[: problem.start]
        line = before.count(b"\n") + 1
        column = problem.start - (before.rfind(b"\n") + 1) + 1
        message = f"byte {raw[problem.start]:#04x} is not UTF-8; save the file as UTF-8"
        raise UnreadableFile(Finding("not-utf-8", message, Position(name, line, column))) from None


def read_tree(text: str, name: str) -> tuple[Node | None, list[Finding]]:
    """The tree of one YAML document, and the findings that do not stop the reading (repeated keys).

    An empty document gives None. Raises UnreadableFile when the text is not YAML that this project reads.
    """
    return _Builder(name).build(text)


class _Builder:
    """Turns the parser's events into a tree; one use, one file."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.findings: list[Finding] = []
        self.nodes = 0
        self.next_event: Callable[[], yaml.Event]

    def build(self, text: str) -> tuple[Node | None, list[Finding]]:
        try:
            text.encode()
        except UnicodeEncodeError as problem:
            at = self._after(text[: problem.start])
            raise UnreadableFile(Finding("not-utf-8", "half a character stands here", at)) from None
        try:
            root = self._document(yaml.CBaseLoader(text))
        except yaml.MarkedYAMLError as problem:
            raise UnreadableFile(self._syntax(problem)) from None
        except yaml.reader.ReaderError as problem:
            # The parser counts bytes.
            at = self._after(text.encode()[: problem.position].decode(errors="ignore"))
            raise UnreadableFile(Finding("yaml-syntax", f"this is not YAML: {problem.reason}", at)) from None
        return (None if _is_empty(root) else root), self.findings

    def _document(self, parser: yaml.CBaseLoader) -> Node | None:
        """The root of the one document; None in an empty text."""
        root: Node | None = None
        documents = 0
        # None comes only after the end of the stream, where nobody asks any more.
        self.next_event = cast("Callable[[], yaml.Event]", parser.get_event)
        while not isinstance(event := self.next_event(), yaml.StreamEndEvent):
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    raise self._refused(
                        "several-documents", "a file holds one document; remove the `---`", event
                    )
            elif isinstance(event, yaml.NodeEvent):
                root = self._node(event, depth=1)
        return root

    def _node(self, event: yaml.Event, depth: int) -> Node:
        at = self._place(event, depth)
        if isinstance(event, yaml.ScalarEvent):
            return Text(event.value, at, event.style in _QUOTES)
        if isinstance(event, yaml.SequenceStartEvent):
            items: list[Node] = []
            while not isinstance(item := self.next_event(), yaml.SequenceEndEvent):
                items.append(self._node(item, depth + 1))
            return Items(tuple(items), at)
        return self._mapping(depth, at)

    def _place(self, event: yaml.Event, depth: int) -> Position:
        """Where a node begins. Refuses one that this project does not read."""
        if isinstance(event, yaml.AliasEvent):
            raise self._refused(
                "alias", f"the alias *{event.anchor} is refused; write the value out again", event
            )
        assert isinstance(event, _NODES)
        if event.anchor is not None:
            raise self._refused("anchor", f"the anchor &{event.anchor} is refused; remove it", event)
        if event.tag is not None:
            raise self._refused("tag", f"the tag {event.tag} is refused; remove it", event)
        self.nodes += 1
        if self.nodes > MAX_NODES:
            raise self._refused(
                "file-too-large", f"the file holds more than {MAX_NODES} keys and values", event
            )
        if depth > MAX_DEPTH:
            raise self._refused("too-deep", f"nested more than {MAX_DEPTH} levels deep", event)
        return self._at(event)

    def _mapping(self, depth: int, at: Position) -> Mapping:
        entries: dict[str, Node] = {}
        key_at: dict[str, Position] = {}
        while not isinstance(event := self.next_event(), yaml.MappingEndEvent):
            place = self._place(event, depth + 1)
            if not isinstance(event, yaml.ScalarEvent):
                raise self._refused("key-not-text", "a key must be text", event)
            key = event.value
            value = self._node(self.next_event(), depth + 1)
            if key not in entries:
                entries[key] = value
                key_at[key] = place
            elif len(self.findings) < MOST_TOLD:
                message = f"the key {cut(key)!r} is written twice; the first is on line {key_at[key].line}"
                self.findings.append(Finding("repeated-key", message, place))
        return Mapping(entries, key_at, at)

    def _at(self, event: yaml.Event) -> Position:
        mark = event.start_mark
        assert mark is not None
        return Position(self.name, mark.line + 1, mark.column + 1)

    def _after(self, before: str) -> Position:
        return Position(self.name, before.count("\n") + 1, len(before) - before.rfind("\n"))

    def _refused(self, code: str, message: str, event: yaml.Event) -> UnreadableFile:
        return UnreadableFile(Finding(code, message, self._at(event)))

    def _syntax(self, problem: yaml.MarkedYAMLError) -> Finding:
        mark = problem.problem_mark or problem.context_mark
        at = Position(self.name, mark.line + 1, mark.column + 1) if mark else Position(self.name)
        sentence = " ".join(part for part in (problem.context, problem.problem) if part)
        hint = next((hint for said, hint in _HINTS.items() if said in sentence), "")
        return Finding("yaml-syntax", f"this is not YAML: {sentence}{hint}", at)


def _is_empty(root: Node | None) -> bool:
    return root is None or (isinstance(root, Text) and root.value == "" and not root.quoted)


def plain(node: Node | None) -> object:
    """The tree as plain dicts, lists and strings, for a validator that knows nothing of places."""
    match node:
        case Text():
            return node.value
        case Items():
            return [plain(item) for item in node.items]
        case Mapping():
            return {key: plain(value) for key, value in node.entries.items()}
        case _:
            return None


def position_of(node: Node, path: tuple[Key, ...]) -> Position:
    """The place of what `path` leads to: a mapping entry's key, a sequence item's start.

    Steps that lead nowhere are passed over, so a missing key has the place of the mapping that lacks it.
    """
    at = node.at
    current: Node | None = node
    for step in path:
        if isinstance(current, Mapping) and isinstance(step, str) and step in current.entries:
            at = current.key_at[step]
            current = current.entries[step]
        elif isinstance(current, Items) and isinstance(step, int) and 0 <= step < len(current.items):
            current = current.items[step]
            at = current.at
    return at


def node_at(node: Node, path: tuple[Key, ...]) -> Node | None:
    """The node that `path` leads to, or None."""
    current: Node | None = node
    for step in path:
        if isinstance(current, Mapping) and isinstance(step, str):
            current = current.entries.get(step)
        elif isinstance(current, Items) and isinstance(step, int) and 0 <= step < len(current.items):
            current = current.items[step]
        else:
            return None
    return current
