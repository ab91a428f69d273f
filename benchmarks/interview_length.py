"""How many questions `sideplate ask` puts, when an adviser answers from each of the workshop's full job sheets.

Run `python benchmarks/interview_length.py [EVERY]`: EVERY 5 takes each fifth sheet only. A question may be a list to
tick off; the facts that the questions went through are counted too. It prints the figures; a test asserts the average.
"""

from __future__ import annotations

import sys
from pathlib import Path
from statistics import mean

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "tests"))

from sideplate_engine import Judge, built_in_folder, load, read_sheet_file
from sideplate_engine.interview_questions import ClaimsQuestion, DoubtsQuestion
from support.sheet_adviser import Answered, answered_from, comes_to, relevant_facts


def facts_gone_through(answered: Answered) -> int:
    """How many facts the questions were about, those on lists counted one by one."""
    count = 0
    for question in answered.questions:
        if isinstance(question, ClaimsQuestion):
            count += len({claim.fact for claim in question.claims})
        else:
            count += len(question.values) if isinstance(question, DoubtsQuestion) else 1
    return count


def main() -> None:
    every = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    knowledge = load().sound()
    judge = Judge(knowledge)
    shares: list[float] = []
    questions: list[int] = []
    for job in sorted((built_in_folder() / "workshop" / "jobs").glob("*.yaml"))[::every]:
        sheet = read_sheet_file(job, knowledge.facts).facts
        answered = answered_from(knowledge, sheet)
        relevant = relevant_facts(knowledge, answered.parts)
        same = comes_to(knowledge, judge.outcome(sheet)) == comes_to(knowledge, judge.outcome(answered.facts))
        questions.append(len(answered.questions))
        shares.append(len(answered.questions) / len(relevant))
        print(
            f"{job.stem:45} {len(answered.questions):3} questions about {facts_gone_through(answered):3} facts"
            f" of {len(relevant):3}: {shares[-1]:.2f}{'' if same else '  ANOTHER JUDGEMENT'}"
        )
    print(
        f"{len(shares)} sheets: {mean(questions):.1f} questions on average, {mean(shares):.3f} of the relevant facts"
    )


if __name__ == "__main__":
    main()
