"""Serving: a change of the knowledge is on the page within seconds, and a slip in it leaves the site as it was."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest
from click.testing import CliRunner

from sideplate_engine import built_in_folder
from sideplate_site.building import Folders
from sideplate_site.serving import LABEL, Rebuilder
from sideplate_site.site_command import command

pytestmark = pytest.mark.slow

MOST_CPU_SECONDS = 3.0
"""Processor time, so that what else runs on the machine does not decide."""


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("copy") / "knowledge"
    shutil.copytree(built_in_folder(), folder)
    return folder


@pytest.fixture(scope="module")
def served(copy: Path, tmp_path_factory: pytest.TempPathFactory) -> Rebuilder:
    work = tmp_path_factory.mktemp("served")
    rebuilder = Rebuilder(Folders(work, work / "site"), (copy,))
    rebuilder.first()
    return rebuilder


def read(served: Rebuilder, address: str) -> str:
    return (served.folders.out / address).read_text(encoding="utf-8")


def test_a_changed_rule_is_on_its_page_and_its_topic_within_three_seconds(
    served: Rebuilder, copy: Path
) -> None:
    rule = copy / "rules" / "slack" / "axle-aligned-on-marks.yaml"
    text = rule.read_text(encoding="utf-8")
    rule.write_text(
        text.replace("The swingarm marks are only a rough guide", "Marks mislead"), encoding="utf-8"
    )
    untouched = (served.folders.out / "rules" / "connector-code-differs.html").stat().st_mtime_ns
    started = time.process_time()
    served.again()
    spent = time.process_time() - started
    assert "Marks mislead" in read(served, "rules/axle-aligned-on-marks.html")
    assert "Marks mislead" in read(served, "topics/slack.html")
    assert (served.folders.out / "rules" / "connector-code-differs.html").stat().st_mtime_ns == untouched
    assert spent < MOST_CPU_SECONDS


def test_a_new_rule_gets_its_page_and_its_place_in_the_menu(served: Rebuilder, copy: Path) -> None:
    rule = copy / "rules" / "slack" / "axle-aligned-on-marks.yaml"
    text = rule.read_text(encoding="utf-8").replace("id: axle-aligned-on-marks", "id: second-look")
    (rule.parent / "second-look.yaml").write_text(text, encoding="utf-8")
    served.again()
    assert "second-look" in read(served, "rules/second-look.html")
    assert "second-look.html" in read(served, "rules/adjuster-on-one-side-only.html")


def test_a_slip_is_told_and_the_site_stays_as_it_was(
    served: Rebuilder, copy: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rule = copy / "rules" / "slack" / "adjuster-on-one-side-only.yaml"
    text = rule.read_text(encoding="utf-8")
    before = read(served, "rules/adjuster-on-one-side-only.html")
    rule.write_text(text.replace("adjuster.turned:", "adjuster.turns:"), encoding="utf-8")
    served.again()
    told = capsys.readouterr().err
    assert "no fact is called adjuster.turns" in told
    assert "The site stays as it was until this is put right." in told
    assert read(served, "rules/adjuster-on-one-side-only.html") == before
    rule.write_text(text, encoding="utf-8")
    served.again()


def test_served_pages_say_that_they_show_a_working_copy(served: Rebuilder) -> None:
    assert f"Built from Sideplate {LABEL}." in read(served, "index.html")


def test_a_port_in_use_is_told_before_anything_is_built(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        done = CliRunner().invoke(command, ["serve", "--port", str(port)])
    assert done.exit_code == 2
    assert f"Port {port} cannot be listened on: Address already in use." in done.stderr
    assert not (tmp_path / "build").exists()


@pytest.mark.skipif(sys.platform == "win32", reason="Ctrl-C is sent to another process in another way there")
def test_the_served_site_is_there_and_ctrl_c_ends_it(tmp_path: Path) -> None:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    call = (
        sys.executable,
        "-c",
        "from sideplate_trainer.main import main; main()",
        "site",
        "serve",
        "--port",
        str(port),
    )
    environment = {**os.environ, "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen(call, cwd=tmp_path, env=environment, stdout=subprocess.PIPE, text=True) as serving:
        assert serving.stdout is not None
        try:
            assert f"http://127.0.0.1:{port}/" in serving.stdout.readline()
            page = _fetched(f"http://127.0.0.1:{port}/rules/connector-code-differs.html")
            assert "Do not fit connecting link" in page
        finally:
            serving.send_signal(signal.SIGINT)
            try:
                rest, _ = serving.communicate(timeout=30)
            except subprocess.TimeoutExpired:
                serving.kill()  # As where a shell's background job has Ctrl-C ignored; waiting on would never end.
                raise
    assert rest.splitlines()[-1] == "Ended."
    assert serving.returncode == 0


def _fetched(address: str) -> str:
    for _ in range(50):
        try:
            with urllib.request.urlopen(address, timeout=10) as answer:
                return str(answer.read().decode())
        except urllib.error.URLError:
            time.sleep(0.1)
    raise AssertionError(f"nothing answers at {address}")
