"""The built site as a whole: everything has its page, every link leads somewhere, nothing comes from outside."""

from __future__ import annotations

import json
import posixpath
import re
import subprocess
import sys
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_engine.finding_codes import explanations
from sideplate_engine.judgement import DEFER
from sideplate_site.addresses import Addresses, choice_anchor
from sideplate_site.book import Book
from sideplate_site.contents import pages_and_menu
from support.site_pages import BuiltSite

pytestmark = pytest.mark.slow

MOST_BYTES = 300_000


def stands(site: BuiltSite, address: str) -> bool:
    path, _, fragment = address.partition("#")
    page = site.pages.get(path)
    return page is not None and (not fragment or fragment in page.ids)


def test_every_rule_fact_formula_procedure_table_source_caution_and_topic_has_its_page_and_anchor(
    site: BuiltSite, knowledge: KnowledgeBase
) -> None:
    at = Addresses(knowledge)
    wanted = [
        *map(at.rule, (*knowledge.rules, *knowledge.retired)),
        *map(at.fact, knowledge.facts),
        *map(at.term, knowledge.facts),
        *map(at.formula, knowledge.formulas),
        *map(at.procedure, knowledge.procedures),
        *map(at.table, knowledge.tables),
        *map(at.source, knowledge.sources),
        *map(at.caution, knowledge.cautions),
        *map(at.topic, knowledge.topics),
        *map(at.subject, knowledge.subjects),
        *(at.row(table.id, key) for table in knowledge.tables.values() for key in table.rows),
        *(f"check-codes.html#{code}" for code in explanations()),
    ]
    assert [address for address in wanted if not stands(site, address)] == []


def test_every_choice_of_a_fact_has_its_anchor(site: BuiltSite, knowledge: KnowledgeBase) -> None:
    at = Addresses(knowledge)
    missing = [
        f"{fact.name}: {word}"
        for fact in knowledge.facts.values()
        for word in fact.choices or ()
        if choice_anchor(word) not in site.pages[at.fact(fact.name)].ids
    ]
    assert missing == []


def test_every_step_of_a_procedure_has_its_anchor(site: BuiltSite, knowledge: KnowledgeBase) -> None:
    at = Addresses(knowledge)
    for procedure in knowledge.procedures.values():
        ids = site.pages[at.procedure(procedure.id)].ids
        assert [step.id for step in procedure.steps if step.id not in ids] == []


def test_no_link_and_no_anchor_is_broken(site: BuiltSite) -> None:
    broken = [
        f"{address}: {link}"
        for address, page in site.pages.items()
        for link in page.links
        if not leads_somewhere(site, address, link)
    ]
    assert broken == []


def leads_somewhere(site: BuiltSite, address: str, link: str) -> bool:
    parts = urlsplit(link)
    if parts.scheme or parts.netloc:
        return False  # nothing on the site leads out of it
    target = (
        posixpath.normpath(posixpath.join(posixpath.dirname(address), unquote(parts.path)))
        if parts.path
        else address
    )
    fragment = unquote(parts.fragment)
    if target == "rule-graph.html" and "=" in fragment:
        return True  # what the graph is to show; the rule graph's own test looks at these
    return stands(site, f"{target}#{fragment}" if fragment else target)


def test_no_anchor_stands_twice_on_a_page(site: BuiltSite) -> None:
    repeated = {
        address: sorted({id_ for id_ in page.ids if page.ids.count(id_) > 1})
        for address, page in site.pages.items()
        if len(set(page.ids)) != len(page.ids)
    }
    assert repeated == {}


def test_pages_load_only_files_of_the_site(site: BuiltSite) -> None:
    for address, page in site.pages.items():
        for loaded in page.loads:
            path = posixpath.normpath(posixpath.join(posixpath.dirname(address), loaded))
            assert not urlsplit(loaded).scheme, (address, loaded)
            assert not loaded.startswith("//"), (address, loaded)
            assert (site.folder / path).is_file(), (address, loaded)


def test_no_style_or_script_names_an_address_outside(site: BuiltSite) -> None:
    outside = re.compile(r"""(?:@import|url\(|fetch\(|src\s*=|import\()\s*["'(]?\s*(?:https?:)?//""")
    for path in [*site.folder.rglob("*.css"), *site.folder.rglob("*.js")]:
        assert not outside.search(path.read_text(encoding="utf-8")), path


def test_no_page_is_heavy(site: BuiltSite) -> None:
    heavy = {
        a: page.path.stat().st_size for a, page in site.pages.items() if page.path.stat().st_size > MOST_BYTES
    }
    assert heavy == {}


def test_a_rule_page_with_all_that_it_loads_is_not_heavy(site: BuiltSite) -> None:
    page = site.pages["rules/connector-code-differs.html"]
    files = {page.path, *((page.path.parent / loaded).resolve() for loaded in page.loads)}
    assert sum(path.stat().st_size for path in files) <= MOST_BYTES


def test_every_page_shows_the_version_and_the_standing_caution(site: BuiltSite) -> None:
    built_from = re.compile(r"Built from Sideplate \S+, knowledge [0-9a-f]{10}\.")
    for address, page in site.pages.items():
        assert DEFER in page.text, address
        assert built_from.search(page.text), address
        assert "sideplate practise" in page.text, address


def test_every_rule_page_shows_the_command_that_practises_it(
    site: BuiltSite, knowledge: KnowledgeBase
) -> None:
    for id_ in knowledge.rules:
        assert f"sideplate practise --rule {id_}" in site.pages[f"rules/{id_}.html"].text


def test_every_page_is_in_the_menu(book: Book) -> None:
    pages, menu = pages_and_menu(book)
    in_menu = re.findall(r'"([^"]+\.md)"', json.dumps(menu))
    assert sorted(in_menu) == sorted(page.source for page in pages)


def test_mkdocs_itself_builds_the_pages_strictly(site: BuiltSite, tmp_path: Path) -> None:
    settings = site.folder.parent / "mkdocs.yml"
    call = (
        sys.executable,
        "-m",
        "mkdocs",
        "build",
        "--strict",
        "-q",
        "-f",
        settings,
        "-d",
        tmp_path / "again",
    )
    done = subprocess.run(call, capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "again" / "index.html").is_file()


def test_all_validations_are_on(site: BuiltSite) -> None:
    settings = json.loads((site.folder.parent / "mkdocs.yml").read_text(encoding="utf-8"))
    assert settings["strict"] is True
    for kind in ("nav", "links"):
        assert set(settings["validation"][kind].values()) == {"warn"}, kind
