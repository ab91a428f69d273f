"""Whether the engine agrees with a question's key and disagrees with every other option, worked out afresh.

Nothing here calls the way that posed the question: what an option stands for is read off the words that the learner
sees, and the facts come from the question.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from itertools import permutations

from sideplate_engine import Judge
from sideplate_engine.chaining import Chained
from sideplate_engine.procedures import Procedure
from sideplate_engine.quantities import read_quantity
from sideplate_engine.vocabulary import Value
from sideplate_trainer.questions import Option, Question
from sideplate_trainer.ways import mark
from support.values_to_try import ValuesToTry

Facts = Mapping[str, Value]

GRAVEST_FIRST = ("must not", "must", "should not", "should")
OF_A_JOB = {
    "must not": "must change",
    "must": "must change",
    "should not": "should change",
    "should": "should change",
}
NOTHING, CANNOT_TELL = "nothing against it", "cannot tell yet"


class KeysByEngine:
    """Looks questions over for one judge."""

    def __init__(self, judge: Judge) -> None:
        self.judge = judge
        self.knowledge = judge.knowledge
        self.values = ValuesToTry(judge.knowledge)

    def objections(self, question: Question) -> list[str]:
        """What the engine makes of a question otherwise than its key says; empty where they agree."""
        return list(_CHECKS[question.way](self, question))

    def outcome(self, facts: Facts) -> Chained:
        return self.judge.outcome(facts)

    def ruling(self, facts: Facts) -> frozenset[str]:
        """The rules whose rulings stand."""
        live = self.outcome(facts).live
        return frozenset(id_ for id_ in live if self.knowledge.rules[id_].force is not None)

    def asking(self, facts: Facts) -> frozenset[str]:
        """The rules that ask for something: those that only permit do not."""
        return frozenset(id_ for id_ in self.ruling(facts) if self.force(id_) != "may")

    def force(self, id_: str) -> str:
        return str(self.knowledge.rules[id_].force)

    def stands(self, facts: Facts, force: str) -> bool:
        """Whether a ruling of the force stands."""
        return any(self.force(id_) == force for id_ in self.ruling(facts))

    def hanging_on(self, name: str, facts: Facts) -> frozenset[str]:
        """The rulings that do not stand with the fact at some other value, or with the fact not known."""
        standing = self.ruling(facts)
        without = {other: value for other, value in facts.items() if other != name}
        sheets = [without, *({**without, name: value} for value in self.values.of(name))]
        return frozenset(id_ for sheet in sheets for id_ in standing - self.ruling(sheet))

    def gravest(self, facts: Facts, subject: str | None) -> str:
        """The verdict on a deed, or on the job where no deed is named."""
        rules = self.knowledge.rules
        forces = {self.force(id_) for id_ in self.ruling(facts) if subject in (None, rules[id_].about)}
        gravest = next((force for force in GRAVEST_FIRST if force in forces), NOTHING)
        return gravest if subject is not None else OF_A_JOB.get(gravest, NOTHING)

    def told_as(self, sentence: str, facts: Facts) -> list[str]:
        """The facts of a sheet that a sentence tells."""
        return [name for name, value in facts.items() if self.knowledge.facts[name].tell(value) == sentence]

    def asked_by(self, sentence: str) -> list[str]:
        """The facts that a question asks for."""
        return [fact.name for fact in self.knowledge.facts.values() if fact.given and fact.ask == sentence]


def _is_this_allowed(by: KeysByEngine, question: Question) -> Iterator[str]:
    here = by.gravest(question.facts, question.subject)
    if question.key == CANNOT_TELL:
        if here != NOTHING:
            yield f"as told it is {here}"
        verdicts = {by.gravest(twin.facts, question.subject) for twin in question.twins}
        added = [twin.facts.keys() - question.facts.keys() for twin in question.twins]
        if len(verdicts) < 2 or any(len(names) != 1 or names != added[0] for names in added):
            yield f"no fact is missing that decides: {sorted(verdicts)}"
        return
    if here != question.key:
        yield f"the engine says {here}"
    unknown = [
        line.removeprefix("Not known yet: ") for line in question.story if line.startswith("Not known")
    ]
    for name in (name for ask in unknown for name in by.asked_by(ask)):
        for value in by.values.of(name):
            turned = by.gravest({**question.facts, name: value}, question.subject)
            if turned != question.key:
                yield f"with {name} {value} it would be {turned}"


def _how_much(by: KeysByEngine, question: Question) -> Iterator[str]:
    number = question.number
    assert number is not None
    name = number.fact.name
    chained = by.outcome(question.facts)
    derived = chained.facts.get(name)
    rule = by.knowledge.rules[question.rule]
    if name in question.facts or name not in (rule.reads() if rule.is_ruling else rule.derives()):
        yield f"{name} is not what the rule derives or goes by"
    if question.rule not in chained.live or derived != number.value:
        yield f"the engine derives {derived}, not {number.value}"
    shown = (
        read_quantity(question.key, number.fact.unit)
        if number.fact.kind == "quantity"
        else float(question.key)
    )
    if abs(shown - number.value) > number.within * (1 + 1e-9) or not mark(question, question.key).right:
        yield f"the key as it is shown, {question.key}, is not right"
    for slip in number.slips:
        if abs(slip.value - number.value) <= number.within:
            yield f"{slip.value} is called a mistake and is right"


def _which_part(by: KeysByEngine, question: Question) -> Iterator[str]:
    wants_objected = question.asks[-1].endswith("is objected to?")
    if not wants_objected and not question.asks[-1].endswith("fits, with nothing to object to?"):
        yield f"it asks neither for what fits nor for what does not: {question.asks[-1]}"
    parts = [(option, option.facts) for option in question.options if option.facts is not None]
    meant, objectors = [], set[str]()
    for option, facts in parts:
        chosen = facts.keys() - question.facts.keys()
        if len(chosen) != 1 or question.facts.items() - facts.items():
            yield f"{option.word} changes more than one fact"
            continue
        (name,) = chosen
        if by.knowledge.facts[name].show(facts[name]) != option.word:
            yield f"{option.word} is judged as {facts[name]}"
        asking = by.asking(facts)
        if len(asking) > 1:
            yield f"{len(asking)} rules object to {option.word}"
        objectors |= asking
        if bool(asking) is wants_objected:
            meant.append(option.word)
    words = {0: "neither", 1: "".join(meant[:1]), len(parts): "both"}
    if question.key != words.get(len(meant)):
        yield f"what is asked for is {meant}"
    if objectors and question.rule not in objectors:
        yield f"{sorted(objectors)} object and the rule does not"


def _least_change(by: KeysByEngine, question: Question) -> Iterator[str]:
    force = _force_in(r"is there no ([A-Z ]+)\?", question.asks)
    if force != by.force(question.rule) or question.rule not in by.ruling(question.facts):
        yield f"no {force} of the rule stands as told"
    for option in question.options:
        facts = option.facts
        assert facts is not None
        changed = [name for name in facts if facts[name] != question.facts.get(name)]
        if len(changed) != 1 or facts.keys() != question.facts.keys():
            yield f"{option.word} changes {changed}"
        elif by.knowledge.facts[changed[0]].tell(facts[changed[0]]) != option.word:
            yield f"{option.word} does not tell what it changes, {changed[0]}"
        if by.stands(facts, force) is (option.word == question.key):
            yield f"after {option.word} the {force} is {'there' if by.stands(facts, force) else 'gone'}"


def _missing_fact(by: KeysByEngine, question: Question) -> Iterator[str]:
    force = _force_in(r"Whether an? ([A-Z ]+) stands", question.asks)
    if force != by.force(question.rule) or by.stands(question.facts, force):
        yield f"a {force} stands already"
    for option in question.options:
        names = [name for name in by.asked_by(option.word) if name not in question.facts]
        if len(names) != 1:
            yield f"{option.word} asks for {names}"
            continue
        if option.word == question.key:
            given = {str(twin.facts[names[0]]): by.stands(twin.facts, force) for twin in question.twins}
            fires = [twin.facts for twin in question.twins if question.rule in by.ruling(twin.facts)]
            if sorted(given.values()) != [False, True] or not fires:
                yield f"the key does not decide: {given}"
            continue
        bringing = [
            value for value in by.values.of(names[0]) if by.stands({**question.facts, names[0]: value}, force)
        ]
        if bringing:
            yield f"{names[0]} at {bringing[0]} brings a {force}"


def _what_is_wrong(by: KeysByEngine, question: Question) -> Iterator[str]:
    key = next(option for option in question.options if option.word == question.key)
    asking = by.asking(question.facts)
    if not key.word.startswith("line"):
        if asking:
            yield f"nothing is said to be wrong, and {sorted(asking)} ask for something"
        return
    if question.rule not in asking:
        yield "the rule does not ask for anything as told"
    for option in question.options:
        if not option.word.startswith("line"):
            continue
        names = by.told_as(option.means, question.facts)
        if len(names) != 1:
            yield f"{option.text} tells {names}"
            continue
        changed = [{**question.facts, names[0]: value} for value in by.values.of(names[0])]
        if option is key:
            mended = [
                twin.facts for twin in question.twins if _one_change(question.facts, twin.facts) == names[0]
            ]
            if not mended or by.asking(mended[0]):
                yield f"{option.text} is not mended by what is told"
        elif not all(by.asking(facts) for facts in changed):
            yield f"{option.text} can be changed so that nothing is wrong"


def _which_reason(by: KeysByEngine, question: Question) -> Iterator[str]:
    told = re.search(r"Look at line (\d+)\. On it stands an? ([A-Z ]+)\.", question.asks[0])
    assert told is not None, question.asks
    number, force = told.group(1), told.group(2).lower()
    line = next(line for line in question.story if line.startswith(f"Line {number}: "))
    names = by.told_as(line.split(": ", 1)[1], question.facts)
    if len(names) != 1:
        yield f"the line tells {names}"
        return
    standing = by.ruling(question.facts)
    on_line = by.hanging_on(names[0], question.facts)
    if force != by.force(question.rule) or question.rule not in on_line:
        yield f"the rule's {force} does not hang on the line"
    for twin in question.twins:
        if _one_change(question.facts, twin.facts) != names[0] or question.rule in by.ruling(twin.facts):
            yield f"{twin.change} does not take the ruling away"
    for option in question.options:
        own = question.rule if option.word == question.key else str(option.rule)
        if not _is_reason_of(by, own, option.word):
            yield f"{own} does not give this reason: {option.word}"
        if option.word == question.key:
            continue
        if own not in standing:
            yield f"{own} does not stand on the sheet"
        giving = [id_ for id_ in on_line if by.force(id_) == force and _is_reason_of(by, id_, option.word)]
        if giving:
            yield f"{giving[0]} gives a wrong option's reason on that line"


def _steps_in_order(by: KeysByEngine, question: Question) -> Iterator[str]:
    procedure = by.knowledge.procedures[question.rule.removeprefix("procedure:")]
    ids = [_step_id(procedure, option) for option in question.options]
    before = _before(procedure)
    for order in permutations(range(len(ids))):
        right = not any(
            ids[later] in before[ids[earlier]]
            for place, earlier in enumerate(order)
            for later in order[place + 1 :]
        )
        written = " ".join(str(place + 1) for place in order)
        if mark(question, written).right is not right:
            yield f"{written} is {'right' if right else 'wrong'}"
        if written == question.key and not right:
            yield f"the key {written} is wrong"


def _step_id(procedure: Procedure, option: Option) -> str:
    (found,) = [step.id for step in procedure.steps if step.do == option.word]
    return found


def _before(procedure: Procedure) -> dict[str, set[str]]:
    """What has to be done before each step, by going on until nothing more is added."""
    before = {step.id: set(step.after) for step in procedure.steps}
    grown = True
    while grown:
        grown = False
        for needed in before.values():
            more = set().union(*(before[other] for other in needed)) - needed if needed else set()
            grown = grown or bool(more)
            needed |= more
    return before


def _force_in(pattern: str, asks: tuple[str, ...]) -> str:
    found = re.search(pattern, " ".join(asks))
    assert found is not None, asks
    return found.group(1).lower()


def _one_change(before: Facts, after: Facts) -> str | None:
    """The one fact that is not the same, or None."""
    names = [name for name in before.keys() | after.keys() if before.get(name) != after.get(name)]
    return names[0] if len(names) == 1 else None


def _is_reason_of(by: KeysByEngine, id_: str, text: str) -> bool:
    """Whether a text is made up of sentences of a rule's reason."""
    reason = by.knowledge.rules[id_].because_text.fill({}, by.knowledge.facts)
    return all(sentence in reason for sentence in re.split(r"(?<=[.!?])\s+(?=[A-Z])", text))


_CHECKS: Mapping[str, Callable[[KeysByEngine, Question], Iterator[str]]] = {
    "is_this_allowed": _is_this_allowed,
    "how_much": _how_much,
    "which_part": _which_part,
    "least_change": _least_change,
    "missing_fact": _missing_fact,
    "what_is_wrong": _what_is_wrong,
    "which_reason": _which_reason,
    "steps_in_order": _steps_in_order,
}
