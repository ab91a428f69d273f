"""A text may put in only what is certain to be known when its rule fires."""

from __future__ import annotations

import pytest

from support.small_knowledge import LoadWith, rule

TRAVEL = rule("travel", derive="bolt.travel: {formula: travel}")


@pytest.mark.parametrize(
    ("keys", "uncertain"),
    [
        ({"when": "bolt.size: M6", "says": "{bolt.size}"}, None),
        ({"when": "bolt.size: known", "says": "{bolt.size}"}, None),
        ({"when": "bolt.size: {same as: nut.size}", "says": "{bolt.size} {nut.size}"}, None),
        ({"when": "bolt.size: unknown", "says": "{bolt.size}"}, "bolt.size"),
        ({"when": "bolt.size: M6", "says": "{bolt.turns}"}, "bolt.turns"),
        ({"when": "any: [{bolt.size: M6}, {bolt.turns: 3}]", "says": "{bolt.size}"}, "bolt.size"),
        ({"when": "any: [{bolt.size: M6}, {bolt.size: M4, bolt.turns: 3}]", "says": "{bolt.size}"}, None),
        ({"when": "bolt.size: M6", "unless": "bolt.turns: 3", "says": "{bolt.turns}"}, "bolt.turns"),
        ({"derive": "bolt.travel: {formula: travel}", "says": "{bolt.travel} {bolt.turns}"}, None),
        # behind a fact that only rules derive stands what they derive it from
        ({"when": "bolt.travel: {above: 5 mm}", "says": "{bolt.turns} {bolt.pitch}"}, None),
        # the pitch may be stated, so the size behind it need not be known
        ({"when": "bolt.pitch: {above: 5 mm}", "says": "{bolt.size}"}, "bolt.size"),
        ({"when": "bolt.size: M6", "if_ignored": "{bolt.nuts}"}, "bolt.nuts"),
        ({"when": "bolt.size: M6", "because": "{kind: cause, text: 'It is {bolt.nuts}.'}"}, "bolt.nuts"),
        ({"when": "bolt.size: M6", "ruling": "must not", "instead": "{bolt.nuts}"}, "bolt.nuts"),
    ],
)
def test_a_place_for_a_fact_that_may_be_unknown_is_found(
    loaded_of: LoadWith, keys: dict[str, str], uncertain: str | None
) -> None:
    pitch = rule("pitch", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}")
    loaded = loaded_of(TRAVEL, pitch, rule("it", **keys))
    told = [finding.message for finding in loaded.findings]
    key = next((key for key, text in keys.items() if uncertain and f"{{{uncertain}}}" in text), "")
    expected = f"`{key}` puts in {uncertain}, which may be unknown when the rule fires"
    assert told == ([expected] if uncertain else [])


def test_what_several_rules_derive_a_fact_from_must_be_common_to_them(loaded_of: LoadWith) -> None:
    loaded = loaded_of(
        TRAVEL,
        rule("short", when="bolt.length: {below: 5 mm}\nbolt.turns: {above: 3}", derive="bolt.travel: 1 mm"),
        rule("it", when="bolt.travel: {above: 5 mm}", says="{bolt.turns} {bolt.pitch}"),
    )
    assert [finding.message for finding in loaded.findings] == [
        "`says` puts in bolt.pitch, which may be unknown when the rule fires"
    ]


def test_nothing_is_said_of_places_while_a_rule_is_broken(loaded_of: LoadWith) -> None:
    broken = rule("broken", derive="bolt.travel: {formula: travle}")
    loaded = loaded_of(broken, rule("it", when="bolt.travel: {above: 5 mm}", says="{bolt.turns}"))
    assert [finding.code for finding in loaded.findings] == ["unknown-formula"]
