"""What each key of each kind of knowledge file is for, in the words an editor shows beside it."""

from __future__ import annotations

from collections.abc import Mapping

_SOURCES = "The works it rests on: keys of sources.yaml, each with the place in it."
_BASIS = "What the figures rest on at best: a standard, a handbook, a paper, practice, or memory."

KEY_MEANINGS: Mapping[str, Mapping[str, str]] = {
    "Citation": {
        "work": "A key of sources.yaml.",
        "at": "The place in the work: clause, table, page.",
    },
    "VocabularyEntry": {
        "kind": "What sort of value it takes.",
        "means": "What the fact is, in a sentence; the glossary prints it.",
        "ask": "The question by which a person is asked for it.",
        "says": "The sentence a practice story tells it by, with {value}; of a flag one for yes and one for no.",
        "observe": "How to see or measure it, and with what tool.",
        "unit": "The unit its values are stored in; of a bare ratio 1.",
        "possible": "The least and the most it can be; outside is an error.",
        "usual": "The least and the most it usually is; outside is a warning.",
        "decimals": "Decimal places when it is shown in its stored unit.",
        "agree": "How far two values of it may lie apart and still count as the same.",
        "choices": "The words it can be, each with what it means.",
        "many": "Whether it is a set: several of the words can hold at once.",
        "given": "`no` for a fact that only rules can derive.",
        "complete": "`yes` if some rule is to speak to every value of it.",
        "intermediate": "`yes` for a step on the way to other facts, which a summary leaves out.",
        "background": "`yes` if it describes the machine itself and so speaks for no ruling.",
        "synonyms": "Words people search by.",
    },
    "Because": {
        "kind": "What kind of reason it is.",
        "text": "The physical cause, in two to four plain sentences for a second-year apprentice.",
    },
    "RuleExample": {
        "name": "What is special about this case.",
        "given": "The facts of the case, as on a job sheet.",
        "expect": "What becomes of the rule.",
        "missing": "The facts for want of which the rule is open.",
        "derives": "The facts the rule is to derive, with their values.",
        "todo": "`yes` for a case that is right but not met yet.",
    },
    "Ignored": {
        "check": "The code of the finding, as `sideplate check` prints it in square brackets.",
        "because": "Why it is all the same right.",
    },
    "RuleFile": {
        "id": "The rule's name for ever: the name of the file without .yaml.",
        "title": "The rule in a few words, its own among all rules.",
        "status": "`checked` is earned by a source and by examples that show each condition both ways.",
        "when": "What must hold, fact by fact; `any` holds alternatives.",
        "unless": "The rule's own exception, written like `when`.",
        "derive": "The facts it sets: from a value, a table, a formula or another fact.",
        "ruling": "How strong the ruling is, in the sense of BCP 14.",
        "about": "What it rules on, a key of subjects.yaml; opposed rulings about one subject are a conflict.",
        "says": "The ruling or the finding in a sentence; {fact.name} and {12 mm} are put in.",
        "instead": "What to do in place of what is ruled out.",
        "because": "Why it is right.",
        "if_ignored": "What breaks or hurts when it is ignored.",
        "sources": _SOURCES,
        "caution": "The hazard that goes with it, a key of cautions.yaml; needed where the reason is safety.",
        "overrides": "The rules that are set aside where this one fires too.",
        "replaces": "The rule of another folder in whose place this one stands.",
        "family": "A name that rules of one kind share.",
        "since": "When the rule came in.",
        "ignore": "Findings of `sideplate check` that are accepted, each with the reason.",
        "examples": "Cases with what becomes of the rule; tests, practice and site all read them.",
    },
    "TableColumn": {
        "kind": "What sort of value its cells hold.",
        "means": "What the column gives.",
        "unit": "The unit of its figures.",
        "choices": "The words its cells can be.",
    },
    "TableFile": {
        "id": "The table's name: that of the file without .yaml.",
        "title": "What the table lists.",
        "note": "What a reader has to know of its figures.",
        "reference": "`yes` for a table that is there to be read, in which no rule looks anything up.",
        "key": "The column by which rows are found.",
        "columns": "The columns, each with its kind and unit.",
        "rows": "The rows: a cell a column, and `sources`, `basis` and `from_memory`.",
    },
    "TableRowExtras": {
        "sources": _SOURCES,
        "basis": _BASIS,
        "from_memory": "The cells of this row that are recalled and not verified.",
    },
    "FormulaSymbol": {
        "fact": "The fact it stands for.",
        "unit": "Its unit, where no fact holds it.",
        "means": "What it is.",
    },
    "FormulaResult": {
        "fact": "The fact that holds the result.",
        "unit": "The unit of the result, where no fact holds it.",
        "means": "What the result is.",
    },
    "WorkedCase": {
        "name": "What is special about this case.",
        "with": "A value for each symbol.",
        "gives": "The result that is known.",
        "within": "How far off the formula may be, for the source's own rounding.",
        "sources": _SOURCES,
        "note": "What a reader has to know of it.",
    },
    "FormulaFile": {
        "id": "The formula's name: that of the file without .yaml.",
        "title": "What it gives.",
        "symbols": "The symbols of the expression, each a fact or a value of a unit.",
        "expression": "Arithmetic over the symbols; angles are radians.",
        "function": "A function of the engine's geometry, in place of an expression.",
        "gives": "The fact or the unit of the result.",
        "basis": _BASIS,
        "sources": _SOURCES,
        "note": "What a reader has to know of it.",
        "worked": "Cases with known results, best published ones.",
    },
    "ProcedureStep": {
        "id": "The step's name, by which `after` names it.",
        "do": "What to do.",
        "because": "Why.",
        "caution": "The hazard that goes with it, a key of cautions.yaml.",
        "after": "The steps that must be done before it.",
    },
    "ProcedureFile": {
        "id": "The procedure's name: that of the file without .yaml.",
        "title": "The work.",
        "for": "When it is done, and why.",
        "topic": "Optional: the topic it is practised with, a key of topics.yaml.",
        "sources": _SOURCES,
        "steps": "The steps; any order that `after` allows is right.",
    },
    "SourceEntry": {
        "title": "The work as it is cited; makers' manuals by class only.",
        "kind": "What kind of work it is.",
        "verified": "How far it was read, in words.",
        "note": "What a reader has to know of it.",
    },
    "CautionEntry": {
        "hazard": "What can hurt someone.",
        "do": "What to do about it.",
    },
    "TopicEntry": {
        "title": "The topic.",
        "about": "What it takes in.",
        "after": "The topics that are taught before it.",
    },
    "PartEntry": {
        "title": "The part of a job, in the words of the trade.",
        "facts": "The facts that belong to it: subjects, or facts by name.",
        "tasks": "The work in which it usually comes up.",
        "always": "`yes` if every job touches it.",
    },
    "DenyListFile": {
        "names": "Names that must not stand in any knowledge file.",
    },
    "JobSheetFile": {
        "job": "The job in a line.",
        "note": "Free text.",
        "facts": "What is known: dotted names, or nested mappings that mean the same.",
    },
}
"""By model and key. A test holds it to the models."""
