"""The keys of every kind of knowledge file as a page of Markdown, made from the models that read the files."""

from __future__ import annotations

from collections.abc import Iterator
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic.fields import FieldInfo

from sideplate_engine.file_models import (
    Because,
    CautionEntry,
    Citation,
    DenyListFile,
    FileModel,
    FormulaFile,
    FormulaResult,
    FormulaSymbol,
    Ignored,
    JobSheetFile,
    PartEntry,
    ProcedureFile,
    ProcedureStep,
    RuleExample,
    RuleFile,
    SourceEntry,
    TableColumn,
    TableFile,
    TableRowExtras,
    TopicEntry,
    VocabularyEntry,
    WorkedCase,
)
from sideplate_engine.schemas.key_meanings import KEY_MEANINGS

FILES: tuple[tuple[str, str, tuple[type[FileModel], ...]], ...] = (
    ("Vocabulary", "vocabulary/<subject>.yaml: a mapping of facts", (VocabularyEntry,)),
    ("Rules", "rules/<topic>/<id>.yaml", (RuleFile, Because, RuleExample, Citation, Ignored)),
    ("Tables", "tables/<id>.yaml", (TableFile, TableColumn, TableRowExtras)),
    ("Formulas", "formulas/<id>.yaml", (FormulaFile, FormulaSymbol, FormulaResult, WorkedCase)),
    ("Procedures", "procedures/<id>.yaml", (ProcedureFile, ProcedureStep)),
    ("Sources", "sources.yaml: a mapping of works", (SourceEntry,)),
    ("Cautions", "cautions.yaml: a mapping of hazards", (CautionEntry,)),
    ("Topics", "topics.yaml: a mapping of topics, in teaching order", (TopicEntry,)),
    ("Parts of a job", "parts.yaml: a mapping of parts", (PartEntry,)),
    ("Names that are not to appear", "deny-list.yaml", (DenyListFile,)),
    ("Job sheets", "workshop/jobs/<id>.yaml: also what `sideplate judge` reads", (JobSheetFile,)),
)
"""The kinds of file: heading, place, and the models of what stands in them."""

INTRODUCTION = """\
# The keys of the knowledge files

Made from the models that read the files; a test fails when this page is not what they say.
[The knowledge files](../how-to/knowledge-files.md) explains how the keys work together, with examples.
A key that is not listed is refused. *needed* means that the file is refused without it.
"""


def key_reference() -> str:
    """The whole page."""
    return "\n".join(_lines())


def _lines() -> Iterator[str]:
    yield INTRODUCTION
    for heading, place, models in FILES:
        yield f"## {heading}"
        yield ""
        path, _, what = place.partition(": ")
        yield f"`{path}`" + (f": {what}." if what else ".")
        yield ""
        for number, model in enumerate(models):
            if number:
                yield f"### {_name(model)}"
                yield ""
            yield (model.__doc__ or "").strip().splitlines()[0]
            yield ""
            yield from _table(model)
            yield ""


def _table(model: type[FileModel]) -> Iterator[str]:
    yield "| key | holds | | what for |"
    yield "| --- | --- | --- | --- |"
    for name, field in model.model_fields.items():
        key = field.alias or name
        needed = "needed" if field.is_required() else _default(field)
        yield f"| `{key}` | {_in_words(field.annotation)} | {needed} | {KEY_MEANINGS[model.__name__][key]} |"


def _default(field: FieldInfo) -> str:
    return "" if field.default in (None, [], {}) else f"else `{field.default}`"


def _name(model: type[FileModel]) -> str:
    """The model's name as words: `RuleExample` is `Rule example`."""
    words = "".join(f" {letter.lower()}" if letter.isupper() else letter for letter in model.__name__)
    return words.strip().capitalize()


def _in_words(annotation: Any) -> str:
    """What may stand under a key."""
    if annotation is Any:
        return "anything"
    if isinstance(annotation, type) and issubclass(annotation, FileModel):
        return f"a mapping: {_name(annotation).lower()}"
    origin, arguments = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _in_words(arguments[0])
    if origin is Literal:
        return " \\| ".join(str(word) for word in arguments)
    if origin in (Union, UnionType):
        return " or ".join(dict.fromkeys(_in_words(each) for each in arguments if each is not NoneType))
    if origin is list:
        return f"a list, each {_in_words(arguments[0])}"
    if origin is dict:
        what = _in_words(arguments[1])
        return "a mapping" if what == "anything" else f"a mapping of names, each {what}"
    return "text"
