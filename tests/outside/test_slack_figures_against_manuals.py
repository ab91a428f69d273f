"""Slack figures against the makers' manuals they come from, cited by class of machine.

The table `slack-in-manuals` holds what each manual prints; here the same figures stand a second time, read from
the manuals' inches where those were printed. The rules of thumb must be the ends of those ranges and no others.
Rules of thumb themselves are *common practice*.
"""

from __future__ import annotations

import pytest

from sideplate_engine import Judge, KnowledgeBase, load

pytestmark = pytest.mark.source("makers' manuals by class of machine, as named beside each figure")

INCH = 25.4


@pytest.fixture(scope="module")
def knowledge() -> KnowledgeBase:
    return load().knowledge


def manual_range(knowledge: KnowledgeBase, machine: str) -> tuple[float, float]:
    row = knowledge.tables["slack-in-manuals"].row(machine)
    assert row is not None
    return float(row.cells["low"]), float(row.cells["high"])


def usual_range(knowledge: KnowledgeBase, use: str) -> tuple[float, float]:
    row = knowledge.tables["slack-by-use"].row(use)
    assert row is not None
    return float(row.cells["low"]), float(row.cells["high"])


@pytest.mark.parametrize(
    ("machine", "low_inches", "high_inches"),
    [
        ("ADVENTURE 650", 1.4, 1.8),  # owner's manual, 650-class adventure machine: 35-45 mm (1.4-1.8 in)
        ("MOTOCROSS 65", 1.8, 2.2),  # owner's manual, 65-class motocross machine: 45-55 mm (1.8-2.2 in)
        ("MOTOCROSS 250", 1.0, 1.4),  # owner's manual, 250-class motocross machine: 25-35 mm (1.0-1.4 in)
        ("ROAD 110 UTILITY", 5 / 8, 1.0),  # owner's manual, 110-class utility machine: 15-25 mm (5/8-1 in)
        (
            "ROAD 650",
            0.8,
            1.2,
        ),  # service manual, 650-class road machine; its printed 1.8-2.2 in is a misprint
    ],
)
def test_the_millimetres_are_the_manuals_inches_to_a_millimetre(
    knowledge: KnowledgeBase, machine: str, low_inches: float, high_inches: float
) -> None:
    low, high = manual_range(knowledge, machine)
    assert low == pytest.approx(low_inches * INCH, abs=1.3)
    assert high == pytest.approx(high_inches * INCH, abs=1.3)


def test_the_misprinted_inches_of_the_650_class_manual_are_not_its_millimetres(
    knowledge: KnowledgeBase,
) -> None:
    low, high = manual_range(knowledge, "ROAD 650")
    assert high < 1.8 * INCH
    assert 2.2 * INCH - low > 30


@pytest.mark.parametrize(
    ("use", "machines"),
    [
        ("street", ["ROAD 400 SPORT", "ROAD 650", "ROAD 900 TRIPLE", "ADVENTURE 650"]),
        ("street and off-road", ["ADVENTURE 650", "ENDURO"]),
        ("off-road", ["MOTOCROSS 250", "OFF-ROAD 450", "MOTOCROSS 65"]),
    ],
)
def test_the_usual_range_of_a_use_spans_its_manuals(
    knowledge: KnowledgeBase, use: str, machines: list[str]
) -> None:
    ranges = [manual_range(knowledge, machine) for machine in machines]
    assert usual_range(knowledge, use) == (min(low for low, _ in ranges), max(high for _, high in ranges))


def test_the_fair_middle_of_road_practice_lies_in_the_usual_range(knowledge: KnowledgeBase) -> None:
    """Common practice: 1 to 1 1/2 inches for road machines."""
    low, high = usual_range(knowledge, "street")
    assert low < 1.0 * INCH < 1.5 * INCH < high


@pytest.mark.parametrize(
    "machine", ["ROAD 400 SPORT", "ROAD 650", "ROAD 900 TRIPLE", "ADVENTURE 650", "ENDURO", "OFF-ROAD 450"]
)
def test_a_chain_in_the_middle_of_its_manuals_range_may_stay(knowledge: KnowledgeBase, machine: str) -> None:
    low, high = manual_range(knowledge, machine)
    outcome = Judge(knowledge).outcome(
        {"slack.measured": (low + high) / 2, "slack.manual_min": low, "slack.manual_max": high}
    )
    assert "slack-within-manual" in outcome.fired


def test_no_rule_of_thumb_calls_the_tightest_or_the_loosest_printed_figure_wrong(
    knowledge: KnowledgeBase,
) -> None:
    ranges = [manual_range(knowledge, str(machine)) for machine in knowledge.tables["slack-in-manuals"].rows]
    tightest, loosest = min(low for low, _ in ranges), max(high for _, high in ranges)
    judge = Judge(knowledge)
    for figure in (tightest, loosest):
        fired = judge.outcome({"slack.measured": figure}).fired
        assert not {"slack-too-tight-rule-of-thumb", "slack-too-loose-rule-of-thumb"} & set(fired)
    assert "slack-too-tight-rule-of-thumb" in judge.outcome({"slack.measured": tightest - 1}).fired
    assert "slack-too-loose-rule-of-thumb" in judge.outcome({"slack.measured": loosest + 1}).fired


@pytest.mark.parametrize(("slack", "share"), [(25.0, 0.042), (38.0, 0.063)])
def test_one_to_one_and_a_half_inches_is_the_industrial_share_of_a_600_mm_span(
    knowledge: KnowledgeBase, slack: float, share: float
) -> None:
    """A chain maker's answers on slack: 4 to 6 % of the centre distance for general drives."""
    result = knowledge.formulas["slack-share-of-span"].run({"s": slack, "C": 600.0})
    assert result / 100 == pytest.approx(share, abs=0.0005)
    assert 0.04 < result / 100 < 0.065
