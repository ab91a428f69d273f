"""Hand-written pages that the site takes over as they are: the explanations, and the history of the knowledge."""

from __future__ import annotations

import re
from pathlib import Path

from sideplate_site.addresses import EXPLANATION
from sideplate_site.page import Page

HISTORY = "CHANGELOG.md"
_LINK_OUT = re.compile(r"\[([^\]]+)\]\((?:\.\./)[^)]*\)")


def texts_folder() -> Path:
    """Where the texts are: inside the installed package, or in the docs folder of a checkout."""
    package = Path(__file__).resolve().parent
    inside = package / "texts"
    return inside if inside.is_dir() else package.parent.parent / "docs" / "explanation"


def history_file() -> Path:
    """Where the history of releases is."""
    package = Path(__file__).resolve().parent
    inside = package / "texts" / HISTORY
    return inside if inside.is_file() else package.parent.parent / HISTORY


def has_explanation(name: str) -> bool:
    """Whether there is an explanation of that name."""
    return (texts_folder() / f"{name}.md").is_file()


def explanation_pages() -> list[Page]:
    """The explanations as pages. Links that lead out of their folder, which the site does not have, lose the link."""
    pages: list[Page] = []
    for path in sorted(texts_folder().glob("*.md")):
        if path.name == HISTORY:
            continue
        text = path.read_text(encoding="utf-8")
        title = text.partition("\n")[0].removeprefix("#").strip()
        address = f"{EXPLANATION}{path.stem}.html"
        pages.append(Page(address, title, kind="explanation", markdown=_LINK_OUT.sub(r"\1", text)))
    return pages


def releases() -> list[tuple[str, str]]:
    """What changed in the knowledge, by release: the release's heading, and its text under `Knowledge`."""
    path = history_file()
    if not path.is_file():
        return []
    found: list[tuple[str, str]] = []
    for part in re.split(r"^## ", path.read_text(encoding="utf-8"), flags=re.MULTILINE)[1:]:
        heading, _, body = part.partition("\n")
        knowledge = re.search(r"^### Knowledge\n(.*?)(?=^### |\Z)", body, flags=re.MULTILINE | re.DOTALL)
        if knowledge is not None:
            found.append((heading.strip(), knowledge.group(1).strip()))
    return found
