"""Slack, axle shift, swingarm and adjuster: what each function does, and that each pair undoes the other."""

from __future__ import annotations

from math import hypot, pi

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from sideplate_engine import geometry

slacks = st.floats(min_value=0.5, max_value=120)
runs = st.floats(min_value=200, max_value=1000)
radius_differences = st.floats(min_value=-40, max_value=120)
arms_front = st.floats(min_value=30, max_value=150)
arms_rear = st.floats(min_value=350, max_value=800)
near_the_line = st.floats(min_value=-0.6, max_value=0.6).map(lambda tilt: pi + tilt)


@given(slack=slacks, run=runs)
def test_slack_comes_back_from_the_spare_chain_it_shows(slack: float, run: float) -> None:
    spare = geometry.spare_from_slack(slack, run)
    assert geometry.slack_from_spare(spare, run) == pytest.approx(slack, rel=1e-9)


@given(slack=slacks, run=runs)
def test_spare_chain_is_what_two_legs_of_the_v_measure_beyond_the_run(slack: float, run: float) -> None:
    leg = hypot(run / 2, slack / 2)
    assert geometry.spare_from_slack(slack, run) == pytest.approx(2 * leg - run, abs=1e-9)


@given(now=slacks, wanted=slacks, centres=runs, difference=radius_differences)
def test_the_axle_shift_gives_the_slack_it_was_worked_out_for(
    now: float, wanted: float, centres: float, difference: float
) -> None:
    shift = geometry.axle_back(now, wanted, centres, difference)
    assert geometry.slack_at(now, centres, centres + shift, difference) == pytest.approx(wanted, rel=1e-7)


@given(now=slacks, wanted=slacks, centres=runs, difference=radius_differences)
def test_less_slack_always_means_the_axle_goes_back(
    now: float, wanted: float, centres: float, difference: float
) -> None:
    assume(abs(now - wanted) > 0.01)
    assert (geometry.axle_back(now, wanted, centres, difference) > 0) == (wanted < now)


@given(now=slacks, wanted=slacks, centres=runs)
def test_going_back_and_coming_forward_again_ends_where_it_began(
    now: float, wanted: float, centres: float
) -> None:
    back = geometry.axle_back(now, wanted, centres)
    assert geometry.axle_forward(wanted, now, centres + back) == pytest.approx(back, abs=1e-9)


def test_half_a_millimetre_of_axle_turns_45_mm_of_slack_into_30_mm() -> None:
    # (45² - 30²) / (4 × 600) = 0.469 by hand, legs of the V taken to second order.
    assert geometry.axle_back(45, 30, 600) == pytest.approx(0.469, abs=0.001)


def test_the_same_shift_changes_a_tight_chain_more_than_a_slack_one() -> None:
    lost_from_20 = 20 - geometry.slack_at(20, 600, 600.15)
    lost_from_40 = 40 - geometry.slack_at(40, 600, 600.15)
    assert lost_from_20 > 2 * lost_from_40


def test_unequal_sprockets_change_an_axle_shift_by_two_to_three_per_cent() -> None:
    # Pitch radii of 13 and 52 teeth at 15.875 mm, p / (2 sin(pi/N)).
    front, rear = 33.168, 131.466
    ratio = geometry.axle_back(45, 30, 570, rear - front) / geometry.axle_back(45, 30, 570)
    assert 1.02 < ratio < 1.035


def test_two_lengths_of_chain_go_with_one_of_axle() -> None:
    gained = geometry.taut_length(601) - geometry.taut_length(600)
    assert gained == pytest.approx(2)


@given(front=arms_front, rear=arms_rear, angle=st.floats(min_value=0.3, max_value=pi - 0.01))
def test_the_angle_at_the_pivot_comes_back_from_the_distance(front: float, rear: float, angle: float) -> None:
    distance = geometry.axle_distance(front, rear, angle)
    assert geometry.angle_from_distance(front, rear, distance) == pytest.approx(angle, rel=1e-6)


@given(front=arms_front, rear=arms_rear, one=near_the_line, other=near_the_line)
def test_no_place_in_the_stroke_is_tighter_than_the_tightest(
    front: float, rear: float, one: float, other: float
) -> None:
    tightest = geometry.tightest_distance(front, rear, one, other)
    steps = (one + (other - one) * step / 40 for step in range(41))
    assert all(geometry.axle_distance(front, rear, angle) <= tightest + 1e-9 for angle in steps)


def test_a_stroke_through_the_line_is_tightest_in_line() -> None:
    assert geometry.tightest_distance(80, 600, pi + 0.2, pi - 0.1) == pytest.approx(680)
    assert geometry.distance_in_line(80, 600) == pytest.approx(680)


def test_a_stroke_that_stops_short_of_the_line_is_tightest_at_its_end() -> None:
    assert geometry.tightest_distance(80, 600, pi + 0.3, pi + 0.1) == pytest.approx(
        geometry.axle_distance(80, 600, pi + 0.1)
    )


def test_the_angle_falls_through_half_a_turn_as_the_wheel_rises() -> None:
    pivot, countershaft = (0.0, 0.0), (80.0, 0.0)
    low, level, high = (
        geometry.angle_at_pivot(pivot, countershaft, (-590.0, height)) for height in (-100.0, 0.0, 100.0)
    )
    assert low > level > high
    assert level == pytest.approx(pi)


@given(kept=slacks, front=arms_front, rear=arms_rear, stand=near_the_line)
def test_slack_set_on_the_stand_leaves_what_was_to_be_kept_at_the_tightest(
    kept: float, front: float, rear: float, stand: float
) -> None:
    tightest, on_stand = front + rear, geometry.axle_distance(front, rear, stand)
    to_set = geometry.slack_to_set(kept, tightest, on_stand)
    assert to_set >= kept - 1e-9
    assert geometry.slack_at(to_set, on_stand, tightest) == pytest.approx(kept, rel=1e-6)


def test_a_chain_too_short_for_the_stroke_has_no_slack_and_a_shortage() -> None:
    on_stand = geometry.axle_distance(80, 600, pi - 0.35)
    assert geometry.slack_at(30, on_stand, 680) == 0
    assert geometry.shortage_at(30, on_stand, 680) > 0
    assert geometry.shortage_at(30, 680, on_stand) == 0


def test_slack_through_the_stroke_is_least_in_line() -> None:
    angles = [pi + 0.12, pi + 0.06, pi, pi - 0.06]
    slack = geometry.slack_through_stroke(60, pi + 0.12, angles, 80, 600)
    assert slack[0] == pytest.approx(60)
    assert min(slack) == slack[2]
    assert slack[1] == pytest.approx(slack[3])


@given(elongation=st.floats(min_value=0, max_value=0.05), links=st.integers(min_value=20, max_value=250))
def test_elongation_comes_back_from_the_travel_it_used(elongation: float, links: int) -> None:
    travel = geometry.travel_used(elongation, links, 15.875)
    assert geometry.elongation_at_travel(travel, links, 15.875) == pytest.approx(elongation)


def test_two_per_cent_on_114_links_of_five_eighths_uses_18_mm_of_adjuster() -> None:
    # 114 × 15.875 mm = 1809.75 mm; 2 % of it is 36.195 mm of chain, half of that axle travel.
    assert geometry.travel_used(0.02, 114, 15.875) == pytest.approx(18.0975)


@pytest.mark.parametrize(
    "call",
    [
        lambda: geometry.run_length(50, 60),
        lambda: geometry.spare_from_slack(-1, 600),
        lambda: geometry.spare_from_slack(10, 0),
        lambda: geometry.slack_from_spare(-0.1, 600),
        lambda: geometry.axle_back(30, -1, 600),
        lambda: geometry.axle_back(0, 500, 101, 100),
        lambda: geometry.angle_from_distance(80, 600, 700),
    ],
)
def test_impossible_geometry_is_refused(call: object) -> None:
    assert callable(call)
    with pytest.raises(ValueError, match=r"must|no position|cannot lie"):
        call()


def test_every_listed_function_is_the_one_of_that_name() -> None:
    assert geometry.FUNCTIONS
    assert all(getattr(geometry, name) is function for name, function in geometry.FUNCTIONS.items())
