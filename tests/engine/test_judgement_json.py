"""The shape of a judgement as JSON: others read it, so every key of it is frozen here."""

from __future__ import annotations

import json

from sideplate_engine import Judge, judgement_as_data
from sideplate_engine.judgement import DEFER
from support.small_knowledge import JudgeWith, given, rule

RULES = (
    rule(
        "pitch",
        derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}",
        overrides="[guess]",
        because="{kind: standard, text: It is printed.}",
    ),
    rule("guess", when="bolt.size: known", derive="bolt.pitch: 2 mm", says="The pitch is {bolt.pitch}."),
    rule("travel", derive="bolt.travel: {formula: travel}"),
    rule(
        "far",
        "checking",
        when="bolt.travel: {above: 5 mm}",
        unless="bolt.greased: yes",
        ruling="must not",
        says="Do not turn it {bolt.turns} times.",
        instead="Stop at {5 mm}.",
        caution="sharp-edges",
        if_ignored="The thread strips.",
        about="use-the-bolt",
        sources="[{work: thread-book, at: page 2}]",
    ),
    rule("use", when="bolt.size: M4", ruling="may", about="use-the-bolt", says="Use it."),
    rule("nuts", when="bolt.turns: {above: 3}\nbolt.nuts: 1"),
    rule("flag", when="bolt.size: M4", derive="bolt.ready: yes\nbolt.marks: [rust, bent]"),
)
SIZE = {"fact": "bolt.size", "value": "M4", "by": "given", "how": "", "from": []}
TURNS = {"fact": "bolt.turns", "value": 10, "by": "given", "how": "", "from": []}
ROW = "table threads, row M4, column pitch"
PITCH = {"fact": "bolt.pitch", "value": 0.7, "by": "pitch", "how": ROW, "from": [SIZE]}
TRAVEL = {"fact": "bolt.travel", "value": 7.0, "by": "travel", "how": "10×(0.70 mm)", "from": [TURNS, PITCH]}


def data(judge: Judge, facts: str) -> dict[str, object]:
    judgement = judge.judge(given(judge, facts), job="A bolt", warnings=["Measure again."])
    made = judgement_as_data(judgement)
    assert json.loads(json.dumps(made)) == made, "it holds only what JSON holds"
    return made


def test_a_whole_judgement_keeps_its_shape(judge_of: JudgeWith) -> None:
    judge = judge_of(*RULES)
    made = data(judge, "bolt.size: M4, bolt.turns: 10")
    path = judge.knowledge.rules["far"].at.path.removesuffix("checking/far.yaml")
    whose = path.removesuffix("/rules/")
    assert made == {
        "job": "A bolt",
        "standing": "stop",
        "rulings": [
            {
                "rule": "far",
                "whose": whose,
                "topic": "checking",
                "force": "must not",
                "says": "Do not turn it 10 times.",
                "instead": "Stop at 5 mm.",
                "because": "It is done so.",
                "if_ignored": "The thread strips.",
                "sources": ["The book of threads, page 2"],
                "caution": "sharp-edges",
                "lifted_by": ["bolt.greased"],
                "from": [TRAVEL],
            },
            {
                "rule": "use",
                "whose": whose,
                "topic": "fitting",
                "force": "may",
                "says": "Use it.",
                "instead": "",
                "because": "It is done so.",
                "if_ignored": "It comes loose.",
                "sources": ["The book of threads"],
                "caution": None,
                "lifted_by": [],
                "from": [SIZE],
            },
        ],
        "derived": {
            "bolt.marks": {
                "value": ["bent", "rust"], "by": "flag", "whose": whose,
                "how": "", "from_memory": False, "from": [SIZE],
            },
            "bolt.pitch": {
                "value": 0.7,
                "unit": "mm",
                "by": "pitch", "whose": whose,
                "how": ROW,
                "from_memory": False,
                "from": [SIZE],
            },
            "bolt.ready": {
                "value": True, "by": "flag", "whose": whose,
                "how": "", "from_memory": False, "from": [SIZE],
            },
            "bolt.travel": {
                "value": 7.0,
                "unit": "mm",
                "by": "travel", "whose": whose,
                "how": "10×(0.70 mm)",
                "from_memory": False,
                "from": [TURNS, PITCH],
            },
        },
        "open": [{"fact": "bolt.nuts", "ask": "How many nuts are on it?", "would_settle": ["nuts"]}],
        "overridden": [
            {
                "rule": "guess",
                "by": "pitch",
                "says": "The pitch is 2.00 mm.",
                "because": "It is printed.",
                "differs": True,
            }
        ],
        "conflicts": [
            {
                "about": "use-the-bolt",
                "message": "Two rules give opposed rulings about one thing: Using the bolt that is at hand.",
                "sides": [
                    {
                        "by": "far",
                        "says": "must not: Do not turn it 10 times.",
                        "at": f"{path}checking/far.yaml:1:1",
                        "from": [TRAVEL],
                    },
                    {"by": "use", "says": "may: Use it.", "at": f"{path}fitting/use.yaml:1:1", "from": [SIZE]},
                ],
            }
        ],
        "warnings": ["Measure again."],
        "cautions": [{"id": "sharp-edges", "hazard": "Threads cut.", "do": "Wear gloves."}],
        "defer": DEFER,
    }  # fmt: skip


def test_a_judgement_of_nothing_has_every_key(judge_of: JudgeWith) -> None:
    assert data(judge_of(), "") == {
        "job": "A bolt",
        "standing": "clear",
        "rulings": [],
        "derived": {},
        "open": [],
        "overridden": [],
        "conflicts": [],
        "warnings": ["Measure again."],
        "cautions": [],
        "defer": DEFER,
    }


def test_a_side_that_is_the_sheets_has_no_place(judge_of: JudgeWith) -> None:
    judge = judge_of(*RULES)
    judgement = judge.judge(given(judge, "bolt.size: M4, bolt.pitch: 3 mm"))
    (conflict,) = judgement_as_data(judgement)["conflicts"]
    stated, ruled = conflict["sides"]
    assert (stated["by"], stated["at"], ruled["by"]) == ("given", None, "pitch")


def test_values_stay_in_the_stored_unit_whatever_the_readers_are(judge_of: JudgeWith) -> None:
    judge = judge_of(*RULES)
    facts = given(judge, "bolt.size: M4, bolt.turns: 10")
    made = judgement_as_data(judge.judge(facts, system="us"))
    assert made["derived"]["bolt.travel"]["value"] == 7.0
    assert made["derived"]["bolt.travel"]["how"] == "10×(0.028 in)"
    assert made["rulings"][0]["instead"] == "Stop at 0.197 in."
