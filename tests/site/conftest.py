"""What the tests of the site share: the knowledge, a book of it, the built site, a browser."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from sideplate_engine import KnowledgeBase, built_in_folder, load
from sideplate_site.book import Book
from support.site_pages import BuiltSite, build_site, served

CHROMIUM_OPTIONS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@pytest.fixture(scope="session")
def knowledge() -> KnowledgeBase:
    """The built-in knowledge base."""
    return load().sound()


@pytest.fixture(scope="session")
def book(knowledge: KnowledgeBase) -> Book:
    """The book of the built-in knowledge."""
    return Book(knowledge, (built_in_folder(),), "a version")


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> BuiltSite:
    """The whole site, built once by the command."""
    return build_site(tmp_path_factory.mktemp("site"))


@pytest.fixture(scope="session")
def site_address(site: BuiltSite) -> Iterator[str]:
    """Where the built site is served."""
    with served(site.folder) as address:
        yield address


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """A headless Chromium: the one that SIDEPLATE_CHROMIUM names, else the system's.

    For a module, not the session: its driver keeps an event loop running in this thread, and the prompt's tests
    need to run their own.
    """
    path = (
        os.environ.get("SIDEPLATE_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    )
    if path is None:
        pytest.skip("no Chromium is installed here (Debian: apt-get install chromium)")
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=list(CHROMIUM_OPTIONS))
        yield started
        started.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A fresh page of a desk's width. Errors on it fail the test."""
    context = browser.new_context(viewport={"width": 1360, "height": 900}, color_scheme="light")
    opened = context.new_page()
    problems: list[str] = []
    opened.on("pageerror", lambda error: problems.append(str(error)))
    opened.on("console", lambda said: problems.append(said.text) if said.type == "error" else None)
    yield opened
    context.close()
    assert problems == []
