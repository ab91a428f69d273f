"""Runs a few lines against the bare C module in a process of their own, which may crash or hang."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass

_PRELUDE = """
import json
from sideplate_engine.durable_rules_loading import durable_rules_engine as engine

def rules(**conditions):
    \"\"\"Compile rules: by name, the list of tests on one fact.\"\"\"
    named = {name: {"all": [{"m": {"$and": tests}}]} for name, tests in conditions.items()}
    return engine.create_ruleset("trial", json.dumps(named))

def fired(ruleset, **fact):
    \"\"\"Assert a fact, drain, retract: the names of the rules that fired, in order.\"\"\"
    return fired_by_text(ruleset, json.dumps({"id": "f"} | fact))

def fired_by_text(ruleset, text):
    outcome, state = engine.assert_fact(ruleset, text)
    names = []
    if outcome == 0:
        _, firing = engine.start_action_for_state(ruleset, state)
        while firing is not None:
            names += json.loads(firing)
            firing = engine.complete_and_start_action(ruleset, state)
        engine.retract_fact(ruleset, '{"id":"f"}')
    return names
"""


@dataclass(frozen=True, slots=True)
class Fate:
    """How a process ended. `status` is None when it was still running when its time was up."""

    status: int | None
    said: str
    complained: str

    @property
    def hung(self) -> bool:
        return self.status is None


def fate_of(lines: str, seconds: float = 30, environment: Mapping[str, str] | None = None) -> Fate:
    """Run the lines after the prelude, with these variables added, and say how that went."""
    command = [sys.executable, "-c", _PRELUDE + lines]
    try:
        done = subprocess.run(
            command,
            capture_output=True,
            timeout=seconds,
            check=False,
            text=True,
            env=os.environ | (environment or {}),
        )
    except subprocess.TimeoutExpired as late:
        # What was said before the time was up comes as bytes even when text was asked for.
        said = late.stdout.decode() if isinstance(late.stdout, bytes) else late.stdout or ""
        return Fate(None, said.strip(), "")
    return Fate(done.returncode, done.stdout.strip(), done.stderr.strip())
