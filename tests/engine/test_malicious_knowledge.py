"""Knowledge files made to do harm are refused with a message, or do none: inside a second and 200 MB.

Each is laid over the small knowledge base and checked whole in a process of its own, which the system stops where it
takes far more. The second is counted in processor time after the program has started, so that a busy machine does
not fail the test; the memory is the process's whole.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import pytest

from support.small_knowledge import FILES, rule, write

if sys.platform == "win32":
    pytest.skip("limits on memory and time are the system's", allow_module_level=True)

SECONDS = 1.0
MEGABYTES = 200
CHECK = """
import json, resource, sys, time
from pathlib import Path
resource.setrlimit(resource.RLIMIT_CPU, (20, 20))
resource.setrlimit(resource.RLIMIT_AS, (2 << 30, 2 << 30))
from sideplate_engine import Judge, Severity, load
from sideplate_engine.check_context import context_of
from sideplate_engine.checks import every_check, run_checks
from sideplate_engine.quantities import pint_quantity
every_check()
pint_quantity(1.0, "mm")
folder = Path(sys.argv[1])
began = time.process_time()
loaded = load(folder)
findings = list(loaded.findings)
if not any(finding.severity is Severity.ERROR for finding in findings):
    findings += run_checks(context_of(loaded, Judge(loaded.knowledge), (folder,)))
took = time.process_time() - began
# Not ru_maxrss where the system tells better: a child's begins at what its parent had when it was made.
status = Path("/proc/self/status")
if status.is_file():
    peak = next(int(line.split()[1]) for line in status.read_text().splitlines() if line.startswith("VmHWM"))
else:
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
told = [finding.line() for finding in findings if finding.severity is Severity.ERROR]
print(json.dumps({"seconds": took, "peak": peak, "told": told}))
"""


@dataclass(frozen=True, slots=True)
class Fate:
    """What checking came to: processor seconds, megabytes at the most, and the errors told."""

    seconds: float
    megabytes: float
    told: list[str]


def fate_of(folder: Path, *more: Mapping[str, str | bytes]) -> Fate:
    files: dict[str, str | bytes] = dict(FILES)
    for extra in more:
        files.update(extra)
    write(folder, files)
    done = subprocess.run(
        [sys.executable, "-c", CHECK, str(folder)], capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 0, done.stderr[-2000:]
    data = json.loads(done.stdout)
    # Linux counts kibibytes, macOS bytes.
    unit = 1024 if sys.platform == "darwin" else 1
    return Fate(data["seconds"], data["peak"] / unit / 1024, data["told"])


ALIAS_BOMB = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{one}: &{one} [{', '.join([f'*{before}'] * 9)}]\n"
    for before, one in zip("abcdefgh", "bcdefghi", strict=True)
)
NINES = "9**" * 60 + "9"


def formula(expression: str) -> Mapping[str, str]:
    return {
        "formulas/evil.yaml": json.dumps(
            {
                "id": "evil",
                "title": "Evil",
                "symbols": {"n": {"fact": "bolt.turns", "means": "turns"}},
                "expression": expression,
                "gives": {"unit": "1"},
                "basis": "practice",
                "sources": [{"work": "thread-book"}],
                "worked": [
                    {
                        "name": "one",
                        "with": {"n": "9"},
                        "gives": "1",
                        "within": "1",
                        "sources": [{"work": "thread-book"}],
                    }
                ],
            }
        )
    }


def table(rows: int) -> Mapping[str, str]:
    row = "  - {size: S%d, sources: [{work: thread-book}], basis: memory}\n"
    head = "id: huge\ntitle: Huge\nkey: size\ncolumns: {size: {kind: code, means: Size.}}\nrows:\n"
    return {"tables/huge.yaml": head + "".join(row % number for number in range(rows))}


def facts(count: int) -> str:
    return "".join(f"evil.f{n}: {{kind: flag, given: no, means: It.}}\n" for n in range(count))


REFUSED: dict[str, tuple[Mapping[str, str | bytes], str]] = {
    "an alias bomb": ({"sources.yaml": ALIAS_BOMB}, "anchor"),
    "an alias that contains itself": ({"sources.yaml": "a: &a [*a]\n"}, "anchor"),
    "a tag that would run code": ({"sources.yaml": "a: !!python/object/apply:os.system [ls]\n"}, "tag"),
    "brackets without end": ({"cautions.yaml": "a: " + "[" * 500_000}, "yaml-syntax"),
    "braces without end": ({"cautions.yaml": "{a: " * 200_000}, "too-deep"),
    "indents without end": ({"cautions.yaml": "".join(" " * n + "a:\n" for n in range(900))}, "too-deep"),
    "one huge word": ({"cautions.yaml": b"a: " + b"x" * 3_000_000}, "file-too-large"),
    "a huge key": ({"cautions.yaml": "x" * 900_000 + ": y\n"}, "yaml-syntax"),
    "a huge unknown key": (rule("it", when="bolt.size: M4", **{"x" * 1000: "y"}), "unknown-key"),
    "very many keys": ({"cautions.yaml": "".join(f"k{n}: v\n" for n in range(60_000))}, "file-too-large"),
    "very many slips": ({"cautions.yaml": "".join(f"k{n}: v\n" for n in range(19_000))}, "wrong-shape"),
    "very many equal keys": ({"cautions.yaml": "k: v\n" * 19_000}, "repeated-key"),
    "nothing but zero bytes": ({"cautions.yaml": b"\0" * 1_000_000}, "yaml-syntax"),
    "powers of powers": (formula(NINES), "formula-expression"),
    "a power of a power of a symbol": (formula("n**n**n**n"), "worked-case-fails"),
    "a number of a thousand figures": (formula("n*" + "9" * 1000), "formula"),
    "a million brackets in an expression": (formula("(" * 300_000 + "n" + ")" * 300_000), "formula-expression"),
    "a long chain of signs": (formula("-" * 500_000 + "n"), "formula-expression"),
    "a long sum": (formula("+".join("n" * 200_000)), "formula-expression"),
    "a call that leads out": (formula("n.__class__"), "formula-expression"),
    "a call of what is not listed": (formula("__import__('os').system('ls')"), "formula-expression"),
    "a comprehension": (formula("sum(n for n in range(10**9))"), "formula-expression"),
    "a text repeated": (formula("'x'*10**10"), "formula-expression"),
    "a place that reaches an attribute": (
        rule("it", when="bolt.size: M4", says="'Look at {bolt.size.__class__.__mro__}.'"),
        "unknown-placeholder",
    ),
    "a place with an index": (rule("it", when="bolt.size: M4", says="'{bolt.size[0]}'"), "unknown-placeholder"),
    "a place with a huge width": (
        rule("it", when="bolt.size: M4", says="'{bolt.size:>9999999999}'"),
        "unknown-placeholder",
    ),
    "a place with a conversion": (rule("it", when="bolt.size: M4", says="'{0!r}'"), "unknown-placeholder"),
    "a place with a power": (rule("it", when="bolt.size: M4", says="'{9**9**9**9 mm}'"), "unknown-placeholder"),
    "alternatives that multiply out": (
        rule(
            "it",
            when="any:\n" + "".join(f"  - {{bolt.size: B{n}, any: [{{bolt.greased: yes}}, {{bolt.greased: no}}]}}\n"
                                    for n in range(60)),
        ),
        "too-many-branches",
    ),
    "alternatives inside alternatives": (
        rule("it", when="any: " + "[{bolt.greased: yes}, {any: " * 40 + "x" + "}]" * 40),
        "too-deep",
    ),
    "a condition with a huge list": (
        rule("it", when=f"bolt.size: {{one of: [{', '.join(f'B{n}' for n in range(15_000))}]}}"),
        "too-many-tests",
    ),
    "a number beyond all numbers": (rule("it", when="bolt.length: {above: 1e999 mm}"), "wrong-value"),
    "a number of a hundred thousand figures": (
        rule("it", when=f"bolt.length: {{above: {'9' * 100_000} mm}}"),
        "wrong-value",
    ),
    "a power where a number belongs": (rule("it", when="bolt.length: {above: 9**9**9**9 mm}"), "wrong-value"),
    "a fraction by nought": (rule("it", when="bolt.length: {above: 1/0 mm}"), "wrong-value"),
    "a count beyond all counts": (rule("it", when=f"bolt.turns: {{above: {'9' * 5000}}}"), "wrong-value"),
    "a limit that is no number": (
        {"vocabulary/evil.yaml": "evil.x: {kind: quantity, unit: mm, possible: [nan mm, inf mm], given: no, means: x}"},
        "wrong-value",
    ),
    "a worked case beyond all numbers": (formula("n*1e308*1e308"), "worked-case-fails"),
    "examples without end": (
        rule("it", when="bolt.size: M4", examples=json.dumps(
            [{"name": f"e{n}", "given": {"bolt.size": "M4"}, "expect": "fires"} for n in range(2000)])),
        "wrong-shape",
    ),
    "a name that comes close to very many": (
        {"vocabulary/evil.yaml": facts(4500)}
        | rule("it", when="\n".join(f"evil.g{n}: yes" for n in range(150))),
        "unknown-fact",
    ),
    "rules that wait for each other in a ring": (
        {"vocabulary/evil.yaml": facts(300)}
        | {name: text for n in range(300)
           for name, text in rule(f"r{n}", when=f"evil.f{n}: yes", derive=f"evil.f{(n + 1) % 300}: yes").items()},
        "cycle",
    ),
}  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("name", REFUSED)
def test_a_file_made_to_do_harm_is_refused_in_time(name: str, tmp_path: Path) -> None:
    files, code = REFUSED[name]
    fate = fate_of(tmp_path, files)
    assert any(f"error[{code}" in line for line in fate.told), fate.told[:5]
    assert all(len(line) < 2000 for line in fate.told)
    assert len(fate.told) < 1000
    assert fate.seconds < SECONDS
    assert fate.megabytes < MEGABYTES


def derivers(levels: int, ways: int) -> Mapping[str, str]:
    """Facts that can each come about in many ways, and a rule that asks for all of them at once."""
    found: dict[str, str] = {"vocabulary/evil.yaml": facts(levels)}
    for level in range(levels):
        for way in range(ways):
            found |= rule(f"r{level}-{way}", when=f"bolt.size: W{way}L{level}", derive=f"evil.f{level}: yes")
    return found | rule("it", when="\n".join(f"evil.f{level}: yes" for level in range(levels)))


HARMLESS: dict[str, Mapping[str, str | bytes]] = {
    "a table of thousands of rows": table(4000),
    "derived facts that can come about in very many ways": derivers(6, 6),
    "a set of which every element is told apart": rule(
        "it", when="any:\n" + "".join(f"  - bolt.tags: T{n}\n" for n in range(40))
    ),
    "limits that cross in very many ways": rule(
        "it",
        when="any:\n"
        + "".join(
            f"  - {{bolt.length: {{above: {n} mm}}, bolt.turns: {{below: {n}}}}}\n" for n in range(2, 62)
        ),
    ),
    "exceptions against alternatives": rule(
        "it",
        when="any:\n" + "".join(f"  - {{bolt.size: A{n}, bolt.code: B{n}}}\n" for n in range(60)),
        unless="any:\n" + "".join(f"  - {{nut.size: A{n}, nut.code: B{n}}}\n" for n in range(60)),
    ),
}


@pytest.mark.slow
@pytest.mark.parametrize("name", HARMLESS)
def test_a_file_that_could_keep_a_check_busy_does_not(name: str, tmp_path: Path) -> None:
    fate = fate_of(tmp_path, HARMLESS[name])
    assert not any("[wrong-shape]" in line or "[yaml-syntax]" in line for line in fate.told), fate.told[:3]
    assert fate.seconds < SECONDS
    assert fate.megabytes < MEGABYTES
