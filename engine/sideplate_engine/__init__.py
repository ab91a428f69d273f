"""Job sheet to judgement: rules on a roller-chain final drive, with reasons, numbers and sources.

>>> from sideplate_engine import Judge, load, read_sheet
>>> knowledge = load().sound()
>>> sheet = read_sheet("facts: {chain.size: 520}", "a sheet", knowledge.facts)
>>> Judge(knowledge).judge(sheet.facts).facts["chain.pitch"]
15.875
"""

from sideplate_engine.findings import Finding, Position, Severity
from sideplate_engine.job_sheet import (
    JobSheet,
    UnreadableSheet,
    read_sheet,
    read_sheet_bytes,
    read_sheet_file,
)
from sideplate_engine.judgement import Judgement, Ruling
from sideplate_engine.judgement_json import judgement_as_data
from sideplate_engine.judging import Judge
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.knowledge_folders import built_in_folder
from sideplate_engine.loading import BrokenKnowledge, Loaded, load

__all__ = [
    "BrokenKnowledge",
    "Finding",
    "JobSheet",
    "Judge",
    "Judgement",
    "KnowledgeBase",
    "Loaded",
    "Position",
    "Ruling",
    "Severity",
    "UnreadableSheet",
    "built_in_folder",
    "judgement_as_data",
    "load",
    "read_sheet",
    "read_sheet_bytes",
    "read_sheet_file",
]
