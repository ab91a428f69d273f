"""How the keys of `is this allowed` spread over the three kinds of verdict, by topic and over all.

Run `python benchmarks/verdict_spread.py [--seeds N] [--first N] [--rules]`. Every rule that gives a ruling is asked
about on N seeds. Printed are the shares, in per cent of the questions that came about: `ruled` is a key that asks for
something or forbids it, `allowed` one that has nothing against it, `more` one that cannot be told yet. Meant are 40, 40
and 20. `none` counts the seeds that gave no question, and `ms` is the processor time of a question, building the
situation included: median and 95th percentile. Nothing is asserted here; see tests/trainer/test_verdict_spread.py.
"""

from __future__ import annotations

import argparse
import time
from collections import Counter
from collections.abc import Iterable, Sequence
from statistics import quantiles

from sideplate_engine import Judge, load
from sideplate_engine.rules import Rule
from sideplate_trainer.questions import NoQuestion
from sideplate_trainer.situations import NoSituation, build
from sideplate_trainer.verdicts import CANNOT_TELL, NOTHING
from sideplate_trainer.ways.is_this_allowed import WAY

NONE = "none"
KINDS = ("ruled", "allowed", "more")


def kind_of(key: str) -> str:
    """Which of the three kinds a key is of."""
    return {NOTHING: "allowed", CANNOT_TELL: "more"}.get(key, "ruled")


def asked(judge: Judge, rule: Rule, seeds: Iterable[int]) -> list[tuple[str, float]]:
    """The kind of each question's key, or `none` where there is no question, and its seconds of processor time."""
    found: list[tuple[str, float]] = []
    for seed in seeds:
        began = time.process_time()
        try:
            kind = kind_of(WAY.pose(judge, build(judge, rule.id, seed)).key)
        except (NoSituation, NoQuestion):
            kind = NONE
        found.append((kind, time.process_time() - began))
    return found


def row(name: str, found: Sequence[tuple[str, float]]) -> str:
    """A line of the table."""
    kinds = Counter(kind for kind, _ in found)
    questions = sum(kinds[kind] for kind in KINDS)
    shares = (100 * kinds[kind] / max(1, questions) for kind in KINDS)
    cuts = quantiles([1000 * seconds for _, seconds in found], n=20)
    return (
        f"{name:<40}{questions:>10}"
        + "".join(f"{share:>9.1f}" for share in shares)
        + f"{kinds[NONE]:>7}{cuts[9]:>8.1f}{cuts[18]:>8.1f}"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=int, default=20, help="seeds a rule (default 20)")
    parser.add_argument("--first", type=int, default=0, help="the first seed (default 0)")
    parser.add_argument("--rules", action="store_true", help="print a line for each rule as well")
    options = parser.parse_args()
    seeds = range(options.first, options.first + options.seeds)
    knowledge = load().sound()
    judge = Judge(knowledge)
    by_rule = {id_: asked(judge, rule, seeds) for id_, rule in knowledge.rules.items() if rule.is_ruling}
    print(f"{'':<40}{'questions':>10}{'ruled':>9}{'allowed':>9}{'more':>9}{'none':>7}{'ms':>8}{'95 %':>8}")
    for topic in knowledge.topics:
        found = {id_: kinds for id_, kinds in by_rule.items() if knowledge.rules[id_].topic == topic}
        if not found:
            continue
        print(row(topic, [each for kinds in found.values() for each in kinds]))
        if options.rules:
            for id_, kinds in found.items():
                print(row(f"  {id_}", kinds))
    print(row("all", [each for kinds in by_rule.values() for each in kinds]))
    print(f"{len(by_rule)} rules, {options.seeds} seeds each from {options.first}")


if __name__ == "__main__":
    main()
