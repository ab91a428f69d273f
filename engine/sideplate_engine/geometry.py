"""Geometry of a chain drive beyond one arithmetic expression: slack, axle shift, swingarm, adjuster.

Every function is pure and takes floats. Lengths may be in any one unit, and the result is in that unit
(formula files pass metres); angles are radians. The derivations, with figures, are on the page
docs/explanation/slack-geometry.md.

The model of slack. A hand at mid-run pulls the run into a flat V, first down, then up. `slack` is the whole
movement, so each V is slack/2 deep and its two legs together measure sqrt(run² + slack²). What they measure
beyond the run itself is the *spare* chain. One of the two sprockets is free to turn (neutral is selected), so
the hand draws the spare chain of the whole loop into the run it pulls, and the other run is taut meanwhile.
Bending stiffness and the chain's own weight are left out: a hand's pull is large beside both.

`radius_difference` is the rear pitch radius less the front one. Leaving it out treats the two runs as
parallel, which puts an axle shift 2 to 3 % low for motorcycle sprockets.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from math import acos, asin, atan2, cos, hypot, pi, sqrt
from types import MappingProxyType

Point = tuple[float, float]
"""A centre seen from the side of the machine: (forward, up)."""

_NEWTON_STEPS = 25
_SETTLED = 1e-14
"""Relative step at which Newton's method has reached the floats' own grain."""


def run_length(centre_distance: float, radius_difference: float = 0.0) -> float:
    """Length of a straight run between its tangent points: sqrt(centre_distance² - radius_difference²).

    Raises:
        ValueError: the centres are no further apart than the pitch radii differ, so there is no straight run.
    """
    if centre_distance <= abs(radius_difference):
        raise ValueError("the centre distance must be greater than the difference of the pitch radii")
    return sqrt(centre_distance**2 - radius_difference**2)


def spare_from_slack(slack: float, run: float) -> float:
    """Chain beyond the straight run that a movement of `slack` at mid-run shows: sqrt(run² + slack²) - run.

    Written as slack² / (sqrt(run² + slack²) + run), which loses no digits when the slack is small.

    Raises:
        ValueError: the slack is negative or the run is not positive.
    """
    if slack < 0 or run <= 0:
        raise ValueError("slack must not be negative and the run must be longer than nothing")
    return slack**2 / (hypot(run, slack) + run)


def slack_from_spare(spare: float, run: float) -> float:
    """Movement at mid-run that `spare` chain allows, the inverse of `spare_from_slack`.

    Raises:
        ValueError: the spare length is negative or the run is not positive.
    """
    if spare < 0 or run <= 0:
        raise ValueError("spare chain must not be negative and the run must be longer than nothing")
    return sqrt(spare * (2 * run + spare))


def taut_length(centre_distance: float, radius_difference: float = 0.0) -> float:
    """Loop pulled taut round both sprockets, less the two half pitch circles, which no axle shift changes.

    Two runs and the arcs the larger sprocket gains and the smaller loses:
    2 run + 2 radius_difference asin(radius_difference / centre_distance). Its rate of change with the centre
    distance is 2 run / centre_distance: a little under two lengths of chain for one of axle.
    """
    run = run_length(centre_distance, radius_difference)
    return 2 * run + 2 * radius_difference * asin(radius_difference / centre_distance)


def slack_at(
    slack: float, centre_distance: float, other_distance: float, radius_difference: float = 0.0
) -> float:
    """Slack the same chain shows at `other_distance`, when it shows `slack` at `centre_distance`.

    Nought means that the run is straight: the chain is just long enough, or too short by what `shortage_at`
    says.
    """
    spare = _spare_at(slack, centre_distance, other_distance, radius_difference)
    return slack_from_spare(max(spare, 0.0), run_length(other_distance, radius_difference))


def shortage_at(
    slack: float, centre_distance: float, other_distance: float, radius_difference: float = 0.0
) -> float:
    """Length of chain missing at `other_distance`; nought when the chain reaches there without a pull."""
    return max(-_spare_at(slack, centre_distance, other_distance, radius_difference), 0.0)


def _spare_at(slack: float, centre_distance: float, other_distance: float, radius_difference: float) -> float:
    taken_up = taut_length(other_distance, radius_difference) - taut_length(
        centre_distance, radius_difference
    )
    return spare_from_slack(slack, run_length(centre_distance, radius_difference)) - taken_up


def axle_back(
    slack_now: float, slack_wanted: float, centre_distance: float, radius_difference: float = 0.0
) -> float:
    """How far the axle goes back to turn `slack_now` into `slack_wanted`; negative means forward.

    The loop keeps its length: taut_length + spare is the same before and after. With equal sprockets that is
    solved outright by (slack_now² - slack_wanted²) / (2 (C + sqrt(C² + slack_now²))); with unequal ones
    Newton's method goes on from there.

    Raises:
        ValueError: a slack is negative, or so much is wanted that the sprockets would have to overlap.
    """
    if slack_wanted < 0:
        raise ValueError("the slack wanted must not be negative")
    spare_now = spare_from_slack(slack_now, run_length(centre_distance, radius_difference))
    loop = taut_length(centre_distance, radius_difference) + spare_now
    shift = (slack_now**2 - slack_wanted**2) / (2 * (centre_distance + hypot(centre_distance, slack_now)))
    if radius_difference == 0:
        return shift
    distance = centre_distance + shift
    for _ in range(_NEWTON_STEPS):
        run = run_length(distance, radius_difference)
        too_long = taut_length(distance, radius_difference) + spare_from_slack(slack_wanted, run) - loop
        # d(spare)/d(run) is run / sqrt(run² + slack²) - 1, and d(run)/d(distance) is distance / run.
        rate = 2 * run / distance + (run / hypot(run, slack_wanted) - 1) * distance / run
        step = too_long / rate
        distance -= step
        if abs(step) <= _SETTLED * distance:
            return distance - centre_distance
    raise ValueError("no position of the axle gives that slack with these sprockets")


def axle_forward(
    slack_now: float, slack_wanted: float, centre_distance: float, radius_difference: float = 0.0
) -> float:
    """How far the axle goes forward to turn `slack_now` into `slack_wanted`: minus `axle_back`."""
    return -axle_back(slack_now, slack_wanted, centre_distance, radius_difference)


def axle_distance(pivot_to_countershaft: float, pivot_to_axle: float, angle: float) -> float:
    """Countershaft to axle, from the two arms that meet in the swingarm pivot (law of cosines).

    `angle` is the one at the pivot between the two arms; at pi the three centres are in line, the pivot in
    the middle.
    """
    square = pivot_to_countershaft**2 + pivot_to_axle**2
    return sqrt(square - 2 * pivot_to_countershaft * pivot_to_axle * cos(angle))


def angle_at_pivot(pivot: Point, countershaft: Point, axle: Point) -> float:
    """Angle from the countershaft's arm round to the axle's, counter-clockwise, from 0 up to 2 pi.

    With the front of the machine on the right and the axle low the angle is above pi; it falls as the wheel
    rises, passes pi when the three centres are in line, and goes on below it.
    """
    to_countershaft = atan2(countershaft[1] - pivot[1], countershaft[0] - pivot[0])
    to_axle = atan2(axle[1] - pivot[1], axle[0] - pivot[0])
    return (to_axle - to_countershaft) % (2 * pi)


def angle_from_distance(pivot_to_countershaft: float, pivot_to_axle: float, centre_distance: float) -> float:
    """Angle at the pivot that a measured centre distance shows, from 0 to pi: `axle_distance` turned round.

    Raises:
        ValueError: no triangle has these three sides, so one of them is mismeasured.
    """
    cosine = (pivot_to_countershaft**2 + pivot_to_axle**2 - centre_distance**2) / (
        2 * pivot_to_countershaft * pivot_to_axle
    )
    if not -1 <= cosine <= 1:
        raise ValueError("pivot, countershaft and axle cannot lie at these distances from each other")
    return acos(cosine)


def tightest_distance(
    pivot_to_countershaft: float, pivot_to_axle: float, first_angle: float, last_angle: float
) -> float:
    """Greatest centre distance between two angles at the pivot, counted as `angle_at_pivot` counts them.

    The distance grows towards pi from either side, so it is greatest in line if the swingarm passes through
    the line, and otherwise at the end of its stroke that comes nearer to it.
    """
    low, high = sorted((first_angle, last_angle))
    nearest_to_line = min(max(pi, low), high)
    return axle_distance(pivot_to_countershaft, pivot_to_axle, nearest_to_line)


def distance_in_line(pivot_to_countershaft: float, pivot_to_axle: float) -> float:
    """Centre distance with countershaft, pivot and axle in line: the two arms end to end."""
    return axle_distance(pivot_to_countershaft, pivot_to_axle, pi)


def slack_through_stroke(
    slack: float,
    angle: float,
    angles: Iterable[float],
    pivot_to_countershaft: float,
    pivot_to_axle: float,
    radius_difference: float = 0.0,
) -> tuple[float, ...]:
    """Slack at each of `angles`, for a chain that shows `slack` with the swingarm at `angle`."""
    here = axle_distance(pivot_to_countershaft, pivot_to_axle, angle)
    there = (axle_distance(pivot_to_countershaft, pivot_to_axle, each) for each in angles)
    return tuple(slack_at(slack, here, distance, radius_difference) for distance in there)


def slack_to_set(
    slack_kept: float, tightest_distance: float, stand_distance: float, radius_difference: float = 0.0
) -> float:
    """Slack to set at `stand_distance` so that `slack_kept` is still there at `tightest_distance`."""
    return slack_at(slack_kept, tightest_distance, stand_distance, radius_difference)


def travel_used(elongation: float, links: float, pitch: float) -> float:
    """Adjuster travel that wear has used: half of elongation × links × pitch, the chain that wear has added.

    `elongation` is a ratio: 0.02 for two per cent. That all joints wear alike is assumed.
    """
    return elongation * links * pitch / 2


def elongation_at_travel(travel: float, links: float, pitch: float) -> float:
    """Elongation, as a ratio, at which wear has used `travel` of the adjuster: `travel_used` turned round."""
    return 2 * travel / (links * pitch)


FUNCTIONS: Mapping[str, Callable[..., float]] = MappingProxyType(
    {
        "run_length": run_length,
        "spare_from_slack": spare_from_slack,
        "slack_from_spare": slack_from_spare,
        "taut_length": taut_length,
        "slack_at": slack_at,
        "shortage_at": shortage_at,
        "axle_back": axle_back,
        "axle_forward": axle_forward,
        "axle_distance": axle_distance,
        "angle_from_distance": angle_from_distance,
        "tightest_distance": tightest_distance,
        "distance_in_line": distance_in_line,
        "slack_to_set": slack_to_set,
        "travel_used": travel_used,
        "elongation_at_travel": elongation_at_travel,
    }
)
"""The functions a formula file can name with `function:`. Its symbols are their keywords, in SI units."""
