"""How long one judgement takes in-process, proof and texts included, on the workshop's sheets.

Run `python benchmarks/judging_speed.py`. It prints the figures; nothing asserts them.
"""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import replace
from statistics import median, quantiles

from sideplate_engine import Judge, KnowledgeBase, built_in_folder, load, read_sheet_file
from sideplate_engine.strata import stratify
from sideplate_engine.vocabulary import Value

ROUNDS = 40
FEWER_RULES = 60


def with_fewer_rules(knowledge: KnowledgeBase, number: int) -> KnowledgeBase:
    """The knowledge with only that many rules: those that derive first, since the others read them."""
    deriving_first = sorted(knowledge.rules.values(), key=lambda rule: (rule.is_ruling, rule.id))
    ordered = deriving_first[: number // 2] + deriving_first[::-1][: number - number // 2]
    rules = {rule.id: rule for rule in sorted(ordered, key=lambda rule: rule.id)}
    kept = {
        id_: replace(rule, overrides=tuple(o for o in rule.overrides if o in rules))
        for id_, rule in rules.items()
    }
    return replace(knowledge, rules=kept, strata=stratify(kept.values()))


def measure(title: str, judge: Judge, sheets: list[Mapping[str, Value]]) -> None:
    judge.judge(sheets[0])  # the first judgement compiles the rules
    times: list[float] = []
    for _ in range(ROUNDS):
        for sheet in sheets:
            started = time.perf_counter()
            judge.judge(sheet)
            times.append((time.perf_counter() - started) * 1000)
    cut = quantiles(times, n=100)
    print(
        f"{title}: median {median(times):.2f} ms, 99th percentile {cut[98]:.2f} ms over {len(times)} judgements"
    )


def main() -> None:
    knowledge = load().knowledge
    jobs = sorted((built_in_folder() / "workshop" / "jobs").glob("*.yaml"))
    sheets = [read_sheet_file(job, knowledge.facts).facts for job in jobs]
    measure(f"all {len(knowledge.rules)} rules", Judge(knowledge), sheets)
    measure(f"{FEWER_RULES} rules", Judge(with_fewer_rules(knowledge, FEWER_RULES)), sheets)
    judge = Judge(knowledge)
    started = time.perf_counter()
    for _ in range(ROUNDS):
        for sheet in sheets:
            judge.outcome(sheet)
    each = (time.perf_counter() - started) * 1000 / (ROUNDS * len(sheets))
    print(f"outcome alone, by the plain reading: {each:.2f} ms")


if __name__ == "__main__":
    main()
