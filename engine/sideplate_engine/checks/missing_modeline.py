"""Knowledge files without the line that tells an editor their schema."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine.check_context import CheckContext
from sideplate_engine.findings import Finding, Position, Severity
from sideplate_engine.knowledge_folders import shown
from sideplate_engine.modelines import expected_modeline

CODE = "missing-modeline"
TITLE = "A file does not name its schema"
EXPLANATION = (
    "The first line of each knowledge file names the JSON Schema of its kind, so that an editor completes keys and "
    "fact names, explains them and marks slips as they are typed. This file has no such line, or one that points "
    "elsewhere. Copy the line from the message to the top of the file. Only folders with a `schema/` of their own "
    "are held to this; `sideplate schema` writes one."
)


def check(context: CheckContext) -> Iterator[Finding]:
    """Each file of a folder with schemas whose first line is another."""
    for folder in context.folders:
        if not (folder / "schema").is_dir():
            continue
        for path in sorted(folder.rglob("*.yaml")):
            wanted = expected_modeline(path.relative_to(folder))
            if wanted is None:
                continue
            text = context.text_of(path)
            if text is not None and text.split("\n", 1)[0].strip() != wanted:
                message = f"the first line is not `{wanted}`"
                yield Finding(CODE, message, Position(shown(path)), Severity.WARNING)
