"""A job card as one HTML page that needs nothing beside it and prints on paper."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape

from sideplate_trainer.job_card import CardRuling, JobCard

STYLE = """\
:root { color-scheme: light dark; }
body { font: 1rem/1.5 system-ui, sans-serif; max-width: 44rem; margin: 0 auto; padding: 1.5rem; }
h1 { font-size: 1.4rem; line-height: 1.25; margin: 0 0 1rem; }
h2 { font-size: 1.1rem; margin: 1.75rem 0 .5rem; break-after: avoid; }
.standing { border: 2px solid; padding: .6rem .9rem; margin: 0; }
.ruling { margin: 0 0 1.1rem; break-inside: avoid; }
.says { font-weight: 600; margin: 0 0 .25rem; }
dl { margin: 0; display: grid; grid-template-columns: 6.5rem 1fr; gap: .15rem .75rem; }
dt { font-style: italic; }
dd { margin: 0; }
ul, ol { margin: 0; padding-left: 1.4rem; }
.defer { border-top: 1px solid; margin-top: 2rem; padding-top: .75rem; }
@media (max-width: 30rem) { dl { display: block; } dd { margin: 0 0 .4rem; } }
@page { margin: 15mm; }
@media print {
  :root { color-scheme: light; }
  body { font-size: 10.5pt; max-width: none; padding: 0; }
}"""


def card_page(card: JobCard) -> str:
    """The page. Every text is escaped; there are no scripts and no addresses in it."""
    return "\n".join(_page(card)) + "\n"


def _page(card: JobCard) -> Iterator[str]:
    yield "<!doctype html>"
    yield '<html lang="en-GB">'
    yield "<head>"
    yield '<meta charset="utf-8">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield f"<title>{escape(card.title)}</title>"
    yield f"<style>\n{STYLE}\n</style>"
    yield "</head>"
    yield "<body>"
    yield "<main>"
    yield f"<h1>{escape(card.title)}</h1>"
    yield f'<p class="standing"><strong>{escape(card.standing.capitalize())}.</strong> {escape(card.meaning)}</p>'
    for heading, rulings in card.sections:
        yield f"<h2>{escape(heading)}</h2>"
        for ruling in rulings:
            yield from _ruling(ruling)
    yield from _list("What was worked out", card.worked_out)
    yield from _list("Look at this again", card.look_again)
    yield from _list("What was not said and could still decide something", card.open)
    yield from _list("What was said", card.told)
    yield from _list("Sources", card.sources, "ol")
    yield f'<p class="defer">{escape(card.defer)}</p>'
    yield "</main>"
    yield "</body>"
    yield "</html>"


def _ruling(ruling: CardRuling) -> Iterator[str]:
    marks = "".join(f" [{number}]" for number in ruling.sources)
    yield '<div class="ruling">'
    yield f'<p class="says">{escape(ruling.says)}{marks}</p>'
    yield "<dl>"
    for label, text in (
        ("Instead", ruling.instead),
        ("Because", ruling.because),
        ("If ignored", ruling.if_ignored),
        ("Caution", ruling.caution),
    ):
        if text:
            yield f"<dt>{label}</dt><dd>{escape(text)}</dd>"
    yield "</dl>"
    yield "</div>"


def _list(heading: str, items: Iterable[str], tag: str = "ul") -> Iterator[str]:
    held = list(items)
    if held:
        yield f"<h2>{escape(heading)}</h2>"
        yield f"<{tag}>"
        yield from (f"<li>{escape(item)}</li>" for item in held)
        yield f"</{tag}>"
