"""Rules: when they apply, what they derive or rule, why, and the examples that prove them."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass, field

from sideplate_engine.authored_conditions import AllOf, FactTest, Test, Vocabulary, read_conditions
from sideplate_engine.derivation_reading import read_derivations
from sideplate_engine.derivations import Derivation
from sideplate_engine.file_models import Because, Citation, Force, Ignored, RuleFile
from sideplate_engine.findings import MOST_TOLD, Finding, Position, cut, did_you_mean, too_many
from sideplate_engine.formulas import Formula
from sideplate_engine.shape_check import read_as
from sideplate_engine.tables import Table
from sideplate_engine.texts import Template, TextRefused, read_template
from sideplate_engine.vocabulary import Value, read_value
from sideplate_engine.yaml_tree import Items, Mapping, Node, position_of

NEEDS_INSTEAD = ("must not", "should not")


@dataclass(frozen=True, slots=True)
class Example:
    """Facts, and what the rule makes of them: `fires`, `quiet`, `open`, `excepted` or `overridden`."""

    name: str
    given: MappingABC[str, Value]
    expect: str
    missing: tuple[str, ...]
    derives: MappingABC[str, Value]
    todo: bool
    at: Position


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule, its texts parsed and its facts checked.

    `conditions` is what is written under `when:`; `requirement` adds that every input of a derivation is known.
    """

    id: str
    topic: str
    title: str
    status: str
    conditions: AllOf
    requirement: AllOf
    unless: AllOf | None
    derivations: tuple[Derivation, ...]
    force: Force | None
    about: str | None
    says: Template
    instead: Template | None
    because: Because
    because_text: Template
    if_ignored: Template | None
    sources: tuple[Citation, ...]
    caution: str | None
    overrides: tuple[str, ...]
    replaces: str | None
    family: str | None
    since: str | None
    ignore: tuple[Ignored, ...]
    examples: tuple[Example, ...]
    at: Position
    key_at: MappingABC[str, Position] = field(default_factory=dict)

    @property
    def is_ruling(self) -> bool:
        """Whether it gives a ruling; otherwise it derives facts."""
        return self.force is not None

    def derives(self) -> tuple[str, ...]:
        """The facts it sets."""
        return tuple(derivation.fact for derivation in self.derivations)

    def reads(self) -> tuple[str, ...]:
        """Every fact it looks at, its exception's included, once each."""
        names = self.requirement.facts() + (self.unless.facts() if self.unless else ())
        return tuple(dict.fromkeys(names))

    def texts(self) -> dict[str, Template]:
        """Its texts with places for facts, by the keys of its file; those that are not written are left out."""
        written = {
            "says": self.says,
            "instead": self.instead,
            "because": self.because_text,
            "if_ignored": self.if_ignored,
        }
        return {key: template for key, template in written.items() if template is not None}

    def place(self, key: str) -> Position:
        """Where a key of its file stands; the file's start when the key is not written."""
        return self.key_at.get(key, self.at)


def read_rule(
    tree: Node,
    topic: str,
    stem: str,
    vocabulary: Vocabulary,
    tables: MappingABC[str, Table],
    formulas: MappingABC[str, Formula],
) -> tuple[Rule | None, list[Finding]]:
    """A rule from its file's tree, and all that is wrong in it. References to other rules are not looked up here."""
    shape, findings = read_as(RuleFile, tree)
    if shape is None:
        return None, findings
    assert isinstance(tree, Mapping)
    if shape.id != stem:
        message = f"the id is {shape.id} but the file is called {stem}; they must be the same"
        findings.append(Finding("id-differs-from-file", message, tree.key_at["id"]))
    conditions, found = read_conditions(tree.entries.get("when"), vocabulary)
    findings += found
    unless, found = read_conditions(tree.entries.get("unless"), vocabulary)
    findings += found
    derivations: tuple[Derivation, ...] = ()
    if "derive" in tree.entries:
        derivations, found = read_derivations(tree.entries["derive"], vocabulary, tables, formulas)
        findings += found
    findings += _outcome(shape, tree)
    requirement = requirement_of(conditions, derivations, tree.key_at.get("derive", tree.at))
    if "derive" not in tree.entries and not conditions.parts and not findings:
        findings.append(Finding("no-conditions", "a ruling needs conditions under `when`", tree.at))
    texts = _Texts(tree, vocabulary)
    says = texts.read("says", shape.says)
    instead = texts.read("instead", shape.instead)
    because_text = texts.read("because", shape.because.text)
    if_ignored = texts.read("if_ignored", shape.if_ignored)
    findings += texts.findings
    examples, found = _examples(shape, tree, vocabulary)
    findings += found
    if findings or says is None or because_text is None:
        return None, findings
    return (
        Rule(
            id=shape.id,
            topic=topic,
            title=shape.title,
            status=shape.status,
            conditions=conditions,
            requirement=requirement,
            unless=unless if unless.parts else None,
            derivations=derivations,
            force=shape.ruling,
            about=shape.about,
            says=says,
            instead=instead,
            because=shape.because,
            because_text=because_text,
            if_ignored=if_ignored,
            sources=tuple(shape.sources),
            caution=shape.caution,
            overrides=tuple(shape.overrides),
            replaces=shape.replaces,
            family=shape.family,
            since=shape.since,
            ignore=tuple(shape.ignore),
            examples=examples,
            at=tree.at,
            key_at=tree.key_at,
        ),
        [],
    )


def _outcome(shape: RuleFile, tree: Mapping) -> list[Finding]:
    findings: list[Finding] = []
    if (shape.ruling is None) == ("derive" not in tree.entries):
        message = "a rule either gives a `ruling` or has `derive`, not both and not neither"
        findings.append(Finding("no-outcome", message, tree.key_at.get("ruling", tree.at)))
    if shape.ruling in NEEDS_INSTEAD and shape.instead is None:
        message = f"`{shape.ruling}` needs `instead`: say what to do in place of it"
        findings.append(Finding("no-instead", message, tree.key_at["ruling"]))
    if shape.ruling not in (None, "may") and shape.if_ignored is None:
        message = "a ruling needs `if_ignored`: say what breaks or hurts"
        findings.append(Finding("unexplained", message, tree.key_at["ruling"]))
    if shape.because.kind == "safety" and shape.caution is None:
        message = "a rule whose reason is safety names a `caution`"
        findings.append(Finding("no-caution", message, tree.key_at["because"]))
    return findings


def requirement_of(conditions: AllOf, derivations: tuple[Derivation, ...], at: Position) -> AllOf:
    """The conditions, and that every input of a derivation is there. `at` is where the derivations are written."""
    tested = {
        part.fact for part in conditions.parts if isinstance(part, FactTest) and part.test is not Test.UNKNOWN
    }
    inputs = dict.fromkeys(name for derivation in derivations for name in derivation.reads())
    extra = tuple(FactTest(name, Test.NEEDED, at) for name in inputs if name not in tested)
    return AllOf(conditions.parts + extra)


class _Texts:
    """Reads a rule's texts, gathering findings."""

    def __init__(self, tree: Mapping, vocabulary: Vocabulary) -> None:
        self.tree = tree
        self.vocabulary = vocabulary
        self.findings: list[Finding] = []

    def read(self, key: str, text: str | None) -> Template | None:
        if text is None:
            return None
        try:
            return read_template(text, self.vocabulary)
        except TextRefused as problem:
            at = position_of(self.tree, ("because", "text") if key == "because" else (key,))
            self.findings.append(
                Finding("unknown-placeholder", f"`{key}`: {problem}", at, names=problem.name)
            )
            return None


def _examples(
    shape: RuleFile, tree: Mapping, vocabulary: Vocabulary
) -> tuple[tuple[Example, ...], list[Finding]]:
    findings: list[Finding] = []
    examples: list[Example] = []
    node = tree.entries["examples"]
    assert isinstance(node, Items)
    names: set[str] = set()
    for number, (written, item) in enumerate(zip(shape.examples, node.items, strict=True)):
        assert isinstance(item, Mapping)
        if written.name in names:
            message = f"two examples are called {written.name!r}"
            findings.append(Finding("repeated-example", message, item.at))
        names.add(written.name)
        given, found = read_facts(item.entries["given"], vocabulary)
        findings += found
        derives: dict[str, Value] = {}
        if "derives" in item.entries:
            derives, found = read_facts(item.entries["derives"], vocabulary)
            findings += found
        if bool(written.missing) != (written.expect == "open"):
            message = "`missing` lists the facts an open example lacks, and goes with `expect: open` only"
            findings.append(Finding("wrong-example", message, item.at))
        for name in written.missing:
            if name not in vocabulary:
                message = f"no fact is called {name}{did_you_mean(name, vocabulary)}"
                at = position_of(tree, ("examples", number, "missing"))
                findings.append(Finding("unknown-fact", message, at, names=name))
        examples.append(
            Example(
                written.name,
                given,
                written.expect,
                tuple(written.missing),
                derives,
                written.todo == "yes",
                item.at,
            )
        )
    return tuple(examples), findings


def read_facts(node: Node, vocabulary: Vocabulary) -> tuple[dict[str, Value], list[Finding]]:
    """Facts from a mapping: dotted names, or nested mappings that mean the same. A fact stated twice is refused."""
    facts: dict[str, Value] = {}
    findings: list[Finding] = []
    if not isinstance(node, Mapping):
        return facts, [Finding("wrong-shape", "facts are a mapping of names to values", node.at)]
    _gather(node, "", vocabulary, facts, findings)
    if len(findings) > MOST_TOLD:
        findings = [*findings[:MOST_TOLD], too_many(node.at)]
    return facts, findings


def _gather(
    node: Mapping, prefix: str, vocabulary: Vocabulary, facts: dict[str, Value], findings: list[Finding]
) -> None:
    for key, value in node.entries.items():
        if len(findings) > MOST_TOLD:
            return
        name = f"{prefix}{key}"
        at = node.key_at[key]
        fact = vocabulary.get(name)
        if (
            fact is None
            and isinstance(value, Mapping)
            and any(known.startswith(f"{name}.") for known in vocabulary)
        ):
            _gather(value, f"{name}.", vocabulary, facts, findings)
        elif fact is None and isinstance(value, Mapping):
            message = f"no fact's name begins with {cut(name)}{did_you_mean(name, _beginnings(vocabulary))}"
            findings.append(Finding("unknown-fact", message, at, names=name))
        elif fact is None:
            message = f"no fact is called {cut(name)}{did_you_mean(name, vocabulary)}"
            findings.append(Finding("unknown-fact", message, at, names=name))
        elif name in facts:
            findings.append(Finding("repeated-fact", f"{name} is stated twice", at))
        else:
            read, found = read_value(fact, value)
            findings += found
            if read is not None:
                facts[name] = read


def _beginnings(vocabulary: Vocabulary) -> set[str]:
    return {name[:dot] for name in vocabulary for dot, letter in enumerate(name) if letter == "."}
