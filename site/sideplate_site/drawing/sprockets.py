"""Sprockets for a size of chain: its figures and the formulas of the knowledge make their teeth."""

from __future__ import annotations

from sideplate_engine import KnowledgeBase
from sideplate_site.drawing.figures import cells, computed
from sideplate_site.drawing.tooth_form import ToothForm

SIZE = "520"
"""The size that pictures draw where any would do."""


def tooth_form(knowledge: KnowledgeBase, teeth: int, size: str = SIZE) -> ToothForm:
    """The teeth of a sprocket, in millimetres. Raises NotInKnowledge."""
    pitch, roller = cells(knowledge, "sizes", size, "pitch", "roller_diameter")
    return ToothForm(
        pitch,
        roller,
        teeth,
        computed(knowledge, "pitch-diameter", p=pitch, N=teeth),
        computed(knowledge, "outside-diameter-hob-cut", p=pitch, N=teeth),
    )
