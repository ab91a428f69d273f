"""Building: what changed is written and nothing else, foreign folders are left alone, overlays build the same way."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from sideplate_engine import KnowledgeBase, built_in_folder, load
from sideplate_site import site_command
from sideplate_site.book import Book
from sideplate_site.building import MARKER, Folders, WrongFolder, check_out, knowledge_version, write_pages
from sideplate_site.contents import pages_and_menu
from support.site_pages import build_site

OVERLAY = """\
id: school-rag-colour
title: The school's rags are blue
status: draft
when:
  clean.tools: rag
ruling: should
says: Take a blue rag.
because: {kind: practice, text: In our workshop red rags are for the brakes.}
if_ignored: The brakes get grease.
sources: [{work: common-practice}]
examples:
  - {name: a rag, given: {clean.tools: [rag]}, expect: fires}
  - {name: a brush, given: {clean.tools: [soft brush]}, expect: quiet}
"""


def overlay(folder: Path) -> Path:
    rule = folder / "school" / "rules" / "cleaning" / "school-rag-colour.yaml"
    rule.parent.mkdir(parents=True)
    rule.write_text(OVERLAY, encoding="utf-8")
    return folder / "school"


def test_pages_that_did_not_change_are_not_written_again(book: Book, tmp_path: Path) -> None:
    folders = Folders(tmp_path, tmp_path / "site")
    contents = pages_and_menu(book)
    assert len(write_pages(book, folders, *contents)) == len(contents[0])
    assert write_pages(book, folders, *contents) == []


def test_a_page_whose_thing_is_gone_goes_too(book: Book, tmp_path: Path) -> None:
    folders = Folders(tmp_path, tmp_path / "site")
    write_pages(book, folders, *pages_and_menu(book))
    stray = folders.pages / "rules" / "gone.md"
    stray.write_text("# Gone", encoding="utf-8")
    write_pages(book, folders, *pages_and_menu(book))
    assert not stray.exists()


def test_a_folder_with_other_files_is_refused(tmp_path: Path) -> None:
    (tmp_path / "holiday.txt").write_text("photographs", encoding="utf-8")
    with pytest.raises(WrongFolder, match="holds other files"):
        check_out(tmp_path)


def test_a_new_an_empty_and_an_earlier_built_folder_are_taken(tmp_path: Path) -> None:
    check_out(tmp_path / "new")
    check_out(tmp_path)
    (tmp_path / MARKER).touch()
    (tmp_path / "index.html").touch()
    check_out(tmp_path)


def test_the_version_changes_with_any_change_of_the_knowledge(tmp_path: Path) -> None:
    one = knowledge_version(load())
    other = knowledge_version(load(built_in_folder(), overlay(tmp_path)))
    assert one != other
    assert one == knowledge_version(load())


@pytest.mark.slow
def test_the_site_of_an_overlay_is_built_the_same_way(tmp_path: Path, knowledge: KnowledgeBase) -> None:
    site = build_site(tmp_path, "--knowledge", str(overlay(tmp_path)))
    page = site.pages["rules/school-rag-colour.html"]
    assert "Take a blue rag." in page.text
    assert "rules/school-rag-colour.html" not in {f"rules/{id_}.html" for id_ in knowledge.rules}
    assert "../rules/school-rag-colour.html" in site.pages["topics/cleaning.html"].links


def test_broken_knowledge_is_told_and_nothing_is_built(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    school = overlay(tmp_path)
    rule = school / "rules" / "cleaning" / "school-rag-colour.yaml"
    rule.write_text(OVERLAY.replace("clean.tools: rag", "clean.tool: rag"), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(site_command.command, ["build", "--knowledge", "school"])
    assert done.exit_code == site_command.UNREADABLE
    assert "error[unknown-fact]: no fact is called clean.tool; did you mean clean.tools?" in done.stderr
    assert not (tmp_path / "build").exists()


def test_without_the_extra_the_command_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(site_command, "find_spec", lambda name: None)
    done = CliRunner().invoke(site_command.command, ["build"])
    assert done.exit_code == site_command.UNREADABLE
    assert "pip install 'sideplate[site]'" in done.stderr
