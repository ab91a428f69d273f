"""Builds the site: the knowledge becomes pages, and MkDocs makes the pages into the site."""

from __future__ import annotations

import hashlib
import json
import logging
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path
from typing import Any

from sideplate_engine import load
from sideplate_engine.judgement import DEFER
from sideplate_engine.loading import Loaded
from sideplate_site.book import Book
from sideplate_site.contents import Menu, pages_and_menu, scripts
from sideplate_site.page import Page

THEME = Path(__file__).resolve().parent / "theme"
MARKER = ".sideplate-site"
"""A file that tells a folder we built, which may be built again, from one that holds something else."""


class WrongFolder(ValueError):
    """A folder that may not be written to: what is in it did not come from here, and a build would delete it."""


@dataclass(frozen=True, slots=True)
class Folders:
    """Where a build works: `work` holds the pages and the settings for MkDocs, `out` becomes the site."""

    work: Path
    out: Path

    @property
    def pages(self) -> Path:
        """The pages that MkDocs reads."""
        return self.work / "pages"

    @property
    def settings(self) -> Path:
        """The settings that MkDocs reads."""
        return self.work / "mkdocs.yml"


def knowledge_version(loaded: Loaded) -> str:
    """The release, and a digest of all knowledge files that tells any two states apart."""
    digest = hashlib.sha256()
    for name, text in sorted(loaded.texts.items(), key=lambda item: (Path(item[0]).name, item[1])):
        digest.update(f"{Path(name).name}\0{text}\0".encode())
    return f"{version('sideplate')}, knowledge {digest.hexdigest()[:10]}"


def book_of(folders: tuple[Path, ...], label: str | None = None) -> Book:
    """The book of some knowledge folders. `label` stands in for the version. Raises BrokenKnowledge."""
    loaded = load(*folders)
    return Book(loaded.sound(), folders, label or knowledge_version(loaded))


def write_pages(book: Book, folders: Folders, pages: list[Page], menu: Menu) -> list[str]:
    """Writes pages and settings, touching only what changed. Returns the addresses of the pages written."""
    changed: list[str] = []
    wanted: set[Path] = set()
    for page in pages:
        path = folders.pages / page.source
        wanted.add(path)
        if _write(path, page.text()):
            changed.append(page.address)
    for address, text in {**scripts(book), **_assets()}.items():
        path = folders.pages / address
        wanted.add(path)
        _write(path, text)
    for path in sorted(folders.pages.rglob("*")):
        if path.is_file() and path not in wanted:
            path.unlink()
    _write(folders.settings, json.dumps(settings(book, menu, folders), indent=1, ensure_ascii=False))
    return changed


def _assets() -> Mapping[str, str]:
    return {
        f"assets/{path.name}": path.read_text(encoding="utf-8")
        for path in sorted((THEME / "assets").iterdir())
    }


def _write(path: Path, text: str) -> bool:
    """Writes a file unless it holds this text already; tells whether it was written."""
    if path.is_file() and path.read_text(encoding="utf-8") == text:
        return False
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8", newline="\n")
    return True


def settings(book: Book, menu: Menu, folders: Folders) -> dict[str, Any]:
    """The settings for MkDocs: everything strict, nothing from the network, no address that needs a server."""
    return {
        "site_name": "Sideplate",
        "site_description": "Rules on roller-chain drives of motorcycles, with reasons and sources.",
        "docs_dir": str(folders.pages.resolve()),
        "site_dir": str(folders.out.resolve()),
        "use_directory_urls": False,
        "strict": True,
        "nav": menu,
        "plugins": [],
        "theme": {
            "name": "material",
            "custom_dir": str(THEME),
            "font": False,
            "palette": {"scheme": "default", "primary": "custom", "accent": "custom"},
        },
        "extra_css": ["assets/sideplate.css"],
        "markdown_extensions": ["attr_list", "tables", {"toc": {"permalink": False}}],
        "validation": {
            "nav": {"omitted_files": "warn", "not_found": "warn", "absolute_links": "warn"},
            "links": {
                "not_found": "warn",
                "absolute_links": "warn",
                "unrecognized_links": "warn",
                "anchors": "warn",
            },
        },
        "extra": {"built_from": book.version, "defer": DEFER},
    }


def build(folders: Folders, knowledge: tuple[Path, ...]) -> int:
    """Builds the whole site; returns how many pages it has. Raises BrokenKnowledge and WrongFolder."""
    check_out(folders.out)
    book = book_of(knowledge)
    write_pages(book, folders, *pages_and_menu(book))
    run_mkdocs(folders)
    return sum(1 for _ in folders.out.rglob("*.html"))


def check_out(out: Path) -> None:
    """Raises WrongFolder unless the folder is new, empty, or one that was built here before."""
    if out.is_dir() and any(out.iterdir()) and not (out / MARKER).is_file():
        raise WrongFolder(
            f"{out} holds other files, and building there would delete them; name another folder"
        )
    if out.exists() and not out.is_dir():
        raise WrongFolder(f"{out} is a file; name a folder")


def run_mkdocs(folders: Folders, only_changed: bool = False) -> None:
    """Has MkDocs build the site from the pages written; with `only_changed`, those newer than what was built."""
    from mkdocs.commands.build import build as mkdocs_build
    from mkdocs.config import load_config

    config = load_config(config_file=str(folders.settings), strict=not only_changed)
    log = logging.getLogger("mkdocs")
    level = log.level
    if only_changed:
        # It warns each time that the menus of other pages may be behind; who calls sees to that.
        log.setLevel(logging.ERROR)
    try:
        mkdocs_build(config, dirty=only_changed)
    finally:
        log.setLevel(level)
    # A list of pages for search engines, and a page for addresses that lead nowhere, need a public address.
    for name in ("sitemap.xml", "sitemap.xml.gz", "404.html"):
        (folders.out / name).unlink(missing_ok=True)
    _without_maps(folders.out)
    (folders.out / MARKER).write_text(
        "Built by sideplate site build; it may be built again.\n", encoding="utf-8"
    )


def _without_maps(out: Path) -> None:
    """Takes away the theme's parts that no page here uses: its scripts, and the maps to sources not shipped."""
    shutil.rmtree(out / "assets" / "javascripts", ignore_errors=True)
    for path in (out / "assets" / "stylesheets").glob("*.map"):
        path.unlink()
