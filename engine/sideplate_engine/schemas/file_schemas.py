"""The schema of each kind of knowledge file."""

from __future__ import annotations

from sideplate_engine import geometry
from sideplate_engine.file_models import (
    CautionEntry,
    DenyListFile,
    FormulaFile,
    JobSheetFile,
    PartEntry,
    ProcedureFile,
    RuleFile,
    SourceEntry,
    TableFile,
    TableRowExtras,
    TopicEntry,
    VocabularyEntry,
)
from sideplate_engine.finding_codes import explanations, ignorable
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.schemas.fact_schemas import about_facts
from sideplate_engine.schemas.json_schema import (
    DRAFT,
    TEXT,
    Schema,
    mapping_of,
    model_schema,
    one_of_words,
    several,
)
from sideplate_engine.units import UNITS
from sideplate_engine.vocabulary import FACT_NAME


def file_schemas(knowledge: KnowledgeBase) -> dict[str, Schema]:
    """The schemas by the names that the first lines of the files give."""
    made = {
        "rule": _rule(knowledge),
        "vocabulary": _vocabulary(),
        "table": _table(knowledge),
        "formula": _formula(knowledge),
        "procedure": _procedure(knowledge),
        "job": _job(),
        "sources": _entries(
            model_schema(SourceEntry), "Works that can be cited, by the key that cites them."
        ),
        "cautions": _entries(model_schema(CautionEntry), "Hazards and what to do about them, by key."),
        "topics": _topics(knowledge),
        "subjects": mapping_of(dict(TEXT), "What rulings are about, by key, each in a sentence."),
        "parts": _parts(knowledge),
        "deny-list": model_schema(DenyListFile),
        "people": _people(),
        "machines": _machines(),
        "never": _never(),
    }
    return {name: {"$schema": DRAFT, **schema} for name, schema in made.items()}


def _key(schema: Schema, name: str, value: Schema) -> None:
    """Puts what a key holds in place of what its model says, keeping what the key is for."""
    description = schema["properties"][name]["description"]
    schema["properties"][name] = {**value, "description": description}


def _cite(schema: Schema, knowledge: KnowledgeBase) -> None:
    works = {name: source.title for name, source in knowledge.sources.items()}
    _key(schema["definitions"]["Citation"], "work", one_of_words(works))


def _cautions(knowledge: KnowledgeBase) -> Schema:
    return one_of_words({name: caution.hazard for name, caution in knowledge.cautions.items()})


def _rule(knowledge: KnowledgeBase) -> Schema:
    schema = model_schema(RuleFile)
    _cite(schema, knowledge)
    rules = one_of_words({rule.id: rule.title for rule in knowledge.rules.values()})
    for key in ("when", "unless"):
        _key(schema, key, {"allOf": [about_facts("conditions")]})
    _key(schema, "derive", {"allOf": [about_facts("derivations")]})
    _key(schema, "caution", _cautions(knowledge))
    _key(schema, "about", one_of_words(dict(knowledge.subjects)))
    _key(schema, "overrides", several(rules))
    example = schema["definitions"]["RuleExample"]
    for key in ("given", "derives"):
        _key(example, key, {"allOf": [about_facts("given")]})
    _key(example, "missing", several(about_facts("any fact")))
    checks = {code: explanation.title for code, explanation in explanations().items() if code in ignorable()}
    _key(schema["definitions"]["Ignored"], "check", {"anyOf": [one_of_words(checks), dict(TEXT)]})
    return schema


def _unit() -> Schema:
    units = {unit.symbol: f"A unit of {unit.dimension}." for unit in UNITS.values()}
    return {"anyOf": [*one_of_words(units)["anyOf"], dict(TEXT)]}


def _vocabulary() -> Schema:
    entry = model_schema(VocabularyEntry)
    _key(entry, "unit", _unit())
    number = {"enum": list(range(7))}
    _key(entry, "decimals", {"anyOf": [number, {"type": "string", "pattern": "^[0-6]$"}]})
    return {
        "type": "object",
        "description": "Facts by name.",
        "additionalProperties": False,
        "patternProperties": {FACT_NAME.pattern: entry},
    }


def _table(knowledge: KnowledgeBase) -> Schema:
    schema = model_schema(TableFile)
    _key(schema["definitions"]["TableColumn"], "unit", _unit())
    extras = model_schema(TableRowExtras)
    schema["definitions"] |= extras.pop("definitions")
    _cite(schema, knowledge)
    row = {**extras, "additionalProperties": dict(TEXT)}
    _key(schema, "rows", several(row))
    return schema


def _formula(knowledge: KnowledgeBase) -> Schema:
    schema = model_schema(FormulaFile)
    _cite(schema, knowledge)
    for name in ("FormulaSymbol", "FormulaResult"):
        _key(schema["definitions"][name], "fact", {"allOf": [about_facts("number fact")]})
        _key(schema["definitions"][name], "unit", _unit())
    functions = {name: (each.__doc__ or "").split("\n", 1)[0] for name, each in geometry.FUNCTIONS.items()}
    _key(schema, "function", one_of_words(functions))
    return schema


def _procedure(knowledge: KnowledgeBase) -> Schema:
    schema = model_schema(ProcedureFile)
    _cite(schema, knowledge)
    _key(schema, "topic", _topic_names(knowledge))
    _key(schema["definitions"]["ProcedureStep"], "caution", _cautions(knowledge))
    return schema


def _job() -> Schema:
    schema = model_schema(JobSheetFile)
    _key(schema, "facts", {"allOf": [about_facts("given")], "minProperties": 1})
    return schema


def _entries(entry: Schema, description: str) -> Schema:
    return mapping_of(entry, description)


def _topic_names(knowledge: KnowledgeBase) -> Schema:
    return one_of_words({name: topic.title for name, topic in knowledge.topics.items()})


def _topics(knowledge: KnowledgeBase) -> Schema:
    entry = model_schema(TopicEntry)
    _key(entry, "after", {"type": "array", "items": _topic_names(knowledge)})
    return _entries(entry, "Topics in teaching order, by the names of their folders.")


def _parts(knowledge: KnowledgeBase) -> Schema:
    entry = model_schema(PartEntry)
    subjects = {fact.subject: f"Every fact of {fact.subject}." for fact in knowledge.facts.values()}
    named = {"anyOf": [about_facts("any fact"), one_of_words(subjects)]}
    _key(entry, "facts", several(named))
    return _entries(entry, "Parts of a job in the words of the trade, by name.")


def _people() -> Schema:
    by_word = {
        "type": "object",
        "required": ["any"],
        "additionalProperties": several(dict(TEXT)),
    }
    return {
        "type": "object",
        "description": "Who comes to the invented workshop, and the first sentence of a practice story.",
        "properties": {
            "people": {**several(dict(TEXT)), "description": "People, by trade only."},
            "openings": {**by_word, "description": "First sentences by topic; `any` for all others."},
            "called": {
                **by_word,
                "description": "What a machine is called, by its use; `any` for all others.",
            },
        },
    }


def _machines() -> Schema:
    machine: Schema = {
        "type": "object",
        "required": ["facts"],
        "additionalProperties": False,
        "properties": {
            "facts": {"allOf": [about_facts("given")], "description": "Facts that go together."},
            "only_when_asked": {
                "enum": ["yes", "no", True, False],
                "description": "Kept for rules that ask for it.",
            },
        },
    }
    return mapping_of(machine, "Machines of the invented workshop, by name.")


def _never() -> Schema:
    return {
        "type": "object",
        "required": ["never"],
        "additionalProperties": False,
        "properties": {
            "never": {
                **several(about_facts("conditions")),
                "description": "Combinations that the invented workshop never sees.",
            }
        },
    }
