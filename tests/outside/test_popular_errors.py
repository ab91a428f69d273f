"""Popular errors of the trade and its sources, one test each: Sideplate must not repeat them.

Each test is named for what is right. The mark names where the error, the truth, or both were read.
"""

from __future__ import annotations

from math import pi, sin

import pytest

from sideplate_engine.quantities import convert
from support.built_in import because, cell, cell_in, computed, derived, fired, is_recalled, judged, knowledge
from support.sourced import check

DRIVE = "chain.size: 520, front_sprocket.teeth: 15, rear_sprocket.teeth: 45"
RETAILER = "a parts retailer's table of motorcycle chain dimensions"
MAKER_WEAR = "a chain maker's answers on wear"
RUBBER_TABLE = "a rubber moulder's resistance table"


# ---- what the number tells ----


@pytest.mark.parametrize(
    ("size", "taken", "rule"),
    [
        check(RETAILER, "428", "inner width", "number-misreads-inner-width", name="428"),
        check(RETAILER, "532", "inner width", "number-misreads-inner-width", name="532"),
        check(RETAILER, "632", "inner width", "number-misreads-inner-width", name="632"),
        check("two pages about kart chain of size 219", "219", "pitch", "number-misreads-pitch", name="219"),
        check("270H recalled", "270H", "pitch", "number-misreads-pitch", name="270H"),
    ],
)
def test_the_number_does_not_decode_everything(size: str, taken: str, rule: str) -> None:
    assert rule in fired(f"chain.size: {size}, chain.taken_from_number: [{taken}]")


@pytest.mark.parametrize(
    ("chain", "sprocket"),
    [
        check(RETAILER, "420", "428", name="420 on 428"),
        check(RETAILER, "428", "420", name="428 on 420"),
        check(RETAILER, "425", "428", name="425 on 428"),
    ],
)
def test_420_425_and_428_do_not_interchange(chain: str, sprocket: str) -> None:
    assert "front-sprocket-of-another-form" in fired(f"chain.size: {chain}, front_sprocket.size: {sprocket}")


@pytest.mark.source("The Complete Guide to Chain, p. 113: the tooth form of 50, a duty of its own")
def test_a_50_chain_is_no_substitute_for_a_530() -> None:
    assert "front-sprocket-of-another-form" not in fired("chain.size: 50, front_sprocket.size: 530")
    assert "industrial-number-on-motorcycle" in fired("chain.size: 50, bike.use: street")
    assert "industrial-chain-on-motorcycle" in fired(
        "chain.size: 530, chain.sold_for: machinery, bike.use: street"
    )


@pytest.mark.source("a large retailer's guide prints 12.7 mm for 525; tables print 15.875")
def test_525_has_a_pitch_of_five_eighths_of_an_inch() -> None:
    assert derived("chain.size: 525", "chain.pitch", "in") == pytest.approx(5 / 8)
    assert "listed-pitch-is-wrong" in fired("chain.size: 525, chain.listed_pitch: 12.7 mm")
    assert "listed-pitch-is-wrong" not in fired("chain.size: 525, chain.listed_pitch: 5/8 in")


@pytest.mark.parametrize(
    "listed",
    [
        check("kart chain pages: 7.774 mm", "5/16 in", name="not 5/16 in"),
        check("kart chain pages: 7.774 mm", "8 mm", name="not 8 mm"),
    ],
)
def test_219_has_a_pitch_of_its_own(listed: str) -> None:
    assert "listed-pitch-is-wrong" in fired(f"chain.size: 219, chain.listed_pitch: {listed}")
    assert "listed-pitch-is-wrong" not in fired("chain.size: 219, chain.listed_pitch: 7.774 mm")


# ---- standards ----


@pytest.mark.source("JIS B 1801:1997, introduction: based on ISO 606 and ISO 1395; ISO 10190:1992, scope")
def test_jis_b_1801_is_not_the_motorcycle_chain_standard() -> None:
    sheet = "chain.standard_claimed: JIS B 1801, bike.use: street"
    assert "industrial-standard-claimed" in fired(sheet)
    assert "industrial-standard-claimed" not in fired("chain.standard_claimed: ISO 10190, bike.use: street")


@pytest.mark.source("contents lists of ISO 606:2015, GB/T 14212-2010 and JIS B 1801:1997: no wear limit")
def test_no_chain_standard_is_quoted_for_the_three_percent() -> None:
    sheet = "chain.size: 520, wear.limit_taken_from: a chain standard"
    assert "limit-said-to-be-in-a-standard" in fired(sheet)
    cited = {citation.work for citation in knowledge().rules["limit-by-rule-of-thumb"].sources}
    assert not {work for work in cited if knowledge().sources[work].kind == "standard"}


@pytest.mark.source("ISO 10190:2008: dimension and strength table not read")
def test_the_strengths_of_the_motorcycle_standard_are_not_shown_as_seen() -> None:
    for size in ("420", "428", "520", "525", "530", "630"):
        assert is_recalled("sizes", size, "tensile_strength")


# ---- wear ----


@pytest.mark.source("a second maker's answers print (2.00/N) %; the first prints 200/N %")
def test_the_tooth_count_limit_is_not_a_hundredth_of_itself() -> None:
    limit = derived("rear_sprocket.teeth: 45", "rear_sprocket.tooth_count_limit", "%")
    assert limit == pytest.approx(200 / 45)


@pytest.mark.parametrize("teeth", [38, 43, 45, 48, 52])
@pytest.mark.source(f"{MAKER_WEAR}: 200/N; makers' manuals: 1.7 to 2 percent")
def test_200_over_the_teeth_does_not_decide_on_a_motorcycle(teeth: int) -> None:
    sheet = f"chain.size: 520, rear_sprocket.teeth: {teeth}, wear.limit_taken_from: the rear tooth count"
    assert "tooth-count-rule-too-loose" in fired(sheet)


@pytest.mark.source(f"{MAKER_WEAR}: joints wear, plates do not lengthen")
def test_a_chain_wears_longer_and_does_not_stretch() -> None:
    sheet = "chain.size: 520, chain.measured_pitches: 20, chain.measured_length: 324.5 mm"
    assert "plates has not stretched" in because(sheet, "renew-at-limit")
    assert "growth-put-down-to-stretch" in fired("wear.growth_put_down_to: stretched plates")


@pytest.mark.source("an engineering page counts a link as an outer plate set; manuals count pins")
def test_a_link_is_one_pitch() -> None:
    assert "count-of-outer-links" in fired("count.method: outer plates counted")
    assert derived("chain.links: 114", "chain.links_next_even") == 114


# ---- joints and strength ----


@pytest.mark.source("The Complete Guide to Chain, 1.1.1: an offset link is 35 percent weaker in fatigue")
def test_an_odd_count_is_not_cured_with_a_half_link() -> None:
    assert "odd-loop" in fired("chain.links: 111")
    assert derived("connector.style: offset", "drive.joint_fatigue_loss", "%") == 35


@pytest.mark.source("The Complete Guide to Chain: fatigue and wear decide; bases of 5 and 10 million cycles")
def test_more_tensile_strength_is_not_longer_life() -> None:
    sheet = (
        "chain.tensile_strength: 33 kN, other_chain.tensile_strength: 40 kN, "
        "other_chain.preferred_for: longer life"
    )
    assert "stronger-is-not-longer-lived" in fired(sheet)
    assert "fatigue-bases-differ" in fired(
        "chain.fatigue_basis: 5 million cycles, other_chain.fatigue_basis: 10 million cycles"
    )


@pytest.mark.source("B29.1 minimum 3125 lbf, handbook average 3700 lbf for No. 40")
def test_minimum_and_average_strength_are_not_mixed() -> None:
    assert "minimum-against-average" in fired(
        "chain.strength_figure: minimum, other_chain.strength_figure: average"
    )
    assert cell_in("sizes", "40", "tensile_strength", "lbf") == pytest.approx(3125, abs=10)


@pytest.mark.source("12A: 31.1 (Bhandari), 31.3 (Shigley), 31.8 kN (2020 catalogue)")
def test_a_lead_of_a_percent_or_two_between_editions_is_no_lead() -> None:
    assert "small-strength-lead" in fired(
        "chain.tensile_strength: 31.1 kN, other_chain.tensile_strength: 31.8 kN, "
        "other_chain.preferred_for: higher strength"
    )


@pytest.mark.source("a public copy of Shigley's table prints 2 500 lbf for No. 80; B29.1 prints 12 500")
def test_number_80_keeps_its_first_digit() -> None:
    assert cell_in("sizes", "80", "tensile_strength", "lbf") == pytest.approx(12500, abs=10)
    assert "2500 lbf" in str(cell("sizes", "80", "note"))


@pytest.mark.source("an open CAD sprocket script swaps the rows of 40 and 41; B29.1 has 0.312 and 0.306 in")
def test_the_rollers_and_widths_of_40_and_41_are_not_swapped() -> None:
    assert cell_in("sizes", "40", "roller_diameter", "mm") > cell_in("sizes", "41", "roller_diameter", "mm")
    assert cell_in("sizes", "40", "inner_width", "mm") > cell_in("sizes", "41", "inner_width", "mm")


# ---- geometry ----


@pytest.mark.source("a sprocket maker's page prints a division sign, and multiplies in its example")
def test_the_outside_diameter_multiplies_pitch_and_bracket() -> None:
    assert computed("outside-diameter-hob-cut", "mm", p="38.1 mm", N="25") == pytest.approx(324.45, abs=0.01)


@pytest.mark.source("Wentzell, example 14.4, takes p N / pi; Jindal's companion even p N")
def test_the_pitch_diameter_is_no_circumference_over_pi() -> None:
    diameter = derived("chain.size: 40, front_sprocket.teeth: 12", "front_sprocket.pitch_diameter", "mm")
    assert diameter == pytest.approx(12.7 / sin(pi / 12))
    assert diameter / (12 * 12.7 / pi) == pytest.approx(1.0115, abs=0.0002)
    assert "pitch-circle-by-circumference" in fired("front_sprocket.diameter_from: teeth times pitch over pi")


@pytest.mark.source("a journal paper's 'exact' length is half a pitch off; worked out again")
def test_the_handbook_formula_is_exact_enough_for_a_motorcycle() -> None:
    sheet = f"{DRIVE}, drive.centre_distance: {37 * 15.875} mm"
    short, long = (derived(sheet, fact) for fact in ("drive.pitches_exact", "drive.pitches_by_arcs"))
    assert 0 < long - short < 0.003


@pytest.mark.source("geometry: arc against chords, 0.07 to 0.11 pitch")
def test_a_line_round_the_pitch_circles_is_not_the_chains_length() -> None:
    assert "line-round-pitch-circles" in fired("count.method: line round the pitch circles")


@pytest.mark.source("lecture notes ask for 17 teeth; road machines run 13 to 17 (common practice)")
def test_a_front_sprocket_does_not_need_17_teeth() -> None:
    sheet = "front_sprocket.objection: fewer than seventeen teeth, front_sprocket.teeth: 15, bike.use: street"
    assert "thirteen-to-sixteen-allowed" in fired(sheet)
    assert derived("front_sprocket.teeth: 13", "drive.chordal_variation", "%") == pytest.approx(2.9, abs=0.05)


@pytest.mark.source("design pages on odd tooth counts with even chains: good practice, no requirement")
def test_a_shared_factor_of_teeth_and_pitches_is_allowed() -> None:
    assert "shared-factor-allowed" in fired(
        "front_sprocket.objection: a factor in common with the pitches, front_sprocket.teeth: 15, "
        "chain.links: 114"
    )


# ---- power, speed, industrial tables ----


@pytest.mark.source("NIST SP 811, appendix B: horsepower 745.6999 W, metric horsepower 735.4988 W")
def test_a_horsepower_is_not_a_metric_horsepower() -> None:
    assert convert(1, "hp", "W") == pytest.approx(745.6999, abs=5e-5)
    assert convert(1, "PS", "W") == pytest.approx(735.4988, abs=5e-5)


@pytest.mark.source("the Tribology Handbook, p. 339: bath below 10 m/s, hand oiling far below")
def test_industrial_lubrication_tables_do_not_fit_a_motorcycle() -> None:
    speed = derived(f"{DRIVE}, drive.countershaft_speed: 4000 rpm", "drive.chain_speed", "m/s")
    assert speed > 10
    assert "industrial-table-on-a-motorcycle" in fired("lube.plan_from: an industrial table")


@pytest.mark.source("ISO 10823:2004, abstract: industrial drives, about 15 000 h")
def test_industrial_power_tables_do_not_size_a_motorcycle_chain() -> None:
    assert "chosen-by-industrial-power-table" in fired(
        "chain.chosen_by: [industrial power table], bike.use: street"
    )


# ---- slack and alignment ----


@pytest.mark.source("makers' manuals: 15 to 65 mm by machine, run and posture")
@pytest.mark.parametrize(
    ("sheet", "rule"),
    [
        ("slack.method: by feel", "slack-by-feel"),
        ("slack.measured_at: anywhere", "slack-measured-anywhere"),
        ("slack.posture: on the side stand, slack.manual_posture: rear wheel in the air",
         "slack-in-another-posture"),
        ("slack.run: lower run, slack.manual_run: upper run", "slack-in-another-run"),
    ],
    ids=["by feel", "tightest place", "posture", "run"],
)  # fmt: skip
def test_slack_is_not_an_inch_by_feel(sheet: str, rule: str) -> None:
    assert rule in fired(sheet)


@pytest.mark.source("service manual, 650-class road machine, p. 3A-10: 20-30 mm beside 1.8-2.2 in")
def test_a_page_whose_inches_are_misprinted_is_not_followed() -> None:
    assert "slack-manual-units-disagree" in fired("slack.manual_units_agree: no")
    assert cell_in("slack-in-manuals", "ROAD 650", "high", "in") == pytest.approx(1.2, abs=0.05)


@pytest.mark.source("a motorcycle weekly, an owners' page and a tool maker on alignment")
def test_swingarm_marks_are_a_rough_guide() -> None:
    assert "axle-aligned-on-marks" in fired("axle.aligned_by: swingarm marks")


# ---- cleaning ----


@pytest.mark.source(f"{RUBBER_TABLE} (E on nitrile and fluorocarbon); a retailer's 'never petroleum'")
def test_kerosene_is_neither_always_safe_nor_never_allowed() -> None:
    sealed = "chain.sealing: sealed, clean.agents: [kerosene]"
    assert "kerosene-before-asking" in fired(sealed)
    assert "kerosene-on-rings" in fired(f"{sealed}, clean.maker_word: allowed")
    assert "cleaner-forbidden-by-maker" in fired(f"{sealed}, clean.maker_word: forbidden")


@pytest.mark.source("a rider's soak test of 1994: no change in a week")
def test_water_displacing_spray_is_no_poison_and_no_lubricant() -> None:
    sheet = "chain.sealing: sealed, clean.agents: [water-displacing spray]"
    assert "water-displacing-spray-on-rings" in fired(sheet)
    assert not {r.rule for r in judged(sheet).rulings if r.force == "must not"}
    assert "water-displacing-spray-is-no-lubricant" in fired("lube.kind: water-displacing spray")


@pytest.mark.source("O-ring handbooks, recalled: acetone and toluene hostile, heptane not")
def test_brake_cleaner_is_not_one_fluid() -> None:
    sheet = "chain.sealing: sealed, clean.agents: [brake cleaner]"
    assert "brake-cleaner-on-rings" in fired(sheet)
    reason = because(sheet, "brake-cleaner-on-rings")
    assert "heptane" in reason
    assert "acetone" in reason


@pytest.mark.parametrize(
    ("tool", "rule"),
    [
        check("an O-ring supplier's notes: nitrile to about 80 °C in water", "steam cleaner", "steam-on-rings",
              name="steam"),
        check("a parts retailer and an owners' wiki: no pressure washer", "pressure washer",
              "pressure-washer-on-rings", name="jet"),
    ],
)  # fmt: skip
def test_steam_and_jets_are_kept_off_sealed_chains(tool: str, rule: str) -> None:
    assert rule in fired(f"chain.sealing: sealed, clean.tools: [{tool}]")


@pytest.mark.source("Karahan et al. 2022; Geevarughese et al. 2025: the typical injury")
def test_the_engine_is_off_while_the_chain_is_cleaned() -> None:
    judgement = judged("clean.engine: running")
    assert judgement.standing == "stop"
    assert "engine-running-while-cleaning" in {ruling.rule for ruling in judgement.rulings}


# ---- connecting links ----


@pytest.mark.source("owner's manual, enduro machine of 2008: closed end in the direction of rotation")
def test_the_closed_end_of_the_clip_leads() -> None:
    assert "clip-closed-end-trailing" in fired("connector.clip_closed_end: trailing")
    assert "clip-closed-end-trailing" not in fired("connector.clip_closed_end: leading")


@pytest.mark.source("service manuals: 5.45-5.85 mm (525), 5.5-5.8 mm (520); a tool's 0.15-0.71 mm")
def test_a_rivet_is_not_flared_by_eye() -> None:
    assert "flare-by-eye" in fired("connector.style: rivet, connector.flare_checked: by eye")
