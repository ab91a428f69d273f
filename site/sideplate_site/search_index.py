"""What the search looks through: an entry for everything that has a page or an anchor, with the words people use."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sideplate_engine import KnowledgeBase
from sideplate_engine.finding_codes import explanations
from sideplate_site.addresses import CHECK_CODES, PICTURES
from sideplate_site.book import Book

MOST_WORDS = 45
"""How many different words of an entry's text are kept."""
SHORT = 130
"""How long the line is that a result shows."""

_WORD = re.compile(r"[a-z0-9]+(?:\.[0-9]+)?")


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing to find: its kind, title, address, the line shown, other names for it, and the words of its text."""

    kind: str
    title: str
    address: str
    line: str
    called: str
    words: str


def entries(book: Book) -> Iterator[Entry]:
    """Everything that can be found."""
    knowledge, addresses = book.knowledge, book.addresses
    synonyms = {name: " ".join(fact.synonyms) for name, fact in knowledge.facts.items()}
    homes = home_topics(knowledge)
    for id_, topic in knowledge.topics.items():
        rules = knowledge.rules_of(id_)
        called = (synonyms[name] for name, home in homes.items() if home == id_)
        titles = (rule.title for rule in rules)
        yield Entry("topic", topic.title, addresses.topic(id_), topic.about, _once(called), _words(titles))
    for procedure in knowledge.procedures.values():
        steps = (step.do for step in procedure.steps)
        yield Entry(
            "procedure",
            procedure.title,
            addresses.procedure(procedure.id),
            procedure.purpose,
            "",
            _words(steps),
        )
    for rule in knowledge.rules.values():
        says = rule.says.source
        line = f"{rule.force}: {says}" if rule.force else says
        text = (says, rule.because_text.source, rule.instead.source if rule.instead else "", *rule.reads())
        called = (synonyms[name] for name in rule.reads())
        yield Entry("rule", rule.title, addresses.rule(rule.id), line, "", _words((*text, *called, rule.id)))
    for name, fact in knowledge.facts.items():
        glosses = (f"{word} {gloss}" for word, gloss in (fact.choices or {}).items())
        text = (fact.ask, fact.observe, *glosses)
        yield Entry(
            "fact", name, addresses.fact(name), fact.means, synonyms[name], _words((fact.means, *text))
        )
    for formula in knowledge.formulas.values():
        text = (formula.note, *(symbol.means for symbol in formula.symbols.values()))
        called = (synonyms[name] for name in (formula.gives_fact, *formula.facts()) if name is not None)
        yield Entry(
            "formula",
            formula.title,
            addresses.formula(formula.id),
            formula.gives_means,
            "",
            _words((*text, *called)),
        )
    for table in knowledge.tables.values():
        keys = " ".join(str(key) for key in table.rows)
        columns = (column.means for column in table.columns.values())
        line = f"{len(table.rows)} rows, each with {', '.join(table.columns)}.".replace("_", " ")
        yield Entry(
            "table", table.title, addresses.table(table.id), line, "", f"{_words(columns)} {keys.lower()}"
        )
        for key, row in table.rows.items():
            shown = ", ".join(
                f"{name.replace('_', ' ')} {table.columns[name].show(cell)}"
                for name, cell in row.cells.items()
                if name != table.key
            )
            yield Entry("row", str(key), addresses.row(table.id, key), shown, table.title, "")
    for name, caution in knowledge.cautions.items():
        yield Entry(
            "caution",
            name.replace("-", " "),
            addresses.caution(name),
            caution.hazard,
            "",
            _words((caution.do,)),
        )
    for name, source in knowledge.sources.items():
        yield Entry("source", source.title, addresses.source(name), f"Read: {source.verified}", name, "")
    for picture in book.pictures.values():
        yield Entry("picture", picture.heading, f"{PICTURES}#{picture.anchor}", picture.alt, "", "")
    for code, each in explanations().items():
        yield Entry("check code", code, f"{CHECK_CODES}#{code}", each.title, "", _words((each.text,)))


def home_topics(knowledge: KnowledgeBase) -> dict[str, str]:
    """The topic that each fact belongs to: the one with most rules that read or derive it, the earlier of equals."""
    found: dict[str, Counter[str]] = {}
    for topic in knowledge.topics:
        for rule in knowledge.rules_of(topic):
            for name in {*rule.reads(), *rule.derives()}:
                found.setdefault(name, Counter())[topic] += 1
    return {name: count.most_common(1)[0][0] for name, count in sorted(found.items())}


def _once(texts: Iterable[str]) -> str:
    return " ".join(dict.fromkeys(word for text in texts for word in text.split()))


def _words(texts: Iterable[str]) -> str:
    """The different words of texts, the first of them."""
    found = dict.fromkeys(word for text in texts for word in _WORD.findall(text.lower()) if len(word) > 2)
    return " ".join(list(found)[:MOST_WORDS])


def search_script(book: Book) -> str:
    """The script with the index."""
    rows = [
        [
            entry.kind,
            entry.title,
            entry.address,
            line,
            entry.called.lower(),
            _not_in(entry.words, entry.title, line),
        ]
        for entry in entries(book)
        for line in (_cut(entry.line),)
    ]
    return f"window.sideplate.searchIndex = {json.dumps(rows, ensure_ascii=False, separators=(',', ':'))};\n"


def _not_in(words: str, *told: str) -> str:
    """The words that what is shown does not hold already."""
    known = {word for text in told for word in _WORD.findall(text.lower())}
    return " ".join(word for word in words.split() if word not in known)


def _cut(line: str) -> str:
    line = re.sub(r"\{([^{}]*)\}", r"\1", " ".join(line.split()))
    return line if len(line) <= SHORT else f"{line[:SHORT].rsplit(' ', 1)[0]} ..."
