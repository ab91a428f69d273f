"""How much: a number with its unit, of a fact that the rule works out, finds in a table, or compares with a limit.

Any unit of the right dimension will do. A right number with no unit, or with one that makes it wrong, is told so and
may be answered again. A number that a known mistake leads to is told which mistake that is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from sideplate_engine import Judge, KnowledgeBase
from sideplate_engine.authored_conditions import Test
from sideplate_engine.chaining import Chained
from sideplate_engine.derivations import Computation, Derivation, LookUp, NoValue, derive
from sideplate_engine.quantities import QuantityError, convert, read_any, read_quantity, show, unit
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Fact, Value
from sideplate_trainer.hints import hints_to_a_number
from sideplate_trainer.neighbours import neighbour_case
from sideplate_trainer.questions import AnswerRefused, Marked, NoQuestion, NumberKey, Question, Slip
from sideplate_trainer.situations.situation import Situation
from sideplate_trainer.way import Level, Way

SHARE_OFF = 0.002
"""How far off an answer may be, as a share of the number, where the vocabulary says nothing: 15.9 for 15.875."""

ROUNDED_UP = 1.05
"""So two figures of a tolerance never come to less than the tolerance."""

MM_TO_THE_INCH = 25.4

LIMITS = frozenset(
    {
        Test.ABOVE,
        Test.BELOW,
        Test.AT_LEAST,
        Test.AT_MOST,
        Test.WITHIN,
        Test.OUTSIDE,
        Test.ABOVE_FACT,
        Test.BELOW_FACT,
        Test.AT_LEAST_FACT,
        Test.AT_MOST_FACT,
    }
)
"""The tests by which a rule compares a number."""


def suits(rule: Rule) -> bool:
    """Whether the rule works a number out, finds one in a table, or rules by a limit that such a number may pass."""
    return any(map(_gives_a_number, rule.derivations)) or (
        rule.is_ruling and any(test.test in LIMITS for test in rule.requirement.tests())
    )


def _gives_a_number(derivation: Derivation) -> bool:
    if isinstance(derivation, LookUp):
        column = derivation.table.columns[derivation.take].reads
        return column is not None and column.is_number
    return isinstance(derivation, Computation)


def pose(judge: Judge, situation: Situation) -> Question:
    """The question on the first number that the rule derives in this situation, or rules by. Raises NoQuestion."""
    knowledge = judge.knowledge
    chained = judge.outcome(situation.facts)
    for by, derivation in _numbers_of(knowledge.rules[situation.rule], chained, knowledge):
        fact = knowledge.facts[derivation.fact]
        value = chained.derived[fact.name].value
        rounded = by_rounding(judge, derivation, chained)
        key = number_key(judge, fact, float(value), derivation.reads(), chained.facts, rounded)  # type: ignore[arg-type]  # is_number
        return Question(
            rule=situation.rule,
            way="how_much",
            seed=situation.seed,
            case=fact.name,
            facts=situation.facts,
            fires_on=situation.facts,
            story=situation.story,
            asks=asked(key),
            key=fact.show(value),
            number=replace(key, by=by),
            twins=neighbour_case(judge, situation.facts, fact.name),
            hints=(
                *hints_to_a_number(judge, derivation, situation.facts),
                *_in_words(derivation, knowledge.rules[by]),
            ),
        )
    raise NoQuestion(f"{situation.rule} has no number worked out in its situation, seed {situation.seed}")


def _in_words(derivation: Derivation, rule: Rule) -> Iterator[str]:
    """What a formula that is too long to write down rests on, as its rule tells it, where that tells no value."""
    is_long = isinstance(derivation, Computation) and derivation.formula.expression is None
    if is_long and not rule.because_text.facts():
        yield rule.because_text.source


def _numbers_of(rule: Rule, chained: Chained, knowledge: KnowledgeBase) -> Iterator[tuple[str, Derivation]]:
    """The numbers derived here that the rule sets or, if it sets none, compares: who derives them, and how."""
    wanted: list[tuple[str, Rule]]
    if rule.derivations:
        wanted = [(derivation.fact, rule) for derivation in rule.derivations]
    else:
        limits = [test for test in rule.requirement.tests() if test.test in LIMITS]
        compared = dict.fromkeys(name for test in limits for name in test.facts())
        wanted = [
            (name, knowledge.rules[id_])
            for name in compared
            if name in chained.derived
            for id_ in chained.derived[name].by
        ]
    for name, by in wanted:
        if name in chained.derived and by.id in chained.derived[name].by:
            for derivation in by.derivations:
                if derivation.fact == name and _gives_a_number(derivation):
                    yield by.id, derivation


def by_rounding(judge: Judge, derivation: Derivation, chained: Chained) -> float:
    """How far off the number is where it is worked out from figures as they are shown, as the hints show them."""
    vocabulary, exact = judge.knowledge.facts, chained.facts[derivation.fact]
    off = 0.0
    for name in derivation.reads():
        places, figure = vocabulary[name].decimals, chained.facts[name]
        if name in chained.derived and places is not None and isinstance(figure, float):
            try:
                there = derive(derivation, {**chained.facts, name: round(figure, places)}, vocabulary)
            except NoValue:
                continue
            off += abs(float(str(there.value)) - float(str(exact)))
    return float(f"{ROUNDED_UP * off:.2g}")


def number_key(
    judge: Judge,
    fact: Fact,
    value: float,
    reads: tuple[str, ...],
    facts: Mapping[str, Value],
    rounded: float = 0.0,
) -> NumberKey:
    """The key, with the known mistakes that lead clearly elsewhere; right also where it is `rounded` so far off."""
    within = tolerance(fact, value)
    if fact.kind != "count":
        within = max(within, rounded)
    slips: list[Slip] = []
    for slip in _slips(judge, fact, value, reads, facts):
        clear = abs(slip.value - value) > 2 * max(within, tolerance(fact, slip.value))
        writable = fact.kind != "count" or slip.value >= 0
        if clear and writable and all(abs(slip.value - other.value) > within for other in slips):
            slips.append(slip)
    return NumberKey(fact, value, within, tuple(slips))


def tolerance(fact: Fact, value: float) -> float:
    """How far off an answer may be: nothing for a count, else what the vocabulary allows, else a small share."""
    if fact.kind == "count":
        return 0.0
    if fact.agree is not None:
        return fact.agree
    last_place = 0.0 if fact.decimals is None else 0.5 * 10.0**-fact.decimals
    return float(f"{max(last_place, SHARE_OFF * abs(value)):.2g}")


def _slips(
    judge: Judge, fact: Fact, value: float, reads: tuple[str, ...], facts: Mapping[str, Value]
) -> Iterator[Slip]:
    if fact.kind == "count":
        yield from _miscounts(judge, fact, value, reads, facts)
        return
    if unit(fact.unit).dimension == "length" and fact.unit != "km":
        yield Slip(
            value * MM_TO_THE_INCH,
            "That is 25.4 times as much: inches were turned into millimetres once too often.",
        )
        yield Slip(
            value / MM_TO_THE_INCH, "That is the number divided by 25.4: millimetres were taken for inches."
        )
    if fact.unit == "1" and value:
        yield Slip(1 / value, "That is the ratio upside down.")
    if fact.unit == "%":
        yield Slip(value + 100, "That is the whole in per cent; only what was added is asked for.")
    yield Slip(value / 2, "That is half of it. Was something counted once that counts twice?")
    yield Slip(value * 2, "That is twice as much. Was something counted twice?")
    yield Slip(-value, "The size is right, but the sign is not.")


def _miscounts(
    judge: Judge, fact: Fact, value: float, reads: tuple[str, ...], facts: Mapping[str, Value]
) -> Iterator[Slip]:
    if value % 2 == 0:
        for odd in (value - 1, value + 1):
            yield Slip(odd, "That count is odd, and the right one is even.")
    for name in reads:
        read, known = judge.knowledge.facts[name], facts.get(name)
        if read.is_number and isinstance(known, float) and round(known) != value:
            yield Slip(round(known), f"That is {name} rounded to the nearest whole number.")
    for other in (value - 2, value + 2):
        yield Slip(other, "That is two off.")


def asked(key: NumberKey) -> tuple[str, ...]:
    """What is asked for, in what form, and how near is near enough."""
    fact = key.fact
    if fact.kind == "count":
        return (f"To be found: {fact.means}", "Answer with a whole number.")
    near = f"{key.within:g}" if fact.unit == "1" else f"{key.within:g} {unit(fact.unit).symbol}"
    answer = "a number" if fact.unit == "1" else "a number and its unit, any that fits"
    return (f"To be found: {fact.means}", f"Answer with {answer}, right to within {near}.")


def mark(question: Question, answer: str) -> Marked:
    """The number, read with its unit and marked. Raises AnswerRefused for what is no number of the right kind."""
    key = question.number
    assert key is not None
    marked = _marked(key, answer.strip())
    return marked if marked.right else replace(marked, blames=key.by)


def _marked(key: NumberKey, text: str) -> Marked:
    if key.fact.kind == "count":
        return _mark_count(key, text)
    try:
        value = read_quantity(text, key.fact.unit)
    except QuantityError as problem:
        return _mark_unit(key, text, problem)
    if abs(value - key.value) <= key.within * (1 + 1e-9):
        return Marked(text, True)
    wrong_unit = _right_in_another_unit(key, text)
    if wrong_unit is not None:
        return wrong_unit
    return Marked(text, False, _slip(key, value))


def _mark_count(key: NumberKey, text: str) -> Marked:
    if not text.isascii() or not text.isdigit() or len(text) > 9:
        raise AnswerRefused("Type a whole number, such as 110.")
    value = float(text)
    return Marked(text, value == key.value, () if value == key.value else _slip(key, value))


def _mark_unit(key: NumberKey, text: str, problem: QuantityError) -> Marked:
    """An answer that cannot be read in the key's unit: with no unit, or with one of another dimension."""
    try:
        value, written = read_any(text)
    except QuantityError as unreadable:
        raise AnswerRefused(f"{str(unreadable)[:1].upper()}{str(unreadable)[1:]}.") from None
    if _is_near(key, value, key.fact.unit) or _is_near(key, value, _other_unit(key.fact.unit)):
        if written.symbol == "1":
            return Marked(
                text, True, ("The number is right, but it has no unit. Write it again with one.",), again=True
            )
        said = f"The number is right, but {written.symbol} is not what it is measured in. Write it again."
        return Marked(text, True, (said,), again=True, helped=True)
    if written.symbol == "1":
        return Marked(text, False, (*_slip(key, value), "It has no unit either."))
    raise AnswerRefused(f"{str(problem)[:1].upper()}{str(problem)[1:]}.")


def _right_in_another_unit(key: NumberKey, text: str) -> Marked | None:
    """The answer given back when its bare number is right and its unit, of the right dimension, is not."""
    value, written = read_any(text)
    for symbol in (key.fact.unit, _other_unit(key.fact.unit)):
        if written.symbol != symbol and _is_near(key, value, symbol):
            said = f"The number is right, but not in {written.symbol}. Write it again."
            return Marked(text, True, (said,), again=True, helped=True)
    return None


def _is_near(key: NumberKey, value: float, symbol: str) -> bool:
    return abs(convert(value, symbol, key.fact.unit) - key.value) <= key.within * (1 + 1e-9)


def _other_unit(symbol: str) -> str:
    """The unit that readers of US units see in place of this one, a bare number for per cent; itself where none is."""
    return "1" if symbol in ("1", "%") else show(1.0, symbol, "us").split(" ", 1)[-1]


def _slip(key: NumberKey, value: float) -> tuple[str, ...]:
    for slip in key.slips:
        if abs(slip.value - value) <= tolerance(key.fact, slip.value) * (1 + 1e-9):
            return (slip.says,)
    return ()


WAY = Way("How much?", suits, pose, mark, Level.PICK)
