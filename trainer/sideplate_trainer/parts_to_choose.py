"""The facts of a sheet that a mechanic chooses at the counter or the bench, and what to call what is chosen."""

from __future__ import annotations

from sideplate_engine.vocabulary import Fact
from sideplate_trainer.mendings import describes_the_machine

NOUNS = {
    "chain.size": "size of chain",
    "chain.ring_material": "rubber of the rings",
    "chain.links": "number of pitches in the loop",
    "order.links": "number of pitches on the order",
    "conversion.size": "new size of chain",
    "connector.style": "style of connecting link",
    "connector.size": "size of connecting link",
    "connector.code": "code of connecting link",
    "connector.ring_section": "ring section in the connecting link",
    "connector.rings_fitted": "number of rings on the connecting link",
    "connector.rivet_tool": "riveting tool",
    "front_sprocket.size": "size of front sprocket",
    "front_sprocket.teeth": "number of front teeth",
    "rear_sprocket.size": "size of rear sprocket",
    "rear_sprocket.teeth": "number of rear teeth",
    "clean.agents": "cleaner",
    "clean.tools": "cleaning tool",
    "clean.checked_agent": "fluid",
    "lube.kind": "lubricant",
    "cut.tool": "tool for the cut",
}
"""What each is called in a question: `Which cleaner ...?`"""


def is_a_description(fact: Fact) -> bool:
    """Whether a fact tells what machine or part it is, rather than what is done with it."""
    return describes_the_machine(fact) or fact.name in NOUNS
