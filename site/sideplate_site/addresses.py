"""Where everything the knowledge holds is found on the site: the one place that decides addresses and anchors."""

from __future__ import annotations

import posixpath
import re
from functools import lru_cache

from sideplate_engine import KnowledgeBase

HOME = "index.html"
FACTS = "facts/index.html"
FORMULAS = "formulas/index.html"
PROCEDURES = "procedures/index.html"
TABLES = "tables/index.html"
TOPICS = "topics/index.html"
GLOSSARY = "glossary.html"
SOURCES = "sources.html"
CAUTIONS = "cautions.html"
SUBJECTS = "subjects.html"
CHECK_CODES = "check-codes.html"
CHANGES = "changes.html"
GRAPH = "rule-graph.html"
SEARCH = "search.html"
PICTURES = "pictures.html"
REFERENCE = "reference.html"
EXPLANATION = "explanation/"


class NoSuchPage(LookupError):
    """A link to something that the knowledge does not hold."""


class Addresses:
    """The address of each thing; asking for one that is not there raises NoSuchPage, so no link can be broken."""

    def __init__(self, knowledge: KnowledgeBase) -> None:
        self.knowledge = knowledge

    def rule(self, id_: str) -> str:
        """A rule's page, retired ones' too."""
        if id_ not in self.knowledge.rules and id_ not in self.knowledge.retired:
            raise NoSuchPage(f"rule {id_}")
        return f"rules/{id_}.html"

    def fact(self, name: str) -> str:
        """A fact's page."""
        _there(name, self.knowledge.facts, "fact")
        return f"facts/{name}.html"

    def choice(self, name: str, value: str) -> str:
        """One choice on a fact's page."""
        return f"{self.fact(name)}#{choice_anchor(value)}"

    def formula(self, id_: str) -> str:
        """A formula's page."""
        _there(id_, self.knowledge.formulas, "formula")
        return f"formulas/{id_}.html"

    def procedure(self, id_: str) -> str:
        """A procedure's page."""
        _there(id_, self.knowledge.procedures, "procedure")
        return f"procedures/{id_}.html"

    def table(self, id_: str) -> str:
        """A table's page."""
        _there(id_, self.knowledge.tables, "table")
        return f"tables/{id_}.html"

    def row(self, table: str, key: object) -> str:
        """A row on its table's page."""
        return f"{self.table(table)}#{anchor(str(key))}"

    def topic(self, id_: str) -> str:
        """A topic's page."""
        _there(id_, self.knowledge.topics, "topic")
        return f"topics/{id_}.html"

    def source(self, id_: str) -> str:
        """A source on the page of sources."""
        _there(id_, self.knowledge.sources, "source")
        return f"{SOURCES}#{id_}"

    def caution(self, id_: str) -> str:
        """A caution on the page of cautions."""
        _there(id_, self.knowledge.cautions, "caution")
        return f"{CAUTIONS}#{id_}"

    def subject(self, id_: str) -> str:
        """A subject on the page of subjects."""
        _there(id_, self.knowledge.subjects, "subject")
        return f"{SUBJECTS}#{id_}"

    def term(self, name: str) -> str:
        """A fact's entry in the glossary."""
        _there(name, self.knowledge.facts, "fact")
        return f"{GLOSSARY}#{name}"


def _there(name: str, known: object, kind: str) -> None:
    assert hasattr(known, "__contains__")
    if name not in known:
        raise NoSuchPage(f"{kind} {name}")


def anchor(text: str) -> str:
    """An anchor made of a text: lower case, words joined by hyphens."""
    return re.sub(r"[^a-z0-9.]+", "-", text.lower()).strip("-") or "nothing"


def choice_anchor(value: str) -> str:
    """The anchor of a choice on its fact's page, apart from the anchors of the page's sections."""
    return f"is-{anchor(value)}"


@lru_cache(maxsize=100_000)
def relative(target: str, page: str) -> str:
    """The way from one page to another address of the site."""
    path, _, fragment = target.partition("#")
    if path == page and fragment:
        return f"#{fragment}"
    way = posixpath.relpath(path, posixpath.dirname(page) or ".")
    return f"{way}#{fragment}" if fragment else way
