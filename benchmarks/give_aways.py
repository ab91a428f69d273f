"""What the wording of questions gives away, way by way: a robot that knows nothing of the trade, against chance.

Run `python benchmarks/give_aways.py [--questions N] [--way NAME]`. It poses that many questions in each way (2,000 if
nothing is said), each about a rule drawn from all that suit it, and prints how many the guessing robot got right, of
those that it had not learned from, beside blind guessing. What counts as blind guessing:

- among choices: one in as many as there are;
- of a verdict: always giving the commonest one, since all verdicts stand among the choices every time;
- of a number: nothing, since nothing is there to choose from. The robot tries the numbers of the sheet and those that
  were right most often before;
- of an order of steps: even odds on which of two comes first. It does not remember steps: to know where a step comes is
  to know the work.
"""

from __future__ import annotations

import argparse
import re
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import permutations

from guessing_robot import Item, Score, score

from sideplate_engine import Judge, load
from sideplate_trainer.asked_about import id_of_procedure
from sideplate_trainer.item_lint import faults_of
from sideplate_trainer.questions import NoQuestion, Question
from sideplate_trainer.situations import NoSituation, Situation, build
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.ways import all_ways

QUESTIONS = 2000
FIRST_SEED = 1000
TRIED_AT_MOST = 20
"""How many situations a question takes at most, on the whole; it ends with fewer questions there."""

TRIED_BEFORE = 15
"""How many of the numbers that were right most often the robot tries."""

NUMBER = re.compile(r"\d[\d.,]*(?:/\d+)?(?: (?:mm|kN|km/h|m/s|%|N|kg|°C|in|N m|km))?")


def main() -> None:
    parser = argparse.ArgumentParser(description="How far a guessing robot gets beyond chance.")
    parser.add_argument("--questions", type=int, default=QUESTIONS)
    parser.add_argument("--way", choices=sorted(all_ways()), action="append")
    asked = parser.parse_args()
    judge = Judge(load().sound())
    print(f"{'way of asking':<18} {'questions':>9} {'robot':>7} {'chance':>7} {'points':>7} {'seconds':>8}")
    for way in asked.way or sorted(all_ways()):
        began = time.process_time()
        found = robots_score(way, list(posed_in(judge, way, asked.questions)))
        spent = time.process_time() - began
        print(
            f"{way:<18} {found.questions:>9} {found.right:>7.1%} {found.chance:>7.1%} "
            f"{found.points:>+7.1f} {spent:>8.0f}",
            flush=True,
        )


def posed_in(judge: Judge, name: str, questions: int) -> Iterator[Question]:
    """Questions in one way, each on a rule that is drawn anew out of all that it suits, as far as they are fit.

    Were all rules asked about equally often, a reason that was right often before would be right seldom after that.
    """
    way, knowledge = all_ways()[name], judge.knowledge
    if way.of_procedures:
        ids = [id_of_procedure(procedure) for procedure in knowledge.procedures.values()]
    else:
        ids = [rule.id for rule in knowledge.rules.values() if way.suits(rule) and rule.status != "draft"]
    drawn = Draws("give-aways", name)
    for seed in range(FIRST_SEED, FIRST_SEED + TRIED_AT_MOST * questions):
        id_ = drawn.pick(ids)
        try:
            situation = Situation(id_, seed, {}, (), ()) if way.of_procedures else build(judge, id_, seed)
            question = way.pose(judge, situation)
        except (NoSituation, NoQuestion):
            continue
        if not faults_of(question):
            questions -= 1
            yield question
        if not questions:
            return


def robots_score(way: str, questions: Sequence[Question]) -> Score:
    """How the robot does with these questions, all in one way."""
    match way:
        case "how_much":
            return _numbers_score(questions)
        case "steps_in_order":
            found = score([item for question in questions for item in _pairs_of_steps(question)])
            return Score(found.right, found.chance, len(questions))
        case "is_this_allowed":
            return score([_verdict(question) for question in questions], _commonest(questions))
        case "what_is_wrong":
            # Its lines are the sheet itself: to remember which of them were wrong is to know the trade.
            return score([_item(question, by_word=True) for question in questions])
        case _:
            return score([_item(question) for question in questions])


def _item(question: Question, *, by_word: bool = False) -> Item:
    texts = tuple(option.text for option in question.options)
    words = tuple(option.word for option in question.options)
    return Item(
        " ".join(question.story),
        " ".join(question.asks),
        texts,
        words if by_word else texts,
        words.index(question.key),
    )


def _verdict(question: Question) -> Item:
    """A verdict, remembered together with how many sentences the story has, and how many leave something open."""
    item = _item(question)
    left_open = sum(sentence.startswith("Not ") for sentence in question.story)
    look = f"{len(question.story)} sentences, {left_open} open"
    return Item(item.stem, item.ask, item.choices, tuple(f"{name} {look}" for name in item.names), item.key)


def _commonest(questions: Sequence[Question]) -> float:
    """The share of questions that are right if always the commonest verdict is given, on deeds and on jobs."""
    keys: dict[bool, Counter[str]] = {}
    for question in questions:
        keys.setdefault(question.subject is None, Counter())[question.key] += 1
    return sum(max(counted.values()) for counted in keys.values()) / len(questions)


def _pairs_of_steps(question: Question) -> Iterator[Item]:
    """Every two steps of which one has to wait for the other, as they stand in the question."""
    for early, late in permutations(range(len(question.order)), 2):
        if early in question.order[late].after:
            first, second = sorted((early, late))
            choices = (question.order[first].do, question.order[second].do)
            yield Item(
                " ".join(question.story), "", choices, (f"step {first}", f"step {second}"), int(early > late)
            )


def _numbers_score(questions: Sequence[Question]) -> Score:
    usual = [key for key, _ in Counter(question.key for question in questions).most_common(TRIED_BEFORE)]
    items: list[Item] = []
    for question in questions:
        on_sheet = NUMBER.findall(" ".join(question.story))
        tries = tuple(dict.fromkeys((*on_sheet, *usual)))
        if question.key in tries:
            items.append(
                Item(
                    " ".join(question.story),
                    " ".join(question.asks),
                    tries,
                    tuple(f"on the sheet {word in on_sheet}, {word}" for word in tries),
                    tries.index(question.key),
                )
            )
    found = score(items)
    return Score(found.right * len(items) / len(questions), 0.0, len(questions))


if __name__ == "__main__":
    main()
