"""HTML as text that is known to be safe: plain strings are escaped when they are put in, `Html` is not."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

VOID = frozenset({"br", "hr", "img", "input", "link", "meta"})


class Html(str):
    """Text that is HTML already."""

    __slots__ = ()


EMPTY = Html("")


def html(text: str) -> Html:
    """Text as HTML: escaped, unless it is HTML already."""
    return text if isinstance(text, Html) else Html(escape(text, quote=False))


def joined(parts: Iterable[str], between: str = "") -> Html:
    """Pieces one after another; plain ones are escaped."""
    return Html(html(between).join(html(part) for part in parts))


def el(name: str, /, *children: str, **attributes: str | bool | None) -> Html:
    """An element. `class_` and `for_` lose their underscore, other underscores become hyphens.

    True makes an attribute without a value; False, None and an empty class leave it out.
    """
    written = "".join(_attribute(key, value) for key, value in attributes.items())
    if name in VOID:
        return Html(f"<{name}{written}>")
    return Html(f"<{name}{written}>{joined(children)}</{name}>")


def _attribute(key: str, value: str | bool | None) -> str:
    name = key.rstrip("_").replace("_", "-")
    if value is None or value is False or (name == "class" and value == ""):
        return ""
    return f" {name}" if value is True else f' {name}="{escape(str(value))}"'


def listing(items: Iterable[str], ordered: bool = False, class_: str = "") -> Html:
    """A list of its items; nothing when there are none."""
    entries = [el("li", item) for item in items]
    return el("ol" if ordered else "ul", *entries, class_=class_) if entries else EMPTY


def paragraph(*children: str, class_: str = "") -> Html:
    """A paragraph; nothing when nothing is in it."""
    inside = joined(children)
    return el("p", inside, class_=class_) if inside.strip() else EMPTY


def definitions(pairs: Iterable[tuple[str, str]], class_: str = "sp-facts") -> Html:
    """A list of terms with what belongs to each; pairs whose second half is empty are left out."""
    entries = [el("div", el("dt", term), el("dd", meaning)) for term, meaning in pairs if meaning]
    return el("dl", *entries, class_=class_) if entries else EMPTY


def table(
    heads: Iterable[str],
    rows: Iterable[Html],
    caption: str = "",
    class_: str = "",
    label: str = "",
) -> Html:
    """A table in a region of its own that scrolls sideways, also by keyboard, where it is wider than the page."""
    head = el("thead", el("tr", *(el("th", each, scope="col") for each in heads)))
    titled = el("caption", caption) if caption else EMPTY
    inside = el("table", titled, head, el("tbody", *rows), class_=f"sp-table {class_}".strip())
    return scrolling(inside, label or caption or "Table")


def scrolling(inside: Html, label: str) -> Html:
    """What may be wider than the page, in a region that scrolls by itself, also by keyboard."""
    return el("div", inside, class_="sp-scroll", role="region", aria_label=label, tabindex="0")


def capital(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]
