"""Stories: who comes in, then one sentence a fact."""

from __future__ import annotations

from sideplate_engine import Judge, KnowledgeBase, built_in_folder
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.stories import tell_facts, tell_story
from sideplate_trainer.situations.workshop import read_workshop
from support.small_knowledge import given


def test_the_machine_is_called_by_its_use_only_if_the_sheet_gives_it(knowledge: KnowledgeBase) -> None:
    workshop, _ = read_workshop(built_in_folder(), knowledge.facts)
    for seed in range(60):
        kart = tell_story(workshop, knowledge.facts, "wear", {"bike.use": "kart"}, Draws(seed))
        nothing = tell_story(workshop, knowledge.facts, "wear", {}, Draws(seed))
        assert "kart" in kart[0]
        assert len(nothing) == 1
        assert not any(word in nothing[0] for word in ("kart", "quad", "road", "dirt", "trail"))


def test_every_opening_is_a_sentence_without_places_left_over(knowledge: KnowledgeBase) -> None:
    workshop, _ = read_workshop(built_in_folder(), knowledge.facts)
    for openings in workshop.openings.values():
        for opening in openings:
            filled = opening.replace("{person}", "A cook").replace("{machine}", "a kart")
            assert filled.endswith(".")
            assert not set("{}") & set(filled)
            assert "{person}" in opening
            assert "{machine}" in opening


def test_facts_are_told_in_the_words_of_the_vocabulary(judge: Judge) -> None:
    facts = given(judge, "bolt.marks: [rust, bent], bolt.length: 12.5 mm, bolt.greased: no")
    assert tell_facts(judge.knowledge.facts, facts) == (
        "It is 12.5 mm long.",
        "It shows rust and bent.",
        "It is dry.",
    )


def test_a_reader_of_inches_is_told_inches(judge: Judge) -> None:
    facts = given(judge, "bolt.length: 25.4 mm")
    assert tell_facts(judge.knowledge.facts, facts, "us") == ("It is 1.000 in long.",)
