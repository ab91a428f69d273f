"""How long the next question takes, from its plan to the question built: processor time, by way of asking and by rung.

Run `python benchmarks/question_latency.py [--every N] [--base TEXT]`. Everything that can be asked about is planned as
it would be on each rung of the schedule, and posed in the order of a round, so that the looks of earlier questions are
compared too. Apart from these stands what is only worked out once: the first question in each way. Besides the times it
prints how often a plan came to its own way, since a rule that finds nothing to ask in one way is asked in another.
Nothing is asserted here.
"""

from __future__ import annotations

import argparse
import time
from collections import Counter, defaultdict
from collections.abc import Iterable
from statistics import median

from sideplate_engine import Judge, load
from sideplate_trainer.posing import planned, posed
from sideplate_trainer.questions import NoQuestion
from sideplate_trainer.round_events import Planned
from sideplate_trainer.round_preparing import rules_of
from sideplate_trainer.way_choice import LEVELS_BY_RUNG, ways_of
from sideplate_trainer.ways import all_ways

NONE = "no question"


def spent_on(judge: Judge, plan: Planned, seen: set[tuple[str, ...]]) -> tuple[str, float]:
    """The way that a plan came to, and the milliseconds of processor time it took."""
    began = time.process_time()
    try:
        question = posed(judge, plan, seen)
    except NoQuestion:
        return NONE, (time.process_time() - began) * 1000
    took = (time.process_time() - began) * 1000
    seen.add(question.look)
    return question.way, took


def row(name: str, times: Iterable[float], *more: str) -> str:
    """A line of a table: how many, the median, the 95th percentile and the longest in milliseconds."""
    ordered = sorted(times)
    late = ordered[min(len(ordered) - 1, int(0.95 * len(ordered)))]
    figures = f"{len(ordered):6} {median(ordered):8.1f} {late:8.1f} {ordered[-1]:8.1f}"
    return f"{name:24}{figures}  {'  '.join(more)}".rstrip()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--every", type=int, default=1, help="only every Nth rule (default 1)")
    parser.add_argument("--base", default="latency", help="what seeds are drawn from")
    asked = parser.parse_args()
    knowledge = load().knowledge
    judge = Judge(knowledge)
    ids = rules_of(knowledge, ())[:: asked.every]

    print("the first question in each way, milliseconds of processor time")
    for name in all_ways():
        suited = next(id_ for id_ in ids if name in ways_of(knowledge, id_))
        print(f"  {name:22}{spent_on(judge, Planned(suited, name, 1), set())[1]:8.1f}")

    by_way: defaultdict[str, list[float]] = defaultdict(list)
    by_rung: defaultdict[int, list[float]] = defaultdict(list)
    plans: Counter[str] = Counter()
    kept: Counter[str] = Counter()
    for rung in range(len(LEVELS_BY_RUNG)):
        seen: set[tuple[str, ...]] = set()
        for id_ in ids:
            plan = planned(knowledge, id_, rung + 1, asked.base, rung)
            way, took = spent_on(judge, plan, seen)
            by_way[way].append(took)
            by_rung[rung].append(took)
            plans[plan.way] += 1
            kept[plan.way] += way == plan.way
    print(f"{len(ids)} rules and procedures on each rung, milliseconds of processor time")
    print(f"{'':24}{'':6} {'median':>8} {'95 %':>8} {'longest':>8}")
    for way in sorted(by_way):
        own = f"{kept[way]} of {plans[way]} plans kept" if plans[way] else ""
        print(row(way, by_way[way], own))
    for rung, times in by_rung.items():
        print(row(f"rung {rung}", times))
    print(row("all", (took for times in by_way.values() for took in times)))


if __name__ == "__main__":
    main()
