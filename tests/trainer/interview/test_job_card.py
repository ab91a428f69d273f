"""The job card: everything a customer needs, in words and on a page that stands alone."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest

from sideplate_engine import Judge, Judgement
from sideplate_trainer.job_card import HEADINGS, MEANING, card_lines, job_card
from sideplate_trainer.job_card_page import card_page
from support.built_in import judge
from support.small_knowledge import JudgeWith, given, rule

RENEWAL = (
    "chain.size: 520, front_sprocket.teeth: 15, rear_sprocket.teeth: 45, drive.centre_distance: 620 mm, "
    "chain.sealing: sealed, chain.code: VX3, connector.code: VX2, clean.tools: [wire brush]"
)


@pytest.fixture(scope="module")
def renewal() -> Judgement:
    return judge().judge(given(judge(), RENEWAL), "Renewal")


def test_the_card_says_what_was_said_what_follows_and_where_from(renewal: Judgement) -> None:
    text = "\n".join(card_lines(job_card(renewal), 88))
    for part in (
        "Renewal\n=======\n\nSTOP. Something here must not be done as it is planned.\n\nDo not do this\n",
        "* Do not fit connecting link VX2 to chain VX3. [",
        "  Instead     ",
        "  Because     ",
        "\nWhat was worked out\n",
        "\nWhat was said\n-------------\n",
        "\nSources\n-------\n  [1] ",
    ):
        assert part in text, part
    assert text.endswith(" ".join(renewal.defer.split()[-4:]))


def test_every_ruling_is_on_the_card_under_the_heading_of_its_force(renewal: Judgement) -> None:
    card = job_card(renewal)
    told = {ruling.says: heading for heading, rulings in card.sections for ruling in rulings}
    assert told == {ruling.says: HEADINGS[ruling.force] for ruling in renewal.rulings}


def test_every_number_in_brackets_leads_to_a_source(renewal: Judgement) -> None:
    card = job_card(renewal)
    for ruling, (_, on_card) in zip(
        renewal.rulings, [(h, r) for h, rulings in card.sections for r in rulings], strict=True
    ):
        assert tuple(card.sources[number - 1] for number in on_card.sources) == ruling.sources


def test_a_narrow_card_keeps_to_its_width(renewal: Judgement) -> None:
    assert max(map(len, card_lines(job_card(renewal), 40))) <= 40


def test_conflicts_and_unusual_values_are_to_be_looked_at_again() -> None:
    found = judge().judge(given(judge(), "chain.size: 520, chain.pitch: 12.7 mm"), warnings=["Odd."])
    card = job_card(found)
    assert any("chain.pitch" in sentence for sentence in card.look_again)
    assert "Odd." in card.look_again
    assert MEANING[found.standing] == card.meaning


class Page(HTMLParser):
    """The tags of a page, which must close as they open, and its text."""

    VOID = frozenset({"meta"})

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: list[str] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append(tag)
        assert not {name for name, _ in attrs} & {"src", "href", "onclick"}
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text += data


def parsed(page: str) -> Page:
    parser = Page()
    parser.feed(page)
    parser.close()
    assert parser.open == []
    return parser


def test_the_page_stands_alone_and_says_what_the_text_says(renewal: Judgement) -> None:
    page = card_page(job_card(renewal))
    parser = parsed(page)
    assert "script" not in parser.seen
    assert "@media print" in page
    assert "://" not in page
    for ruling in renewal.rulings:
        for said in (ruling.says, ruling.instead, ruling.because, ruling.if_ignored):
            assert said in parser.text


def test_what_people_typed_is_text_on_the_page_and_nothing_else(judge_of: JudgeWith) -> None:
    small: Judge = judge_of(rule("it", when="bolt.size: known", says="Look at {bolt.size}."))
    found = small.judge({"bolt.size": "<B>&\"'"}, "<script>alert(1)</script>")
    page = card_page(job_card(found))
    parser = parsed(page)
    assert "script" not in parser.seen
    assert "b" not in parser.seen
    assert "Look at <B>&\"'." in parser.text
    assert "<script>alert(1)</script>" in parser.text
