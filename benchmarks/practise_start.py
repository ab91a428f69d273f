"""How long `sideplate practise` takes from a cold start to its first question, against importing its libraries alone.

Run `python benchmarks/practise_start.py [--rounds N]`. It prints medians of wall time and of processor time (user and
system), over a pipe and on a pseudo-terminal, for a first start, which reads the knowledge from its files, and for
later ones, which find it kept ready. The first question of a learner who never practised is the solved pair that
introduces a rule. Nothing is asserted here; a busy machine makes wall time say little, so look at both. On Linux only:
processor time up to a moment is read off /proc.
"""

from __future__ import annotations

import argparse
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from statistics import median

import pexpect
from pexpect.popen_spawn import PopenSpawn

LIBRARIES = "click, durable_rules_engine, platformdirs, pydantic, simpleeval, sqlite3, yaml"
"""What practice uses over a pipe; Pint is imported only where formulas are checked, on a first start."""

ON_A_TERMINAL = f"{LIBRARIES}, prompt_toolkit"
LAZY_BINDING = "import os, sys; sys.setdlopenflags(os.RTLD_LAZY)"
"""On 3.13 durable-rules imports only so; see the engine's durable_rules_loading."""

FIRST = "New to you"


@dataclass(frozen=True, slots=True)
class Spent:
    """Seconds on the wall's clock and of the processor."""

    wall: float
    processor: float


def environment(cache: Path) -> dict[str, str]:
    """As somebody has it who starts the command day by day: bytecode is kept, and so is the knowledge."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {**kept, "SIDEPLATE_CACHE": str(cache), "TERM": "xterm", "PROMPT_TOOLKIT_NO_CPR": "1"}


def processor_time(pid: int) -> float:
    """The processor time of a process that is still there, where the system tells; whole ticks."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def medians(run: Callable[[], Spent], rounds: int, before: Callable[[], None] = lambda: None) -> Spent:
    """The medians over some rounds, after one that warms the disk cache; `before` is not counted."""
    found: list[Spent] = []
    for _ in range(rounds + 1):
        before()
        found.append(run())
    return Spent(median(each.wall for each in found[1:]), median(each.processor for each in found[1:]))


def importing(libraries: str, cache: Path) -> Callable[[], Spent]:
    """Imports and does nothing else."""

    def run() -> Spent:
        lines = f"{LAZY_BINDING}; import {libraries}; pydantic.BaseModel"
        before, began = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
        subprocess.run((sys.executable, "-c", lines), check=True, env=environment(cache))
        after, ended = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
        return Spent(ended - began, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)

    return run


def over_a_pipe(program: str, record: Path, cache: Path) -> Callable[[], Spent]:
    """From the start to the prompt below the first question; input then ends, and so does the program."""

    def run() -> Spent:
        began = time.perf_counter()
        child = PopenSpawn(
            [program, "practise", "--record", str(record)],
            env=environment(cache),
            encoding="utf-8",
            timeout=60,
        )
        return first_question(child, child.proc.pid, began)

    return run


def on_a_terminal(program: str, record: Path, cache: Path) -> Callable[[], Spent]:
    """From the start to the prompt below the first question; Ctrl-D then ends it."""

    def run() -> Spent:
        began = time.perf_counter()
        child = pexpect.spawn(
            program,
            ["practise", "--record", str(record)],
            env=environment(cache),
            encoding="utf-8",
            timeout=60,
        )
        assert child.pid is not None
        return first_question(child, child.pid, began)

    return run


def first_question(child: pexpect.spawn[str] | PopenSpawn[str], pid: int, began: float) -> Spent:
    """Waits for the first question, and then for the end."""
    child.expect_exact(FIRST)
    child.expect_exact("Next:")
    found = Spent(time.perf_counter() - began, processor_time(pid))
    child.sendeof()
    child.expect(pexpect.EOF)
    child.wait()
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=9, help="runs of each kind (default 9)")
    rounds = parser.parse_args().rounds
    program = str(Path(sys.executable).with_name("sideplate"))
    with tempfile.TemporaryDirectory() as folder:
        cache, record = Path(folder) / "cache", Path(folder) / "record.sqlite3"

        def without_record() -> None:
            for path in record.parent.glob("record*"):
                path.unlink()

        def without_anything() -> None:
            without_record()
            for path in cache.glob("*"):
                path.unlink()

        for where, libraries, start in (
            ("over a pipe", LIBRARIES, over_a_pipe(program, record, cache)),
            ("on a terminal", ON_A_TERMINAL, on_a_terminal(program, record, cache)),
        ):
            alone = medians(importing(libraries, cache), rounds)
            with_pint = medians(importing(f"{libraries}, pint", cache), rounds)
            first = medians(start, rounds, without_anything)
            later = medians(start, rounds, without_record)
            print(f"{where}, seconds of wall and of processor time")
            for what, found in (
                ("importing the libraries alone", alone),
                ("the same with Pint", with_pint),
                ("first start to the first question", first),
                ("later starts", later),
            ):
                print(f"  {found.wall:6.2f} {found.processor:6.2f}  {what}")
            print(
                f"  later starts take {later.processor / alone.processor:.2f} times the imports alone, ",
                end="",
            )
            print(
                f"first ones {first.processor / with_pint.processor:.2f} times those with Pint (processor time)"
            )


if __name__ == "__main__":
    main()
