"""What is told after an answer: ruling, reason, proof, source, caution, and the case next door."""

from __future__ import annotations

import pytest

from sideplate_engine import Judge
from sideplate_trainer.answers import Grade
from sideplate_trainer.blocks import Block
from sideplate_trainer.explanation import explain, sources
from sideplate_trainer.posing import posed
from sideplate_trainer.questions import Marked, NoQuestion, Option, OrderedStep, Question
from sideplate_trainer.round_events import Planned
from sideplate_trainer.ways import mark
from sideplate_trainer.ways.how_much import pose as how_much
from sideplate_trainer.ways.is_this_allowed import AS_TOLD, MORE_NEEDED, NEAR_MISS
from sideplate_trainer.ways.is_this_allowed import pose as is_this_allowed
from support.small_practice import situation


def allowed(judge: Judge, case: str) -> Question:
    for seed in range(40):
        told = situation(judge, "codes-differ", "bolt.code: A, nut.code: B", ("nut.code", "A"), seed=seed)
        question = is_this_allowed(judge, told)
        if question.case == case:
            return question
    raise AssertionError(case)


def blocks(
    judge: Judge, question: Question, answer: str, grade: Grade = Grade.SOUND
) -> dict[str, tuple[str, ...]]:
    return {
        block.heading: block.sentences for block in explain(judge, question, mark(question, answer), grade)
    }


def test_a_ruling_is_explained_with_all_that_its_rule_holds(judge: Judge) -> None:
    assert blocks(judge, allowed(judge, AS_TOLD), "must not") == {
        "Right": ("The answer is: must not.",),
        "The ruling": (
            "MUST NOT: Do not put nut B on bolt A.",
            "Instead: Take a nut of the bolt's own code.",
        ),
        "Because": ("The threads are cut to different tolerances.",),
        "If it is ignored": ("It comes loose.",),
        "How it follows": (
            "The rule codes-differ asks whether nut.code differs from bolt.code.",
            "nut.code is B, as told.",
            "bolt.code is A, as told.",
            "So it rules.",
        ),
        "Change one fact": ("The nut's code is A. Then: nothing against it.",),
        "Caution": ("Threads cut.", "Wear gloves.", "The machine's own manual comes first."),
        "Source": ("The book of threads",),
    }


def test_a_near_miss_is_explained_by_what_is_not_so(judge: Judge) -> None:
    told = blocks(judge, allowed(judge, NEAR_MISS), "nothing against it")
    assert told["The ruling"] == (
        "The rule is this: the nut carries the bolt's own code. It is silent here.",
    )
    assert told["How it follows"][-1] == "It is not so that nut.code differs from bolt.code."
    assert told["Change one fact"] == ("The nut's code is B. Then: must not.",)


def test_the_reason_of_a_silent_rule_does_not_pass_for_the_reason_of_the_answer(judge: Judge) -> None:
    for case, answer in ((NEAR_MISS, "nothing against it"), (MORE_NEEDED, "cannot tell yet")):
        told = blocks(judge, allowed(judge, case), answer)
        assert told["The reason for the rule"] == ("The threads are cut to different tolerances.",)
        assert "Because" not in told


def test_a_title_that_begins_with_an_article_is_told_inside_a_sentence(chain_judge: Judge) -> None:
    rule = chain_judge.knowledge.rules["slack-too-loose-rule-of-thumb"]
    assert rule.title.startswith("A chain ")
    question = Question(rule.id, "is_this_allowed", 1, NEAR_MISS, {}, {}, (), (), "nothing against it")
    told = blocks_of(chain_judge, question)
    assert told["The ruling"][0].startswith("The rule is this: a chain ")


def test_the_key_of_a_list_of_lines_is_told_with_what_the_line_says(chain_judge: Judge) -> None:
    asked = [
        posed(chain_judge, Planned("loose-things-near-the-chain", "what_is_wrong", seed)) for seed in range(5)
    ]
    question = next(question for question in asked if question.key.startswith("line "))
    key = next(option for option in question.options if option.word == question.key)
    right = blocks(chain_judge, question, question.key)["Right"]
    assert right[0] == f"The answer is: {key.word}: {key.means}"


def test_what_cannot_be_told_yet_is_explained_by_its_two_outcomes(judge: Judge) -> None:
    told = blocks(judge, allowed(judge, MORE_NEEDED), "cannot tell yet")
    assert told["How it follows"][-1] == "Not known: What code is on the nut?"
    assert told["Change one fact"] == (
        "The nut's code is B. Then: must not.",
        "The nut's code is A. Then: nothing against it.",
    )


def test_a_ruling_that_what_is_open_could_lift_is_told_so(chain_judge: Judge) -> None:
    asked = [posed(chain_judge, Planned("soft-brush", "is_this_allowed", seed)) for seed in range(8000, 8012)]
    question = next(question for question in asked if question.case == MORE_NEEDED and question.twins)
    told = blocks(chain_judge, question, "cannot tell yet")
    assert told["The ruling"][0].startswith("MAY: ")
    assert told["How it follows"][-2:] == ("So it rules.", "Yet what is told as not known could lift it.")


@pytest.mark.parametrize(
    ("grade", "heading"),
    [
        (Grade.SOUND, "Right"),
        (Grade.SHAKY, "Right, but not unaided and sure"),
        (Grade.MISSED, "Wrong"),
        (Grade.BLIND_SPOT, "Wrong, though you were sure"),
    ],
)
def test_the_first_word_says_whether_it_was_right(judge: Judge, grade: Grade, heading: str) -> None:
    question = allowed(judge, AS_TOLD)
    answer = "must not" if grade.is_right else "must"
    assert explain(judge, question, mark(question, answer), grade)[0].heading == heading


def test_a_wrong_answer_is_told_the_right_one_and_what_it_said(judge: Judge) -> None:
    told = blocks(judge, allowed(judge, AS_TOLD), "nothing against it", Grade.MISSED)
    assert told["Wrong"] == (
        "The answer is: must not.",
        "You said: nothing against it.",
        "That would be right if this were told instead: The nut's code is A.",
    )


def test_a_number_is_explained_with_its_arithmetic_and_the_case_next_door(judge: Judge) -> None:
    question = how_much(judge, situation(judge, "travel-by-turns", "bolt.size: M6, bolt.turns: 12"))
    told = blocks(judge, question, "12 mm")
    assert told["Right"] == ("The answer is: 12.0 mm.",)
    assert told[""] == ("After 12 turns it has come 12.0 mm.",)
    assert told["How it is worked out"] == (
        "bolt.turns is 12, as told.",
        "bolt.pitch is 1.00 mm, table threads, row M6, column pitch, by the rule pitch-by-table.",
        "bolt.travel is 12.0 mm = 12×(1.00 mm), by the rule travel-by-turns.",
    )
    assert told["Change one fact"] == ("It was given 13 turns. Then: 13.0 mm.",)


def test_a_numbers_sources_are_those_of_its_figures(judge: Judge) -> None:
    question = how_much(judge, situation(judge, "pitch-by-table", "bolt.size: M4"))
    assert "The book of threads, page 4" in sources(judge.judge(question.facts), question)


def test_what_a_rule_does_not_have_leaves_no_empty_heading(judge: Judge) -> None:
    question = how_much(judge, situation(judge, "pitch-by-table", "bolt.size: M4"))
    explained = explain(judge, question, mark(question, "0.7 mm"), Grade.SOUND)
    assert all(block.sentences for block in explained)
    assert {"Caution", "If it is ignored"}.isdisjoint(block.heading for block in explained)
    assert all(isinstance(block, Block) for block in explained)


def test_an_exception_that_holds_is_named(chain_judge: Judge) -> None:
    for rule in chain_judge.knowledge.rules.values():
        excepted = [example for example in rule.examples if example.expect == "excepted"]
        if rule.is_ruling and excepted:
            break
    question = Question(
        rule.id,
        "is_this_allowed",
        1,
        NEAR_MISS,
        excepted[0].given,
        excepted[0].given,
        (),
        (),
        "nothing against it",
    )
    told = blocks_of(chain_judge, question)
    assert any(sentence.startswith("Its exception holds: ") for sentence in told["How it follows"])


def blocks_of(judge: Judge, question: Question) -> dict[str, tuple[str, ...]]:
    marked = Marked("nothing against it", True)
    return {block.heading: block.sentences for block in explain(judge, question, marked, Grade.SOUND)}


def posed_by(way: str, judge: Judge, rule: str) -> Question:
    """A question on a rule in just this way."""
    for seed in range(20):
        try:
            question = posed(judge, Planned(rule, way, seed))
        except NoQuestion:
            continue
        if question.way == way:
            return question
    raise AssertionError(f"{way} finds nothing to ask about {rule}")


def charged_elsewhere(question: Question) -> Option:
    """A wrong choice that is charged to another rule than the one asked about."""
    return next(option for option in question.options if option.rule not in (None, question.rule))


@pytest.mark.parametrize("way", ["least_change", "missing_fact", "what_is_wrong", "which_reason"])
def test_a_wrong_choice_is_told_the_rule_it_misapplies_and_the_case_in_which_it_would_be_right(
    chain_judge: Judge, way: str
) -> None:
    question = posed_by(way, chain_judge, "loose-things-near-the-chain")
    option = charged_elsewhere(question)
    misapplied = chain_judge.knowledge.rules[str(option.rule)]
    told = blocks(chain_judge, question, option.word, Grade.MISSED)
    told_of_it = (*told["Wrong"], *told["The rule on your choice"])
    assert any(misapplied.title.rstrip(".") in sentence for sentence in told_of_it)
    assert any(sentence.startswith("Your choice would have been right") for sentence in told["Wrong"])
    source = chain_judge.knowledge.cite(misapplied.sources)[0]
    assert told["The rule on your choice"][-1].startswith(f"Source: {source}")
    assert told["Change one fact"]


def test_a_right_choice_is_told_of_no_other_rule(chain_judge: Judge) -> None:
    question = posed_by("which_reason", chain_judge, "loose-things-near-the-chain")
    assert "The rule on your choice" not in blocks(chain_judge, question, question.key)


def objected_to(judge: Judge, question: Question) -> list[str]:
    """The choices of parts to which the rule asked about objects."""
    return [
        option.word
        for option in question.options
        if option.facts is not None
        and question.rule in {ruling.rule for ruling in judge.judge(option.facts).rulings}
    ]


PARTS = tuple(Planned("harsh-solvent-on-plain-chain", "which_part", seed) for seed in range(20))


def test_a_part_is_explained_on_a_choice_that_the_rule_objects_to(chain_judge: Judge) -> None:
    asked = [question for plan in PARTS if (question := posed(chain_judge, plan)).way == "which_part"]
    objected = {question.story: objected_to(chain_judge, question) for question in asked}
    question = next(question for question in asked if objected[question.story])
    for option in question.options:
        told = blocks(chain_judge, question, option.word, Grade.MISSED)
        chosen = option.word if option.word in objected[question.story] else objected[question.story][0]
        assert told[f"The ruling on this choice: {chosen}"][0].startswith("SHOULD NOT: ")
        assert told["How it follows"][-1] == "So it rules."


def test_where_every_part_fits_one_of_them_shows_why_the_rule_is_silent(chain_judge: Judge) -> None:
    asked = [question for plan in PARTS if (question := posed(chain_judge, plan)).way == "which_part"]
    question = next(question for question in asked if not objected_to(chain_judge, question))
    told = blocks(chain_judge, question, question.options[0].word)
    assert told[f"The ruling on this choice: {question.options[0].word}"][0].endswith("It is silent here.")
    assert told["How it follows"][-1].startswith("It is not so that ")


def test_a_number_that_a_ruling_goes_by_is_explained_with_the_ruling_and_the_rule_that_gives_it(
    chain_judge: Judge,
) -> None:
    question = posed_by("how_much", chain_judge, "listed-pitch-is-wrong")
    told = blocks(chain_judge, question, "99 %", Grade.MISSED)
    assert told["The rule that gives the number"][0] == "A listed pitch is checked against the true pitch."
    assert told["The ruling"][0].startswith("MUST NOT: ")
    assert told["How it is worked out"][-1].endswith("by the rule listed-pitch-check.")
    rule = chain_judge.knowledge.rules[question.rule]
    assert {*chain_judge.knowledge.cite(rule.sources)} <= {*told["Source"]}
    assert "The rule that gives the number" not in blocks(chain_judge, question, question.key)


def test_an_answer_that_is_a_question_ends_with_its_own_mark(chain_judge: Judge) -> None:
    question = posed_by("missing_fact", chain_judge, "loose-things-near-the-chain")
    told = blocks(chain_judge, question, question.key)
    assert told["Right"][0] == f"The answer is: {question.key}"
    assert question.key.endswith("?")


@pytest.fixture
def order(chain_judge: Judge) -> Question:
    return posed(chain_judge, Planned("procedure:fit-a-clip-link", "steps_in_order", 4))


def test_a_wrong_order_is_told_a_right_one_the_step_too_early_the_cautions_and_the_sources(
    chain_judge: Judge, order: Question
) -> None:
    wrong = " ".join(reversed(order.key.split()))
    told = blocks(chain_judge, order, wrong, Grade.BLIND_SPOT)
    answer, *said = told["Wrong, though you were sure"]
    assert answer.removesuffix(f"{order.key}.") in ("The answer is: ", "A right order is: ")
    assert [line.split(":")[0] for line in said[:3]] == ["You said", "Too early", "It has to wait for this"]
    assert " ".join(line.split()[0] for line in told["In order"]) == order.key
    procedure = chain_judge.knowledge.procedures["fit-a-clip-link"]
    assert told["Source"] == tuple(chain_judge.knowledge.cite(procedure.sources))
    asked = [step for step in procedure.steps if step.id in order.case.split()]
    cautions = {chain_judge.knowledge.cautions[step.caution].hazard for step in asked if step.caution}
    assert cautions <= {*told.get("Caution", ())}


def test_the_reasons_of_an_order_are_those_of_steps_that_wait_for_each_other_at_first_hand(
    chain_judge: Judge,
) -> None:
    steps = (
        OrderedStep("Third.", "", frozenset({1, 2})),
        OrderedStep("First.", "It is first.", frozenset()),
        OrderedStep("Second.", "It is second.", frozenset({1})),
    )
    question = Question(
        "procedure:cut-a-chain", "steps_in_order", 1, "", {}, {}, (), (), "2 3 1",
        tuple(Option(step.do) for step in steps), order=steps,
    )  # fmt: skip
    told = blocks(chain_judge, question, "2 3 1")
    assert told["Right"] == ("The answer is: 2 3 1.",)
    assert told["Because"] == ("3 comes before 1: It is second.", "2 comes before 3: It is first.")


def test_where_more_than_one_order_is_right_the_answer_says_so(chain_judge: Judge) -> None:
    steps = (OrderedStep("One.", "", frozenset()), OrderedStep("Two.", "", frozenset()))
    question = Question(
        "procedure:cut-a-chain", "steps_in_order", 1, "", {}, {}, (), (), "1 2",
        tuple(Option(step.do) for step in steps), order=steps,
    )  # fmt: skip
    assert blocks(chain_judge, question, "2 1")["Right"][0] == "A right order is: 1 2."
