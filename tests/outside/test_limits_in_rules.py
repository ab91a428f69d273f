"""Limits at which a rule begins to speak, tried on both sides of the published figure."""

from __future__ import annotations

import pytest

from support.built_in import because, derived, fired, knowledge
from support.sourced import check

HANDBOOK = "The Complete Guide to Chain, 7.1.2.2"
MANUAL_450 = "service manual, 450-class off-road machine, p. 3A-9: 5.5 to 5.8 mm"
MANUAL_650 = "service manual, 650-class road machine, p. 3A-10: 5.45 to 5.85 mm"
RIVET_TOOL = "instructions of a riveting tool: growth of 0.15 to 0.71 mm"
INTERVALS = "two pages on lubrication: every 500 to 1000 km, sooner if wet, dusty or fast"
SEALED_MODEL = "owner's manual of a model delivered with a sealed chain: every 1000 km"
KART_MAGAZINE = "a kart magazine: rings are worth their friction from about 30 hp"
SLACK_HANDBOOK = "The Complete Guide to Chain, p. 70: about 4 % of the span, 2 % for hard drives"
MANUAL_MUD = "owner's manual, 65-class motocross machine: 55 to 65 mm in mud"
MANUAL_110 = "owner's manual, 110-class utility machine: 15 to 25 mm"
SOAK_TEST = "a rider's soak test of sealing rings, 1994: back to size after 24 h"
EN_166 = "EN 166: F 45 m/s, B 120 m/s"
HAND_CLINICS = "Karahan et al. 2022: 42 of 3486 hand patients"
REPLANTATIONS = "a series of 15 replantations, 2024: 6 were lost"
EXERCISE_BICYCLES = "Journal of Trauma 1997;43(1):100-2: 34 children in five years, 38 % amputations"
SELECTION = "ISO 10823:2004, abstract: industrial drives, about 15 000 h"
SPEEDOMETER = "UN Regulation No. 39, paragraph 5.3, as quoted: 0 <= V1 - V2 <= 0.1 V2 + 4 km/h"
CABLE = (
    "bike.speedometer_drive: gearbox output, front_sprocket.teeth_before: 15, rear_sprocket.teeth_before: 45"
)
LOCAL_LECTURE = "lecture notes of a Chinese university: small sprocket of 17 teeth or more"


@pytest.mark.parametrize(
    ("sheet", "rule", "stands"),
    [
        check(HANDBOOK, "drive.sprocket_offset: 1.0 mm", "sprocket-faces-out-of-line", False, name="faces 1 mm"),
        check(HANDBOOK, "drive.sprocket_offset: 1.1 mm", "sprocket-faces-out-of-line", True, name="faces 1.1 mm"),
        check(HANDBOOK, "axle.side_difference: 0.99 mm, axle.measured_apart: 300 mm", "axle-out-of-square", False,
              name="axle within 1/300"),
        check(HANDBOOK, "axle.side_difference: 1.01 mm, axle.measured_apart: 300 mm", "axle-out-of-square", True,
              name="axle past 1/300"),
        check(MANUAL_450, "chain.size: 520, connector.rivet_diameter: 5.5 mm", "flare-unlike-other-520", False,
              name="520 flare at its least"),
        check(MANUAL_450, "chain.size: 520, connector.rivet_diameter: 5.85 mm", "flare-unlike-other-520", True,
              name="520 flare too wide"),
        check(MANUAL_650, "chain.size: 525, connector.rivet_diameter: 5.85 mm", "flare-unlike-other-525", False,
              name="525 flare at its most"),
        check(MANUAL_650, "chain.size: 525, connector.rivet_diameter: 5.40 mm", "flare-unlike-other-525", True,
              name="525 flare too narrow"),
        check(KART_MAGAZINE, "bike.use: kart, chain.sealing: sealed, bike.peak_power: 29 hp",
              "sealed-chain-on-small-kart", True, name="kart of 29 hp"),
        check(KART_MAGAZINE, "bike.use: kart, chain.sealing: sealed, bike.peak_power: 31 hp",
              "sealed-chain-on-small-kart", False, name="kart of 31 hp"),
        check(SLACK_HANDBOOK, "bike.use: kart, slack.measured: 11 mm, drive.centre_distance: 600 mm",
              "slack-short-of-span", True, name="slack below 2 % of the span"),
        check(SLACK_HANDBOOK, "bike.use: kart, slack.measured: 13 mm, drive.centre_distance: 600 mm",
              "slack-short-of-span", False, name="slack above 2 % of the span"),
        check(MANUAL_MUD, "slack.measured: 65 mm", "slack-too-loose-rule-of-thumb", False, name="65 mm"),
        check(MANUAL_MUD, "slack.measured: 66 mm", "slack-too-loose-rule-of-thumb", True, name="66 mm"),
        check(MANUAL_MUD, "bike.use: off-road, trip.mud: yes, slack.measured: 50 mm", "slack-for-mud", True,
              name="50 mm before mud"),
        check(MANUAL_MUD, "bike.use: off-road, trip.mud: yes, slack.measured: 56 mm", "slack-for-mud", False,
              name="56 mm before mud"),
        check(MANUAL_110, "slack.measured: 15 mm", "slack-too-tight-rule-of-thumb", False, name="15 mm"),
        check(MANUAL_110, "slack.measured: 14 mm", "slack-too-tight-rule-of-thumb", True, name="14 mm"),
        check(SPEEDOMETER, f"{CABLE}, front_sprocket.teeth: 15, rear_sprocket.teeth: 49", "speedometer-reads-high",
              False, name="speedometer 9 % high"),
        check(SPEEDOMETER, f"{CABLE}, front_sprocket.teeth: 15, rear_sprocket.teeth: 50", "speedometer-reads-high",
              True, name="speedometer 11 % high"),
        check(SPEEDOMETER, f"{CABLE}, front_sprocket.teeth: 15, rear_sprocket.teeth: 44", "speedometer-reads-low",
              True, name="speedometer 2 % low"),
        check(LOCAL_LECTURE, "front_sprocket.objection: fewer than seventeen teeth, front_sprocket.teeth: 16, "
              "bike.use: street", "thirteen-to-sixteen-allowed", True, name="16 front teeth"),
        check(LOCAL_LECTURE, "front_sprocket.objection: fewer than seventeen teeth, front_sprocket.teeth: 17, "
              "bike.use: street", "thirteen-to-sixteen-allowed", False, name="17 front teeth"),
    ],
)  # fmt: skip
def test_a_rule_speaks_on_one_side_of_the_published_limit_only(sheet: str, rule: str, stands: bool) -> None:
    assert (rule in fired(sheet)) is stands


@pytest.mark.parametrize(
    ("sheet", "kilometres"),
    [
        check(INTERVALS, "ride.conditions: [dry road], lube.distance_since: 0 km", 1000, name="dry road"),
        check(INTERVALS, "ride.conditions: [wet road], lube.distance_since: 0 km", 500, name="wet road"),
        check(INTERVALS, "ride.conditions: [dust], lube.distance_since: 0 km", 500, name="dust"),
        check(INTERVALS, "ride.conditions: [long fast rides], lube.distance_since: 0 km", 500, name="fast"),
        check(SEALED_MODEL, "lube.manual_interval: 1000 km", 1000, name="a manual's figure"),
    ],
)
def test_the_lubrication_interval(sheet: str, kilometres: float) -> None:
    assert derived(sheet, "lube.interval", "km") == kilometres


@pytest.mark.parametrize(
    ("sheet", "rule", "figures"),
    [
        check(HAND_CLINICS, "clean.engine: running", "engine-running-while-cleaning", ["42", "3486"],
              name="hands crushed"),
        check(REPLANTATIONS, "event.finger_caught: yes", "finger-caught", ["6 of 15"], name="fingers lost"),
        check(EXERCISE_BICYCLES, "work.bystanders: children", "children-near-the-drive",
              ["34 children", "five years", "more than a third"], name="children"),
        check(EN_166, "work.grinding: yes, work.eye_mark: F", "eye-mark-for-grinding", ["45 m/s", "120 m/s"],
              name="eye protection"),
        check(RIVET_TOOL, "connector.style: rivet, connector.flare_checked: by eye", "flare-by-eye",
              ["0.15 mm", "0.71 mm"], name="growth of the flare"),
        check(SOAK_TEST, "chain.condition: [swollen rings]", "swollen-rings-wait", ["24 h"], name="24 h in air"),
        check("a chain makers' handbook: offset link 35 % weaker in fatigue (The Complete Guide to Chain, 1.1.1)",
              "chain.links: 111", "odd-loop", ["35 %"], name="offset link"),
        check("a commercial page that compares 428 with 428H", "chain.taken_from_number: [plate thickness]",
              "number-tells-no-plate-thickness", ["1.60 mm", "2.03 mm"], name="plates of 428 and 428H"),
        check("12A at 31.1 (Bhandari), 31.3 (Shigley) and 31.8 kN (2020 catalogue)",
              "chain.tensile_strength: 31.1 kN, other_chain.tensile_strength: 31.3 kN, "
              "other_chain.preferred_for: higher strength", "small-strength-lead",
              ["31.1 kN", "31.3 kN", "31.8 kN"], name="three editions of 12A"),
        check(SELECTION, "front_sprocket.objection: fewer than seventeen teeth, front_sprocket.teeth: 15, "
              "bike.use: street", "thirteen-to-sixteen-allowed", ["15000 h"], name="industrial life"),
    ],
)  # fmt: skip
def test_a_reason_gives_the_published_figures(sheet: str, rule: str, figures: list[str]) -> None:
    reason = because(sheet, rule)
    for figure in figures:
        assert figure in reason


@pytest.mark.source(SLACK_HANDBOOK)
def test_the_industrial_share_of_span_is_told_as_printed() -> None:
    told = knowledge().rules["slack-share-of-the-span"].because_text.source
    assert "{4 %}" in told
    assert "half as much" in told


@pytest.mark.parametrize(
    ("source_key", "sheet", "rule"),
    [
        check("CLP Annex I, 2.3.3: H229, a pressurised container may burst", "clp-aerosols",
              "work.can_emptied_by: piercing it", "spray-can-pierced", name="aerosols"),
        check("CLP Annex I, 2.6: petrol is category 1 or 2", "clp-flammable-liquids",
              "clean.agents: [petrol]", "petrol-as-cleaner", name="petrol"),
        check("safety data sheet of kerosene: aspiration hazard H304", "kerosene-data-sheet",
              "event.solvent_swallowed: yes", "solvent-swallowed", name="kerosene swallowed"),
        check("29 CFR 1926.307(f)(3): sprockets and chains enclosed", "osha-1926-307",
              "work.sprocket_cover: left off", "sprocket-cover-left-off", name="cover"),
    ],
)  # fmt: skip
def test_a_safety_rule_rests_on_the_regulation_it_names(source_key: str, sheet: str, rule: str) -> None:
    assert rule in fired(sheet)
    assert source_key in {citation.work for citation in knowledge().rules[rule].sources}
