"""The end of a round: grades, the next checks, and what is left."""

from __future__ import annotations

from datetime import date, timedelta

from sideplate_engine import Judge
from sideplate_trainer.answers import Grade, LoggedAnswer
from sideplate_trainer.blocks import Block
from sideplate_trainer.round_state import Phase, Result, Round
from sideplate_trainer.round_summary import summary
from sideplate_trainer.schedule import replay

DAY = date(2026, 3, 2)


def finished(*results: Result, left: bool = False) -> Round:
    return Round((), len(results), phase=Phase.FINISHED, results=results, left=left)


def test_answers_are_told_worst_first_with_their_next_check(judge: Judge) -> None:
    fingerprints = dict.fromkeys(("codes-differ", "grease-it", "bent-bolt"), "f1")
    answers = [
        LoggedAnswer("codes-differ", "f1", "w", Grade.SOUND, None, DAY - timedelta(days=2)),
        LoggedAnswer("codes-differ", "f1", "w", Grade.SOUND, None, DAY),
        LoggedAnswer("grease-it", "f1", "w", Grade.BLIND_SPOT, "grease-it", DAY),
    ]
    state = finished(Result("codes-differ", Grade.SOUND), Result("grease-it", Grade.BLIND_SPOT), left=True)
    assert summary(state, judge.knowledge, replay(answers), fingerprints, DAY) == (
        Block("End of the round", ("1 of 2 right.", "You left before the end.")),
        Block("Blind spot (wrong, but sure): 1", ("A bolt goes in greased. Next check in 2 days.",)),
        Block(
            "Sound (right, unaided and sure): 1",
            ("The nut carries the bolt's own code. Next check in 5 days.",),
        ),
        Block("What is left", ("Due today: 0.", "Not met yet: 1.")),
    )


def test_a_round_without_an_answer_says_so(judge: Judge) -> None:
    assert summary(finished(), judge.knowledge, {}, {}, DAY) == (
        Block("End of the round", ("No question was answered.",)),
    )
