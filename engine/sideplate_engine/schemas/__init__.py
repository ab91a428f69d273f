"""JSON Schemas of the knowledge files, by which an editor completes, explains and marks what is written.

They are made from the file models and from one knowledge base: its facts with their choices and meanings, its
sources, cautions, subjects, rules. They say no more than an editor can use; `sideplate check` remains the judge.
"""

from __future__ import annotations

import json
from collections.abc import Mapping

from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.schemas.fact_schemas import FACTS, fact_definitions
from sideplate_engine.schemas.file_schemas import file_schemas
from sideplate_engine.schemas.json_schema import DRAFT, Schema


def schemas_of(knowledge: KnowledgeBase) -> dict[str, Schema]:
    """The schema of each kind of file, and of what they share about facts, by name."""
    facts: Schema = {
        "$schema": DRAFT,
        "title": "Facts of the knowledge base",
        "description": "What the schemas beside this one share. It is not the schema of any file.",
        "definitions": fact_definitions(knowledge),
    }
    return {FACTS: facts, **file_schemas(knowledge)}


def as_text(schema: Schema) -> str:
    """A schema as its file holds it."""
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


def texts_of(knowledge: KnowledgeBase) -> Mapping[str, str]:
    """The text of every schema file, by its name without `.json`."""
    return {name: as_text(schema) for name, schema in schemas_of(knowledge).items()}
