"""The text of a formula expression: its tokens, and the text again with numbers put in for the symbols."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

LONGEST = 500
"""The most characters an expression may have."""
DEEPEST = 40
"""The most brackets open at once, and the most levels of the parsed tree."""


class ExpressionError(ValueError):
    """An expression that cannot be read. `message` says why; `column` counts from 1 in the text as given."""

    def __init__(self, message: str, column: int) -> None:
        self.message = message
        self.column = column
        super().__init__(f"{message} (column {column})")


class Token(NamedTuple):
    """A piece of an expression. `kind` is number, name, sign or space; `start` counts from 0."""

    kind: str
    text: str
    start: int


_TOKEN = re.compile(
    r"(?P<number>(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]+)?(?![A-Za-z0-9_.]))"
    r"|(?P<name>[A-Za-z][A-Za-z0-9_]*)|(?P<sign>\*\*|[-+*/(),])|(?P<space>[ \t\r\n]+)"
)
_PLAIN_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)?")
_LIKE_PRODUCTS = frozenset({"*", "/", "**"})
_ARITHMETIC = _LIKE_PRODUCTS | {"+", "-"}
_OPENING = _ARITHMETIC | {"(", ","}
_SHOWN_AS = {"*": "×", "**": "^", "pi": "π"}


def tokens(text: str) -> tuple[Token, ...]:
    """The tokens of an expression, white space among them. Raises ExpressionError at a bad character."""
    if len(text) > LONGEST:
        raise ExpressionError(
            f"an expression has at most {LONGEST} characters; this one has {len(text)}", LONGEST + 1
        )
    found: list[Token] = []
    at = depth = 0
    before: Token | None = None
    while at < len(text):
        match = _TOKEN.match(text, at)
        if match is None:
            raise ExpressionError(_not_a_token(text, at), at + 1)
        token = Token(match.lastgroup or "", match.group(), at)
        depth += {"(": 1, ")": -1}.get(token.text, 0)
        if depth < 0:
            raise ExpressionError("this bracket closes nothing", at + 1)
        if depth > DEEPEST:
            raise ExpressionError(f"more than {DEEPEST} brackets are open at once", at + 1)
        if token.kind != "space":
            if complaint := _out_of_order(before, token):
                raise ExpressionError(complaint, at + 1)
            before = token
        found.append(token)
        at = match.end()
    if before and before.text in _ARITHMETIC:
        raise ExpressionError("a number is missing at the end", len(text) + 1)
    if depth:
        raise ExpressionError("a bracket is not closed", len(text) + 1)
    return tuple(found)


def _out_of_order(before: Token | None, token: Token) -> str:
    """Why `token` cannot follow `before` (None at the start); empty when it can."""
    opening = before is None or before.text in _OPENING
    if not opening and (
        token.kind in ("number", "name") or (token.text == "(" and before and before.kind != "name")
    ):
        return "a sign is missing before this; a product needs its *"
    if token.text in _ARITHMETIC and token.text != "-" and opening:
        return "a number is missing before this sign"
    if token.text in (",", ")") and before and before.text in _ARITHMETIC:
        return "a number is missing before this"
    return ""


def _not_a_token(text: str, at: int) -> str:
    character = text[at]
    if character.isdigit() or (character == "." and text[at + 1 : at + 2].isdigit()):
        return "this is not a plain number; a product needs its *, as in 2*C"
    if character == "^":
        return "^ is not a power here; write **"
    if character == ".":
        return "a symbol has no dots; give the fact a symbol of its own"
    return f"{character!r} has no place in an expression; there are + - * / ** and brackets"


def put_in(text: str, shown: Mapping[str, str]) -> str:
    """An expression with the shown numbers in place of its symbols: `2×(620 mm)/(15.875 mm)`.

    A number with a unit, a fraction or a sign is put in brackets where its neighbours would otherwise part or
    change it. A symbol that is not in `shown` stays. Raises ExpressionError.
    """
    pieces = tokens(text)
    solid = [token.text for token in pieces if token.kind != "space"]
    out: list[str] = []
    place = 0
    for token in pieces:
        if token.kind == "space":
            out.append(token.text)
            continue
        before = solid[place - 1] if place else ""
        after = solid[place + 1] if place + 1 < len(solid) else ""
        place += 1
        if token.kind == "name" and token.text in shown and after != "(":
            out.append(_in_brackets_if_needed(shown[token.text], before, after))
        else:
            out.append(_SHOWN_AS.get(token.text, token.text))
    return "".join(out)


def _in_brackets_if_needed(number: str, before: str, after: str) -> str:
    if _PLAIN_NUMBER.fullmatch(number):
        return number
    signed = number[:1] in "-−"
    apart = before in _LIKE_PRODUCTS or after in _LIKE_PRODUCTS or (signed and before in _ARITHMETIC)
    return f"({number})" if apart else number
