"""The invented workshop's data: in the vocabulary's terms, and without contradiction."""

from __future__ import annotations

from pathlib import Path

import pytest

from sideplate_engine import Judge, KnowledgeBase, built_in_folder
from sideplate_engine.yaml_tree import Items, Mapping, read_text, read_tree
from sideplate_trainer.situations.consistency import contradiction, is_absurd, writable
from sideplate_trainer.situations.workshop import Workshop, read_workshop
from support.small_knowledge import given, write

PEOPLE = """\
people: [A cook]
openings: {any: ["{person} brings {machine}."]}
called: {any: [a bolt]}
"""


@pytest.fixture(scope="module")
def workshop(knowledge: KnowledgeBase) -> Workshop:
    found, findings = read_workshop(built_in_folder(), knowledge.facts)
    assert findings == []
    return found


def tree(name: str) -> Mapping:
    found, findings = read_tree(read_text(built_in_folder() / "workshop" / name), name)
    assert isinstance(found, Mapping)
    assert findings == []
    return found


def test_every_fact_of_the_workshop_is_in_the_vocabulary(
    knowledge: KnowledgeBase, workshop: Workshop
) -> None:
    for name, node in tree("machines.yaml").entries.items():
        assert isinstance(node, Mapping)
        stated = node.entries["facts"]
        assert isinstance(stated, Mapping)
        machine = next(machine for machine in workshop.machines if machine.name == name)
        assert set(stated.entries) == set(machine.facts)
    never = tree("never.yaml").entries["never"]
    assert isinstance(never, Items)
    assert len(never.items) == len(workshop.never)


def test_no_machine_contradicts_itself(chain_judge: Judge, workshop: Workshop) -> None:
    for machine in workshop.machines:
        chained = chain_judge.outcome(machine.facts)
        assert contradiction(chain_judge.knowledge, chained) is None, machine.name
        assert writable(chain_judge.knowledge, machine.facts), machine.name
        assert not is_absurd(chain_judge.knowledge, workshop, chained.facts), machine.name
        asked_for = {
            id_ for id_ in chained.live if chain_judge.knowledge.rules[id_].force not in (None, "may")
        }
        assert asked_for == set(), machine.name


def test_the_loop_of_each_machine_is_the_one_its_drive_needs(chain_judge: Judge, workshop: Workshop) -> None:
    compared = 0
    for machine in workshop.machines:
        needed = chain_judge.outcome(machine.facts).facts.get("drive.links_needed")
        if needed is not None:
            assert needed == machine.facts["chain.links"], machine.name
            compared += 1
    assert compared >= 15


def test_every_topic_has_its_openings_and_every_use_its_names(
    knowledge: KnowledgeBase, workshop: Workshop
) -> None:
    assert set(workshop.openings) == {"any", *knowledge.topics}
    uses = knowledge.facts["bike.use"].choices
    assert uses is not None
    assert set(workshop.called) == {"any", *uses}
    assert len(set(workshop.people)) == len(workshop.people) >= 15


def test_each_use_has_a_machine(knowledge: KnowledgeBase, workshop: Workshop) -> None:
    uses = knowledge.facts["bike.use"].choices
    assert uses is not None
    assert {machine.facts["bike.use"] for machine in workshop.machines} == set(uses)


def test_what_a_vocabulary_does_not_know_is_left_out(bolts: KnowledgeBase) -> None:
    workshop, findings = read_workshop(built_in_folder(), bolts.facts)
    assert findings == []
    assert all(not machine.facts for machine in workshop.machines)
    assert workshop.never == ()


@pytest.mark.parametrize(
    "facts",
    [
        "sprockets.renewed_with_chain: no, sprockets.new_on_old_chain: yes",
        "lube.left_out_because: the interval is not over, lube.kind: engine oil",
        "work.eye_protection: no, work.eye_mark: B",
        "work.eye_protection: no, work.grinding: yes",
    ],
)
def test_no_sheet_tells_of_work_done_in_two_ways_or_of_a_grinder_at_bare_eyes(
    chain_judge: Judge, workshop: Workshop, facts: str
) -> None:
    assert is_absurd(chain_judge.knowledge, workshop, given(chain_judge, facts))


def test_a_broken_workshop_is_told_with_its_place(tmp_path: Path, bolts: KnowledgeBase) -> None:
    files = {
        "workshop/people.yaml": PEOPLE.replace("[A cook]", "none"),
        "workshop/machines.yaml": "one: {facts: {bolt.length: 3}}\ntwo: here\n",
        "workshop/never.yaml": "never: [{bolt.length: {abov: 3 mm}}]\n",
    }
    workshop, findings = read_workshop(write(tmp_path, files), bolts.facts)
    assert workshop.people == ()
    assert [(finding.code, str(finding.at).split("/")[-1]) for finding in findings] == [
        ("workshop", "people.yaml:1:1"),
        ("wrong-value", "machines.yaml:1:28"),
        ("workshop", "machines.yaml:2:1"),
        ("unknown-test", "never.yaml:1:24"),
    ]
