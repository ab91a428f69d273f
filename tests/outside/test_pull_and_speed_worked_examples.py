"""Chain speed, pull, margin and strength against worked examples of textbooks."""

from __future__ import annotations

import pytest

from support.built_in import because, computed, derived, fired
from support.sourced import check

SHIGLEY_26 = "Shigley's Mechanical Engineering Design, solutions manual, problem 17-26"
JINDAL_3 = "Jindal, Machine Design, example 30-3 (open companion)"
WENTZELL = "Wentzell, Machine Design, example 14.4 (open companion)"
BHANDARI_1 = "Bhandari, Design of Machine Elements, example 14.1 (open companion)"
BHANDARI_7 = "Bhandari, Design of Machine Elements, example 14.7 (open companion)"
DATA_BOOK = "chain-drive design procedure after a design data book, lecture notes"
JOINTS = "The Complete Guide to Chain, 1.1.1 and 2.2.3.3, table 2.1"


@pytest.mark.parametrize(
    ("sheet", "unit", "printed", "within"),
    [
        check(SHIGLEY_26, "chain.size: 40, front_sprocket.teeth: 21, drive.countershaft_speed: 2000 rpm",
              "ft/min", 1750, 0.5, name="No. 40, 21 teeth, 2000 rpm"),
        check(JINDAL_3, "chain.pitch: 9.52 mm, front_sprocket.teeth: 21, drive.countershaft_speed: 1000 rpm",
              "m/s", 3.332, 0.0005, name="21 teeth of 9.52 mm, 1000 rpm"),
        check(WENTZELL, "chain.size: 40, front_sprocket.teeth: 12, drive.countershaft_speed: 1800 rpm",
              "ft/min", 900, 0.5, name="No. 40, 12 teeth, 1800 rpm"),
    ],
)  # fmt: skip
def test_the_chain_speed_is_the_printed_one(sheet: str, unit: str, printed: float, within: float) -> None:
    assert derived(sheet, "drive.chain_speed", unit) == pytest.approx(printed, abs=within)


@pytest.mark.parametrize(
    ("sheet", "unit", "printed", "within"),
    [
        check(SHIGLEY_26, "chain.size: 40, front_sprocket.teeth: 21, drive.countershaft_speed: 2000 rpm, "
              "bike.peak_power: 31.1 hp", "lbf", 586, 0.5, name="31.1 hp at 1750 ft/min"),
        check(JINDAL_3, "chain.pitch: 9.52 mm, front_sprocket.teeth: 21, drive.countershaft_speed: 1000 rpm, "
              "bike.peak_power: 2.5578 kW", "N", 767.6, 0.1, name="2.03 kW with a service factor of 1.26"),
        check(BHANDARI_7, "chain.size: 10B, front_sprocket.teeth: 19, drive.countershaft_speed: 1400 rpm, "
              "bike.peak_power: 12.9537 kW", "N", 1840.558878, 0.001, name="10B, 12.9537 kW"),
        check(WENTZELL, "chain.size: 40, front_sprocket.teeth: 12, drive.countershaft_speed: 1800 rpm, "
              "bike.peak_power: 5.31 hp", "lbf", 194.62, 0.1, name="5.31 hp at 900 ft/min"),
    ],
)  # fmt: skip
def test_the_pull_from_power_is_the_printed_one(sheet: str, unit: str, printed: float, within: float) -> None:
    assert derived(sheet, "drive.running_pull", unit) == pytest.approx(printed, abs=within)


@pytest.mark.parametrize(
    ("strength", "power", "speed", "printed", "within"),
    [
        check(BHANDARI_1, "31100 N", "14.32 kW", 17 * 0.01905 * 1000 / 60, 11.722224, 1e-5, name="12A"),
        check(BHANDARI_7, "22200 N", "12.9537 kW", 19 * 0.015875 * 1400 / 60, 12.061554, 1e-6, name="10B"),
        check(JINDAL_3, "10700 N", "2.5578 kW", 21 * 0.00952 * 1000 / 60, 13.94, 0.005, name="9.52 mm"),
    ],
)
def test_the_factor_of_safety_is_the_printed_one(
    strength: str, power: str, speed: float, printed: float, within: float
) -> None:
    pull = computed("pull-from-power", "N", P=power, v=f"{speed:.12f} m/s")
    assert computed("strength-margin", "1", S=strength, F=f"{pull:.9f} N") == pytest.approx(
        printed, abs=within
    )


@pytest.mark.source(WENTZELL)
def test_the_pull_from_torque_differs_from_the_books_by_its_short_cut() -> None:
    """The book takes N p / pi for the pitch diameter, so its pull is 1.14 % high; its torque is rounded by 0.04 %."""
    torque = 5.31 * 33000 / (2 * 3.141592653589793 * 1800)
    pull = derived(
        f"chain.size: 40, front_sprocket.teeth: 12, drive.first_gear_reduction: 1, "
        f"bike.peak_torque: {torque:.9f} lbf·ft",
        "drive.peak_pull",
        "lbf",
    )
    assert pull / 194.62 - 1 == pytest.approx(-0.0114, abs=0.0005)


@pytest.mark.source(DATA_BOOK)
def test_the_data_books_constant_is_two_percent_above_power_over_speed() -> None:
    """It prints 1020 P/v in newtons, kilowatts and metres a second."""
    pull = computed("pull-from-power", "N", P="10 kW", v="5 m/s")
    assert 1020 * 10 / 5 / pull == pytest.approx(1.02)


@pytest.mark.source(DATA_BOOK)
def test_the_centrifugal_pull_is_mass_times_speed_squared() -> None:
    sheet = (
        "chain.size: 50, front_sprocket.teeth: 15, drive.countershaft_speed: 4000 rpm, "
        "chain.mass_per_length: 1.02 kg/m"
    )
    assert derived(sheet, "drive.centrifugal_pull", "N") == pytest.approx(1.02 * 15.875**2)


@pytest.mark.parametrize(
    ("link", "percent"),
    [
        check(JOINTS, "connector.style: offset", 35, name="offset link"),
        check(JOINTS, "connector.style: clip, connector.plate_fit: slip fit", 20, name="slip-fit clip link"),
        check(JOINTS, "connector.style: clip, connector.plate_fit: press fit", 0, name="press-fit clip link"),
        check(JOINTS, "connector.style: rivet", 0, name="rivet link"),
    ],
)
def test_the_fatigue_strength_a_joint_loses(link: str, percent: float) -> None:
    assert derived(link, "drive.joint_fatigue_loss", "%") == percent


@pytest.mark.source(
    "NIST SP 811: horsepower 745.7 W, metric horsepower 735.5 W; the Tribology Handbook, p. 339"
)
def test_a_motorcycle_chain_runs_past_the_industrial_oiling_limits() -> None:
    """15 teeth of 15.875 mm at 4000 rpm: 15.9 m/s, 3125 ft/min; the oil bath ends at 2000 to 2300 ft/min."""
    sheet = "chain.size: 520, front_sprocket.teeth: 15, drive.countershaft_speed: 4000 rpm"
    assert derived(sheet, "drive.chain_speed", "m/s") == pytest.approx(15.9, abs=0.05)
    assert derived(sheet, "drive.chain_speed", "ft/min") == pytest.approx(3125, abs=1)
    reason = because("lube.plan_from: an industrial table", "industrial-table-on-a-motorcycle")
    assert "15.9 m/s" in reason
    assert "4000 rpm" in reason


@pytest.mark.source("B29.1 minimum 3125 lbf and a handbook's average of 3700 lbf for No. 40")
def test_the_average_of_number_40_is_18_percent_above_its_minimum() -> None:
    sheet = (
        "chain.tensile_strength: 3125 lbf, chain.strength_figure: minimum, "
        "other_chain.tensile_strength: 3700 lbf, other_chain.strength_figure: average"
    )
    assert derived(sheet, "chain.strength_lead", "%") == pytest.approx((3700 / 3125 - 1) * 100)
    assert "minimum-against-average" in fired(sheet)
    reason = because(sheet, "minimum-against-average")
    assert "3125 lbf" in reason
    assert "3700 lbf" in reason


@pytest.mark.source("a student design report, p. 58: 85.21 mm and 93.27 mm for 21 and 23 teeth")
def test_fewer_teeth_raise_the_pull_by_the_ratio_of_the_pitch_diameters() -> None:
    sheet = "front_sprocket.teeth: 21, front_sprocket.teeth_before: 23"
    assert derived(sheet, "drive.pull_change", "%") == pytest.approx((93.27 / 85.21 - 1) * 100, abs=0.02)
