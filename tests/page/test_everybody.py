"""Everybody gets on, in a real browser: few taps, keys alone, no script, zoom, dark, a reader."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.page.serving import Server
from tests.page.test_browser import (
    AXE,
    asked,
    begin,
    chromium,
    come_in,
    pytestmark,
    wait_for_other,
    write_boxes,
)

__all__ = ["chromium", "pytestmark"]
FOCUS = """() => { const e = document.activeElement; const s = getComputedStyle(e);
  return [e.tagName, e.value || '', e.textContent.trim(), s.outlineStyle !== 'none']; }"""


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    server = Server(tmp_path / "cases")
    yield server
    server.kill()


def in_trouble(page: Any) -> str:
    """In the tank and gasping; gives the delivery's address."""
    at = begin(page)
    before = asked(page)
    page.click("button.tap >> nth=2")
    before = wait_for_other(page, before)
    page.check("[value=gasping_at_surface]")
    page.click("button.go")
    wait_for_other(page, before)
    return at


def test_a_later_look_takes_four_taps(chromium: Any, server: Server) -> None:
    page = come_in(chromium, server, "Ana")
    in_trouble(page)
    taps = 0
    for what in (
        "header >> text=Watch",
        "a.go:has-text('Look again')",
        "label:has([value=gasping_at_surface])",
        "text=Save this look",
    ):
        page.click(what)
        taps += 1
    page.wait_for_url("**/changed/**")
    assert taps == 4 and page.inner_text("h1").endswith("BETTER than at the last look")
    assert len(server.case.observation) == 2
    assert server.case.observation[1].seen == ()


def test_a_grid_is_kept_while_the_network_is_away_and_sent_once(
    chromium: Any, server: Server
) -> None:
    page = come_in(chromium, server, "Ana")
    write_boxes(page, server, 3)
    page.context.set_offline(True)
    page.click("text=In which order are they opened?")
    page.wait_for_selector("text=It is kept on this device")
    assert not list(server.folder.glob("*.toml"))
    page.context.set_offline(False)
    page.wait_for_url("**/bags", timeout=60_000)
    assert len(server.case.lot) == 3
    assert page.evaluate("localStorage.getItem('answers not sent')") == "[]"


def test_a_grid_outlives_the_server(chromium: Any, server: Server) -> None:
    page = come_in(chromium, server, "Ana")
    write_boxes(page, server, 2)
    server.kill()
    page.click("text=In which order are they opened?")
    page.wait_for_selector("text=It is kept on this device")
    server.start()
    page.wait_for_url("**/bags", timeout=60_000)
    assert len(server.case.lot) == 2


def test_one_delivery_by_keys_alone(chromium: Any, server: Server) -> None:
    page = come_in(chromium, server, "Ana")
    to_by_tab(page, lambda tag, value, text: text.startswith("Fish look wrong"))
    page.keyboard.press("Enter")
    page.wait_for_selector("[name=asked]", state="attached")
    answers = 0
    while page.query_selector("[name=asked]") and answers < 70:
        before = asked(page)
        if answers == 1:
            to_by_tab(page, lambda tag, value, text: value == "gasping_at_surface")
            page.keyboard.press("Space")
            to_by_tab(page, lambda tag, value, text: tag == "BUTTON" and value == "go")
        else:
            known = page.query_selector("button[value=unknown]") is None
            to_by_tab(
                page,
                lambda tag, value, text, known=known: (
                    value.startswith(("take:", "line:")) if known else value == "unknown"
                ),
            )
        page.keyboard.press("Enter")
        wait_for_other(page, before)
        answers += 1
    assert answers > 8 and page.inner_text("h1") == "All asked for now"
    assert "gasping_at_surface" in server.case.observation[0].seen


def to_by_tab(page: Any, wanted: Any) -> None:
    """Press Tab until what is wanted has the focus; what has it can be seen to have it."""
    for _ in range(80):
        page.keyboard.press("Tab")
        tag, value, text, ringed = page.evaluate(FOCUS)
        if tag != "BODY":
            assert ringed, (tag, text)
        if wanted(tag, value, text):
            return
    raise AssertionError("Tab does not lead there")


def test_one_delivery_without_script(chromium: Any, server: Server) -> None:
    page = come_in(chromium, server, "Ana", java_script_enabled=False)
    page.click("text=Fish look wrong")
    page.click("button.tap >> nth=1")
    page.check("[value=gasping_at_surface]")
    page.click("button.go")
    page.wait_for_selector("text=DO NOW")
    with page.expect_navigation():
        page.click("section button.tick >> nth=0")
    answers = 2
    while page.locator("[name=asked]").count() and answers < 70:
        unknown = page.locator("button[value=unknown]")
        with page.expect_navigation():  # else the page between two pages is looked at
            (unknown if unknown.count() else page.locator("button.tap")).first.click()
        answers += 1
    assert page.inner_text("h1") == "All asked for now" and answers > 8
    assert any(look.done for look in server.case.observation)  # stamped after what was seen
    page.click("nav >> text=Look again")
    page.wait_for_selector("[name=asked]", state="attached")


PLACES = ("/", "/watch", "/receive", "/train/3", "ask", "plan", "answers", "why", "look", "trend")


def everywhere(page: Any, server: Server, at: str) -> Iterator[str]:
    for place in PLACES:
        page.goto(f"{server.url}{place}" if place.startswith("/") else f"{at}/{place}")
        yield place


def test_twice_the_size_needs_no_sideways_scrolling(chromium: Any, server: Server) -> None:
    """WCAG 2.2, 1.4.4 and 1.4.10: text doubled, and a width of 320 CSS pixels."""
    page = come_in(chromium, server, "Ana")
    at = in_trouble(page)
    page.set_viewport_size({"width": 640, "height": 900})
    for place in everywhere(page, server, at):
        page.evaluate("document.documentElement.style.zoom = 2")
        wide = page.evaluate("document.documentElement.scrollWidth / window.innerWidth")
        assert wide <= 1, place


def test_a_dark_room_gets_a_dark_page_that_can_be_read(chromium: Any, server: Server) -> None:
    page = come_in(chromium, server, "Ana", color_scheme="dark", bypass_csp=True)
    at = in_trouble(page)
    for place in everywhere(page, server, at):
        paper = page.evaluate("getComputedStyle(document.body).backgroundColor")
        assert sum(map(int, paper.removeprefix("rgb(").rstrip(")").split(","))) < 120, place
        page.evaluate(AXE.read_text(encoding="utf-8"))
        found = page.evaluate("async () => await axe.run()")
        assert not [v["id"] for v in found["violations"]], place


def test_a_reader_hears_the_urgent_first_and_every_choice_with_its_question(
    chromium: Any, server: Server
) -> None:
    page = come_in(chromium, server, "Ana")
    begin(page)
    said = page.locator("body").aria_snapshot()
    order = ["To the page itself", 'navigation "Rooms"', 'heading "Where are the fish now?"']
    assert [said.index(each) for each in order] == sorted(said.index(each) for each in order)
    assert 'group "Where are the fish now?"' in said
    before = asked(page)
    page.click("button.tap >> nth=1")
    before = wait_for_other(page, before)
    assert 'group "How do they breathe' in page.locator("body").aria_snapshot()
    page.check("[value=gasping_at_surface]")
    page.click("button.go")
    wait_for_other(page, before)
    said = page.locator("body").aria_snapshot()
    assert said.index('region "Do now"') < said.index("heading", said.index('region "Do now"') + 60)
    assert 'textbox "Your answer"' in said and 'button "Done: ' in said
    named = page.get_attribute("button.tick", "aria-label").removeprefix("Done: ")
    before, rest = page.inner_text(".now li p").split(named.removesuffix(" ..."))
    ends = r"\W" if named.endswith(" ...") else r"\.|,|:| - "
    assert not before and re.match(ends, rest), "a name ends where its sentence may, or with dots"
    page.click("header >> text=Watch")
    said = page.locator("body").aria_snapshot()
    card = 'heading "Watch".*heading ".*DO NOW:.*strong: Look .*link "Look again at '
    assert re.search(card, said, re.DOTALL)
    assert page.get_attribute("nav >> text=Watch", "aria-current") == "page"
    assert page.locator("[aria-current]").count() == 1
    assert " min " in page.inner_text("[role=timer]"), "14:54 would be heard as a time of day"
