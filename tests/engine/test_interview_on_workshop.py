"""An adviser who answers from a full sheet of the workshop is judged as the sheet is, and asked half as much."""

from __future__ import annotations

from statistics import mean

import pytest

from sideplate_engine import built_in_folder, read_sheet_file
from support.built_in import judge, knowledge
from support.sheet_adviser import Sheet, answered_from, comes_to, relevant_facts


def sheets() -> dict[str, Sheet]:
    jobs = sorted((built_in_folder() / "workshop" / "jobs").glob("*.yaml"))
    return {job.stem: read_sheet_file(job, knowledge().facts).facts for job in jobs}


@pytest.mark.slow
def test_every_sheet_is_judged_alike_in_half_the_questions_of_its_relevant_facts() -> None:
    base = knowledge()
    shares: dict[str, float] = {}
    otherwise: list[str] = []
    for name, sheet in sheets().items():
        answered = answered_from(base, sheet)
        if comes_to(base, judge().outcome(answered.facts)) != comes_to(base, judge().outcome(sheet)):
            otherwise.append(name)
        shares[name] = len(answered.questions) / len(relevant_facts(base, answered.parts))
    print(f"{len(shares)} sheets, {mean(shares.values()):.3f} questions for each relevant fact on average")
    assert otherwise == []
    assert len(shares) >= 40
    assert mean(shares.values()) <= 0.5


def test_the_standing_after_the_interview_is_that_of_the_full_sheet() -> None:
    name, sheet = next(iter(sheets().items()))
    full, asked = judge().judge(sheet), judge().judge(answered_from(knowledge(), sheet).facts)
    assert (asked.standing, [r.rule for r in asked.rulings]) == (
        full.standing,
        [r.rule for r in full.rulings],
    ), name
