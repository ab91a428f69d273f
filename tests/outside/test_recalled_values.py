"""What no publication was seen for is marked as recalled, in the cell, in the proof and in the rule.

These checks hold no value to itself. They hold the knowledge base to saying where it stands: the dimension table of
the motorcycle-chain standard was not read, so none of its figures may look like a standard's.
"""

from __future__ import annotations

import pytest

from support.built_in import cell, is_recalled, judged, knowledge
from support.sourced import check

ISO_10190 = "ISO 10190:2008: only cover, contents and list of changes were seen (GB/T 14212-2010)"
O_RING_BOOKS = "usual O-ring handbooks, recalled: no rating of these fluids was seen in print"
ALL = "pitch roller_diameter inner_width_minimum pin_diameter plate_height tensile_strength"
FOUR = "inner_width_minimum pin_diameter plate_height tensile_strength"

RECALLED = {
    "25H": ALL, "219H": ALL, "270H": ALL, "415MH": ALL, "420MH": ALL, "428MH": ALL, "520MH": ALL,
    "525MH": ALL, "530MH": ALL,
    "219": "roller_diameter inner_width_minimum pin_diameter tensile_strength",
    "420": "inner_width_minimum plate_height tensile_strength",
    "428": FOUR, "520": FOUR, "525": FOUR, "530": FOUR, "630": FOUR,
    "428H": "inner_width_minimum pin_diameter",
}  # fmt: skip


@pytest.mark.parametrize(
    ("size", "column"),
    [
        check(ISO_10190, size, column, name=f"{size}, {column}")
        for size, columns in RECALLED.items()
        for column in columns.split()
    ],
)
def test_a_cell_seen_in_no_publication_is_marked_recalled(size: str, column: str) -> None:
    assert is_recalled("sizes", size, column)


@pytest.mark.parametrize("size", [check(ISO_10190, size, name=size) for size in RECALLED if size != "428H"])
def test_the_proof_of_a_recalled_strength_says_that_it_is(size: str) -> None:
    assert judged(f"chain.size: {size}").derived["chain.size_minimum_strength"].from_memory


@pytest.mark.parametrize("size", [check(ISO_10190, size, name=size) for size in RECALLED if size != "428H"])
def test_the_proof_of_a_recalled_strength_cites_no_printed_table(size: str) -> None:
    cited = judged(f"chain.size: {size}").derived["chain.size_minimum_strength"].sources
    printed = {
        source.title for source in knowledge().sources.values() if source.kind in ("handbook", "catalogue")
    }
    assert not [source for source in cited if source.startswith(tuple(printed))]


@pytest.mark.source(ISO_10190)
def test_no_motorcycle_row_rests_on_a_standard() -> None:
    rows = knowledge().tables["sizes"].rows
    from_a_standard = {str(key) for key, row in rows.items() if row.basis == "standard"}
    assert from_a_standard == {"25", "35", "40", "41", "50", "60", "80"}


@pytest.mark.source(ISO_10190)
def test_the_standard_whose_table_was_not_read_gives_no_figure() -> None:
    figures = [
        *(row.sources for table in knowledge().tables.values() for row in table.rows.values()),
        *(formula.sources for formula in knowledge().formulas.values()),
        *(case.sources for formula in knowledge().formulas.values() for case in formula.worked),
    ]
    cited = {citation.work for sources in figures for citation in sources}
    assert not {work for work in cited if work.startswith(("iso-10190", "bs-iso-10190", "iso-606"))}


@pytest.mark.source("ISO 606:2015: contents list only")
@pytest.mark.parametrize("work", ["iso-10190-2008", "iso-606-2015"])
def test_the_source_list_says_that_the_table_was_not_read(work: str) -> None:
    verified = knowledge().sources[work].verified
    assert "recalled" in verified
    assert "contents" in verified


@pytest.mark.parametrize(
    ("fluid", "rubber"),
    [
        check(O_RING_BOOKS, fluid, rubber, name=f"{fluid} on {rubber}")
        for fluid, rubbers in {
            "kerosene": "hydrogenated_nitrile",
            "diesel": "hydrogenated_nitrile",
            "water-displacing spray": "hydrogenated_nitrile",
            "petrol": "nitrile hydrogenated_nitrile",
            "acetone": "hydrogenated_nitrile",
            "brake cleaner": "nitrile hydrogenated_nitrile fluorocarbon",
            "perchloroethylene": "nitrile hydrogenated_nitrile fluorocarbon",
            "dichloromethane": "nitrile hydrogenated_nitrile fluorocarbon",
            "citrus cleaner": "nitrile hydrogenated_nitrile fluorocarbon",
            "isopropanol": "hydrogenated_nitrile",
            "soap and water": "hydrogenated_nitrile",
            "steam": "hydrogenated_nitrile",
            "engine oil": "hydrogenated_nitrile",
            "gear oil": "nitrile hydrogenated_nitrile fluorocarbon",
            "silicone grease": "nitrile hydrogenated_nitrile fluorocarbon silicone",
        }.items()
        for rubber in rubbers.split()
    ],
)
def test_a_rating_seen_in_no_table_is_marked_recalled(fluid: str, rubber: str) -> None:
    assert cell("agents", fluid, rubber)
    assert is_recalled("agents", fluid, rubber)


@pytest.mark.parametrize(
    "rule",
    [
        check("no publication was seen", "press-depth-tolerance", name="0.1 mm between two links"),
        check("no publication was seen", "clip-on-large-road-machine", name="a clip up to 250 cm³"),
        check("ISO 606, clause 5.10: only its title was seen", "fewer-than-nine-teeth", name="nine teeth"),
        check("CLP Annex I 2.3.3: the code P412 only", "spray-can-too-hot", name="a can below 50 °C"),
        check(
            "EN 166, ANSI Z87.1: no text on grinding seen", "eye-mark-for-grinding", name="mark B to grind"
        ),
        check("no publication was seen", "new-chain-first-check-at", name="first check after 300 km"),
        check(O_RING_BOOKS, "rating-on-hydrogenated-nitrile", name="hydrogenated nitrile"),
    ],
)
def test_a_rule_with_a_recalled_figure_cites_memory_for_it(rule: str) -> None:
    assert "recalled" in {citation.work for citation in knowledge().rules[rule].sources}


@pytest.mark.source("ISO 606, tip diameter limits: not seen")
def test_the_smallest_tip_diameter_is_marked_recalled() -> None:
    formula = knowledge().formulas["tip-diameter-iso-min"]
    assert formula.basis == "memory"
    assert {citation.work for citation in formula.sources} == {"recalled"}


@pytest.mark.source("Shigley's Mechanical Engineering Design, rest of example 17-5: not seen")
def test_a_worked_case_whose_print_is_recalled_says_so() -> None:
    cases = knowledge().formulas["chain-length-in-pitches"].worked
    (case,) = (case for case in cases if case.gives == 75.79)
    assert any("recalled" in (citation.at or "") for citation in case.sources)
