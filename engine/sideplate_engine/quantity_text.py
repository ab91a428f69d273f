"""A written quantity taken apart into its number and its unit.

Pint misreads a workshop's hand: it takes `1 1/2 in` as half an inch, drops the mark of `5/8"`, and never
returns from a tower of powers. So quantities have a grammar of their own: what could be misread is refused.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple

from sideplate_engine.units import QuantityError

LONGEST = 64
"""The most characters a quantity may have."""

_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_VULGAR_SIGN = re.compile("((?<=[0-9]) ?)?([" + "".join(_VULGAR) + "])")
_NUMBER_PART = re.compile(r"[-+0-9.,/ ]*")
_MIXED = re.compile(r"(?P<whole>[0-9]+)(?: |-)(?P<top>[0-9]+)/(?P<bottom>[0-9]+)")
_FRACTION = re.compile(r"(?P<top>[0-9]+)/(?P<bottom>[0-9]+)")
_DECIMAL = re.compile(r"[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+|[1-9][0-9]{0,2}(?: [0-9]{3})+(?:[.,][0-9]+)?")
_THOUSANDS_OR_DECIMALS = re.compile(r"(?P<before>[1-9][0-9 ]*),(?P<after>[0-9]{3})")
_GROUPED = re.compile(
    r"[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]+)?|[1-9][0-9]{0,2}(?:\.[0-9]{3}){2,}(?:,[0-9]+)?"
)
_EXPONENT = re.compile(r"[eE][-+]?[0-9]")


class Written(NamedTuple):
    """A quantity as written: the text with its spaces tidied, the number, and the unit (empty for none)."""

    text: str
    digits: str  # the number as written
    number: Fraction
    symbol: str  # the unit as written; empty when there is none


def take_apart(text: str) -> Written:
    """Take a written quantity apart into its number and its unit."""
    if len(text) > LONGEST:
        raise QuantityError(
            f'"{text[:20]}..." is too long for a quantity; write a number and a unit, such as 620 mm'
        )
    tidy = " ".join(text.split())
    plain = tidy.replace("\N{MINUS SIGN}", "-").replace("\N{FRACTION SLASH}", "/")
    if not plain.isascii():
        plain = _VULGAR_SIGN.sub(_spelt_out, plain)
    part = _NUMBER_PART.match(plain)
    digits = part.group().strip() if part else ""
    symbol = plain[part.end() :].strip() if part else plain
    if not digits:
        raise QuantityError(
            f'"{tidy}" does not begin with a number; write a number and a unit, such as 620 mm'
        )
    if _EXPONENT.match(symbol):
        raise QuantityError(
            f'"{tidy}" is written with a power of ten; write the number out in full, such as 12500 km'
        )
    return Written(tidy, digits, _number(tidy, digits, symbol), symbol)


def _spelt_out(sign: re.Match[str]) -> str:
    return f"{' ' if sign[1] is not None else ''}{_VULGAR[sign[2]]} "


def _number(tidy: str, digits: str, symbol: str) -> Fraction:
    sign = -1 if digits.startswith("-") else 1
    body = digits[1:].lstrip() if digits[0] in "+-" else digits
    tail = f" {symbol}" if symbol else ""
    if mixed := _MIXED.fullmatch(body):
        part = _ratio(tidy, mixed)
        if part >= 1:
            raise QuantityError(
                f'"{tidy}" has a whole number beside a fraction of one or more; write it as one fraction'
            )
        return sign * (int(mixed["whole"]) + part)
    if fraction := _FRACTION.fullmatch(body):
        return sign * _ratio(tidy, fraction)
    if ambiguous := _THOUSANDS_OR_DECIMALS.fullmatch(body):
        before, after = ambiguous["before"].replace(" ", ""), ambiguous["after"]
        one, other = f"{before}{after}", f"{before}.{after.rstrip('0') or '0'}"
        raise QuantityError(f'"{tidy}" could be read in two ways; write {one}{tail} or {other}{tail}')
    if _GROUPED.fullmatch(body):
        point = "," if body.rfind(",") > body.rfind(".") and body.count(",") == 1 else "."
        whole, _, rest = body.partition(point) if body.count(point) == 1 else (body, "", "")
        plain = re.sub(r"[.,]", "", whole) + (f".{rest}" if rest else "")
        raise QuantityError(f'"{tidy}" has its thousands marked off; write {plain}{tail}')
    if not _DECIMAL.fullmatch(body):
        raise QuantityError(
            f'"{digits}" is not one number; write a decimal or a fraction, such as 15.9 or 1 1/2'
        )
    return sign * Fraction(body.replace(" ", "").replace(",", "."))


def _ratio(tidy: str, found: re.Match[str]) -> Fraction:
    if int(found["bottom"]) == 0:
        raise QuantityError(
            f'"{tidy}" divides by zero; write the fraction with another number below the line'
        )
    return Fraction(int(found["top"]), int(found["bottom"]))
