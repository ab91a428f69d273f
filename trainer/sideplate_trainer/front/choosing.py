"""Which front end suits where the program runs."""

from __future__ import annotations

import os
import sys

from sideplate_trainer.front.face import Face


def face_for(plain: bool) -> Face:
    """The prompt on a terminal; plain lines over a pipe, on a dumb terminal, and where they are asked for."""
    at_terminal = sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM") != "dumb"
    if plain or not at_terminal:
        from sideplate_trainer.front.plain import PlainFace

        return PlainFace()
    from sideplate_trainer.front.prompted import PromptedFace

    return PromptedFace()
