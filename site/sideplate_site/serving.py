"""Serves the site while the knowledge is being written: what changes is built again and shown at once."""

from __future__ import annotations

import logging
import os
import socket
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import click
from mkdocs.livereload import LiveReloadServer

from sideplate_engine import BrokenKnowledge, UnreadableSheet
from sideplate_site.building import Folders, book_of, check_out, run_mkdocs, write_pages
from sideplate_site.contents import Menu, pages_and_menu

HOST = "127.0.0.1"
LABEL = "working copy, as it is being written"


class Rebuilder:
    """Builds the site again: all of it the first time, afterwards only what changed."""

    def __init__(self, folders: Folders, knowledge: tuple[Path, ...]) -> None:
        self.folders = folders
        self.knowledge = knowledge
        self._neighbours: dict[str, tuple[str, ...]] | None = None

    def first(self) -> None:
        """The whole site. Raises BrokenKnowledge, UnreadableSheet and WrongFolder."""
        check_out(self.folders.out)
        self._build()

    def again(self) -> None:
        """What changed since. What is wrong with the knowledge is told, and the site stays as it was."""
        started = time.perf_counter()
        try:
            changed = self._build()
        except (BrokenKnowledge, UnreadableSheet) as problem:
            click.echo(str(problem), err=True)
            click.echo("The site stays as it was until this is put right.", err=True)
        else:
            click.echo(f"{changed} pages built again in {time.perf_counter() - started:.1f} s")

    def _build(self) -> int:
        book = book_of(self.knowledge, LABEL)
        pages, menu = pages_and_menu(book)
        changed = set(write_pages(book, self.folders, pages, menu))
        neighbours = {source: around for around in _groups(menu) for source in around}
        before = self._neighbours
        if before is not None:
            for source, around in neighbours.items():
                # A page whose menu changed is built again too, though its own text is the same.
                if before.get(source) != around:
                    os.utime(self.folders.pages / source)
                    changed.add(source.removesuffix(".md") + ".html")
        run_mkdocs(self.folders, only_changed=before is not None)
        self._neighbours = neighbours
        return len(changed)


def _groups(menu: Menu) -> Iterator[tuple[str, ...]]:
    """The pages that stand together in the menu, group by group."""
    here = tuple(source for item in menu for source in item.values() if isinstance(source, str))
    yield here
    for item in menu:
        for inside in item.values():
            if isinstance(inside, list):
                yield from _groups(inside)


def serve(folders: Folders, knowledge: tuple[Path, ...], port: int, open_browser: bool = False) -> None:
    """Serves until Ctrl-C. Raises BrokenKnowledge, UnreadableSheet, WrongFolder, and OSError for a port in use."""
    with socket.socket() as probe:
        # Told now, and not only after the first build. A port that was given up just now is free.
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        probe.bind((HOST, port))
    rebuilder = Rebuilder(folders, knowledge)
    rebuilder.first()
    # MkDocs' own notes on each request would bury what we say.
    logging.getLogger("mkdocs.livereload").setLevel(logging.ERROR)
    server = LiveReloadServer(rebuilder.again, HOST, port, str(folders.out), polling_interval=0.3)
    for folder in knowledge:
        server.watch(str(folder))
    until_ended: Callable[..., None] = server.serve
    click.echo(f"The site is on http://{HOST}:{port}/ ; Ctrl-C ends it.")
    try:
        until_ended(open_in_browser=open_browser)
    except KeyboardInterrupt:
        click.echo("Ended.")
    finally:
        server.shutdown()
