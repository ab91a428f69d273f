"""YAML as text with places: nothing is guessed, and what is more than that is refused where it stands."""

from __future__ import annotations

from pathlib import Path

import pytest

from sideplate_engine.findings import Position
from sideplate_engine.yaml_tree import (
    MAX_BYTES,
    MAX_DEPTH,
    MAX_NODES,
    Items,
    Mapping,
    Text,
    UnreadableFile,
    decode,
    node_at,
    plain,
    position_of,
    read_text,
    read_tree,
)


def refusal(text: str) -> str:
    with pytest.raises(UnreadableFile) as caught:
        read_tree(text, "f")
    return caught.value.finding.line()


@pytest.mark.parametrize(
    "scalar", ["520", "no", "0125", "1.10", "15:45", "2026-11-25", "null", "~", "yes", "0x1f"]
)
def test_every_scalar_stays_the_text_that_was_written(scalar: str) -> None:
    assert plain(read_tree(f"a: {scalar}", "f")[0]) == {"a": scalar}


def test_quoting_is_remembered() -> None:
    tree, _ = read_tree("[known, 'known', \"known\"]", "f")
    assert isinstance(tree, Items)
    assert [item.quoted for item in tree.items if isinstance(item, Text)] == [False, True, True]


def test_json_is_read_the_same_way() -> None:
    tree, _ = read_tree('{\n\t"a": {"b": [1, true, null, "\\u00e9"]}\n}', "f")
    assert plain(tree) == {"a": {"b": ["1", "true", "null", "é"]}}


def test_every_node_has_its_place() -> None:
    tree, _ = read_tree("é:\n  - x\n  - {b: y}\n", "f")
    assert tree is not None
    assert position_of(tree, ()) == Position("f", 1, 1)
    assert position_of(tree, ("é", 1)) == Position("f", 3, 5)
    assert position_of(tree, ("é", 1, "b")) == Position("f", 3, 6)
    missing = position_of(tree, ("é", 1, "c"))
    assert missing == position_of(tree, ("é", 1)), "a missing key has the place of the mapping that lacks it"
    assert node_at(tree, ("é", 2)) is None
    assert node_at(tree, ("é", "b")) is None


@pytest.mark.parametrize("text", ["", "# only a remark\n", "---\n", "\n\n"])
def test_a_text_without_content_is_no_tree(text: str) -> None:
    assert read_tree(text, "f") == (None, [])


def test_an_empty_text_in_quotes_is_content() -> None:
    assert plain(read_tree("''", "f")[0]) == ""


def test_of_two_equal_keys_the_first_counts_and_the_second_is_told() -> None:
    tree, findings = read_tree("a: 1\nb: 2\na: 3\n", "f")
    assert plain(tree) == {"a": "1", "b": "2"}
    assert [finding.line() for finding in findings] == [
        "f:3:1: error[repeated-key]: the key 'a' is written twice; the first is on line 1"
    ]


def test_at_most_a_hundred_repeated_keys_are_told() -> None:
    assert len(read_tree("a: 1\n" * 500, "f")[1]) == 100


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("a: &x 1", "f:1:4: error[anchor]: the anchor &x is refused; remove it"),
        ("a: *x", "f:1:4: error[alias]: the alias *x is refused; write the value out again"),
        ("a: !!int 5", "f:1:4: error[tag]: the tag tag:yaml.org,2002:int is refused; remove it"),
        ("a: ! 5", "f:1:4: error[tag]: the tag ! is refused; remove it"),
        ("a: 1\n---\nb: 2\n", "f:2:1: error[several-documents]: a file holds one document; remove the `---`"),
        ("? [a]\n: b", "f:1:3: error[key-not-text]: a key must be text"),
        ("a: [b", "f:2:1: error[yaml-syntax]: this is not YAML: "
                 "while parsing a flow sequence did not find expected ',' or ']'"),
        ("é: 1\né: \x07", "f:2:4: error[yaml-syntax]: this is not YAML: control characters are not allowed"),
        ("é: 1\né: \udc80", "f:2:4: error[not-utf-8]: half a character stands here"),
    ],
)  # fmt: skip
def test_what_is_more_than_text_is_refused_with_its_place(text: str, line: str) -> None:
    assert refusal(text) == line


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("a: b: c", "put a text that holds a colon in quotes"),
        ("a: {b} c\n", "put a whole text that begins with a bracket or a quote in quotes"),
        ("a: 'b' c\n", "put a whole text that begins with a bracket or a quote in quotes"),
        ("a: @b", "put a text that begins with a sign in quotes"),
        ("a: `b`", "put a text that begins with a sign in quotes"),
    ],
)
def test_a_text_that_needs_quotes_is_told_so(text: str, hint: str) -> None:
    assert refusal(text).endswith(f"; {hint}")


def test_deep_nesting_is_refused() -> None:
    fits = "[" * MAX_DEPTH + "]" * MAX_DEPTH
    assert plain(read_tree(fits, "f")[0]) is not None
    assert refusal(f"[{fits}]") == f"f:1:{MAX_DEPTH + 1}: error[too-deep]: nested more than 64 levels deep"
    assert "[yaml-syntax]" in refusal("[" * 500_000)


def test_a_file_of_too_many_values_is_refused() -> None:
    # Every line is two nodes, and the mapping itself is one.
    fits = "".join(f"k{n}: 1\n" for n in range((MAX_NODES - 1) // 2))
    assert isinstance(read_tree(fits, "f")[0], Mapping)
    assert "[file-too-large]: the file holds more than 40000 keys and values" in refusal(fits + "a: 1\n")


def test_a_file_is_read_without_its_byte_order_mark(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_bytes(b"\xef\xbb\xbfa: 1\n")
    assert read_text(path) == "a: 1\n"


@pytest.mark.parametrize(
    ("raw", "line"),
    [
        (b"a" * (MAX_BYTES + 1), "f:1:1: error[file-too-large]: the file is larger than 1 MiB"),
        (b"note: ok\nnote: caf\xe9\n", "f:2:10: error[not-utf-8]: byte 0xe9 is not UTF-8; save the file as UTF-8"),
    ],
)  # fmt: skip
def test_bytes_that_are_no_text_are_refused(raw: bytes, line: str) -> None:
    with pytest.raises(UnreadableFile) as caught:
        decode(raw, "f")
    assert caught.value.finding.line() == line
    assert decode(b"a" * MAX_BYTES, "f") == "a" * MAX_BYTES


def test_a_path_that_is_no_readable_file_is_refused(tmp_path: Path) -> None:
    for path, code in (
        (tmp_path, "not-a-file"),
        (tmp_path / "none.yaml", "no-such-file"),
        (tmp_path / ("x" * 300), "unreadable-file"),
    ):
        with pytest.raises(UnreadableFile) as caught:
            read_text(path, "shown")
        assert caught.value.finding.code == code
        assert caught.value.finding.at == Position("shown")
