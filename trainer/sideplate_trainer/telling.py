"""Judgements and proofs as lines of text, wrapped at a width, that read well on a screen, on paper and over a pipe."""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Iterable, Iterator

from sideplate_engine.condition_words import words_of_test
from sideplate_engine.findings import listed
from sideplate_engine.judgement import Judgement, Ruling
from sideplate_engine.layers import BUILT_IN
from sideplate_engine.open_facts import RuleStatus, status_of
from sideplate_engine.proofs import GIVEN, Proofs, Step
from sideplate_engine.rules import Rule

WIDEST = 88
LABEL = 12
MOST_OPEN = 6
"""How many open facts are told; the rest are counted."""


def reading_width() -> int:
    """The width to wrap at: the terminal's, but never wider than reads well."""
    return max(24, min(shutil.get_terminal_size((WIDEST, 24)).columns, WIDEST))


def wrapped(text: str, width: int, initial_indent: str = "", subsequent_indent: str = "") -> list[str]:
    """Text as lines of at most a width; names with hyphens stay whole."""
    return textwrap.wrap(
        text,
        width,
        initial_indent=initial_indent,
        subsequent_indent=subsequent_indent,
        break_on_hyphens=False,
        break_long_words=False,
    )


def labelled(label: str, text: str, width: int, indent: int = 2) -> list[str]:
    """`label` and text, the text hanging beside it; on a narrow screen below it."""
    if not text:
        return []
    if width < 50:
        margin = " " * indent
        return [
            *wrapped(f"{label}:", width, initial_indent=margin, subsequent_indent=margin),
            *wrapped(text, width, initial_indent=margin + "  ", subsequent_indent=margin + "  "),
        ]
    first = " " * indent + label.ljust(LABEL)
    return wrapped(text, width, initial_indent=first, subsequent_indent=" " * len(first))


def judgement_lines(judgement: Judgement, width: int) -> Iterator[str]:
    """The whole judgement, as `sideplate judge` prints it."""
    if judgement.job:
        yield from wrapped(judgement.job, width)
    yield f"Standing: {judgement.standing}"
    for ruling in judgement.rulings:
        yield ""
        yield from ruling_lines(ruling, judgement, width)
    yield from _block("Worked out", _derived_lines(judgement, width))
    yield from _block("Set aside", _overridden_lines(judgement, width))
    yield from _block("These contradict each other", _conflict_lines(judgement, width))
    yield from _block("Look again", (line for text in judgement.warnings for line in _item(text, width)))
    yield from _block("Not stated yet, and would decide something", _open_lines(judgement, width))
    yield ""
    yield from wrapped(judgement.defer, width)


def _block(heading: str, lines: Iterable[str]) -> Iterator[str]:
    held = list(lines)
    if held:
        yield ""
        yield heading
        yield from held


def _item(text: str, width: int, indent: int = 2) -> list[str]:
    return wrapped(text, width, initial_indent=" " * indent, subsequent_indent=" " * (indent + 2))


def ruling_lines(ruling: Ruling, judgement: Judgement, width: int) -> Iterator[str]:
    """One ruling: what it says, what to do instead, why, the caution, the source."""
    yield from wrapped(f"{ruling.force.upper()}: {ruling.says}", width, subsequent_indent="  ")
    yield from labelled("Instead", ruling.instead, width)
    yield from labelled("Because", ruling.because, width)
    yield from labelled("If ignored", ruling.if_ignored, width)
    if ruling.caution is not None:
        caution = judgement.cautions[ruling.caution]
        yield from labelled("Caution", f"{caution.hazard} {caution.do}", width)
    for source in ruling.sources:
        yield from labelled("Source", source, width)
    yield from labelled("From", facts_in_line(ruling.from_facts, judgement), width)
    for fact in ruling.lifted_by:
        yield from labelled(
            "Lifted by", f"{fact}, if it turns out so: {judgement.knowledge.facts[fact].ask}", width
        )
    for overridden in ruling.overrides:
        yield from labelled("Overrides", overridden, width)
    yield from labelled("Rule", f"{ruling.rule} ({ruling.topic}{whose_rule(judgement, ruling.rule)})", width)


def whose_rule(judgement: Judgement, rule: str) -> str:
    """`, of my-school` where a rule comes from a folder laid over the built-in knowledge; else nothing."""
    knowledge = judgement.knowledge
    found = knowledge.rules.get(rule)
    if found is None or not knowledge.is_layered:
        return ""
    whose = knowledge.whose(found.at)
    return "" if whose == BUILT_IN else f", of {whose}"


def facts_in_line(steps: Iterable[Step], judgement: Judgement) -> str:
    """`chain.size 520, chain.pitch 15.875 mm`."""
    facts = judgement.knowledge.facts
    return ", ".join(f"{step.fact} {facts[step.fact].show(step.value, judgement.system)}" for step in steps)


def _derived_lines(judgement: Judgement, width: int) -> Iterator[str]:
    for name, step in judgement.derived.items():
        if judgement.knowledge.facts[name].intermediate:
            continue
        value = judgement.knowledge.facts[name].show(step.value, judgement.system)
        recalled = ", recalled figure, not verified" if step.from_memory else ""
        yield from _item(f"{name}: {value} (by {step.by}{recalled})", width)


def _overridden_lines(judgement: Judgement, width: int) -> Iterator[str]:
    for overridden in judgement.overridden:
        if overridden.differs:
            yield from _item(f"{overridden.says} ({overridden.rule})", width)
            yield from _item(
                f"Overridden by {listed(overridden.by, 'and')}: {overridden.because}", width, indent=4
            )


def _conflict_lines(judgement: Judgement, width: int) -> Iterator[str]:
    for conflict in judgement.conflicts:
        yield from _item(conflict.message, width)
        for side in conflict.sides:
            by = "the sheet" if side.by == GIVEN else side.by
            at = "" if side.at is None else f" ({side.at})"
            yield from _item(f"{by}: {side.says}{at}", width, indent=4)
            if side.from_facts:
                yield from _item(f"from {facts_in_line(side.from_facts, judgement)}", width, indent=6)


def _open_lines(judgement: Judgement, width: int) -> Iterator[str]:
    for fact in judgement.open[:MOST_OPEN]:
        yield from _item(f"{fact.fact}: {fact.ask} (for {listed(fact.would_settle, 'and', 4)})", width)
    if len(judgement.open) > MOST_OPEN:
        yield from _item(
            f"and {len(judgement.open) - MOST_OPEN} more that decide less; --json lists them all", width
        )


def why_lines(judgement: Judgement, rule: Rule, width: int) -> Iterator[str]:
    """The proof tree of one rule that fired: down to what the sheet states, with the arithmetic shown."""
    proofs = Proofs(judgement.knowledge, judgement.chained, judgement.system)
    status = status_of(judgement.knowledge, judgement.chained, rule)
    if status.status not in ("fires", "overridden"):
        yield from why_not_lines(judgement, rule, width)
        return
    set_aside = f", set aside by {listed(status.overridden_by, 'and')}" if status.overridden_by else ""
    whose = whose_rule(judgement, rule.id)
    yield from wrapped(f"Why {rule.id}: {rule.title}{whose}{set_aside}", width, subsequent_indent="  ")
    told: set[Step] = set()
    if rule.is_ruling:
        for step in proofs.of_rule(rule):
            yield from step_lines(step, judgement, width, told=told)
        return
    for result in judgement.chained.results[rule.id]:
        step = proofs.of_derivation(rule, result.fact, result.value)
        yield from step_lines(step, judgement, width, told=told)


def all_why_lines(judgement: Judgement, width: int) -> Iterator[str]:
    """The proof trees of every ruling, and of every derived fact that no ruling's tree holds."""
    told: set[str] = set()
    for ruling in judgement.rulings:
        yield ""
        yield from why_lines(judgement, judgement.knowledge.rules[ruling.rule], width)
        told |= {fact for step in ruling.from_facts for fact in _facts_in(step)}
    below = {
        fact for step in judgement.derived.values() for part in step.because_of for fact in _facts_in(part)
    }
    for name, step in judgement.derived.items():
        if name not in told | below:
            yield ""
            yield from wrapped(f"Why {name}", width)
            yield from step_lines(step, judgement, width)


def _facts_in(step: Step) -> Iterator[str]:
    yield step.fact
    for below in step.because_of:
        yield from _facts_in(below)


def step_lines(
    step: Step,
    judgement: Judgement,
    width: int,
    depth: int = 1,
    deepest: int = 20,
    told: set[Step] | None = None,
) -> Iterator[str]:
    """One step of a proof and, down to `deepest`, the steps it rests on.

    A step among `told` is named but not proved again; those proved here are added to it.
    """
    told = set() if told is None else told
    value = judgement.knowledge.facts[step.fact].show(step.value, judgement.system)
    says = "stated on the sheet" if step.by == GIVEN else f"by {step.by}{whose_rule(judgement, step.by)}"
    margin = "  " * depth
    recalled = "; recalled figure, not verified" if step.from_memory else ""
    again = step in told and bool(step.because_of or step.how)
    yield from wrapped(
        f"{step.fact} = {value} ({'proved above' if again else says + recalled})",
        width,
        initial_indent=margin,
        subsequent_indent=margin + "  ",
    )
    if again:
        return
    told.add(step)
    if step.how:
        lead = "" if step.how.startswith(("table", "the same")) else "= "
        yield from wrapped(
            f"{lead}{step.how}", width, initial_indent=margin + "  ", subsequent_indent=margin + "    "
        )
    for source in step.sources:
        yield from wrapped(
            f"source: {source}", width, initial_indent=margin + "  ", subsequent_indent=margin + "    "
        )
    if depth < deepest:
        for below in step.because_of:
            yield from step_lines(below, judgement, width, depth + 1, deepest, told)


def why_not_lines(judgement: Judgement, rule: Rule, width: int) -> Iterator[str]:
    """Why a rule gives no ruling here: what refutes it, what it waits for, what excepts or overrides it."""
    status = status_of(judgement.knowledge, judgement.chained, rule)
    for line in _why_not(judgement, rule, status):
        yield from wrapped(line, width, subsequent_indent="  ")


def _why_not(judgement: Judgement, rule: Rule, status: RuleStatus) -> Iterator[str]:
    facts = judgement.knowledge.facts
    match status.status:
        case "fires":
            yield f"{rule.id} does fire: {rule.says.fill(judgement.facts, facts, judgement.system)}"
        case "overridden":
            verb = "overrides" if len(status.overridden_by) == 1 else "override"
            yield f"{rule.id} fires, but {listed(status.overridden_by, 'and')} {verb} it."
        case "excepted":
            yield f"{rule.id} is excepted by its `unless`:"
            for test in status.reading.holding:
                yield f"  {words_of_test(test, facts, judgement.system)}"
        case "no value":
            yield f"{rule.id} applies, but has nothing to give: {status.reason}."
        case "open":
            yield f"{rule.id} cannot be told yet. Not known:"
            for name in status.missing:
                yield f"  {name}: {facts[name].ask or facts[name].means}"
        case _:
            yield f"{rule.id} does not apply:"
            for test in status.reading.refuting:
                is_so = "; ".join(
                    f"{name} is {facts[name].show(judgement.facts[name], judgement.system)}"
                    for name in test.facts()
                    if name in judgement.facts
                )
                wanted = words_of_test(test, facts, judgement.system)
                yield f"  it needs that {wanted}; {is_so or 'it is known'} ({test.at})"
