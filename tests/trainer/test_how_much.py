"""How much: any unit that fits, a tolerance that is told, and slips that are named."""

from __future__ import annotations

from pathlib import Path

import pint
import pytest

from sideplate_engine import Judge, KnowledgeBase
from sideplate_engine.derivations import derive
from sideplate_engine.findings import Position
from sideplate_engine.quantities import read_quantity
from sideplate_engine.vocabulary import Fact
from sideplate_trainer.questions import AnswerRefused, Marked, NoQuestion, NumberKey, Question, Slip
from sideplate_trainer.situations import NoSituation, build
from sideplate_trainer.ways.how_much import asked, mark, number_key, pose, suits, tolerance
from support.small_knowledge import rule
from support.small_practice import practice_judge, situation

PITCH_OF_520 = 15.875
"""ISO 606 gives chain 10A and 10B a pitch of 15.875 mm, which is 5/8 in; size 520 is of that pitch."""


def fact(
    unit: str = "mm", *, count: bool = False, decimals: int | None = None, agree: float | None = None
) -> Fact:
    return Fact(
        "a.fact",
        "count" if count else "quantity",
        "What is asked for.",
        Position("a test"),
        "1" if count else unit,
        decimals=decimals,
        agree=agree,
    )


def question(value: float = PITCH_OF_520, unit: str = "mm", *slips: Slip, within: float = 0.032) -> Question:
    key = NumberKey(fact(unit), value, within, slips)
    return Question("a-rule", "how_much", 1, "a.fact", {}, {}, (), (), str(value), number=key)


def marked(answer: str, asked: Question | None = None) -> Marked:
    return mark(asked or question(), answer)


@pytest.mark.parametrize(
    "answer", ["15.875 mm", '5/8"', "0.625 in", "15.9 mm", "15,9 mm", "1.5875 cm", "5/8 inch"]
)
def test_the_pitch_of_a_520_chain_is_right_in_any_unit_of_length(answer: str) -> None:
    assert marked(answer) == Marked(answer, True)


@pytest.mark.parametrize("unit", ["inch", "foot", "centimeter", "meter", "millimeter"])
def test_an_answer_that_another_library_converted_is_right(unit: str) -> None:
    # Pint, a general-purpose units library, is the outside measure of what is the same length.
    there = pint.UnitRegistry().Quantity(PITCH_OF_520, "mm").to(unit)
    assert marked(f"{there.magnitude:.9f} {unit}").right


@pytest.mark.parametrize("answer", ["16 mm", "15.8 mm", "0.62 in", "12.7 mm"])
def test_a_number_outside_the_tolerance_is_wrong(answer: str) -> None:
    assert not marked(answer).right
    assert not marked(answer).again


@pytest.mark.parametrize("answer", ["15.875", "0.625", "5/8"])
def test_a_right_number_without_a_unit_is_told_so_and_given_back(answer: str) -> None:
    back = marked(answer)
    assert (back.again, back.helped) == (True, False)
    assert back.said == ("The number is right, but it has no unit. Write it again with one.",)


@pytest.mark.parametrize("answer", ["15.875 in", "0.625 mm", "0.625 ft"])
def test_a_right_number_in_the_wrong_unit_of_length_is_told_so_and_counts_as_helped(answer: str) -> None:
    back = marked(answer)
    assert (back.again, back.helped) == (True, True)
    assert back.said[0].startswith("The number is right, but not in ")


def test_a_right_number_in_a_unit_of_something_else_is_told_so() -> None:
    back = marked("15.875 N")
    assert (back.again, back.helped) == (True, True)
    assert back.said == ("The number is right, but N is not what it is measured in. Write it again.",)


def test_a_wrong_number_without_a_unit_is_simply_wrong() -> None:
    assert marked("12.7") == Marked("12.7", False, ("It has no unit either.",))


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        ("thick", "does not begin with a number"),
        ("12 N", "a length is wanted"),
        ("9**9**9**9 mm", "holds more than one number"),
        ("15 furlongs", "is not a unit Sideplate knows"),
        ("", "does not begin with a number"),
        ("9" * 100, "is too long"),
    ],
)
def test_what_is_no_length_is_refused_and_not_marked(answer: str, says: str) -> None:
    with pytest.raises(AnswerRefused, match=says):
        marked(answer)


def test_a_bare_ratio_needs_no_unit() -> None:
    ratio = question(3.0, "1", within=0.006)
    assert marked("3", ratio).right
    assert marked("45/15", ratio).right


def test_a_percentage_given_as_a_fraction_of_one_is_asked_for_again() -> None:
    elongation = question(2.0, "%", within=0.05)
    assert marked("2 %", elongation) == Marked("2 %", True)
    assert marked("2", elongation).again
    assert marked("0.02", elongation).again


def test_a_known_slip_is_named() -> None:
    asked = question(PITCH_OF_520, "mm", Slip(7.9375, "That is half of it."))
    assert marked("7.94 mm", asked) == Marked("7.94 mm", False, ("That is half of it.",))


def test_the_tolerance_is_the_vocabularys_then_the_last_place_then_a_small_share() -> None:
    assert tolerance(fact(agree=0.3), 1000.0) == 0.3
    assert tolerance(fact(decimals=1), 2.0) == 0.05
    assert tolerance(fact(decimals=3), PITCH_OF_520) == pytest.approx(0.032)
    assert tolerance(fact(count=True), 110) == 0


def test_no_known_slip_lies_where_a_right_answer_could(judge: Judge) -> None:
    small = number_key(judge, fact(decimals=1), 0.1, (), {})
    assert all(abs(slip.value - 0.1) > 2 * small.within for slip in small.slips)
    assert number_key(judge, fact(decimals=0), 0.0, (), {}).slips == ()


def test_inches_taken_for_millimetres_and_half_and_double_are_known_slips(judge: Judge) -> None:
    values = [slip.value for slip in number_key(judge, fact(), 25.4, (), {}).slips]
    assert values == pytest.approx([25.4 * 25.4, 1.0, 12.7, 50.8, -25.4])


def test_an_odd_count_and_a_rounded_down_length_are_known_slips(chain_judge: Judge) -> None:
    # 108.69 pitches call for 110: Shigley, solutions to problem 17-26, rounds up to an even count likewise.
    facts = {"drive.pitches_exact": 108.69}
    links = chain_judge.knowledge.facts["drive.links_needed"]
    slips = {
        slip.value: slip.says
        for slip in number_key(chain_judge, links, 110, ("drive.pitches_exact",), facts).slips
    }
    assert slips[109].startswith("That count is odd")
    assert slips[111].startswith("That count is odd")
    assert slips[108] == "That is two off."
    assert 110 not in slips


def test_a_count_is_a_whole_number_and_exact(chain_judge: Judge) -> None:
    key = number_key(chain_judge, chain_judge.knowledge.facts["drive.links_needed"], 110, (), {})
    asked = Question("a-rule", "how_much", 1, "", {}, {}, (), (), "110", number=key)
    assert marked("110", asked).right
    assert "odd" in marked("109", asked).said[0]
    for answer in ("110.0", "110 links", "-110", "1e2", "٣"):
        with pytest.raises(AnswerRefused, match="whole number"):
            marked(answer, asked)


def test_a_distance_ridden_is_not_taken_for_one_in_inches(judge: Judge) -> None:
    ridden = {slip.value for slip in number_key(judge, fact("km"), 510.0, (), {}).slips}
    measured = {slip.value for slip in number_key(judge, fact("mm"), 510.0, (), {}).slips}
    assert measured - ridden == {510 * 25.4, 510 / 25.4}


def test_a_formula_too_long_to_write_down_is_told_in_words_by_its_last_hint(chain_judge: Judge) -> None:
    posed_ = pose(chain_judge, build(chain_judge, "axle-forward-from-slack", 1))
    assert "four times the distance between the shafts" in posed_.hints[-1]
    assert posed_.key not in posed_.hints[-1]


@pytest.mark.parametrize("rule_id", ["distance-per-percent-from-checks", "parts-ordered-ahead"])
def test_who_goes_on_from_figures_as_they_are_shown_is_right(chain_judge: Judge, rule_id: str) -> None:
    posed_ = pose(chain_judge, build(chain_judge, rule_id, 1))
    assert posed_.number is not None
    vocabulary, facts = chain_judge.knowledge.facts, chain_judge.outcome(posed_.facts).facts
    by = chain_judge.knowledge.rules[str(posed_.number.by)]
    derivation = next(each for each in by.derivations if each.fact == posed_.number.fact.name)
    shown = {
        name: read_quantity(vocabulary[name].show(facts[name]), vocabulary[name].unit)
        for name in derivation.reads()
    }
    there = derive(derivation, {**facts, **shown}, vocabulary).value
    assert there != posed_.number.value
    assert mark(posed_, f"{there} {posed_.number.fact.unit}").right
    assert posed_.number.within > tolerance(posed_.number.fact, posed_.number.value)


def test_a_look_up_is_asked_with_its_meaning_and_the_tolerance(judge: Judge) -> None:
    posed_ = pose(judge, situation(judge, "pitch-by-table", "bolt.size: M8"))
    assert posed_.key == "1.25 mm"
    assert posed_.asks == (
        "To be found: One turn's travel.",
        "Answer with a number and its unit, any that fits, right to within 0.05 mm.",
    )


def test_the_tolerance_that_is_told_is_the_one_that_is_used(judge: Judge) -> None:
    strength = Fact("a.fact", "quantity", "What it bears.", Position("a test"), "kN")
    key = number_key(judge, strength, 0.332, (), {})
    assert key.within == 0.00066
    assert asked(key)[1].endswith("right to within 0.00066 kN.")


def test_a_formula_is_asked_in_the_situation_it_fires_in(judge: Judge) -> None:
    posed_ = pose(judge, situation(judge, "travel-by-turns", "bolt.size: M6, bolt.turns: 12"))
    assert posed_.key == "12.0 mm"
    assert posed_.story == ("A bolt.", "It is size M6.", "It was given 12 turns.")
    assert mark(posed_, "1.2 cm").right


def test_a_number_that_the_story_already_states_is_not_asked_for(judge: Judge) -> None:
    with pytest.raises(NoQuestion, match="pitch-by-table"):
        pose(judge, situation(judge, "pitch-by-table", "bolt.size: M8, bolt.pitch: 1.25 mm"))


def test_it_suits_rules_that_work_out_or_look_up_a_number_or_rule_by_a_limit(judge: Judge) -> None:
    rules = judge.knowledge.rules
    suited = [id_ for id_ in sorted(rules) if suits(rules[id_])]
    assert suited == ["no-manual-pitch", "pitch-by-table", "travel-by-turns"]


def test_a_ruling_is_asked_by_the_number_it_goes_by_and_blamed_on_what_works_that_out(tmp_path: Path) -> None:
    judge = practice_judge(
        tmp_path, rule("came-too-far", status="checked", when="bolt.travel: {above: 9 mm}", ruling="must")
    )
    posed_ = pose(judge, situation(judge, "came-too-far", "bolt.size: M6, bolt.turns: 12"))
    assert (posed_.rule, posed_.case, posed_.key) == ("came-too-far", "bolt.travel", "12.0 mm")
    assert posed_.number is not None
    assert posed_.number.by == "travel-by-turns"
    assert mark(posed_, "12 mm").right


def test_a_limit_on_a_number_that_the_story_states_leaves_nothing_to_work_out(judge: Judge) -> None:
    with pytest.raises(NoQuestion, match="no-manual-pitch"):
        pose(judge, situation(judge, "no-manual-pitch", "bolt.nuts: 5"))


def first_posed(judge: Judge, rule_id: str) -> Question | None:
    for seed in range(3):
        try:
            return pose(judge, build(judge, rule_id, seed))
        except (NoSituation, NoQuestion):
            continue
    return None


@pytest.mark.slow
def test_on_every_rule_that_derives_a_number_the_engines_own_figure_is_marked_right(
    chain_judge: Judge, knowledge: KnowledgeBase
) -> None:
    numbers = [rule for _, rule in sorted(knowledge.rules.items()) if suits(rule)]
    without = 0
    for rule_ in numbers:
        id_ = rule_.id
        posed_ = first_posed(chain_judge, id_)
        if posed_ is None:
            # A ruling may go by a number that is read off; a rule that derives one always has it to ask for.
            without += not rule_.is_ruling
            continue
        assert posed_.number is not None
        fact_, value = posed_.number.fact, posed_.number.value
        assert mark(posed_, fact_.show(value)) == Marked(fact_.show(value), True), id_
        assert chain_judge.outcome(posed_.facts).facts[fact_.name] == value
        for slip in posed_.number.slips:
            # A slip may only be a right number in the wrong unit; then it is given back.
            slipped = mark(posed_, fact_.show(slip.value))
            assert slipped.again or not slipped.right, (id_, slip)
    assert without <= 0.05 * len(numbers)
