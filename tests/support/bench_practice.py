"""The small base about bolts with a bench full of rules whose examples show what mends them.

Each rule reads facts of its own, so that most of them can stand on one sheet.
"""

from __future__ import annotations

import json
from pathlib import Path

from sideplate_engine import Judge
from sideplate_trainer.mixed_sheets import Sheet, SheetMixer
from support.small_knowledge import Files, given, judge_with, rule
from support.small_practice import situation


def one_fact_rule(
    id_: str,
    when: str,
    fires: str,
    quiet: str,
    ruling: str,
    because: str,
    topic: str = "fitting",
    **keys: str,
) -> Files:
    """A rule with a firing example and a quiet one."""
    return rule(
        id_,
        topic,
        status="checked",
        when=when,
        ruling=ruling,
        because=f"{{kind: practice, text: {json.dumps(because)}}}",
        examples=f"[{{name: one, given: {{{fires}}}, expect: fires}}, "
        f"{{name: other, given: {{{quiet}}}, expect: quiet}}]",
        **keys,
    )


RULES: tuple[Files, ...] = (
    one_fact_rule(
        "dry-bolt", "bolt.greased: no", "bolt.greased: no", "bolt.greased: yes", "should",
        "Bare flanks gall under load and then the joint can never be undone again. Grease parts them for good.",
        title="A bolt goes in greased",
    ),
    one_fact_rule(
        "bent-bolt", "bolt.marks: bent", "bolt.marks: [bent]", "bolt.marks: [rust]", "must",
        "A crooked shank carries its load on one side and cracks beneath the head.",
        title="A bent bolt is renewed",
    ),
    one_fact_rule(
        "painted-bolt", "bolt.finish: painted", "bolt.finish: painted", "bolt.finish: plated", "should not",
        "Paint creeps from between the faces within weeks and clamping goes with it.",
        title="Paint does not clamp",
    ),
    one_fact_rule(
        "few-turns", "bolt.turns: {below: 5}", "bolt.turns: 3", "bolt.turns: 8", "must",
        "Too few threads share the pull, so that the first of them shears off.",
        title="Five turns at least",
    ),
    one_fact_rule(
        "many-nuts", "bolt.nuts: {above: 2}", "bolt.nuts: 4", "bolt.nuts: 2", "must not",
        "Stacked fasteners work against each other until either one splits open.",
        title="Two nuts at most",
    ),
    one_fact_rule(
        "codes-differ", "nut.code: {differs from: bolt.code}", "bolt.code: A, nut.code: B",
        "bolt.code: A, nut.code: A", "must not",
        "Makers cut to tolerances of their own, which do not mate in every case.",
        title="The nut carries the bolt's own code", about="use-the-bolt",
    ),
    one_fact_rule(
        "long-bolt", "bolt.length: {above: 100 mm}", "bolt.length: 120 mm", "bolt.length: 90 mm", "should",
        "What sticks out catches sleeves and knocks against whatever passes beside it.",
        title="A bolt does not stick out",
    ),
    one_fact_rule(
        "thick-grip", "bolt.grip: {above: 4 in}", "bolt.grip: 5 in", "bolt.grip: 3 in", "should not",
        "Over a deep stack the shank stretches like a spring and loosens by itself.",
        title="A deep stack is no work for one bolt",
    ),
    one_fact_rule(
        "tagged-bolt", "bolt.tags: SPARE", "bolt.tags: [SPARE]", "bolt.tags: [USED]", "may",
        "Whatever carries the storeman's label was looked over before it went on the shelf.",
        title="What is tagged may be used",
    ),
)  # fmt: skip


TOOLS: Files = {
    "vocabulary/cut.yaml": """\
cut.tool:
  kind: choice
  choices: {saw: A saw., torch: A flame., shears: Two blades., knife: A knife., wire: A wire.}
  means: What it was cut with.
  ask: What was it cut with?
  says: "It was cut with this: {value}."
"""
}
"""A fact that names a part to choose, of which the base about bolts has none."""

CUTS: tuple[Files, ...] = (
    TOOLS,
    one_fact_rule(
        "sawn-bolt", "cut.tool: saw", "cut.tool: saw", "cut.tool: knife", "must not",
        "Where teeth tore the skin off, rust begins within days.",
    ),
    one_fact_rule(
        "burnt-bolt", "cut.tool: torch", "cut.tool: torch", "cut.tool: knife", "should not",
        "A flame draws the temper out of the end that was cut.",
    ),
    one_fact_rule(
        "wire-at-a-nut", "{cut.tool: wire, bolt.nuts: {above: 0}}", "cut.tool: wire, bolt.nuts: 1",
        "cut.tool: knife, bolt.nuts: 1", "must not", "A wire cannot be drawn past what is screwed on.",
    ),
)  # fmt: skip
"""Rules that object to some of those parts."""


def bench_judge(folder: Path, *more: Files) -> Judge:
    """A judge on the small base with the bench of rules, and more if they are named."""
    return judge_with(folder, *RULES, *more)


def mixer_of(judge: Judge, rule_id: str, facts: str, *near: tuple[str, str], seed: int = 1) -> SheetMixer:
    """A mixer for a situation of these facts."""
    return SheetMixer(judge, situation(judge, rule_id, facts, *near, seed=seed))


def sheet_of(mixer: SheetMixer, facts: str) -> Sheet:
    """A sheet of these facts, which must go together."""
    sheet = mixer.sheet(given(mixer.judge, facts))
    assert sheet is not None
    return sheet
