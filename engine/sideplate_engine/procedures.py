"""Procedures: ordered work, as steps of which some must come before others."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

from sideplate_engine.file_models import Citation, ProcedureFile
from sideplate_engine.findings import Finding, Position, did_you_mean
from sideplate_engine.shape_check import read_as
from sideplate_engine.yaml_tree import Node, position_of


@dataclass(frozen=True, slots=True)
class Step:
    """One step; `after` are the ids of the steps that must be done before it."""

    id: str
    do: str
    because: str
    caution: str | None
    after: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Procedure:
    """Ordered work: any order that respects every `after` is right."""

    id: str
    title: str
    purpose: str
    steps: tuple[Step, ...]
    sources: tuple[Citation, ...]
    at: Position
    topic: str | None = None

    def first_too_early(self, order: Sequence[str]) -> tuple[Step, Step] | None:
        """The first step of `order` that comes before one it needs, with that one; None when the order is right."""
        steps = {step.id: step for step in self.steps}
        done: set[str] = set()
        for name in order:
            for needed in steps[name].after:
                if needed not in done and needed in order:
                    return steps[name], steps[needed]
            done.add(name)
        return None


def read_procedure(
    tree: Node, cautions: Collection[str], topics: Collection[str]
) -> tuple[Procedure | None, list[Finding]]:
    """A procedure from its file's tree, and all that is wrong with it."""
    shape, findings = read_as(ProcedureFile, tree)
    if shape is None:
        return None, findings
    if shape.topic is not None and shape.topic not in topics:
        message = f"no topic is called {shape.topic}{did_you_mean(shape.topic, topics)}"
        findings.append(Finding("unknown-topic", message, position_of(tree, ("topic",)), names=shape.topic))
    ids = [step.id for step in shape.steps]
    for number, step in enumerate(shape.steps):
        at = position_of(tree, ("steps", number))
        if ids.index(step.id) != number:
            findings.append(Finding("repeated-step", f"two steps are called {step.id}", at))
        for needed in step.after:
            if needed not in ids:
                message = f"no step is called {needed}{did_you_mean(needed, ids)}"
                findings.append(
                    Finding("unknown-step", message, position_of(tree, ("steps", number, "after")))
                )
        if step.caution is not None and step.caution not in cautions:
            at = position_of(tree, ("steps", number, "caution"))
            message = f"no caution is called {step.caution}{did_you_mean(step.caution, cautions)}"
            findings.append(Finding("unknown-caution", message, at, names=step.caution))
    if not findings:
        try:
            TopologicalSorter({step.id: step.after for step in shape.steps}).prepare()
        except CycleError as problem:
            message = f"these steps wait for each other: {', '.join(problem.args[1][:-1])}"
            findings.append(Finding("cycle", message, position_of(tree, ("steps",))))
    if findings:
        return None, findings
    steps = tuple(
        Step(step.id, step.do, step.because or "", step.caution, tuple(step.after)) for step in shape.steps
    )
    at = position_of(tree, ())
    sources = tuple(shape.sources)
    return Procedure(shape.id, shape.title, shape.purpose, steps, sources, at, shape.topic), []
