"""Folders to a knowledge base: one slip gives one finding, a broken file stops no other, overlays replace by name."""

from __future__ import annotations

from pathlib import Path

import pytest

from sideplate_engine import BrokenKnowledge, built_in_folder, load
from support.small_knowledge import (
    CAUTIONS,
    FILES,
    FORMULA,
    SOURCES,
    TABLE,
    TOPICS,
    VOCABULARY,
    Files,
    LoadWith,
    judge_with,
    load_with,
    rule,
    write,
)

PITCH = rule("pitch", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}")
TRAVEL = rule("travel", derive="bolt.travel: {formula: travel}")
READER = rule("reader", when="bolt.travel: {above: 5 mm}", says="{bolt.travel}", caution="sharp-edges")
ABOUT = rule("about", when="bolt.size: M4", about="use-the-bolt", overrides="[reader]")
RULES = PITCH | TRAVEL | READER | ABOUT


def codes(loaded_of: LoadWith, *files: dict[str, str]) -> list[str]:
    return [finding.code for finding in loaded_of(*files).findings]


def test_a_sound_folder_is_a_knowledge_base(loaded_of: LoadWith) -> None:
    knowledge = loaded_of(RULES).sound()
    assert list(knowledge.rules) == ["about", "pitch", "reader", "travel"]
    assert list(knowledge.topics) == ["fitting", "checking"]
    assert list(knowledge.procedures) == ["tighten"]


@pytest.mark.parametrize(
    ("broken", "code"),
    [
        ({"tables/threads.yaml": TABLE.replace("key: size", "kye: size")}, "unknown-key"),
        ({"tables/threads.yaml": TABLE + "  - ["}, "yaml-syntax"),
        ({"tables/threads.yaml": ""}, "empty"),
        ({"tables/threads.yaml": TABLE.replace("id: threads", "id: thread")}, "id-differs-from-file"),
        ({"formulas/travel.yaml": FORMULA.replace("n*p", "n*p*p")}, "formula-dimension"),
        ({"vocabulary/bolt.yaml": VOCABULARY.replace("unit: kN", "unit: kM")}, "unknown-unit"),
        ({"vocabulary/bolt.yaml": VOCABULARY.replace("bolt.travel: {kind", "bolt.travel: {kinds")}, "unknown-key"),
        ({"vocabulary/bolt.yaml": VOCABULARY + "x: ["}, "yaml-syntax"),
        ({"vocabulary/bolt.yaml": "- a"}, "wrong-shape"),
        ({"vocabulary/bolt.yaml": VOCABULARY + VOCABULARY[: VOCABULARY.index("bolt.code")]}, "repeated-key"),
        ({"sources.yaml": SOURCES.replace("handbook", "handbok")}, "unknown-word"),
        ({"sources.yaml": "thread-book: ["}, "yaml-syntax"),
        ({"cautions.yaml": CAUTIONS.replace("do:", "doo:")}, "unknown-key"),
        ({"cautions.yaml": ""}, "empty"),
        ({"topics.yaml": TOPICS.replace("Fitting, about", "Fitting, abuot")}, "unknown-key"),
        ({"topics.yaml": "- a"}, "wrong-shape"),
        ({"subjects.yaml": "use-the-bolt: [a]"}, "wrong-shape"),
        ({"subjects.yaml": "- a"}, "wrong-shape"),
        (rule("reader", when="bolt.travle: {above: 5 mm}"), "unknown-fact"),
        (rule("reader", when="bolt.travel: {above: 5 mm}", id="raeder"), "id-differs-from-file"),
        (rule("reader", when="bolt.travel: {above: 5 mm}", caution="sharp-egdes"), "unknown-caution"),
        (rule("about", when="bolt.size: M4", about="use-the-blot"), "unknown-subject"),
        (rule("about", when="bolt.size: M4", overrides="[raeder]"), "unknown-rule"),
        (rule("about", when="bolt.size: M4", overrides="[about]"), "self-override"),
        (rule("about", when="bolt.size: M4", sources="[{work: thread-bok}]"), "unknown-source"),
        (rule("about", when="bolt.size: M4", replaces="raeder"), "unknown-rule"),
        (rule("about", when="bolt.size: M4", status="retired"), "retired"),
        ({"rules/fitting/travel.yaml": "id: ["}, "yaml-syntax"),
        ({"rules/fitting/travel.yaml": RULES["rules/fitting/travel.yaml"] + "id: travel\n"}, "repeated-key"),
    ],
)  # fmt: skip
def test_one_slip_gives_one_finding(loaded_of: LoadWith, broken: Files, code: str) -> None:
    assert codes(loaded_of, RULES, broken) == [code]


def test_a_broken_file_stops_no_other(loaded_of: LoadWith) -> None:
    loaded = loaded_of(RULES, {"tables/threads.yaml": "id: ["})
    assert set(loaded.knowledge.rules) == {"travel", "reader", "about"}
    assert set(loaded.knowledge.formulas) == {"travel", "share"}
    with pytest.raises(BrokenKnowledge, match=r"threads\.yaml:2:1: error\[yaml-syntax\]"):
        loaded.sound()


def test_all_findings_are_told_at_once_in_the_order_of_their_places(loaded_of: LoadWith) -> None:
    loaded = loaded_of(
        rule("a", when="bolt.sise: M4\nbolt.turn: 3"), rule("b", when="bolt.size: M4", says="{bolt.sise}")
    )
    assert [finding.line().rsplit("/", 1)[1] for finding in loaded.findings] == [
        "a.yaml:8:3: error[unknown-fact]: no fact is called bolt.sise; did you mean bolt.size?",
        "a.yaml:9:3: error[unknown-fact]: no fact is called bolt.turn; did you mean bolt.turns?",
        "b.yaml:4:1: error[unknown-placeholder]: `says`: {bolt.sise} names no fact; did you mean bolt.size?",
    ]
    assert set(loaded.texts) >= {finding.at.path for finding in loaded.findings}


def test_a_rule_with_a_reference_that_leads_nowhere_judges_nothing(loaded_of: LoadWith) -> None:
    loaded = loaded_of(rule("it", when="bolt.size: M4", caution="sharp-egdes"))
    assert loaded.knowledge.rules == {}


def test_a_topic_nobody_knows_is_told_once_and_its_rules_are_still_read(loaded_of: LoadWith) -> None:
    lost = rule("lost", "fiting", when="bolt.size: M4") | rule("bad", "fiting", when="bolt.sise: M4")
    overrider = rule("over", when="bolt.size: M4", overrides="[lost]")
    loaded = loaded_of(lost, overrider)
    assert [finding.code for finding in loaded.findings] == ["unknown-topic", "unknown-fact"]
    assert loaded.findings[0].message == "no topic is called fiting; did you mean fitting?"
    assert set(loaded.knowledge.rules) == {"over"}


@pytest.mark.parametrize(
    ("files", "code", "path"),
    [
        ({"rules/stray.yaml": "a: b"}, "file-name", "rules/stray.yaml"),
        ({"rules/fitting/deep/stray.yaml": "a: b"}, "file-name", "rules/fitting/deep/stray.yaml"),
        ({"tables/more/stray.yaml": "a: b"}, "file-name", "tables/more/stray.yaml"),
        ({"vocabulary/nut.yml": "a: b"}, "file-name", "vocabulary/nut.yml"),
    ],
)
def test_a_file_that_would_not_be_read_is_told(
    loaded_of: LoadWith, files: Files, code: str, path: str
) -> None:
    (finding,) = loaded_of(files).findings
    assert finding.code == code
    assert finding.at.path.endswith(path)


@pytest.mark.parametrize(
    ("topics", "code", "message"),
    [
        (
            TOPICS.replace("after: [fitting]", "after: [fiting]"),
            "unknown-topic",
            "no topic is called fiting; did you mean fitting?",
        ),
        (
            TOPICS.replace("after: [fitting]", "after: [checking]"),
            "cycle",
            "these topics come after each other: checking",
        ),
    ],
)
def test_topics_come_in_an_order_that_exists(
    loaded_of: LoadWith, topics: str, code: str, message: str
) -> None:
    (finding,) = loaded_of({"topics.yaml": topics}).findings
    assert (finding.code, finding.message, finding.at.line) == (code, message, 2)


def test_a_fact_and_an_id_are_declared_once(loaded_of: LoadWith) -> None:
    loaded = loaded_of(
        {"vocabulary/again.yaml": VOCABULARY[: VOCABULARY.index("bolt.code")]},
        rule("it", when="bolt.size: M4"),
        rule("it", "checking", when="bolt.size: M6"),
    )
    assert [(finding.code, finding.message.split(" is ")[0]) for finding in loaded.findings] == [
        ("repeated-id", "the id it"),
        ("repeated-fact", "bolt.size"),
    ]


def test_retired_rules_lie_apart_and_judge_nothing(loaded_of: LoadWith) -> None:
    knowledge = loaded_of(rule("old", "retired", when="bolt.size: M4", status="retired")).sound()
    assert (set(knowledge.rules), set(knowledge.retired)) == (set(), {"old"})
    again = loaded_of(rule("old", when="bolt.size: M4"))
    assert [finding.code for finding in again.findings] == ["repeated-id"], "an id never comes back"


def test_a_folder_that_is_not_there_is_a_finding(tmp_path: Path) -> None:
    (finding,) = load(tmp_path / "none").findings
    assert (finding.code, finding.at.path) == ("no-such-folder", str(tmp_path / "none"))


def test_places_are_shown_from_where_the_reader_stands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (finding,) = load_with(tmp_path / "known", {"sources.yaml": "a: ["}).findings
    assert finding.at.path == str(Path("known") / "sources.yaml")


def overlay(tmp_path: Path, base: Files, over: dict[str, str | bytes] | Files) -> list[str]:
    loaded = load(write(tmp_path / "base", {**FILES, **base}), write(tmp_path / "over", over))
    return [finding.code for finding in loaded.findings] or list(loaded.knowledge.rules)


def test_an_overlay_adds_rules_and_replaces_one_by_saying_so(tmp_path: Path) -> None:
    old = rule("old", when="bolt.size: M4")
    assert overlay(tmp_path / "1", old, rule("new", when="bolt.size: M4")) == ["new", "old"]
    assert overlay(tmp_path / "2", old, rule("new", when="bolt.size: M4", replaces="old")) == ["new"]
    assert overlay(tmp_path / "3", old, rule("old", "checking", when="bolt.size: M4")) == ["repeated-id"]


def test_what_overrode_a_replaced_rule_overrides_its_replacement(tmp_path: Path) -> None:
    base = rule("old", when="bolt.size: M4") | rule("over", when="bolt.size: M4", overrides="[old]")
    newest = rule("new", when="bolt.size: M4", replaces="old") | rule(
        "newer", when="bolt.size: M4", replaces="new"
    )
    loaded = load(write(tmp_path / "base", {**FILES, **base}), write(tmp_path / "over", newest))
    assert loaded.sound().rules["over"].overrides == ("newer",)
    itself = rule("new", when="bolt.size: M4", replaces="old", overrides="[old]")
    loaded = load(write(tmp_path / "base2", {**FILES, **base}), write(tmp_path / "over2", itself))
    assert loaded.sound().rules["new"].overrides == ()


def test_citations_are_titles_with_their_places(tmp_path: Path) -> None:
    cited = rule("it", when="bolt.size: M4", sources="[{work: thread-book, at: page 3}, {work: thread-book}]")
    judge = judge_with(tmp_path, cited)
    (ruling,) = judge.judge({"bolt.size": "M4"}).rulings
    assert ruling.sources == ("The book of threads, page 3", "The book of threads")


def test_rules_are_found_by_topic_and_by_what_they_derive(loaded_of: LoadWith) -> None:
    knowledge = loaded_of(RULES, rule("late", "checking", when="bolt.size: M4")).sound()
    assert [found.id for found in knowledge.rules_of("checking")] == ["late"]
    assert [found.id for found in knowledge.derivers("bolt.pitch")] == ["pitch"]


def test_the_built_in_knowledge_is_found_beside_or_inside_the_package() -> None:
    assert (built_in_folder() / "vocabulary").is_dir()
