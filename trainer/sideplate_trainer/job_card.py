"""A judgement as a card for the person whose machine it is: what was said, what follows, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sideplate_engine import Judgement, Ruling
from sideplate_engine.vocabulary import Fact
from sideplate_trainer.telling import labelled, wrapped

HEADINGS = {
    "must not": "Do not do this",
    "must": "This has to be done",
    "should not": "Better not",
    "should": "Advised",
    "may": "Allowed",
}

MEANING = {
    "stop": "Something here must not be done as it is planned.",
    "put right": "Something has to be put right before the job is sound.",
    "take care": "The job can go on, with care in what follows.",
    "clear": "Nothing that is known speaks against the job.",
}

MOST_OPEN = 6


@dataclass(frozen=True, slots=True)
class CardRuling:
    """One ruling, in the card's words. `sources` are numbers of the card's list, from 1."""

    says: str
    instead: str
    because: str
    if_ignored: str
    caution: str
    sources: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class JobCard:
    """All that stands on a card, in its order."""

    title: str
    standing: str
    meaning: str
    told: tuple[str, ...]
    sections: tuple[tuple[str, tuple[CardRuling, ...]], ...]
    worked_out: tuple[str, ...]
    look_again: tuple[str, ...]
    open: tuple[str, ...]
    sources: tuple[str, ...]
    defer: str


def job_card(judgement: Judgement) -> JobCard:
    """The card of a judgement."""
    sources = list(dict.fromkeys(source for ruling in judgement.rulings for source in ruling.sources))
    sections = (
        (
            heading,
            tuple(
                _ruling(ruling, judgement, sources) for ruling in judgement.rulings if ruling.force == force
            ),
        )
        for force, heading in HEADINGS.items()
    )
    vocabulary = judgement.knowledge.facts
    system = judgement.system
    conflicts = (
        f"{conflict.message} {' '.join(f'{side.by}: {side.says}.' for side in conflict.sides)}"
        for conflict in judgement.conflicts
    )
    return JobCard(
        title=judgement.job or "Job card",
        standing=judgement.standing,
        meaning=MEANING[judgement.standing],
        told=tuple(_told(judgement)),
        sections=tuple((heading, rulings) for heading, rulings in sections if rulings),
        worked_out=tuple(
            f"{_named(vocabulary[name])}: {vocabulary[name].show(step.value, system)}"
            for name, step in judgement.derived.items()
            if not vocabulary[name].intermediate
        ),
        look_again=(*conflicts, *judgement.warnings),
        open=tuple(fact.ask for fact in judgement.open[:MOST_OPEN]),
        sources=tuple(sources),
        defer=judgement.defer,
    )


def _ruling(ruling: Ruling, judgement: Judgement, sources: list[str]) -> CardRuling:
    caution = judgement.cautions.get(ruling.caution or "")
    return CardRuling(
        ruling.says,
        ruling.instead,
        ruling.because,
        ruling.if_ignored,
        "" if caution is None else f"{caution.hazard} {caution.do}",
        tuple(sources.index(source) + 1 for source in ruling.sources),
    )


def _told(judgement: Judgement) -> Iterator[str]:
    vocabulary = judgement.knowledge.facts
    for name, fact in vocabulary.items():
        if name in judgement.chained.given:
            value = judgement.chained.given[name]
            yield (
                fact.tell(value, judgement.system) or f"{_named(fact)}: {fact.show(value, judgement.system)}"
            )


def _named(fact: Fact) -> str:
    return fact.means.rstrip(".")


def card_lines(card: JobCard, width: int) -> Iterator[str]:
    """The card as plain text."""
    yield from _heading(card.title, width, "=")
    yield ""
    yield from wrapped(f"{card.standing.upper()}. {card.meaning}", width)
    for heading, rulings in card.sections:
        yield ""
        yield from _heading(heading, width)
        for ruling in rulings:
            yield from _ruling_lines(ruling, width)
    for heading, items in (
        ("What was worked out", card.worked_out),
        ("Look at this again", card.look_again),
        ("What was not said and could still decide something", card.open),
        ("What was said", card.told),
    ):
        yield from _list(heading, items, width)
    yield from _list("Sources", (f"[{n}] {source}" for n, source in enumerate(card.sources, 1)), width)
    yield ""
    yield from wrapped(card.defer, width)


def _heading(heading: str, width: int, line: str = "-") -> Iterator[str]:
    lines = wrapped(heading, width)
    yield from lines
    yield line * max(map(len, lines))


def _list(heading: str, items: Iterable[str], width: int) -> Iterator[str]:
    held = list(items)
    if held:
        yield ""
        yield from _heading(heading, width)
        for item in held:
            yield from wrapped(item, width, initial_indent="  ", subsequent_indent="    ")


def _ruling_lines(ruling: CardRuling, width: int) -> Iterator[str]:
    marks = "".join(f" [{number}]" for number in ruling.sources)
    yield from wrapped(f"* {ruling.says}{marks}", width, subsequent_indent="  ")
    for label, text in (
        ("Instead", ruling.instead),
        ("Because", ruling.because),
        ("If ignored", ruling.if_ignored),
        ("Caution", ruling.caution),
    ):
        yield from labelled(label, text, width)
