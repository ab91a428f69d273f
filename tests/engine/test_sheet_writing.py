"""A sheet that was written reads back as the same sheet, whatever stands in it."""

from __future__ import annotations

from hypothesis import given as draw
from hypothesis import settings
from hypothesis import strategies as st

from sideplate_engine import JobSheet, KnowledgeBase, built_in_folder, read_sheet, read_sheet_file
from sideplate_engine.quantities import canonical
from sideplate_engine.sheet_writing import sheet_as_yaml
from sideplate_engine.vocabulary import Fact, Value
from support.built_in import knowledge


def values(fact: Fact) -> st.SearchStrategy[Value]:
    low, high = fact.possible or (0, 1000)
    if fact.kind == "choice":
        assert fact.choices is not None
        elements = st.sampled_from(sorted(fact.choices))
        return st.frozensets(elements) if fact.many else elements
    if fact.kind == "flag":
        return st.booleans()
    if fact.kind == "count":
        return st.integers(int(low), int(high))
    if fact.kind == "quantity":
        # Nothing that anybody measures is a thousandth of a millionth of its unit.
        measurable = st.floats(low, high).filter(lambda value: value == 0 or abs(value) > 1e-9)
        return measurable.map(canonical).filter(lambda value: low <= value <= high)
    code = st.sampled_from(
        ["520", "VX3", "NULL", "~", "TRUE", "#5", "A: B", "- X", "A, B", "'", '"', "\\", "É"]
    )
    return st.frozensets(code) if fact.many else code


@settings(max_examples=200, deadline=None)
@draw(st.data())
def test_every_value_survives_writing(data: st.DataObject) -> None:
    vocabulary = knowledge().facts
    names = data.draw(st.lists(st.sampled_from(sorted(vocabulary)), min_size=1, max_size=4, unique=True))
    facts = {name: data.draw(values(vocabulary[name])) for name in names}
    texts = st.sampled_from(["", "A line", "Wheel: out", "# no", "two\nlines", "yes", "été"])
    sheet = JobSheet(data.draw(texts), data.draw(texts), facts)
    again = read_sheet(sheet_as_yaml(sheet, vocabulary), "written", vocabulary)
    assert (again.job, again.note, again.facts) == (sheet.job, sheet.note, sheet.facts)


def test_every_sheet_of_the_workshop_survives_writing() -> None:
    vocabulary = knowledge().facts
    for job in sorted((built_in_folder() / "workshop" / "jobs").glob("*.yaml")):
        sheet = read_sheet_file(job, vocabulary)
        again = read_sheet(sheet_as_yaml(sheet, vocabulary), job.name, vocabulary)
        assert again == sheet


def test_a_sheet_is_written_as_a_person_would_write_it(bolts: KnowledgeBase) -> None:
    facts: dict[str, Value] = {
        "bolt.marks": frozenset({"bent", "rust"}),
        "bolt.length": 35.0,
        "bolt.turns": 4,
        "bolt.greased": True,
        "nut.size": "M4",
    }
    assert sheet_as_yaml(JobSheet("Check", "", facts), bolts.facts) == (
        "job: Check\n"
        "facts:\n"
        "  nut.size: M4\n"
        "  bolt.length: 35 mm\n"
        "  bolt.turns: 4\n"
        "  bolt.marks: [rust, bent]\n"
        "  bolt.greased: yes\n"
    )
