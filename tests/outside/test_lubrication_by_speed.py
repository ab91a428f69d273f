"""How machinery oils its chains, against the tables it was read in.

None of it sizes the care of a motorcycle's chain: a rule says so, and the last check here shows why.
"""

from __future__ import annotations

import pytest

from support.built_in import cell_in, derived, derived_word, fired
from support.sourced import check

TRIBOLOGY = "The Tribology Handbook, section C9, p. 339"
DISTRIBUTOR = "type of lubrication by chain number and speed, a bearing distributor's table"
PLAN = "lube.plan_from: an industrial table, front_sprocket.teeth: 15, chain.pitch: 15.875 mm"


@pytest.mark.parametrize(
    ("feed", "metres_a_second", "feet_a_minute"),
    [
        check(TRIBOLOGY, "SLOW DRIP", 3.0, 600, name="slow drip"),
        check(TRIBOLOGY, "FAST DRIP", 7.5, 1500, name="fast drip"),
        check(TRIBOLOGY, "DIP", 10.0, 2000, name="bath"),
    ],
)
def test_each_feed_ends_at_the_printed_speed_in_both_units(
    feed: str, metres_a_second: float, feet_a_minute: float
) -> None:
    assert cell_in("lubrication-by-speed", feed, "fastest", "m/s") == metres_a_second
    assert cell_in("lubrication-by-speed", feed, "fastest", "ft/min") == pytest.approx(
        feet_a_minute, rel=0.02
    )


@pytest.mark.parametrize(
    ("number", "by_hand", "by_bath"),
    [
        check(DISTRIBUTOR, "40", 300, 2300, name="40"),
        check(DISTRIBUTOR, "50", 250, 2000, name="50"),
        check(DISTRIBUTOR, "60", 220, 1800, name="60"),
        check(DISTRIBUTOR, "80", 170, 1500, name="80"),
    ],
)
def test_a_numbers_limits_are_the_distributors(number: str, by_hand: float, by_bath: float) -> None:
    assert cell_in("lubrication-by-number", number, "by_hand", "ft/min") == pytest.approx(by_hand)
    assert cell_in("lubrication-by-number", number, "by_bath", "ft/min") == pytest.approx(by_bath)


@pytest.mark.parametrize(
    ("rpm", "feed"),
    [
        check(TRIBOLOGY, 700, "slow drip", name="2.8 m/s"),
        check(TRIBOLOGY, 1500, "fast drip", name="6.0 m/s"),
        check(TRIBOLOGY, 4000, "pumped spray", name="15.9 m/s"),
    ],
)
def test_the_feed_follows_the_chains_speed(rpm: int, feed: str) -> None:
    assert derived_word(f"{PLAN}, drive.countershaft_speed: {rpm} rpm", "drive.machinery_lubrication") == feed


@pytest.mark.source(f"{TRIBOLOGY}; {DISTRIBUTOR}")
def test_a_motorcycles_chain_outruns_every_limit_for_hand_and_bath() -> None:
    sheet = f"{PLAN}, drive.countershaft_speed: 4000 rpm"
    speed = derived(sheet, "drive.chain_speed", "ft/min")
    assert speed == pytest.approx(3125, abs=1)
    assert speed > cell_in("lubrication-by-speed", "DIP", "fastest", "ft/min")
    assert all(
        speed > cell_in("lubrication-by-number", number, "by_bath", "ft/min")
        for number in ("40", "50", "60", "80")
    )
    assert "industrial-table-on-a-motorcycle" in fired(sheet)
