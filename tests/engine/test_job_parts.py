"""The parts of a job: which facts belong to which, and what is wrong with a file of them."""

from __future__ import annotations

from sideplate_engine.job_parts import JobParts
from support.built_in import knowledge
from support.small_knowledge import LoadWith, rule

BASE = rule("any", when="bolt.size: M4")


def parts_of(loaded_of: LoadWith, text: str) -> JobParts:
    return loaded_of(BASE, {"parts.yaml": text}).sound().job_parts


def test_a_fact_listed_by_itself_belongs_only_to_the_parts_that_list_it(loaded_of: LoadWith) -> None:
    parts = parts_of(
        loaded_of,
        "head: {title: The head, facts: [bolt.size, bolt.code]}\nrest: {title: The rest, facts: [bolt, nut]}\n",
    )
    assert parts.of("bolt.size") == ("head",)
    assert parts.of("bolt.length") == ("rest",)
    assert parts.of("nut.size") == ("rest",)


def test_a_fact_may_belong_to_several_parts_and_is_at_home_in_the_first(loaded_of: LoadWith) -> None:
    parts = parts_of(
        loaded_of,
        "a: {title: A, facts: [bolt.size, nut]}\nb: {title: B, facts: [bolt.size, bolt]}\n",
    )
    assert parts.of("bolt.size") == ("a", "b")
    assert "bolt.size" in parts.facts_of(["b"])
    assert "nut.size" not in parts.facts_of(["b"])


def test_what_is_always_meant_is_not_offered_and_always_inside(loaded_of: LoadWith) -> None:
    parts = parts_of(
        loaded_of,
        "a: {title: A, facts: [bolt], always: yes}\nb: {title: B, facts: [nut], tasks: [tighten]}\n",
    )
    assert [part.id for part in parts.offered] == ["b"]
    assert "bolt.size" in parts.facts_of([])
    assert parts.for_tasks(["tighten"]) == ("b",)
    assert parts.for_tasks(["paint"]) == ()


def test_a_subject_that_no_part_lists_is_a_part_of_its_own(loaded_of: LoadWith) -> None:
    parts = parts_of(loaded_of, "a: {title: A, facts: [bolt.size]}\n")
    assert [(part.id, part.title) for part in parts.offered] == [("a", "A"), ("bolt", "Bolt"), ("nut", "Nut")]
    assert "bolt.length" in parts.facts_of(["bolt"])
    assert "bolt.size" not in parts.facts_of(["bolt"])


def test_a_name_in_a_part_that_is_no_fact_and_no_subject_is_found_with_its_place(loaded_of: LoadWith) -> None:
    loaded = loaded_of(BASE, {"parts.yaml": "a: {title: A, facts: [bolt, bolt.sise]}\n"})
    (finding,) = loaded.findings
    assert (finding.code, finding.at.line, finding.at.column) == ("unknown-fact", 1, 29)
    assert finding.message == "no fact and no subject is called bolt.sise; did you mean bolt.size?"


def test_every_fact_that_can_be_asked_for_is_in_a_part_of_the_built_in_base() -> None:
    base = knowledge()
    assert [name for name, fact in base.facts.items() if fact.given and not base.job_parts.of(name)] == []
    listed = set(base.parts)
    assert {part.id for part in base.job_parts.offered} <= listed, "a subject is listed in no part"


def test_the_tasks_of_the_built_in_parts_are_kinds_of_work() -> None:
    base = knowledge()
    choices = set(base.facts["work.task"].choices or ())
    assert {task for part in base.parts.values() for task in part.tasks} <= choices
