"""The site in a real browser: what a reader does on it, at a desk, on a phone, by keyboard, on paper."""

from __future__ import annotations

from pathlib import Path

import pytest

# It ships no type information.
from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]
from playwright.sync_api import Browser, Page, ViewportSize

from support.site_pages import SCREENSHOTS, BuiltSite, keep

pytestmark = pytest.mark.slow

KINDS_OF_PAGE = {
    "home": "index.html",
    "rule": "rules/connector-code-differs.html",
    "derivation": "rules/adjuster-turns-from-shift.html",
    "fact": "facts/chain.condition.html",
    "formula": "formulas/chain-length-in-pitches.html",
    "geometry": "formulas/slack-in-line.html",
    "topic": "topics/slack.html",
    "procedure": "procedures/cut-a-chain.html",
    "sizes": "tables/sizes.html",
    "agents": "tables/agents.html",
    "glossary": "glossary.html",
    "sources": "sources.html",
    "cautions": "cautions.html",
    "pictures": "pictures.html",
    "graph": "rule-graph.html",
    "search": "search.html?q=half+link",
    "changes": "changes.html",
    "explanation": "explanation/slack-geometry.html",
}
GRAVE = ("serious", "critical")
PHONE = ViewportSize(width=390, height=844)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("kind", KINDS_OF_PAGE)
def test_axe_finds_nothing_serious(browser: Browser, site_address: str, kind: str, scheme: str) -> None:
    context = browser.new_context(color_scheme="dark" if scheme == "dark" else "light")
    page = context.new_page()
    page.goto(site_address + KINDS_OF_PAGE[kind])
    page.wait_for_load_state("networkidle")
    violations = Axe().run(page).response["violations"]
    context.close()
    grave = [
        (violation["id"], node["html"][:200], node["failureSummary"])
        for violation in violations
        if violation["impact"] in GRAVE
        for node in violation["nodes"][:3]
    ]
    assert grave == []


@pytest.mark.parametrize("kind", KINDS_OF_PAGE)
def test_a_page_shows_within_a_second_and_asks_nobody_else(page: Page, site_address: str, kind: str) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(site_address + KINDS_OF_PAGE[kind])
    page.wait_for_load_state("networkidle")
    assert [url for url in asked if not url.startswith((site_address, "data:"))] == []
    painted = page.evaluate("performance.getEntriesByName('first-contentful-paint')[0].startTime")
    assert painted < 1000
    keep(page, kind, whole=kind in ("home", "rule", "fact"))


@pytest.mark.parametrize("kind", KINDS_OF_PAGE)
def test_a_page_fits_a_phone(browser: Browser, site_address: str, kind: str) -> None:
    context = browser.new_context(viewport=PHONE, device_scale_factor=2, is_mobile=True, has_touch=True)
    page = context.new_page()
    page.goto(site_address + KINDS_OF_PAGE[kind])
    page.wait_for_load_state("networkidle")
    width = page.evaluate("document.documentElement.scrollWidth")
    if kind in ("home", "rule", "formula", "sizes", "search", "procedure"):
        keep(page, f"phone-{kind}")
    context.close()
    assert width <= PHONE["width"]


def test_the_menu_opens_and_closes_on_a_phone_by_keyboard(browser: Browser, site_address: str) -> None:
    context = browser.new_context(viewport=PHONE)
    page = context.new_page()
    page.goto(site_address + KINDS_OF_PAGE["rule"])
    button = page.get_by_role("button", name="Menu")
    assert not page.locator("#sp-menu").is_visible()
    button.focus()
    page.keyboard.press("Enter")
    page.locator("#sp-menu").wait_for(state="visible")
    assert button.get_attribute("aria-expanded") == "true"
    assert page.evaluate("document.activeElement.getAttribute('aria-current')") == "page"
    page.wait_for_timeout(400)
    keep(page, "phone-menu")
    page.keyboard.press("Escape")
    page.locator("#sp-menu").wait_for(state="hidden")
    assert page.evaluate("document.activeElement.textContent") == "Menu"
    context.close()


FOUND = {
    "how tight": {"topics/slack.html", "facts/slack.measured.html"},
    "o ring cleaner": {"topics/cleaning.html", "facts/clean.agents.html", "tables/agents.html"},
    "520 or 525": {"tables/sizes.html", "tables/sizes.html#520", "tables/sizes.html#525"},
    "half link": {"facts/connector.style.html", "topics/connectors.html"},
    "how often to oil": {"facts/lube.manual_interval.html", "topics/lubrication.html"},
    "clip direction": {"facts/connector.clip_closed_end.html", "procedures/fit-a-clip-link.html"},
    "conector code": {"rules/connector-code-differs.html"},
}


@pytest.mark.parametrize("question", FOUND)
def test_the_search_finds_what_is_meant_among_the_first(page: Page, site_address: str, question: str) -> None:
    page.goto(site_address + "index.html")
    page.keyboard.press("/")
    page.keyboard.type(question)
    page.keyboard.press("Enter")
    page.wait_for_url("**/search.html?q=*")
    page.locator(".sp-search-results li").first.wait_for()
    links = page.locator(".sp-search-results a").all()[:8]
    first = {str(link.get_attribute("href")) for link in links}
    assert first >= FOUND[question]


def test_a_search_without_an_answer_says_so(page: Page, site_address: str) -> None:
    page.goto(site_address + "search.html")
    page.get_by_role("searchbox").fill("zzyzx")
    assert page.locator(".sp-search-count").inner_text() == (
        'Nothing was found for "zzyzx". Try another word for the part.'
    )


def test_the_site_works_from_the_folder_without_a_server(page: Page, site: BuiltSite) -> None:
    page.goto((site.folder / "search.html").as_uri() + "?q=half+link")
    page.locator(".sp-search-results a").first.click()
    assert page.url == (site.folder / "facts" / "connector.style.html").as_uri()
    page.goto((site.folder / "formulas" / "drive-ratio.html").as_uri())
    assert page.locator("output").first.inner_text() != ""


def test_the_size_chart_compares_two_sizes(page: Page, site_address: str) -> None:
    page.goto(site_address + "tables/sizes.html")
    compared = page.locator(".sp-compared tr")
    inner = next(row.inner_text() for row in compared.all() if row.inner_text().startswith("Inner width, mm"))
    # 520 and 525 share a pitch of 15.875 mm and differ in inner width: 6.35 and 7.95 mm (table sizes).
    assert inner.split("\t")[1:] == ["6.35 (0.250)", "7.95 (0.313)"]
    pitch = next(row.inner_text() for row in compared.all() if row.inner_text().startswith("Pitch"))
    assert pitch.endswith("(the same)")


def test_the_graph_lights_the_path_of_a_chosen_sheet(page: Page, site_address: str) -> None:
    page.goto(site_address + "rule-graph.html")
    sheets = page.locator("#graph-sheet option").all()
    assert len(sheets) > 1
    page.select_option("#graph-sheet", index=1)
    page.wait_for_url("**#sheet=0")
    lit = page.locator(".sp-graph-columns a.sp-lit")
    assert lit.count() > 2
    assert page.locator(".sp-graph-lines path.sp-lit").count() > 0
    assert "facts stated" in page.locator("#graph-told").inner_text()


def test_the_graph_shows_a_rule_with_what_it_rests_on(page: Page, site_address: str) -> None:
    page.goto(site_address + "rules/connector-code-differs.html")
    page.get_by_role("link", name="See it in the rule graph").click()
    page.wait_for_url("**/rule-graph.html#rule=connector-code-differs")
    centre = page.locator("a.sp-centre")
    assert centre.get_attribute("href") == "rules/connector-code-differs.html"
    shown = {str(link.get_attribute("href")) for link in page.locator(".sp-graph-columns a").all()}
    assert {"facts/chain.code.html", "facts/connector.code.html"} <= shown
    page.get_by_role("button", name="Look around chain.code").click()
    page.wait_for_url("**#fact=chain.code")
    keep(page, "graph-around-a-fact")


def test_light_and_dark_are_chosen_and_kept(page: Page, site_address: str) -> None:
    page.goto(site_address + "index.html")
    page.get_by_role("button", name="Dark").click()
    page.goto(site_address + "tables/sizes.html")
    assert page.locator("body").get_attribute("data-md-color-scheme") == "slate"
    keep(page, "sizes-dark")


def test_the_whole_page_can_be_walked_by_keyboard(page: Page, site_address: str) -> None:
    page.goto(site_address + KINDS_OF_PAGE["formula"])
    stops: list[str] = []
    for _ in range(400):
        page.keyboard.press("Tab")
        stop = page.evaluate("document.activeElement.outerHTML.slice(0, 80)")
        if stop.startswith("<body"):
            break
        stops.append(stop)
    assert any("md-skip" in stop for stop in stops[:2])
    for wanted in ('data-symbol="C"', 'data-symbol="N2"', 'type="radio"', "<select"):
        assert any(wanted in stop for stop in stops) or wanted in page.content(), wanted
    assert any("chain-length-in-pitches-N2" in stop for stop in stops)


def test_a_procedure_prints_its_steps_and_the_standing_caution_and_nothing_to_click(
    page: Page, site_address: str
) -> None:
    page.goto(site_address + KINDS_OF_PAGE["procedure"])
    page.emulate_media(media="print")
    assert page.locator(".sp-steps").is_visible()
    assert page.locator(".sp-defer").is_visible()
    for gone in (".sp-header", ".sp-menu", ".sp-toc"):
        assert not page.locator(gone).first.is_visible()
    SCREENSHOTS.mkdir(parents=True, exist_ok=True)
    keep(page, "print-procedure", whole=True)
    paper = page.pdf(format="A4", path=SCREENSHOTS / "print-procedure.pdf")
    assert paper.startswith(b"%PDF")


def test_screenshots_are_kept_where_git_does_not_look() -> None:
    root = Path(__file__).resolve().parents[2]
    assert SCREENSHOTS.is_relative_to(root / "build")
    assert "/build/" in (root / ".gitignore").read_text(encoding="utf-8").splitlines()
