"""A page of the site before MkDocs has it: its address, title and sections, and the Markdown they become."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field
from html import escape

from sideplate_site.markup import EMPTY, Html

_SPECIAL = re.compile(r"([\\`*_{}\[\]()#+.!-])")


@dataclass(frozen=True, slots=True)
class Section:
    """A part of a page under a heading of its own, which its `anchor` leads to."""

    heading: str
    anchor: str
    body: Html


@dataclass(frozen=True, slots=True)
class Page:
    """One page. `address` is its place in the built site; `lead` stands above the first section.

    `markdown` is a hand-written page's text, which stands in place of all the rest.
    """

    address: str
    title: str
    lead: Html = EMPTY
    sections: tuple[Section, ...] = ()
    short_title: str = ""
    kind: str = ""
    scripts: tuple[str, ...] = ()
    markdown: str = field(default="", repr=False)

    @property
    def source(self) -> str:
        """Its file among the pages MkDocs reads."""
        return self.address.removesuffix(".html") + ".md"

    @property
    def in_menu(self) -> str:
        """Its title in the menu."""
        return self.short_title or self.title

    def text(self) -> str:
        """The Markdown that MkDocs reads. Headings are Markdown, so that they make the table of contents."""
        meta = {"title": escape(self.title, quote=False), "kind": self.kind, "scripts": list(self.scripts)}
        front = "".join(f"{key}: {json.dumps(value, ensure_ascii=False)}\n" for key, value in meta.items())
        if self.markdown:
            return f"---\n{front}---\n\n{self.markdown.strip()}\n"
        parts = [f"# {plain_markdown(self.title)}", _block(self.lead)]
        for section in self.sections:
            if section.body:
                parts += [f"## {plain_markdown(section.heading)} {{#{section.anchor}}}", _block(section.body)]
        return f"---\n{front}---\n\n" + "\n\n".join(part for part in parts if part) + "\n"


def plain_markdown(text: str) -> str:
    """Text with everything escaped that Markdown would take for its own."""
    return _SPECIAL.sub(r"\\\1", escape(" ".join(text.split()), quote=False))


def _block(inside: Html) -> str:
    # Blank lines would end the block of raw HTML in Markdown's eyes.
    solid = re.sub(r"\n\s*\n", "\n", inside)
    return f"<div>\n{solid}\n</div>" if inside else ""
