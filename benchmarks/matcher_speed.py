"""How fast the matcher and the compiled plain reading judge one stratum of 60, 120 and 480 conjunctions.

    python benchmarks/matcher_speed.py

The base is invented and seeded: one to four conditions a conjunction over 40 facts, of which a job states
seven in ten; about an eighth of the conjunctions hold. Both readings are checked against each other first.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from random import Random
from statistics import quantiles
from time import perf_counter, process_time

from sideplate_engine.conditions import Condition, Conjunction, Relation, Scalar
from sideplate_engine.matcher import Matcher
from sideplate_engine.plain_reading import compile_conjunctions

SIZES = (60, 120, 480)
JOBS = 500
ROUNDS = 4

WORDS = ("plain", "sealed", "clip", "rivet", "street", "off-road")
NUMBERS = tuple(float(number) for number in range(12))
FACTS: dict[str, tuple[Scalar, ...]] = {
    f"part.fact_{number}": (WORDS, NUMBERS, (True, False))[number % 3] for number in range(40)
}

Judge = Callable[[int, Mapping[str, Scalar]], frozenset[str]]


def condition(chance: Random) -> Condition:
    name, pool = chance.choice(list(FACTS.items()))
    if chance.random() < 0.15:
        return Condition(name, Relation.UNKNOWN)
    if pool is NUMBERS:
        return Condition(name, chance.choice((Relation.ABOVE, Relation.AT_MOST)), chance.choice(pool))
    if pool is WORDS:
        return Condition(
            name, chance.choice((Relation.ONE_OF, Relation.NONE_OF)), tuple(chance.sample(pool, 3))
        )
    return Condition(name, Relation.EQUALS, chance.choice(pool))


def report(name: str, judge: Judge, jobs: list[dict[str, Scalar]]) -> None:
    times = []
    spent = process_time()
    for job in jobs * ROUNDS:
        begun = perf_counter()
        judge(0, job)
        times.append(perf_counter() - begun)
    spent = process_time() - spent
    percent = quantiles(times, n=100)
    median, slow = percent[49] * 1e6, percent[98] * 1e6
    print(
        f"  {name:<24}{len(times) / spent:>10,.0f} a CPU-second   median {median:7.1f} µs   99% {slow:7.1f} µs"
    )


def main() -> None:
    for size in SIZES:
        chance = Random(size)
        base = [
            Conjunction(f"k{number}", 0, tuple(condition(chance) for _ in range(chance.randrange(1, 5))))
            for number in range(size)
        ]
        jobs: list[dict[str, Scalar]] = [
            {name: chance.choice(pool) for name, pool in FACTS.items() if chance.random() < 0.7}
            for _ in range(JOBS)
        ]
        begun = perf_counter()
        matcher = Matcher(base)
        compiling = perf_counter() - begun
        plainly = compile_conjunctions(base)
        found = [matcher.matches(0, job) for job in jobs]
        if found != [plainly(0, job) for job in jobs]:
            raise SystemExit("the two readings differ")
        firings = sum(map(len, found)) / len(jobs)
        print(f"{size} conjunctions, {firings:.0f} hold of a job, compiled in {compiling * 1000:.1f} ms")
        report("matcher", matcher.matches, jobs)
        report("plain reading, compiled", plainly, jobs)


if __name__ == "__main__":
    main()
