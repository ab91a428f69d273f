"""The shapes of the knowledge files: which keys each may hold, and what may stand under them.

These models check shape only; what the texts mean (facts, units, conditions) is read by the modules that own it.
The JSON Schema that editors complete from is generated from them.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Discriminator, Field, StringConstraints, Tag

IDENTIFIER = r"^[a-z0-9]+(-[a-z0-9]+)*$"
DECIMALS = r"^[0-6]$"

Words = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1)]
Identifier = Annotated[str, StringConstraints(pattern=IDENTIFIER)]
YesNo = Literal["yes", "no"]
Basis = Literal["standard", "handbook", "paper", "practice", "memory"]
Force = Literal["must", "must not", "should", "should not", "may"]
Kind = Literal["quantity", "count", "choice", "flag", "code"]
SourceKind = Literal[
    "standard",
    "handbook",
    "textbook",
    "paper",
    "regulation",
    "manual",
    "catalogue",
    "own",
    "practice",
    "memory",
]


def _text_or_mapping(value: object) -> str:
    return "mapping" if isinstance(value, dict) else "text"


Sentences = Annotated[
    Annotated[Words, Tag("text")] | Annotated[dict[YesNo, Words], Tag("mapping")],
    Discriminator(_text_or_mapping),
]
"""One sentence, or one for yes and one for no."""


class FileModel(BaseModel):
    """A mapping in a file: unlisted keys are refused, and nothing changes after reading.

    A model is built when the first file is read into it: knowledge that was kept ready needs none of them.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


class Citation(FileModel):
    """One source, and the place in it."""

    work: Words
    at: Words | None = None


class VocabularyEntry(FileModel):
    """One fact that a job sheet can state or a rule can derive."""

    kind: Kind
    means: Words
    ask: Words | None = None
    says: Sentences | None = None
    observe: Words | None = None
    unit: Words | None = None
    possible: Annotated[list[Words], Field(min_length=2, max_length=2)] | None = None
    usual: Annotated[list[Words], Field(min_length=2, max_length=2)] | None = None
    decimals: Annotated[str, StringConstraints(pattern=DECIMALS)] | None = None
    agree: Words | None = None
    choices: Annotated[dict[Words, Words], Field(min_length=2)] | None = None
    many: YesNo = "no"
    given: YesNo = "yes"
    complete: YesNo = "no"
    intermediate: YesNo = "no"
    background: YesNo = "no"
    synonyms: list[Words] = []


class Because(FileModel):
    """Why a rule is right: the physical cause, and what kind of reason it is."""

    kind: Literal["definition", "cause", "measurement", "standard", "practice", "safety"]
    text: Words


class RuleExample(FileModel):
    """Facts, and what the rule must make of them."""

    name: Words
    given: dict[Words, Any]
    expect: Literal["fires", "quiet", "open", "excepted", "overridden"]
    missing: list[Words] = []
    derives: dict[Words, Any] = {}
    todo: YesNo = "no"


class Ignored(FileModel):
    """A finding that the author knows of and accepts, with the reason."""

    check: Words
    because: Words


class RuleFile(FileModel):
    """One rule."""

    id: Identifier
    title: Words
    status: Literal["draft", "checked", "retired"]
    when: dict[Words, Any] = {}
    unless: dict[Words, Any] = {}
    derive: dict[Words, Any] = {}
    ruling: Force | None = None
    about: Words | None = None
    says: Words
    instead: Words | None = None
    because: Because
    if_ignored: Words | None = None
    sources: Annotated[list[Citation], Field(min_length=1)]
    caution: Words | None = None
    overrides: list[Words] = []
    replaces: Words | None = None
    family: Words | None = None
    since: Words | None = None
    ignore: list[Ignored] = []
    examples: Annotated[list[RuleExample], Field(min_length=1, max_length=200)]


class TableColumn(FileModel):
    """What a column of a table holds."""

    kind: Literal["quantity", "count", "choice", "flag", "code", "text"]
    means: Words
    unit: Words | None = None
    choices: dict[Words, Words] | None = None


class TableFile(FileModel):
    """A table: rows found by one key column, each with its sources."""

    id: Identifier
    title: Words
    note: Words | None = None
    reference: YesNo = "no"
    key: Words
    columns: Annotated[dict[Words, TableColumn], Field(min_length=1)]
    rows: Annotated[list[dict[Words, Any]], Field(min_length=1)]


class TableRowExtras(FileModel):
    """What a row holds beside its cells."""

    sources: Annotated[list[Citation], Field(min_length=1)]
    basis: Basis
    from_memory: list[Words] = []


class FormulaSymbol(FileModel):
    """A symbol of a formula: a fact, or a value of a unit that no fact holds."""

    fact: Words | None = None
    unit: Words | None = None
    means: Words


class FormulaResult(FileModel):
    """What a formula gives."""

    fact: Words | None = None
    unit: Words | None = None
    means: Words | None = None


class WorkedCase(FileModel):
    """A published (or computed) case of a formula, with its numbers."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True, defer_build=True)

    name: Words
    symbols: Annotated[dict[Words, Words], Field(alias="with")]
    gives: Words
    within: Words
    sources: Annotated[list[Citation], Field(min_length=1)]
    note: Words | None = None


class FormulaFile(FileModel):
    """A formula: symbols, expression (or a function of the geometry module), source, worked cases."""

    id: Identifier
    title: Words
    symbols: Annotated[dict[Words, FormulaSymbol], Field(min_length=1)]
    expression: Words | None = None
    function: Words | None = None
    gives: FormulaResult
    basis: Basis
    sources: Annotated[list[Citation], Field(min_length=1)]
    note: Words | None = None
    worked: list[WorkedCase] = []


class ProcedureStep(FileModel):
    """One step of a procedure, and the steps that come before it."""

    id: Identifier
    do: Words
    because: Words | None = None
    caution: Words | None = None
    after: list[Words] = []


class ProcedureFile(FileModel):
    """Ordered work."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True, defer_build=True)

    id: Identifier
    title: Words
    purpose: Annotated[Words, Field(alias="for")]
    topic: Words | None = None
    sources: Annotated[list[Citation], Field(min_length=1)]
    steps: Annotated[list[ProcedureStep], Field(min_length=2)]


class SourceEntry(FileModel):
    """A work that can be cited, and how far it was read."""

    title: Words
    kind: SourceKind
    verified: Words
    note: Words | None = None


class CautionEntry(FileModel):
    """A hazard and what to do about it."""

    hazard: Words
    do: Words


class TopicEntry(FileModel):
    """A part of the trade, in teaching order."""

    title: Words
    about: Words
    after: list[Words] = []


class PartEntry(FileModel):
    """A part of a job in the words of the trade, by which `sideplate ask` keeps to what the job touches."""

    title: Words
    facts: Annotated[list[Words], Field(min_length=1)]
    tasks: list[Words] = []
    always: YesNo = "no"


class DenyListFile(FileModel):
    """Names that must not stand in any text of the knowledge base, such as brands."""

    names: list[Words] = []


class JobSheetFile(FileModel):
    """A job sheet."""

    job: Words | None = None
    note: Words | None = None
    facts: dict[Words, Any]
