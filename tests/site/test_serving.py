"""Serving: a change of the knowledge is on the page within seconds, and a slip in it leaves the site as it was."""

from __future__ import annotations

import shutil
import time
from pathlib import Path

import pytest

from sideplate_engine import built_in_folder
from sideplate_site.building import Folders
from sideplate_site.serving import LABEL, Rebuilder

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
