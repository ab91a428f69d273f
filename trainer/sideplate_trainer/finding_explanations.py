"""What the codes of findings mean: the engine's, and those of the trainer's own checks."""

from __future__ import annotations

from sideplate_engine.explanations.explanation import Explanation
from sideplate_engine.finding_codes import explanations

PRACTICE = {
    "no-situation": Explanation(
        "No situation can be built for a rule",
        "Practice questions come from job sheets that the program makes up so that the rule fires and stands. For "
        "this rule it found none: the message says what stood in the way. The rule judges all the same, but nobody "
        "can be asked about it. Look for conditions that are hardly ever met together, for a rule that overrides "
        "this one nearly everywhere, or for values that cannot be written down exactly. An example in which it "
        "fires is tried first.",
    ),
    "workshop": Explanation(
        "A file of the workshop is not as it should be",
        "people.yaml, machines.yaml and never.yaml describe the invented workshop that practice stories are set in. "
        "The message says what shape is needed; the files themselves begin with a word on each.",
    ),
}
"""What the trainer's own findings mean."""


def every_explanation() -> dict[str, Explanation]:
    """The explanation of each code that a finding can carry, in the order of the codes."""
    return dict(sorted((dict(explanations()) | PRACTICE).items()))
