"""What a typed line means in a round: a letter is a command, Enter goes on, and anything else is an answer."""

from __future__ import annotations

from enum import Enum


class Command(Enum):
    """The letters of a round, each with what it does."""

    HELP = "?"
    HINT = "h"
    WHY = "w"
    SOURCE = "s"
    UNSURE = "u"
    BACK = "b"
    LEAVE = "q"


GO_ON = ""
"""The line of a bare Enter."""

BEFORE = "digits answer   ? help   h hint   u unsure   q leave"
BEFORE_NUMBER = "number and unit   ? help   h hint   u unsure   q leave"
BEFORE_ORDER = "order by numbers   ? help   h hint   u unsure   q leave"
MEETING = "Enter your question   ? help   q leave"
HELD = "Enter I am sure   u I am unsure   b take it back   q leave"
AFTER = "Enter next   w longer why   s source   q leave"

WITHOUT_HINTS = "   h hint"
"""What is left out of these in an exam."""

KEYS = (
    "A digit, or the words of a choice, answers; a number is typed with its unit. Enter confirms.",
    "Steps are put in order by their numbers, first to last, such as 3 1 2; c a b means the same.",
    "? tells these keys.",
    "h gives a hint, one step of the proof at a time; an answer after a hint counts as helped.",
    "u says that you are unsure of the answer: before it, or in place of Enter after it.",
    "b takes the answer back, until the ruling is shown.",
    "w tells the whole proof, once the ruling is shown.",
    "s tells the source, once the ruling is shown.",
    "q leaves the round; what was answered is kept.",
)


def keys_for(*, exam: bool) -> tuple[str, ...]:
    """What every key does; in an exam those that tell something before the end are left out."""
    return tuple(line for line in KEYS if not exam or line[:2] not in ("h ", "w ", "s "))


def command_in(line: str) -> Command | None:
    """The command that a line is, or None."""
    typed = line.strip().lower()
    return next((command for command in Command if command.value == typed), None)
