"""Every formula of the knowledge base in forty-figure arithmetic, as the trade or the geometry states it.

Wherever there is another algebraic form than the knowledge base's, it is taken. Values are in SI units.
"""
# ruff: noqa: N803, E741 - the symbols are the trade's own, as the formulas name them

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, TypeAlias

import mpmath  # type: ignore[import-untyped]  # mpmath ships no types

mp, mpf = mpmath.mp, mpmath.mpf

Number: TypeAlias = Any
"""An mpmath number; mpmath ships no types."""

Oracle: TypeAlias = Callable[..., Number]


def chord(teeth: Number) -> Number:
    """Pitch diameter of a sprocket of unit pitch: the circle round a polygon, by the law of cosines."""
    return mp.sqrt(2 / (1 - mp.cos(2 * mp.pi / teeth)))


def cot(angle: Number) -> Number:
    return mp.cos(angle) / mp.sin(angle)


def even(pitches: Number) -> Number:
    whole = mp.ceil(pitches)
    return whole if whole % 2 == 0 else whole + 1


def v_spare(slack: Number, run: Number) -> Number:
    """Two legs of a flat V less the straight run."""
    return 2 * mp.sqrt((run / 2) ** 2 + (slack / 2) ** 2) - run


def slack_of(spare: Number, run: Number) -> Number:
    return mp.mpf(0) if spare <= 0 else mp.sqrt((run + spare) ** 2 - run**2)


def shift_back(slack_now: Number, slack_wanted: Number, centre_distance: Number) -> Number:
    loop = 2 * centre_distance + v_spare(slack_now, centre_distance)
    return mp.findroot(
        lambda d: 2 * (centre_distance + d) + v_spare(slack_wanted, centre_distance + d) - loop,
        (-0.001, 0.001),
    )


def taken_up(slack: Number, here: Number, there: Number) -> Number:
    """Spare chain left at another distance; negative when chain is missing."""
    return v_spare(slack, here) - 2 * (there - here)


def by_arcs(C: Number, p: Number, N1: Number, N2: Number) -> Number:
    small, large = p * chord(N1) / 2, p * chord(N2) / 2
    lean = mp.atan2(large - small, mp.sqrt(C**2 - (large - small) ** 2))
    turn = 2 * mp.pi
    return 2 * C * mp.cos(lean) / p + N1 * (mp.pi - 2 * lean) / turn + N2 * (mp.pi + 2 * lean) / turn


def centre(L: Number, p: Number, N1: Number, N2: Number) -> Number:
    """The root of the length formula, found from a start where the two sprockets are equal."""
    start = (L - (N1 + N2) / 2) / 2
    return p * mp.findroot(
        lambda m: 2 * m + (N1 + N2) / 2 + (N2 - N1) ** 2 / (4 * mp.pi**2 * m) - L, start, maxsteps=60
    )


def largest_prime(N: Number, L: Number) -> Number:
    shared = [q for q in (2, 3, 5, 7, 11, 13, 17, 19) if int(N) % q == 0 and int(L) % q == 0]
    return mpf(max(shared, default=1))


def minus(first: str, second: str) -> Oracle:
    return lambda **v: v[first] - v[second]


def lengthening(length: str) -> Oracle:
    return lambda **v: v[length] / (v["n"] * v["p"]) - 1


ORACLES: Mapping[str, Oracle] = {
    "adjuster-travel-left-to-wear-limit": lambda w, e, n, p: n * p * w / 2 - n * p * e / 2,
    "adjuster-travel-used-by-wear": lambda elongation, links, pitch: elongation * pitch * links / 2,
    "adjuster-turns": lambda d, q: 1 / (q / d),
    "axle-back-for-slack": shift_back,
    "axle-forward-for-slack": lambda **v: -shift_back(**v),
    "axle-move-back": minus("A", "C"),
    "axle-move-forward": minus("C", "A"),
    "axle-skew": lambda d, w: 1 / (w / d),
    "centre-distance-from-links": centre,
    "centrifugal-pull": lambda m, v: m * v * v,
    "chain-length-by-arcs": by_arcs,
    "chain-length-in-pitches": lambda C, p, N1, N2: 2 * C / p + (N1 + N2) / 2 + p * (N2 - N1) ** 2 / (4 * mp.pi**2 * C),
    "chain-length": lambda C, p, N1, N2: p * (2 * C / p + (N1 + N2) / 2 + p * (N2 - N1) ** 2 / (4 * mp.pi**2 * C)),
    "chain-missing-in-line": lambda slack, centre_distance, other_distance: max(
        -taken_up(slack, centre_distance, other_distance), mpf(0)
    ),
    "chain-speed": lambda N, p, n: n * p * N,
    "chordal-speed-variation": lambda N: 2 * mp.sin(mp.pi / (2 * N)) ** 2,
    "connector-width-excess": minus("w", "w0"),
    "connector-width-shortfall": minus("w0", "w"),
    "countershaft-to-axle-as-it-stands": lambda a, s, h: a * mp.cos(mp.asin(h / a)) + s * mp.cos(mp.asin(h / s)),
    "countershaft-to-axle-in-line": lambda pivot_to_countershaft, pivot_to_axle: pivot_to_countershaft + pivot_to_axle,
    "countershaft-to-axle-through-the-stroke": lambda pivot_to_countershaft, pivot_to_axle, angle: abs(
        pivot_to_axle * mp.expj(angle) - pivot_to_countershaft
    ),
    "decode-pitch-error": lambda e, s, p: abs(e * s / p - 1),
    "decode-pitch": lambda e, s: s * e,
    "decode-width-error": lambda e, s, b: abs(e * s / b - 1),
    "decode-width": lambda e, s: s * e,
    "distance-per-percent": lambda s2, s1, e2, e1: (s2 - s1) / (100 * (e2 - e1)),
    "distance-to-wear-limit": lambda r, e, k: 100 * r * (k - e),
    "drive-ratio": lambda N1, N2: 1 / (N1 / N2),
    "earlier-elongation": lengthening("x"),
    "elongation": lengthening("L"),
    "even-count-by-arcs": lambda L: even(L),
    "front-pitch-diameter": lambda p, N: p * chord(N),
    "front-swept-diameter": lambda d, p, N, h: max(d + h, mpf("0.6") * p + p * cot(mp.pi / N)),
    "largest-shared-prime": largest_prime,
    "length-at-wear-limit": lambda n, p, k: n * p + n * p * k,
    "length-change-by-teeth": lambda N1, N2, M1, M2: (N1 - M1) / 2 + (N2 - M2) / 2,
    "links-needed": lambda L: even(L),
    "links-to-remove": minus("S", "L"),
    "listed-pitch-error": lambda l, p: abs(l / p - 1),
    "lubrication-due-in": minus("i", "s"),
    "next-even-count": lambda L: even(L),
    "outside-diameter-hob-cut": lambda p, N: mpf("0.6") * p + p * cot(mp.pi / N),
    "peak-pull": lambda T, i, D: T * i / (D / 2),
    "pitch-diameter-shortcut-error": lambda N: (N / mp.pi) / chord(N) - 1,
    "pitch-diameter": lambda p, N: p * chord(N),
    "pull-change-by-teeth": lambda N, N0: chord(N0) / chord(N) - 1,
    "pull-from-power": lambda P, v: 1 / (v / P),
    "ratio-before-change": lambda M1, M2: 1 / (M1 / M2),
    "rear-pitch-diameter": lambda p, N: p * chord(N),
    "road-speed-change": lambda A, B: (A - B) / B,
    "share-of-wear-used": lambda e, k: 1 / (k / e),
    "slack-check-due-in": minus("i", "s"),
    "slack-in-line": lambda slack, centre_distance, other_distance: slack_of(
        taken_up(slack, centre_distance, other_distance), other_distance
    ),
    "slack-manual-spread": minus("h", "l"),
    "slack-middle-of-range": lambda l, h: l + (h - l) / 2,
    "slack-share-of-span": lambda s, C: 1 / (C / s),
    "slack-to-set-for-the-line": lambda slack_kept, tightest_distance, stand_distance: slack_of(
        taken_up(slack_kept, tightest_distance, stand_distance), stand_distance
    ),
    "slack-variation": minus("l", "t"),
    "spare-chain-from-slack": v_spare,
    "speedometer-error": lambda A, B: (B - A) / A,
    "strength-lead": lambda S, S2: (S2 - S) / S,
    "strength-margin": lambda S, F: 1 / (F / S),
    "tip-diameter-iso-max": lambda d, p, d1: d - d1 + 5 * p / 4,
    "tip-diameter-iso-min": lambda d, p, d1, N: d - d1 + p - 8 * p / (5 * N),
    "tip-diameter-mean": lambda d, p, d1, N: ((d + 5 * p / 4 - d1) + (d + p - 8 * p / (5 * N) - d1)) / 2,
    "tooth-count-limit": lambda N: mpf(200) / N / 100,
    "travel-left-after-fitting": minus("T", "B"),
    "travel-to-wear-limit": lambda elongation, links, pitch: links * pitch * elongation / 2,
    "wear-rate-ratio": lambda s2, s1, e2, e1: (e2 - e1) / e1 * s1 / (s2 - s1),
    "wrap-on-front-sprocket": lambda D1, D2, C: 2 * mp.acos((D2 - D1) / (2 * C)),
}  # fmt: skip
