"""Windows in principle: everything imports without the modules and signals that only Unix has."""

from __future__ import annotations

import subprocess
import sys

import pytest

UNIX_ONLY = (
    "termios",
    "tty",
    "pty",
    "fcntl",
    "resource",
    "pwd",
    "grp",
    "posix",
    "readline",
    "curses",
    "syslog",
)
SIGNALS = ("SIGHUP", "SIGWINCH", "SIGTSTP", "SIGUSR1", "SIGKILL", "SIGALRM")

IMPORT_ALL = """
import importlib, pkgutil, signal, sys

for name in SIGNALS:
    delattr(signal, name)
# Whatever Python itself needed has been imported by now; from here on nobody may.
for name in UNIX_ONLY:
    sys.modules[name] = None
imported = 0
for package in ("sideplate_engine", "sideplate_trainer", "sideplate_site"):
    for module in pkgutil.walk_packages(importlib.import_module(package).__path__, f"{package}."):
        importlib.import_module(module.name)
        imported += 1
print(imported)
"""


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="there it is so anyway")
def test_every_module_imports_without_what_only_unix_has() -> None:
    # A standard module that needs one of them (subprocess, selectors) was written for both and is imported before.
    before = "import asyncio, getpass, multiprocessing, subprocess, tempfile, webbrowser\n"
    lines = f"UNIX_ONLY, SIGNALS = {UNIX_ONLY}, {SIGNALS}\n{before}{IMPORT_ALL}"
    done = subprocess.run(
        (sys.executable, "-c", lines), capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 0, done.stderr
    assert int(done.stdout) > 150


def test_the_prompt_reads_and_writes_without_a_unix_terminal() -> None:
    """The front end on the library's stand-ins for a terminal, the Unix ones barred: the native ones go in there."""
    lines = (
        "import asyncio, subprocess, sys\n"
        "from prompt_toolkit.application import create_app_session\n"
        "from prompt_toolkit.input import DummyInput\n"
        "from prompt_toolkit.output import DummyOutput\n"
        "for name in ('termios', 'tty', 'fcntl'): sys.modules.setdefault(name, None)\n"
        "from sideplate_trainer.blocks import Block\n"
        "from sideplate_trainer.front.prompted import PromptedFace\n"
        "with create_app_session(input=DummyInput(), output=DummyOutput()):\n"
        "    PromptedFace(DummyInput(), DummyOutput()).tell((Block('A heading', ('A sentence.',)),))\n"
        "print('told')\n"
    )
    done = subprocess.run(
        (sys.executable, "-c", lines), capture_output=True, text=True, timeout=60, check=False
    )
    assert (done.stdout, done.stderr) == ("told\n", "")
