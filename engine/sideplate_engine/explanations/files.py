"""Findings about a file as a whole, and about YAML."""

from __future__ import annotations

from sideplate_engine.explanations.explanation import Explanation

EXPLAINED = {
    "no-such-folder": Explanation(
        "There is no such folder",
        "The knowledge folder that was named is not there, so nothing was read from it. Check the path after "
        "`--knowledge`, in SIDEPLATE_KNOWLEDGE or on the command line; a relative path starts where the command runs.",
    ),
    "no-such-file": Explanation(
        "There is no such file",
        "The file that was named is not there. Check its name and where you are; a relative path starts where the "
        "command runs. To judge what another program writes, give `-` and send it over a pipe.",
    ),
    "not-a-file": Explanation(
        "This is not a file",
        "A folder, a pipe or a device was named where a file is needed. Name the YAML file itself.",
    ),
    "unreadable-file": Explanation(
        "The file cannot be read",
        "The system refuses to hand the file over; the message says why. Most often its permissions are those of "
        "another person.",
    ),
    "file-too-large": Explanation(
        "The file is too large",
        "No file that a person writes comes near a mebibyte, or forty thousand keys and values. So a larger one is "
        "refused unread: it was made by mistake, or to do harm. Split it if it is real.",
    ),
    "not-utf-8": Explanation(
        "The file is not UTF-8 text",
        "All files are text in UTF-8. The byte named in the message cannot stand there. The editor saved the file in "
        "another encoding, or it is no text at all. Save it again as UTF-8.",
    ),
    "yaml-syntax": Explanation(
        "This is not YAML",
        "The text cannot be read as YAML from this place on. The slip is often just before it: a bracket or quote "
        "that is not closed, a tab where spaces belong, a line that is indented more or less than its neighbours, or "
        "a colon followed by a space inside a text, which then needs quotes round it.",
    ),
    "several-documents": Explanation(
        "The file holds several documents",
        "A line of three hyphens begins a new YAML document, and only one is read. Remove the line, or move what "
        "follows into a file of its own.",
    ),
    "anchor": Explanation(
        "Anchors are refused",
        "`&name` before a value marks it for being used again elsewhere. Knowledge files do without: each says what "
        "it says where it stands, and no small file can grow large when read. Take the anchor away.",
    ),
    "alias": Explanation(
        "Aliases are refused",
        "`*name` stands for a value written elsewhere. Knowledge files do without: write the value out again. A text "
        "that begins with an asterisk needs quotes.",
    ),
    "tag": Explanation(
        "Tags are refused",
        "An exclamation mark before a value tells YAML to build something special from it. Here every value is text "
        "and the vocabulary says what it means. Take the tag away; a text that begins with an exclamation mark needs "
        "quotes.",
    ),
    "too-deep": Explanation(
        "Nested too deeply",
        "Mappings and lists stand inside each other deeper than any knowledge file needs. Look for brackets that are "
        "opened and never closed; conditions that need many levels of `any` are better written as several rules.",
    ),
    "key-not-text": Explanation(
        "A key is not text",
        "What stands before the colon is itself a list or a mapping. Often a `?` or a bracket begins the line. Keys "
        "are plain words.",
    ),
    "repeated-key": Explanation(
        "A key is written twice",
        "One mapping has the same key twice. Plain YAML would keep one of the two without a word, so it is refused. "
        "Keep the one that is meant, or put both tests under one key: `{above: 1 %, below: 2 %}`.",
    ),
    "empty": Explanation(
        "Nothing is written here",
        "The file or the key is there, but holds nothing, or fewer entries than it needs. Fill it in or take it away.",
    ),
    "file-name": Explanation(
        "The file lies where it is not read, or has the wrong ending",
        "Knowledge files end in `.yaml`, rules lie in the folder of their topic, and the other folders have no "
        "folders inside them. This file would silently not count, so rename or move it.",
    ),
    "id-differs-from-file": Explanation(
        "The id is not the file's name",
        "A rule, table, formula or procedure is found by its file, so its id is the file's name without `.yaml`. "
        "Change the one that is wrong. A rule's id never changes once it has been in use: learners' records go by it.",
    ),
    "too-many-findings": Explanation(
        "There is too much to tell",
        "More than a hundred things are wrong in one place. It is probably not the kind of file it is taken for, or "
        "one slip at the top has made the rest meaningless. Put the first findings right and check again.",
    ),
}
