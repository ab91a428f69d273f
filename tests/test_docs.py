"""Every command and every block of YAML in the README and in docs is tried out, page by page.

How a block is tried is said in comments before it; see `support.doc_pages`.
"""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from collections.abc import Callable, Mapping
from math import asin, pi, sin, sqrt
from pathlib import Path

import click
import pytest

from sideplate_engine import KnowledgeBase
from sideplate_engine.file_models import CautionEntry, FileModel, SourceEntry, TopicEntry
from sideplate_engine.findings import Finding
from sideplate_engine.formulas import read_formula
from sideplate_engine.job_parts import read_parts
from sideplate_engine.procedures import read_procedure
from sideplate_engine.rules import read_rule
from sideplate_engine.shape_check import read_as
from sideplate_engine.tables import read_table
from sideplate_engine.vocabulary_reading import read_vocabulary
from sideplate_engine.yaml_tree import Mapping as Tree
from sideplate_engine.yaml_tree import Node, read_tree
from sideplate_trainer.main import cli
from support.built_in import knowledge
from support.doc_pages import COMMANDS, ROOT, Block, blocks, inline_commands, pages

KNOWN = {"file", "read as", "exit", "typed", "output", "not run"}
NEVER_END = ("--watch", "site serve")
SECONDS = 180


def name(page: Path) -> str:
    return page.relative_to(ROOT).as_posix()


@pytest.fixture(params=pages(), ids=name)
def page(request: pytest.FixtureRequest) -> Path:
    found = request.param
    assert isinstance(found, Path)
    return found


@pytest.fixture
def environment(tmp_path: Path) -> Mapping[str, str]:
    """The program's own folder first on the path, and no record or folder of the person who runs the tests."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith("SIDEPLATE_")}
    home = tmp_path / "home"
    return {
        **kept,
        "PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}",
        "HOME": str(home),
        "XDG_DATA_HOME": str(home),
        "COLUMNS": "88",
    }


def run(command: str, folder: Path, environment: Mapping[str, str], typed: str = "") -> tuple[int, str]:
    done = subprocess.run(
        ["bash", "-c", command],
        cwd=folder,
        env=dict(environment),
        input=typed,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        timeout=SECONDS,
        check=False,
    )
    return done.returncode, done.stdout


@pytest.mark.slow
def test_every_command_of_a_page_runs_as_the_page_says(
    page: Path, tmp_path: Path, environment: Mapping[str, str]
) -> None:
    folder = tmp_path / "page"
    folder.mkdir()
    printed = ""
    for block in blocks(page):
        where = f"{name(page)}:{block.line}"
        if "file" in block.says:
            path = folder / block.says["file"]
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(block.text, encoding="utf-8")
        elif block.language in COMMANDS and "not run" not in block.says:
            status, printed = run(
                block.text, folder, environment, block.says.get("typed", "").replace("\\n", "\n")
            )
            assert status == int(block.says.get("exit", "0")), f"{where} ended with {status}:\n{printed}"
            assert "Traceback" not in printed, f"{where}:\n{printed}"
        elif "output" in block.says:
            assert_in_order(block, printed, where)
    for command in inline_commands(page):
        status, told = run_inline(command, folder, environment)
        assert status in (0, 1), f"{name(page)}: `{command}` ended with {status}:\n{told}"
        assert "Traceback" not in told, f"{name(page)}: `{command}`:\n{told}"


def assert_in_order(block: Block, printed: str, where: str) -> None:
    """Each line of the block stands in what was printed, after the one before it."""
    rest = printed
    for line in block.text.splitlines():
        if line == "...":
            continue
        assert line in rest, f"{where}: {line!r} is not in what was printed:\n{printed}"
        rest = rest.partition(line)[2]


def run_inline(command: str, folder: Path, environment: Mapping[str, str]) -> tuple[int, str]:
    """A command from a sentence. A bare name, one with a name in capitals to be put in, or one without an end, only
    has to be known."""
    words = shlex.split(command)
    if (
        len(words) == 2
        or any(ending in command for ending in NEVER_END)
        or any(re.fullmatch(r"[A-Z]{2,}(\.\w+)?", word) for word in words)
    ):
        assert_known(words)
        return 0, ""
    return run(command, folder, environment)


def assert_known(words: list[str]) -> None:
    """The command, its subcommands and its options are there."""
    found: click.Command = cli
    context = click.Context(cli)
    rest = words[1:]
    while isinstance(found, click.Group) and rest:
        below = found.get_command(context, rest[0])
        assert below is not None, f"no command {rest[0]}"
        found, rest = below, rest[1:]
    options = {
        option for parameter in found.params for option in (*parameter.opts, *parameter.secondary_opts)
    }
    assert {word for word in rest if word.startswith("-")} <= options, words


def test_every_block_of_yaml_is_read_as_the_page_says(page: Path) -> None:
    base = knowledge()
    for block in blocks(page):
        where = f"{name(page)}:{block.line}"
        assert block.says.keys() <= KNOWN, f"{where}: {block.says}"
        if block.language != "yaml" or "file" in block.says:
            continue
        assert "read as" in block.says, f"{where}: a comment before the block says how it is read"
        tree, findings = read_tree(block.text, where)
        assert tree is not None
        findings = [*findings, *READERS[block.says["read as"]](tree, base)]
        assert [finding.line() for finding in findings] == []


def _entries(model: type[FileModel]) -> Callable[[Node, KnowledgeBase], list[Finding]]:
    def read(tree: Node, base: KnowledgeBase) -> list[Finding]:
        assert isinstance(tree, Tree)
        return [finding for key in tree.entries for finding in read_as(model, tree, (key,))[1]]

    return read


def _rule(tree: Node, base: KnowledgeBase) -> list[Finding]:
    assert isinstance(tree, Tree)
    id_ = getattr(tree.entries["id"], "value", "")
    return read_rule(tree, "slack", id_, base.facts, base.tables, base.formulas)[1]


READERS: Mapping[str, Callable[[Node, KnowledgeBase], list[Finding]]] = {
    "rule": _rule,
    "vocabulary": lambda tree, base: read_vocabulary(tree)[1],
    "table": lambda tree, base: read_table(tree)[1],
    "formula": lambda tree, base: read_formula(tree, base.facts)[1],
    "procedure": lambda tree, base: read_procedure(tree, base.cautions, base.topics)[1],
    "sources": _entries(SourceEntry),
    "cautions": _entries(CautionEntry),
    "topics": _entries(TopicEntry),
    "parts": lambda tree, base: read_parts(tree, base.facts, {})[1] if isinstance(tree, Tree) else [],
    "piece": lambda tree, base: [],
}
"""By what a comment says, how a block is read, and what is wrong with it."""


def test_every_page_of_docs_is_reached_from_the_readme() -> None:
    link = re.compile(r"\]\(([^)#]+\.md)(?:#[\w-]+)?\)")
    reached: set[Path] = set()
    waiting = [ROOT / "README.md"]
    while waiting:
        page = waiting.pop()
        if page in reached:
            continue
        assert page.is_file(), page
        reached.add(page)
        waiting += [
            (page.parent / target).resolve() for target in link.findall(page.read_text(encoding="utf-8"))
        ]
    assert set(pages()) <= reached


def test_the_readme_names_every_command() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert [
        command for command in cli.list_commands(click.Context(cli)) if f"`sideplate {command}" not in text
    ] == []


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_completion_script_of_each_shell_comes_out(
    shell: str, tmp_path: Path, environment: Mapping[str, str]
) -> None:
    status, script = run(f"_SIDEPLATE_COMPLETE={shell}_source sideplate", tmp_path, environment)
    assert status == 0
    assert "_SIDEPLATE_COMPLETE" in script
    page = (ROOT / "docs" / "how-to" / "shell-completion.md").read_text(encoding="utf-8")
    assert f"_SIDEPLATE_COMPLETE={shell}_source sideplate" in page


def test_the_shell_completes_commands_and_options(tmp_path: Path, environment: Mapping[str, str]) -> None:
    for words, expected in (
        ("sideplate ju", "judge"),
        ("sideplate judge --wh", "--why-not"),
        ("sideplate ", "compare"),
    ):
        asking = {**environment, "COMP_WORDS": words, "COMP_CWORD": str(len(words.split(" ")) - 1)}
        status, told = run("_SIDEPLATE_COMPLETE=bash_complete sideplate", tmp_path, asking)
        assert status == 0
        assert f"plain,{expected}\n" in told


ROW = re.compile(
    r"^\| (\d+), (\d+) and (\d+) teeth \| ([\d.]+) mm \| ([\d.]+) \| ([\d.]+) \| ([\d.]+) \| (\d+)",
    re.MULTILINE,
)


def test_the_figures_on_chain_length_are_worked_out_right() -> None:
    """The geometry is worked out here from its definition, not with the engine's formulas."""
    rows = ROW.findall((ROOT / "docs" / "explanation" / "chain-length.md").read_text(encoding="utf-8"))
    assert len(rows) == 4
    for size, front, rear, centres, handbook, teeth, line, even in rows:
        pitch = {"428": 12.7, "520": 15.875, "219": 7.774}[size]
        n1, n2, c = int(front), int(rear), float(centres)
        r1, r2 = pitch / (2 * sin(pi / n1)), pitch / (2 * sin(pi / n2))
        angle = asin((r2 - r1) / c)
        runs = 2 * sqrt(c**2 - (r2 - r1) ** 2) / pitch
        by_teeth = runs + n1 * (0.5 - angle / pi) + n2 * (0.5 + angle / pi)
        assert float(handbook) == round(
            2 * c / pitch + (n1 + n2) / 2 + ((n2 - n1) / (2 * pi)) ** 2 * pitch / c, 3
        )
        assert float(teeth) == round(by_teeth, 3)
        assert float(line) == round(runs + (r1 * (pi - 2 * angle) + r2 * (pi + 2 * angle)) / pitch, 3)
        assert int(even) == 2 * -(-by_teeth // 2)
