"""Fluids on ring rubbers against a rubber moulder's resistance table: E, G, F and P for excellent to poor."""

from __future__ import annotations

import pytest

from support.built_in import cell, derived_word, fired, is_recalled
from support.sourced import check

RUBBER_TABLE = "chemical resistance of moulded rubbers by fluid class, a rubber moulder's table"
O_RING_NOTES = "an O-ring supplier's engineering notes on nitrile, fluorocarbon and EPDM"
WORDS = {"E": "excellent", "G": "good", "F": "fair", "P": "poor"}

PRINTED = {  # fluid class: nitrile, fluorocarbon, silicone
    "oil and gasoline": ("G-E", "E", "P-F"),
    "aliphatic hydrocarbon solvent": ("E", "E", "P-F"),
    "aromatic hydrocarbon solvent": ("F-G", "E", "P-F"),
    "oxygenated solvent": ("P", "P", "F"),
    "alcohol": ("F-G", "F-E", "G"),
    "alkaline degreaser": ("G-E", "F-G", "P"),
    "water": ("G-E", "G-E", "G"),
}
OZONE = ("P", "E", "E")
RUBBERS = ("nitrile", "fluorocarbon", "silicone")
STANDS_FOR = {  # a fluid of the workshop: the class it is rated by
    "kerosene": "aliphatic hydrocarbon solvent",
    "diesel": "aliphatic hydrocarbon solvent",
    "water-displacing spray": "aliphatic hydrocarbon solvent",
    "acetone": "oxygenated solvent",
    "isopropanol": "alcohol",
    "soap and water": "water",
}


def in_words(letters: str) -> str:
    return " to ".join(WORDS[letter] for letter in letters.split("-"))


@pytest.mark.parametrize(
    ("fluid", "rubber", "letters"),
    [
        check(RUBBER_TABLE, fluid, rubber, letters, name=f"{fluid} on {rubber}")
        for fluid, row in PRINTED.items()
        for rubber, letters in zip(RUBBERS, row, strict=True)
    ],
)
def test_a_class_of_fluids_is_rated_as_printed(fluid: str, rubber: str, letters: str) -> None:
    facts = f"chain.ring_material: {rubber}, clean.checked_agent: {fluid}"
    assert derived_word(facts, "clean.ring_rating") == in_words(letters)
    assert not is_recalled("agents", fluid, rubber)


@pytest.mark.parametrize(
    ("rubber", "letters"),
    [
        check(RUBBER_TABLE, rubber, letters, name=f"ozone on {rubber}")
        for rubber, letters in zip(RUBBERS, OZONE, strict=True)
    ],
)
def test_ozone_in_the_air_is_rated_as_printed(rubber: str, letters: str) -> None:
    assert cell("agents", "ozone", rubber) == in_words(letters)


@pytest.mark.parametrize(
    ("fluid", "rubber", "letters"),
    [
        check(RUBBER_TABLE, fluid, rubber, letters, name=f"{fluid} on {rubber}")
        for fluid, its_class in STANDS_FOR.items()
        for rubber, letters in zip(RUBBERS, PRINTED[its_class], strict=True)
    ],
)
def test_a_fluid_of_the_workshop_is_rated_by_its_class(fluid: str, rubber: str, letters: str) -> None:
    facts = f"chain.ring_material: {rubber}, clean.checked_agent: {fluid}"
    assert derived_word(facts, "clean.ring_rating") == in_words(letters)


@pytest.mark.parametrize(
    ("fluid", "rubber", "ruling"),
    [
        check(RUBBER_TABLE, "acetone", "nitrile", "fluid-rated-poor", name="acetone on nitrile"),
        check(RUBBER_TABLE, "acetone", "fluorocarbon", "fluid-rated-poor", name="acetone on fluorocarbon"),
        check(RUBBER_TABLE, "kerosene", "nitrile", "fluid-rated-good", name="kerosene on nitrile"),
        check(RUBBER_TABLE, "kerosene", "silicone", "fluid-rated-poor", name="kerosene on silicone"),
        check(RUBBER_TABLE, "isopropanol", "nitrile", "fluid-rated-middling", name="isopropanol on nitrile"),
        check(RUBBER_TABLE, "alkaline degreaser", "silicone", "fluid-rated-poor", name="alkali on silicone"),
    ],
)
def test_the_ruling_follows_the_printed_rating(fluid: str, rubber: str, ruling: str) -> None:
    assert ruling in fired(f"chain.ring_material: {rubber}, clean.checked_agent: {fluid}")


@pytest.mark.parametrize(
    "rubber",
    [
        check(O_RING_NOTES, "nitrile", name="nitrile fails in steam above 100 °C"),
        check(O_RING_NOTES, "fluorocarbon", name="standard fluorocarbon fails in steam above 100 °C"),
    ],
)
def test_steam_is_rated_poor(rubber: str) -> None:
    assert cell("agents", "steam", rubber) == "poor"
    assert not is_recalled("agents", "steam", rubber)


@pytest.mark.source(O_RING_NOTES)
def test_the_doubt_about_aromatics_on_nitrile_is_told() -> None:
    """The table prints F-G; the supplier measures 30 to 50 % swelling in ASTM Fuel C."""
    assert "30 to 50 %" in str(cell("agents", "aromatic hydrocarbon solvent", "note"))


@pytest.mark.parametrize(
    ("celsius", "stands"),
    [
        check(O_RING_NOTES, 79, False, name="water at 79 °C"),
        check(O_RING_NOTES, 81, True, name="water at 81 °C"),
    ],
)
def test_nitrile_is_poor_in_water_above_80_degrees(celsius: int, stands: bool) -> None:
    facts = f"chain.sealing: sealed, clean.water_temperature: {celsius} °C"
    assert ("hot-water-on-rings" in fired(facts)) is stands


@pytest.mark.parametrize(
    ("celsius", "stands"),
    [
        check("an elastomer maker's page on nitrile: -40 to +100 °C", 99, False, name="air at 99 °C"),
        check("an elastomer maker's page on nitrile: -40 to +100 °C", 101, True, name="air at 101 °C"),
    ],
)
def test_nitrile_is_good_up_to_100_degrees(celsius: int, stands: bool) -> None:
    facts = f"chain.sealing: sealed, clean.drying_temperature: {celsius} °C"
    assert ("hot-air-on-rings" in fired(facts)) is stands
