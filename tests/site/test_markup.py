"""HTML and pages as text: what is put in is escaped once, and Markdown takes nothing for its own."""

from __future__ import annotations

# The theme's dependency Markdown ships no type information; the test reads back what MkDocs will make of a page.
from markdown import markdown  # type: ignore[import-untyped]

from sideplate_site.markup import EMPTY, Html, definitions, el, joined, listing, paragraph
from sideplate_site.page import Page, Section, plain_markdown


def test_plain_text_is_escaped_and_html_is_not() -> None:
    assert el("p", "5 < 6 & 7", el("b", "x")) == "<p>5 &lt; 6 &amp; 7<b>x</b></p>"


def test_attributes_are_escaped_and_named_as_html_names_them() -> None:
    made = el("a", "x", href='?a="1"&b', class_="c", aria_label="d", hidden=True, id=None, title=False)
    assert made == '<a href="?a=&quot;1&quot;&amp;b" class="c" aria-label="d" hidden>x</a>'


def test_an_element_without_content_has_no_end() -> None:
    assert el("br") == "<br>"


def test_lists_paragraphs_and_definitions_of_nothing_are_nothing() -> None:
    assert listing([]) == paragraph("") == definitions([("Term", "")]) == EMPTY


def test_pieces_are_joined_and_escaped() -> None:
    assert joined(["a<", Html("<i>b</i>")], ", ") == "a&lt;, <i>b</i>"


def test_a_heading_keeps_every_sign_through_markdown() -> None:
    text = "2*C_1 [x](y) `z` <b> #1 {#a} & ~"
    shown = markdown(f"## {plain_markdown(text)}", extensions=["attr_list"])
    assert shown == "<h2>2*C_1 [x](y) `z` &lt;b&gt; #1 {#a} &amp; ~</h2>"


def test_a_page_keeps_its_html_through_markdown_even_with_blank_lines_and_stars() -> None:
    body = Html("<p>a * b * c</p>\n\n<p>_d_ and **e**</p>")
    page = Page("a/b.html", "A title", sections=(Section("Heading", "here", body),))
    front, _, text = page.text().partition("---\n\n")
    shown = markdown(text, extensions=["attr_list"])
    assert front.startswith('---\ntitle: "A title"\n')
    assert '<h2 id="here">Heading</h2>' in shown
    assert "<p>a * b * c</p>" in shown
    assert "<p>_d_ and **e**</p>" in shown


def test_a_section_with_nothing_in_it_has_no_heading() -> None:
    assert "Empty" not in Page("a.html", "A", sections=(Section("Empty", "empty", EMPTY),)).text()
