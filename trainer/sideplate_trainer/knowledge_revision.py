"""A knowledge folder as a version-control revision holds it, read into a temporary folder."""

from __future__ import annotations

import io
import subprocess
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from sideplate_engine import built_in_folder

BUILT_IN = "built-in"
"""The name of the knowledge that comes with Sideplate."""


class NoSuchKnowledge(Exception):
    """A name that is no folder and no revision; the message says what was tried, and what to write instead."""


@contextmanager
def knowledge_at(name: str, beside: Path) -> Iterator[Path]:
    """The folder of that name, or the folder `beside` as the git revision of that name holds it.

    Raises NoSuchKnowledge.
    """
    if name == BUILT_IN or Path(name).is_dir():
        yield built_in_folder() if name == BUILT_IN else Path(name)
        return
    archive = _archive(name, beside)
    with TemporaryDirectory(prefix="sideplate-") as folder:
        with zipfile.ZipFile(io.BytesIO(archive)) as files:
            files.extractall(folder)
        yield Path(folder)


def _archive(revision: str, beside: Path) -> bytes:
    """The tracked files of `beside` at a revision, as a zip archive."""
    refused = NoSuchKnowledge(f"{revision} is no folder, and no git revision of {beside}.")
    if revision.startswith("-"):
        raise refused
    try:
        commit = _git(
            beside, "rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}"
        )
        # The tree of the folder itself, so that paths in the archive begin below it.
        prefix = _git(beside, "rev-parse", "--show-prefix").decode().strip()
        top = Path(_git(beside, "rev-parse", "--show-toplevel").decode().strip())
        return _git(top, "archive", "--format=zip", f"{commit.decode().strip()}:{prefix}")
    except FileNotFoundError:
        raise NoSuchKnowledge(
            f"{revision} is no folder, and git is not installed to look for a revision."
        ) from None
    except subprocess.CalledProcessError:
        raise refused from None


def _git(folder: Path, *arguments: str) -> bytes:
    done = subprocess.run(["git", "-C", str(folder), *arguments], capture_output=True, check=True)
    return done.stdout
