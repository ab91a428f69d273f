"""`sideplate site`: builds the reference site, or serves it and builds again what changes."""

from __future__ import annotations

import sys
import time
from importlib.util import find_spec
from pathlib import Path

import click

UNREADABLE = 2
WORK = Path("build")
NEEDED = ("mkdocs", "material")


@click.group(
    epilog="""\b
Examples:
  sideplate site build
  sideplate site build --out public --knowledge my-overlay
  sideplate site serve"""
)
def command() -> None:
    """Build or serve the reference site: everything Sideplate knows, as pages that work without a network."""
    missing = [name for name in NEEDED if find_spec(name) is None]
    if missing:
        click.echo(
            "The site needs MkDocs and its theme. Install them with: pip install 'sideplate[site]'", err=True
        )
        sys.exit(UNREADABLE)


def _knowledge_option(function: click.decorators.FC) -> click.decorators.FC:
    return click.option(
        "--knowledge",
        "overlays",
        multiple=True,
        type=click.Path(path_type=Path),
        metavar="DIR",
        help="Lay a folder of knowledge over the built-in one (repeatable; also SIDEPLATE_KNOWLEDGE).",
    )(function)


@command.command(name="build")
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=WORK / "site",
    show_default=True,
    metavar="DIR",
    help="Where the site goes.",
)
@_knowledge_option
def build_command(out: Path, overlays: tuple[Path, ...]) -> None:
    """Build the site. Open its index.html in a browser, or put the folder on any web server."""
    from sideplate_engine import BrokenKnowledge, UnreadableSheet
    from sideplate_engine.knowledge_folders import knowledge_folders
    from sideplate_site.building import Folders, WrongFolder, build

    started = time.perf_counter()
    try:
        pages = build(Folders(WORK, out), knowledge_folders(overlays))
    except (BrokenKnowledge, UnreadableSheet, WrongFolder) as problem:
        click.echo(str(problem), err=True)
        sys.exit(UNREADABLE)
    click.echo(f"{pages} pages in {out}, built in {time.perf_counter() - started:.1f} s")


@command.command(name="serve")
@click.option(
    "--port", type=click.IntRange(0, 65535), default=8000, show_default=True, help="Where to listen."
)
@click.option("--open", "open_browser", is_flag=True, help="Open the site in the browser once it is there.")
@_knowledge_option
def serve_command(port: int, open_browser: bool, overlays: tuple[Path, ...]) -> None:
    """Serve the site on this machine, and build again what changes in the knowledge. Ctrl-C ends it."""
    from sideplate_engine import BrokenKnowledge, UnreadableSheet
    from sideplate_engine.knowledge_folders import knowledge_folders
    from sideplate_site.building import Folders, WrongFolder
    from sideplate_site.serving import serve

    try:
        serve(Folders(WORK, WORK / "served"), knowledge_folders(overlays), port, open_browser)
    except (BrokenKnowledge, UnreadableSheet, WrongFolder) as problem:
        click.echo(str(problem), err=True)
        sys.exit(UNREADABLE)
    except OSError as problem:
        click.echo(
            f"Port {port} cannot be listened on: {problem.strerror}. Name another with --port.", err=True
        )
        sys.exit(UNREADABLE)
