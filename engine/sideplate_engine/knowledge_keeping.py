"""Keeps a sound knowledge base ready between two starts, so that a command need not read 500 files again.

What is kept is used only while nothing has changed: no file of the folders (by name, size and time), no module of the
engine, neither the Python nor the place from which paths are shown. It is a pickle, so it is trusted no further than it
must be: it lies in a folder of the user's own, is read only if nobody else can write it, and may build nothing but what
a knowledge base is made of.
"""

from __future__ import annotations

import dataclasses
import hashlib
import io
import os
import pickle
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from sideplate_engine.knowledge_base import KnowledgeBase

UNSETTLED = 2.0
"""Seconds after its last change in which a file may change again without its time telling."""

YAML = (".yaml", ".yml")
_BUILT_OF = {"builtins": {"frozenset", "set", "complex"}, "ast": None, "fractions": {"Fraction"}}
"""What a knowledge base is made of besides the engine's own classes; None is a whole module."""

_DIGEST = hashlib.sha256().digest_size


@dataclasses.dataclass(frozen=True, slots=True)
class State:
    """All that a base depends on, looked at before it is read: a digest, and whether a further change would show."""

    folders: tuple[Path, ...]
    digest: bytes
    is_settled: bool


def state_of(folders: Sequence[Path]) -> State:
    """The state of some folders now."""
    return State(tuple(folders), _digest(folders), _newest(folders) <= time.time() - UNSETTLED)


def kept_knowledge(state: State, cache: Path) -> KnowledgeBase | None:
    """The knowledge base as it was kept in this state of its folders; None otherwise."""
    path = _place(state.folders, cache)
    try:
        if not _is_ours(path):
            return None
        data = path.read_bytes()
    except OSError:
        # Not kept yet, or not to be read: then the files are read, as they would be without a cache.
        return None
    digest, key, body = data[:_DIGEST], data[_DIGEST : 2 * _DIGEST], data[2 * _DIGEST :]
    if key != state.digest or digest != hashlib.sha256(key + body).digest():
        return None
    try:
        kept = _Unpickler(io.BytesIO(body)).load()
    except pickle.UnpicklingError:
        # Somebody put it there who is not us: nothing of it was built, and it is written over.
        return None
    return kept if isinstance(kept, KnowledgeBase) else None


def keep_knowledge(knowledge: KnowledgeBase, state: State, cache: Path) -> None:
    """Keeps a knowledge base that was read from folders in this state and found sound.

    Does nothing where a file changed so lately that the next change could go unnoticed, and where nothing can be
    written: it is only to save time.
    """
    if not state.is_settled:
        return
    written = io.BytesIO()
    # A copy has nothing that was worked out since: only what was read is kept.
    _Pickler(written, pickle.HIGHEST_PROTOCOL).dump(dataclasses.replace(knowledge))
    key, body = state.digest, written.getvalue()
    path = _place(state.folders, cache)
    with suppress(OSError):
        cache.mkdir(parents=True, exist_ok=True, mode=0o700)
        # Written under another name first, so that nobody ever reads half of it.
        with tempfile.NamedTemporaryFile(dir=cache, prefix=path.name, delete=False) as begun:
            begun.write(hashlib.sha256(key + body).digest() + key + body)
        try:
            Path(begun.name).replace(path)
        except OSError:
            Path(begun.name).unlink(missing_ok=True)
            raise


class _Pickler(pickle.Pickler):
    """Writes small frozen values as calls of their classes: twice as fast to read as setting field by field."""

    def reducer_override(self, thing: object) -> Any:
        """How to write a value; NotImplemented where the usual way is as good."""
        kind = type(thing)
        if not dataclasses.is_dataclass(kind) or hasattr(thing, "__dict__"):
            return NotImplemented
        fields = dataclasses.fields(kind)
        if not all(each.init for each in fields):
            return NotImplemented
        return kind, tuple(getattr(thing, each.name) for each in fields)


class _Unpickler(pickle.Unpickler):
    """Builds the engine's own classes and a few plain ones, and refuses all else."""

    def find_class(self, module: str, name: str) -> object:
        """The class of that name. Raises UnpicklingError for one that no knowledge base is made of."""
        allowed = _BUILT_OF.get(module, set())
        if not module.startswith("sideplate_engine.") and allowed is not None and name not in allowed:
            raise pickle.UnpicklingError(f"{module}.{name} is no part of a knowledge base")
        found = super().find_class(module, name)
        # A dotted name could reach through the engine's imports into anything; a function could do anything.
        if "." in name or not isinstance(found, type):
            raise pickle.UnpicklingError(f"{module}.{name} is no class of a knowledge base")
        return found


def _place(folders: Sequence[Path], cache: Path) -> Path:
    """Where the base of some folders is kept: one file for them, written over when they change."""
    names = "\n".join(str(folder.resolve()) for folder in folders)
    return (
        cache / f"knowledge-{hashlib.sha256(names.encode()).hexdigest()[:16]}.{sys.implementation.cache_tag}"
    )


def _is_ours(path: Path) -> bool:
    """Whether nobody else can have written the file; where there are no owners, whether it lies where it does."""
    found = path.stat()
    if not hasattr(os, "getuid"):
        return True
    return found.st_uid == os.getuid() and not found.st_mode & 0o022


def _digest(folders: Sequence[Path]) -> bytes:
    digest = hashlib.sha256()
    digest.update(repr((sys.version, *(_shown_from(folder) for folder in folders))).encode())
    for folder, endings in ((Path(__file__).parent, (".py",)), *((folder, YAML) for folder in folders)):
        for name, found in _entries(folder, endings):
            when = "" if found is None else f"{found.st_size}\0{found.st_mtime_ns}"
            digest.update(f"{name}\0{when}\n".encode())
    return digest.digest()


def _shown_from(folder: Path) -> tuple[str, str]:
    """The folder, and where the reader stands if that is above or below it: paths are shown from there."""
    resolved, here = folder.resolve(), Path.cwd()
    related = resolved.is_relative_to(here) or here.is_relative_to(resolved)
    return str(resolved), str(here) if related else ""


def _newest(folders: Sequence[Path]) -> float:
    entries = (found for folder in folders for _, found in _entries(folder, YAML))
    return max((found.st_mtime for found in entries if found is not None), default=0.0)


def _entries(folder: Path, endings: tuple[str, ...]) -> Iterator[tuple[str, os.stat_result | None]]:
    """Every file below a folder with one of these endings, and every folder (told by None), always in one order."""
    below, been = [str(folder)], set[str]()
    while below:
        here = below.pop()
        if (real := os.path.realpath(here)) in been:
            continue  # A link that leads back.
        been.add(real)
        try:
            entries = sorted(os.scandir(here), key=lambda entry: entry.name)
        except OSError:
            continue  # A folder that is not there has nothing in it; reading it says so.
        for entry in entries:
            if entry.is_dir():
                below.append(entry.path)
                yield entry.path, None
            elif entry.name.endswith(endings):
                yield entry.path, entry.stat()
