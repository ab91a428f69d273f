"""How long commands take from a cold start, against importing the libraries they use and nothing else.

Run `python benchmarks/cold_start.py`. It prints medians and the ratio; nothing asserts them.
"""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path
from statistics import median

from sideplate_engine import built_in_folder

ROUNDS = 9
LIBRARIES = "import click, durable_rules_engine, pint, pydantic, simpleeval, yaml"
WITH_REGISTRY = f"{LIBRARIES}; pint.UnitRegistry()"
LAZY_BINDING = "import os, sys; sys.setdlopenflags(os.RTLD_LAZY)"
"""On 3.13 durable-rules imports only so; see the engine's durable_rules_loading."""


def seconds(command: list[str]) -> float:
    """The median wall time of a command over some rounds, after one that warms the disk cache."""
    times: list[float] = []
    for _ in range(ROUNDS + 1):
        started = time.perf_counter()
        subprocess.run(command, capture_output=True, check=False)
        times.append(time.perf_counter() - started)
    return median(times[1:])


def main() -> None:
    sheet = sorted((built_in_folder() / "workshop" / "jobs").glob("*.yaml"))[0]
    program = str(Path(sys.executable).with_name("sideplate"))
    libraries = seconds([sys.executable, "-c", f"{LAZY_BINDING}; {LIBRARIES}"])
    registry = seconds([sys.executable, "-c", f"{LAZY_BINDING}; {WITH_REGISTRY}"])
    judging = seconds([program, "judge", str(sheet)])
    helping = seconds([program, "--help"])
    print(f"importing the libraries: {libraries:.3f} s; with Pint's unit registry made: {registry:.3f} s")
    print(f"sideplate judge: {judging:.3f} s, {judging / libraries:.2f} times the imports alone, ", end="")
    print(f"{judging / registry:.2f} times with the registry")
    print(f"sideplate --help: {helping:.3f} s")


if __name__ == "__main__":
    main()
