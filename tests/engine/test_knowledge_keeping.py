"""Knowledge kept ready between two starts: the same as when it is read, and never older than its files."""

from __future__ import annotations

import os
import pickle
import sys
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import pytest

from sideplate_engine import Judge, KnowledgeBase, built_in_folder, load
from sideplate_engine.knowledge_keeping import UNSETTLED, keep_knowledge, kept_knowledge, state_of
from sideplate_engine.rule_fingerprint import fingerprint
from support.small_knowledge import given, load_with, rule

DIGEST = 32
OLD = 1_000_000_000
"""A time long past, so that files count as settled."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The small knowledge base with a rule, written long ago."""
    where = tmp_path / "knowledge"
    load_with(where, rule("bent", when="bolt.marks: bent", ruling="must", says="Renew it."))
    settle(where)
    return where


@pytest.fixture
def cache(tmp_path: Path) -> Path:
    return tmp_path / "cache"


def settle(folder: Path) -> None:
    for path in folder.rglob("*.yaml"):
        os.utime(path, (OLD, OLD))


def kept(folder: Path, cache: Path) -> KnowledgeBase:
    """What was kept of the folder, after it was."""
    keep_knowledge(load(folder).sound(), state_of((folder,)), cache)
    found = kept_knowledge(state_of((folder,)), cache)
    assert found is not None
    return found


def test_what_is_kept_is_what_was_read(folder: Path, cache: Path) -> None:
    assert kept(folder, cache) == load(folder).sound()


@pytest.mark.slow
def test_the_whole_base_comes_back_as_it_was_and_judges_alike(cache: Path) -> None:
    folders = (built_in_folder(),)
    read = load(*folders).sound()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("sideplate_engine.knowledge_keeping.UNSETTLED", -OLD)
        keep_knowledge(read, state_of(folders), cache)
    back = kept_knowledge(state_of(folders), cache)
    assert back == read
    assert {id_: fingerprint(rule) for id_, rule in back.rules.items()} == {
        id_: fingerprint(rule) for id_, rule in read.rules.items()
    }
    facts = given(Judge(read), "chain.size: 520, front_sprocket.teeth: 15, rear_sprocket.teeth: 45")
    assert Judge(back).judge(facts).derived == Judge(read).judge(facts).derived


def test_nothing_is_kept_of_what_was_never_read(folder: Path, cache: Path) -> None:
    assert kept_knowledge(state_of((folder,)), cache) is None


def edited(folder: Path) -> None:
    path = next((folder / "rules").rglob("bent.yaml"))
    path.write_text(path.read_text().replace("Renew it.", "Retire it"))


def touched(folder: Path) -> None:
    os.utime(next((folder / "rules").rglob("bent.yaml")), (OLD + 1, OLD + 1))


def added(folder: Path) -> None:
    (folder / "vocabulary" / "more.yaml").write_text("bolt.maker: {kind: code, means: Who made it.}\n")


def taken_away(folder: Path) -> None:
    next((folder / "rules").rglob("bent.yaml")).unlink()


def misnamed(folder: Path) -> None:
    (folder / "rules" / "stray.yml").write_text("id: stray\n")


def new_topic(folder: Path) -> None:
    (folder / "rules" / "no-such-topic").mkdir()


@pytest.mark.parametrize("change", [edited, touched, added, taken_away, misnamed, new_topic])
def test_any_change_of_a_file_or_folder_makes_it_be_read_again(
    folder: Path, cache: Path, change: Callable[[Path], None]
) -> None:
    kept(folder, cache)
    change(folder)
    assert kept_knowledge(state_of((folder,)), cache) is None


def test_an_edit_that_keeps_size_and_nearly_the_time_is_seen(folder: Path, cache: Path) -> None:
    kept(folder, cache)
    path = next((folder / "rules").rglob("bent.yaml"))
    path.write_text(path.read_text().replace("Renew", "Weigh"))
    os.utime(path, ns=(OLD * 10**9, OLD * 10**9 + 1))
    assert kept_knowledge(state_of((folder,)), cache) is None


def test_a_file_that_changes_after_it_was_read_is_read_again(folder: Path, cache: Path) -> None:
    before = state_of((folder,))
    knowledge = load(folder).sound()
    edited(folder)
    touched(folder)
    keep_knowledge(knowledge, before, cache)
    assert kept_knowledge(state_of((folder,)), cache) is None


def test_what_was_worked_out_since_is_not_kept(folder: Path, cache: Path) -> None:
    knowledge = load(folder).sound()
    assert knowledge.overriders == {}
    keep_knowledge(knowledge, state_of((folder,)), cache)
    back = kept_knowledge(state_of((folder,)), cache)
    assert back is not None
    assert "overriders" not in vars(back)


def test_nothing_is_kept_while_a_file_is_still_warm(folder: Path, cache: Path) -> None:
    edited(folder)
    keep_knowledge(load(folder).sound(), state_of((folder,)), cache)
    assert not cache.exists()
    assert UNSETTLED > 0


def test_where_paths_are_shown_from_another_place_it_is_read_again(
    folder: Path, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept(folder, cache)
    monkeypatch.chdir(folder)
    assert kept_knowledge(state_of((folder,)), cache) is None


def test_a_layer_more_is_another_base(folder: Path, cache: Path, tmp_path: Path) -> None:
    kept(folder, cache)
    layer = tmp_path / "layer"
    layer.mkdir()
    assert kept_knowledge(state_of((folder, layer)), cache) is None


def the_file(cache: Path) -> Path:
    (path,) = cache.iterdir()
    return path


@pytest.mark.parametrize("spoil", [lambda data: data[:-1], lambda data: data[:10], lambda data: data + b"x"])
def test_a_file_that_is_cut_or_spoiled_is_passed_by(
    folder: Path, cache: Path, spoil: Callable[[bytes], bytes]
) -> None:
    kept(folder, cache)
    path = the_file(cache)
    path.write_bytes(spoil(path.read_bytes()))
    assert kept_knowledge(state_of((folder,)), cache) is None


@pytest.mark.skipif(sys.platform == "win32", reason="there are no such permissions there")
def test_a_file_that_others_may_write_is_passed_by(folder: Path, cache: Path) -> None:
    kept(folder, cache)
    the_file(cache).chmod(0o666)
    assert kept_knowledge(state_of((folder,)), cache) is None
    assert cache.stat().st_mode & 0o077 == 0


class Harm:
    """Builds to a call of its own choosing, as a pickle may."""

    def __reduce__(self) -> tuple[object, tuple[str]]:
        return os.mkdir, ("harmed",)


def test_what_does_harm_would_do_it_if_it_were_let(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    pickle.loads(pickle.dumps(Harm()))
    assert (tmp_path / "harmed").is_dir()


def test_a_file_that_was_made_to_do_harm_builds_nothing(
    folder: Path, cache: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    kept(folder, cache)
    path = the_file(cache)
    key = path.read_bytes()[DIGEST : 2 * DIGEST]
    body = pickle.dumps(Harm())
    path.write_bytes(sha256(key + body).digest() + key + body)
    assert kept_knowledge(state_of((folder,)), cache) is None
    assert not (tmp_path / "harmed").exists()


def test_a_place_that_cannot_be_written_costs_time_and_nothing_else(folder: Path, tmp_path: Path) -> None:
    in_the_way = tmp_path / "a file"
    in_the_way.write_text("no folder")
    keep_knowledge(load(folder).sound(), state_of((folder,)), in_the_way)
    assert kept_knowledge(state_of((folder,)), in_the_way) is None


def test_a_link_that_leads_back_ends(folder: Path, cache: Path) -> None:
    try:
        (folder / "again").symlink_to(folder, target_is_directory=True)
    except OSError:
        pytest.skip("links cannot be made here")
    assert kept_knowledge(state_of((folder,)), cache) is None
