"""Addresses: each thing has one, and a link to what is not there cannot be made."""

from __future__ import annotations

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_site.addresses import Addresses, NoSuchPage, anchor, relative


def test_a_link_to_what_is_not_there_cannot_be_made(knowledge: KnowledgeBase) -> None:
    at = Addresses(knowledge)
    for make in (
        at.rule,
        at.fact,
        at.formula,
        at.procedure,
        at.table,
        at.topic,
        at.source,
        at.caution,
        at.subject,
    ):
        with pytest.raises(NoSuchPage, match="no-such-thing"):
            make("no-such-thing")


@pytest.mark.parametrize(
    ("target", "page", "way"),
    [
        ("rules/a.html", "rules/b.html", "a.html"),
        ("facts/chain.pitch.html", "rules/b.html", "../facts/chain.pitch.html"),
        ("sources.html#x", "rules/b.html", "../sources.html#x"),
        ("rules/a.html", "index.html", "rules/a.html"),
        ("sources.html#x", "sources.html", "#x"),
    ],
)
def test_the_way_from_page_to_page_is_relative(target: str, page: str, way: str) -> None:
    assert relative(target, page) == way


@pytest.mark.parametrize(
    ("text", "made"),
    [("half a tooth or more", "half-a-tooth-or-more"), ("ISO 606", "iso-606"), ("—", "nothing")],
)
def test_anchors_are_made_of_words(text: str, made: str) -> None:
    assert anchor(text) == made
