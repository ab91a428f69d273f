"""The built wheel: what is in it, and that it works outside the checkout."""

from __future__ import annotations

import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGES = {"sideplate_engine", "sideplate_trainer", "sideplate_site"}
SHEET = """\
job: A length for a renewal
facts: {chain.size: 520, front_sprocket.teeth: 15, rear_sprocket.teeth: 45, drive.centre_distance: 620 mm}
"""


def run(*command: str | Path, cwd: Path) -> str:
    done = subprocess.run(command, cwd=cwd, capture_output=True, text=True, timeout=600, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", folder, ROOT, cwd=folder)
    (built,) = folder.glob("*.whl")
    return built


@pytest.mark.slow
def test_the_wheel_holds_the_three_packages_and_every_knowledge_file(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
    tops = {name.split("/")[0] for name in names}
    assert {top for top in tops if not top.endswith(".dist-info")} == PACKAGES
    knowledge = ROOT / "knowledge"
    expected = {
        f"sideplate_engine/knowledge/{path.relative_to(knowledge).as_posix()}"
        for pattern in ("*.yaml", "*.json")
        for path in knowledge.rglob(pattern)
    }
    assert expected
    assert expected <= names


@pytest.mark.slow
def test_the_wheel_installs_into_a_fresh_environment_and_judges_outside_the_checkout(
    wheel: Path, tmp_path: Path
) -> None:
    venv.create(tmp_path / "env", with_pip=True)
    programs = tmp_path / "env" / ("Scripts" if sys.platform == "win32" else "bin")
    run(
        programs / "python", "-m", "pip", "install", "-q", "-c", ROOT / "constraints.txt", wheel, cwd=tmp_path
    )
    (tmp_path / "job.yaml").write_text(SHEET, encoding="utf-8")
    told = run(programs / "sideplate", "judge", "job.yaml", cwd=tmp_path)
    assert "drive.links_needed: 110" in told
