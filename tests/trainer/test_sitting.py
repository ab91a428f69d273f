"""A sitting: what it does with the questions of a round, driven by lines that a front end was told."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path

import pytest

from sideplate_engine import Judge
from sideplate_trainer.answer_log import AnswerLog
from sideplate_trainer.asked_about import fingerprint_of
from sideplate_trainer.blocks import Block
from sideplate_trainer.front.face import Asking
from sideplate_trainer.posing import posed
from sideplate_trainer.questions import Option, Question
from sideplate_trainer.round import begin
from sideplate_trainer.round_events import Planned
from sideplate_trainer.schedule import replay
from sideplate_trainer.sitting import Sitting

NOW = datetime(2026, 3, 2, 18, 30, tzinfo=UTC)
RULE, PROCEDURE = "petrol-on-rings", "procedure:fit-a-clip-link"


class Reader:
    """A front end that gives lines, and keeps what it is shown and told."""

    width = 80

    def __init__(self, *lines: str) -> None:
        self._lines: Iterator[str] = iter(lines)
        self.shown: list[Question] = []
        self.told: list[Block] = []
        self.asked: list[Asking] = []

    def tell(self, blocks: Sequence[Block]) -> None:
        self.told += blocks

    def tell_lines(self, lines: Iterable[str]) -> None:
        self.told.append(Block("", tuple(lines)))

    def show(self, question: Question, heading: str) -> None:
        self.shown.append(question)

    def ask(self, asking: Asking) -> str:
        self.asked.append(asking)
        for line in self._lines:
            return line
        raise EOFError


@pytest.fixture
def log(tmp_path: Path) -> Iterator[AnswerLog]:
    with AnswerLog(tmp_path / "record.sqlite3", "0") as log:
        yield log


def sat(
    judge: Judge,
    log: AnswerLog,
    plans: Sequence[Planned],
    *lines: str,
    seen: Iterable[Question] = (),
) -> Reader:
    """A round on these plans, answered by these lines until they end."""
    reader = Reader(*lines)
    round_id = log.begin_round({}, [], len(plans), NOW.date(), NOW)
    sitting = Sitting(
        judge=judge,
        face=reader,
        log=log,
        round_id=round_id,
        fingerprints={plan.rule: fingerprint_of(judge.knowledge, plan.rule) for plan in plans},
        topic="All topics",
        day=NOW.date(),
        clock=lambda: NOW,
        due=frozenset(),
        standings=replay,
        seen={question.look for question in seen},
    )
    state, effects = begin(tuple(plans), len(plans))
    try:
        sitting.run(state, effects)
    except EOFError:
        return reader
    return reader


def test_a_question_does_not_come_back_in_a_sitting_even_where_it_is_planned_twice(
    chain_judge: Judge, log: AnswerLog
) -> None:
    plan = Planned(RULE, "is_this_allowed", 3)
    reader = sat(chain_judge, log, [plan, plan], "1", "", "", "1", "", "")
    first, second = reader.shown
    assert first == posed(chain_judge, plan)
    assert first.look != second.look


def test_what_was_seen_before_a_round_was_broken_off_is_not_asked_after_it(
    chain_judge: Judge, log: AnswerLog
) -> None:
    plan = Planned(RULE, "is_this_allowed", 3)
    before = posed(chain_judge, plan)
    (question,) = sat(chain_judge, log, [plan], seen=[before]).shown
    assert question.look != before.look


def test_the_log_has_the_way_and_seed_that_a_question_came_to_rather_than_those_planned(
    chain_judge: Judge, log: AnswerLog
) -> None:
    # The rule works nothing out, so that this plan comes to a question in another way.
    (question,) = sat(chain_judge, log, [Planned(RULE, "how_much", 3)], "1", "", "").shown
    (answer,) = log.answers()
    assert (answer.way, answer.seed) == (question.way, question.seed)
    assert answer.way != "how_much"


def test_an_order_of_steps_is_logged_and_explained_under_its_procedure(
    chain_judge: Judge, log: AnswerLog
) -> None:
    plan = Planned(PROCEDURE, "steps_in_order", 4)
    key = posed(chain_judge, plan).key
    wrong = " ".join(reversed(key.split()))
    reader = sat(chain_judge, log, [plan], wrong, "", "w", "s", "")
    (answer,) = log.answers()
    assert (answer.rule, answer.misses) == (PROCEDURE, PROCEDURE)
    headings = [block.heading for block in reader.told]
    whole = headings.index("The whole work")
    assert headings.index("In order") < whole
    assert len(reader.told[whole + 1].sentences) == len(
        chain_judge.knowledge.procedures["fit-a-clip-link"].steps
    )
    sources = [block.sentences for block in reader.told if block.heading == "Source"]
    assert len(sources) == 3
    assert len(set(sources)) == 1
    assert PROCEDURE in replay(log.answers())


def test_tab_offers_the_words_of_choices_and_no_steps(chain_judge: Judge, log: AnswerLog) -> None:
    (asking,) = sat(chain_judge, log, [Planned(PROCEDURE, "steps_in_order", 4)]).asked
    assert (asking.words, asking.units) == ((), ())
    assert asking.keys.startswith("order by numbers")
    (asking,) = sat(chain_judge, log, [Planned(RULE, "is_this_allowed", 3)]).asked
    assert "nothing against it" in asking.words


def test_the_longer_proof_of_a_part_is_that_of_a_choice_on_which_the_rule_rules(
    chain_judge: Judge, log: AnswerLog
) -> None:
    rule = "harsh-solvent-on-plain-chain"

    def is_objected_to(option: Option) -> bool:
        judged = chain_judge.judge(option.facts or {})
        return option.facts is not None and rule in {ruling.rule for ruling in judged.rulings}

    plans = (Planned(rule, "which_part", seed) for seed in range(20))
    plan = next(plan for plan in plans if any(map(is_objected_to, posed(chain_judge, plan).options)))
    told = sat(chain_judge, log, [plan], "1", "", "w").told[-1].sentences
    assert any(rule in line for line in told)
    assert not any("does not apply" in line for line in told)
