"""Built pages as the tests look at them: their anchors, links and what they load."""

from __future__ import annotations

import functools
import http.server
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

SCREENSHOTS = Path(__file__).resolve().parents[2] / "build" / "screenshots"
LOADED_BY = {
    "script": "src",
    "img": "src",
    "link": "href",
    "iframe": "src",
    "source": "src",
    "object": "data",
}


@dataclass
class HtmlPage(HTMLParser):
    """One page, taken apart."""

    path: Path
    ids: list[str] = field(default_factory=list)
    links: list[str] = field(default_factory=list)
    loads: list[str] = field(default_factory=list)
    words: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.feed(self.path.read_text(encoding="utf-8"))
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = dict(attrs)
        if values.get("id"):
            self.ids.append(str(values["id"]))
        if tag == "a" and values.get("href"):
            self.links.append(str(values["href"]))
        if tag in LOADED_BY and values.get(LOADED_BY[tag]):
            self.loads.append(str(values[LOADED_BY[tag]]))

    def handle_data(self, data: str) -> None:
        self.words.append(data)

    @property
    def text(self) -> str:
        """All words on the page, single-spaced."""
        return " ".join(" ".join(self.words).split())


@dataclass(frozen=True)
class BuiltSite:
    """A built site in a folder."""

    folder: Path
    told: str

    @functools.cached_property
    def pages(self) -> dict[str, HtmlPage]:
        """Every page by its address."""
        return {
            path.relative_to(self.folder).as_posix(): HtmlPage(path)
            for path in sorted(self.folder.rglob("*.html"))
        }


def build_site(folder: Path, *arguments: str) -> BuiltSite:
    """The site that the command builds when it is called in a folder that is no checkout."""
    call = (
        sys.executable,
        "-c",
        "from sideplate_trainer.main import main; main()",
        "site",
        "build",
        *arguments,
    )
    environment = {key: value for key, value in os.environ.items() if key != "SIDEPLATE_KNOWLEDGE"}
    done = subprocess.run(
        call, cwd=folder, env=environment, capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return BuiltSite(folder / "build" / "site", done.stdout + done.stderr)


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: Any) -> None:
        """Says nothing: the tests look at the pages, not at the requests."""


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """Serves a folder on this machine, on a port that is free; gives the address."""
    handler = functools.partial(_Quiet, directory=str(folder))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


def keep(page: Page, name: str, *, whole: bool = False) -> None:
    """Keeps a screenshot among the build's artefacts."""
    SCREENSHOTS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SCREENSHOTS / f"{name}.png", full_page=whole)
