"""How long it takes to check the built-in base, to check again what changed, and to change every rule.

Run `python benchmarks/checking_speed.py`. It prints the figures; nothing asserts them.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from sideplate_engine import KnowledgeBase, built_in_folder
from sideplate_engine.dependence import Dependence
from sideplate_engine.loading import Trees
from sideplate_engine.mutation import Strength, strength_of
from sideplate_trainer.checking import check_folders

Focus = Callable[[KnowledgeBase], frozenset[str] | None]


@contextmanager
def timed(title: str) -> Iterator[None]:
    """Prints how long what is done inside takes, by the clock and by the processor."""
    clock, processor = time.perf_counter(), time.process_time()
    yield
    print(
        f"{title:<44}{time.perf_counter() - clock:7.2f} s{time.process_time() - processor:9.2f} s of processor"
    )


def after_a_change_of(id_: str) -> Focus:
    return lambda base: frozenset({id_, *Dependence(base).above(id_)})


def main() -> None:
    folders, trees = (built_in_folder(),), Trees()
    with timed("the whole base"):
        checked = check_folders(folders, trees=trees)
    for id_ in ("hot-water-on-rings", "pitch-by-table"):
        with timed(f"again after a change of {id_}"):
            check_folders(folders, trees=trees, focus=after_a_change_of(id_))
    total = Strength()
    with timed("every rule changed in every small way"):
        for _, strength in strength_of(checked.knowledge):
            total += strength
    print(f"{total.made} changes, {total.caught} noticed, {total.score:.1%}")


if __name__ == "__main__":
    main()
