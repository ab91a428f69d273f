"""A trial of the matcher on a few jobs, in a process of its own that can be killed.

Beyond a limit the engine under the matcher does not raise an exception: it hangs, or takes the process down.
The matcher stays within every limit known; the canary is for those that are not. It costs a process, so the
knowledge check runs it, not every start.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
from collections.abc import Iterable, Mapping

from sideplate_engine.conditions import Conjunction, Scalar
from sideplate_engine.matcher import Matcher
from sideplate_engine.plain_reading import holds

_CHILD = "from sideplate_engine.matcher_canary import judge_standard_input; judge_standard_input()"


class CanaryError(RuntimeError):
    """The matcher hung, crashed or was wrong on a sample."""


def canary(
    conjunctions: Iterable[Conjunction], samples: Iterable[Mapping[str, Scalar]], seconds: float
) -> None:
    """Judge each sample at every stratum, by the matcher and by the plain reading, in a child process.

    Raises CanaryError when that takes longer than `seconds`, when the process dies, and when the two
    readings differ.
    """
    work = pickle.dumps((tuple(conjunctions), tuple(dict(sample) for sample in samples)))
    # The child imports what this process would, also when the package is found through sys.path alone.
    environment = os.environ | {"PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    try:
        child = subprocess.run(
            [sys.executable, "-c", _CHILD],
            input=work,
            capture_output=True,
            timeout=seconds,
            env=environment,
            check=False,
        )
    except subprocess.TimeoutExpired:
        raise CanaryError(f"the matcher gave no answer in {seconds:g} s on the sample jobs") from None
    if child.returncode != 0:
        said = child.stderr.decode(errors="replace").strip().rsplit("\n", 1)[-1]
        raise CanaryError(f"the matcher failed on the sample jobs (exit {child.returncode}): {said}")


def judge_standard_input() -> None:
    """Do the child's part: judge the pickled work, and raise CanaryError where the readings differ."""
    # The bytes come from `canary` in the parent process, through a pipe of our own.
    conjunctions, samples = pickle.load(sys.stdin.buffer)
    matcher = Matcher(conjunctions)
    for number, sample in enumerate(samples):
        for stratum in sorted({conjunction.stratum for conjunction in conjunctions}):
            expected = {c.key for c in conjunctions if c.stratum == stratum and holds(c, sample)}
            differing = sorted(matcher.matches(stratum, sample) ^ expected)
            if differing:
                raise CanaryError(f"sample {number}, stratum {stratum}: the readings differ on {differing}")
