"""Where a chain bought long is cut: out come the pins of an outer link, and inner links are left at both ends."""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine import KnowledgeBase
from sideplate_site.drawing.chain import FromAbove
from sideplate_site.drawing.figures import NotInKnowledge, cells, computed, example, if_known, numbers
from sideplate_site.drawing.sprockets import SIZE
from sideplate_site.drawing.svg import (
    SMALL,
    Point,
    arrow,
    group,
    line,
    rect,
    sheet,
    text,
)
from sideplate_site.markup import Html, joined

TITLE = (
    "Cutting a chain bought long, seen from above. Odd pitches are inner links, even ones outer links. The connecting "
    "link is an outer link and counts as one pitch, so the cut leaves an inner link at either end."
)
ALT = (
    "A chain as sold, its pitches numbered, with its connecting link beside it; the two pins of one outer link are "
    "marked to be pushed out. Then the loop: the last inner link that is left, the connecting link, and the first "
    "inner link. Last, crossed out, a cut that leaves outer plates at the end, which nothing can be joined to."
)

STEP = 27.0
RULE = "pitches-to-cut-off"


@if_known
def draw(knowledge: KnowledgeBase) -> str:
    """The picture: the counts of a rule's example, the width of a usual size."""
    sold, loop = numbers(example(knowledge, RULE, "order.links", "chain.links"), "order.links", "chain.links")
    removed = computed(knowledge, "links-to-remove", S=sold, L=loop)
    if sold % 2 or loop % 2 or loop >= sold - 2:
        raise NotInKnowledge("an even loop cut from a longer even chain")
    pitch, roller, width, pin = cells(
        knowledge, "sizes", SIZE, "pitch", "roller_diameter", "inner_width", "pin_diameter"
    )
    scale = STEP / pitch
    view = FromAbove(STEP, roller * scale, width * scale, pin * scale, plate=3.2, gap=2.2, overhang=8.0)
    total, kept, off = int(sold), int(loop), int(removed)
    told = (
        f"From {total} pitches to {kept}: push out both pins of outer link {kept}. {off} pitches come off, "
        f"{kept - 1} are left, and the connecting link makes {kept}."
    )
    marks = (
        *_as_sold(view, total, kept),
        *_result(view, kept, off),
        *_wrong(view, kept),
    )
    return sheet(388, "Where to cut a chain", told, *marks)


def _links(view: FromAbove, left: float, y: float, first: int, last: int) -> Html:
    """Links numbered from first to last; the odd ones are inner links."""
    places = [(number, left + STEP * (number - first)) for number in range(first, last + 1)]
    outer = (view.outer(x, y) for number, x in places if number % 2 == 0)
    inner = (view.inner(x, y) for number, x in places if number % 2)
    return joined((*outer, *inner, *(_number(x, y, str(number)) for number, x in places)))


def _number(x: float, y: float, words: str) -> Html:
    return text((x + STEP / 2, y + 34), words, anchor="middle", size=SMALL)


def _connecting(view: FromAbove, x: float, y: float) -> Html:
    """The connecting link, with dots in place of a number."""
    frame = rect((x - 11, y - 22), STEP + 22, 44, rx=5, stroke_dasharray="4 3", stroke_width=1.6)
    return joined((view.outer(x, y), frame))


def _more(x: float, y: float) -> Html:
    return text((x, y + 5), "…", anchor="middle", size=20)


def _as_sold(view: FromAbove, sold: int, loop: int) -> Iterator[Html]:
    y = 62.0
    yield text((2, 14), f"As sold: {sold} pitches", bold=True)
    yield _links(view, 14, y, 1, 2)
    yield _more(84, y)
    cut = 106.0
    yield _links(view, cut, y, loop - 1, loop + 1)
    yield _more(cut + 3 * STEP + 18, y)
    yield _links(view, cut + 3 * STEP + 38, y, sold - 1, sold - 1)
    yield _connecting(view, 306, y)
    yield _number(306, y, str(sold))
    yield text((332, 28), "connecting link", anchor="end", size=SMALL)
    for x in (cut + STEP, cut + 2 * STEP):
        yield arrow((x, y + 70), (x, y + 40), stroke_width=2.0)
    yield text((cut + 1.5 * STEP, y + 86), f"push out both pins of outer link {loop}", anchor="middle")


def _result(view: FromAbove, loop: int, off: int) -> Iterator[Html]:
    y = 222.0
    yield line((0, 160), (360, 160), stroke_width=0.6)
    yield text((2, 180), f"{off} pitches come off: {loop - 1} and the connecting link", bold=True)
    left = 66.0
    yield _connecting(view, left + 2 * STEP, y)
    yield _links(view, left, y, loop - 2, loop - 1)
    yield _number(left + 2 * STEP, y, str(loop))
    yield _links(view, left + 3 * STEP, y, 1, 2)
    yield _more(left - 24, y)
    yield _more(left + 5 * STEP + 26, y)
    yield text((248, y - 2), "inner link at", size=SMALL)
    yield text((248, y + 13), "either end", size=SMALL)


def _wrong(view: FromAbove, loop: int) -> Iterator[Html]:
    y = 326.0
    yield line((0, 270), (360, 270), stroke_width=0.6)
    yield text((2, 290), "WRONG: outer plates left at the end", bold=True)
    left = 66.0
    yield _links(view, left, y, loop - 2, loop)
    yield _more(left - 24, y)
    end: Point = (left + 3 * STEP + 26, y)
    yield group(
        *(line((end[0] - 9, y - 9 * lean), (end[0] + 9, y + 9 * lean)) for lean in (-1, 1)), stroke_width=3.0
    )
    yield text((end[0] + 22, y - 2), "nothing for the", size=SMALL)
    yield text((end[0] + 22, y + 13), "connecting link to join", size=SMALL)
    yield text((2, 380), "Count again from the other end before you cut.")
