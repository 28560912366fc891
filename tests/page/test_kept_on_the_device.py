"""In a real browser: what was touched or typed outlives the network, the day's code and a reload.

What has to hold here was found missing by people of a fish room on 28 November 2026.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from advisor.case.folder import mark_of
from advisor.page.log import AnswerLog
from tests.page.serving import Server
from tests.page.test_browser import (
    asked,
    begin,
    chromium,
    come_in,
    pytestmark,
    wait_for_other,
    write_boxes,
)

__all__ = ["chromium", "pytestmark"]
EMPTY = "() => localStorage.getItem('answers not sent') === '[]'"


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    server = Server(tmp_path / "cases")
    yield server
    server.kill()


def come_in_again(page: Any, server: Server, name: str) -> None:
    page.goto(f"{server.url}/enter?code={server.code}")
    page.fill("#name", name)
    page.click("button.big")
    page.wait_for_selector("text=Fish look wrong")


def log_of(server: Server) -> AnswerLog:
    (path,) = server.folder.glob("*.toml")
    return AnswerLog(server.folder / ".page" / f"{mark_of(path)}.jsonl")


@pytest.mark.parametrize("name", ["Ana", "Ben"])
def test_an_answer_of_a_day_that_is_over_is_sent_after_coming_in(
    chromium: Any, server: Server, name: str
) -> None:
    page = come_in(chromium, server, "Ana")
    begin(page)
    page.context.clear_cookies()
    page.click("button.tap >> nth=2")
    page.wait_for_selector("text=come in again with today's code")
    assert page.get_attribute("#wire a", "href") == "/enter"
    come_in_again(page, server, name)
    page.wait_for_function(EMPTY)
    assert len(server.case.session.answered) == 1
    assert [each.who for each in log_of(server).entries] == ["Ana"], "who gave it, not who sent it"
    page.click("text=Go on")
    page.wait_for_selector("[name=asked]", state="attached")
    before = asked(page)
    page.click("button[value=none]")
    wait_for_other(page, before)
    assert len(server.case.session.answered) == 2, "nothing stands before later answers"


def test_a_page_left_open_goes_on_when_somebody_came_in_beside_it(
    chromium: Any, server: Server
) -> None:
    page = come_in(chromium, server, "Ana")
    begin(page)
    before = asked(page)
    other = page.context.new_page()
    page.context.clear_cookies()
    come_in_again(other, server, "Ana")
    page.click("button.tap >> nth=2")
    wait_for_other(page, before)
    assert len(server.case.session.answered) == 1


def test_what_nobody_will_take_bars_nothing_behind_it(chromium: Any, server: Server) -> None:
    page = come_in(chromium, server, "Ana")
    begin(page)
    page.evaluate(
        "localStorage.setItem('answers not sent', JSON.stringify([{url: '/d/0123456789abcdef/ask',"
        " once: 'x', body: 'words=30+h', shown: '30 h'}]))"
    )
    page.click("button.tap >> nth=2")
    page.wait_for_selector("text=Not taken: 30 h")
    page.wait_for_function(EMPTY)
    assert len(server.case.session.answered) == 1


def test_without_script_what_was_typed_goes_along_to_the_door(
    chromium: Any, server: Server
) -> None:
    page = come_in(chromium, server, "Ana", java_script_enabled=False)
    page.click("text=Fish look wrong")
    page.wait_for_selector("[name=asked]", state="attached")
    page.context.clear_cookies()
    page.fill("#words", "still in the opened bag")
    page.click("button.go")
    page.wait_for_selector("text=What you had written waits")
    page.fill("#code", "AAAA-AAAA")
    page.fill("#name", "Ana")
    page.click("button.big")
    page.wait_for_selector("text=That is not today's code")
    assert page.input_value("#name") == "Ana"
    page.fill("#code", server.code)
    page.click("button.big")
    page.wait_for_selector("text=still in the opened bag")
    page.click("text=Send it now")
    page.wait_for_selector("[name=asked]", state="attached")
    assert len(server.case.session.answered) == 1 and server.case.lot[0].sealed == "no"


def test_a_kind_in_no_table_passes_when_it_is_left_as_it_is(chromium: Any, server: Server) -> None:
    page = come_in(chromium, server, "Ana")
    page.goto(f"{server.url}/receive")
    page.fill("#kind1", "neonn tetra")
    page.fill("#count1", "about 30")
    page.fill("#supplier", "Invented Fish Farm")
    page.click("text=In which order are they opened?")
    page.wait_for_selector("text=is not in the table")
    assert page.input_value("#supplier") == "Invented Fish Farm"
    assert page.input_value("#count1") == "about 30", "no field cuts what is typed"
    page.click("text=In which order are they opened?")
    page.wait_for_url("**/bags", timeout=60_000)
    assert [(lot.species, lot.count) for lot in server.case.lot] == [("neonn tetra", 30)]


def test_boxes_outlive_a_reload_and_show_as_they_are_filled(chromium: Any, server: Server) -> None:
    page = come_in(chromium, server, "Ana")
    page.goto(f"{server.url}/receive")
    assert page.locator(".boxes > li:visible").count() == 2
    write_boxes(page, server, 4)
    assert page.locator(".boxes > li:visible").count() == 6
    page.reload()
    assert [page.input_value(f"#tank{at}") for at in (1, 2, 3, 4, 5)] == [
        "row 1", "row 2", "row 3", "row 4", "",
    ]  # fmt: skip
    page.click("text=In which order are they opened?")
    page.wait_for_url("**/bags", timeout=60_000)
    page.goto(f"{server.url}/receive")
    assert page.input_value("#kind1") == "", "what was received is not put back"


def test_taps_at_the_bags_are_kept_and_stamped_when_they_were_made(
    chromium: Any, server: Server
) -> None:
    page = come_in(chromium, server, "Ana")
    write_boxes(page, server, 2)
    page.click("text=In which order are they opened?")
    page.wait_for_url("**/bags", timeout=60_000)
    with page.expect_navigation():
        page.click("text=Opened now >> nth=0")
    page.wait_for_selector("[data-since]")
    page.select_option("select[name=way]", "netted")
    page.clock.install()
    page.context.set_offline(True)
    page.click("text=All out now")
    page.wait_for_selector("text=It is kept on this device")
    assert page.locator("text=Opened now").count() == 1, "order and clocks stay on the screen"
    page.clock.fast_forward("30:00")
    page.context.set_offline(False)
    page.wait_for_function(EMPTY, timeout=30_000)
    (out,) = (lot for lot in server.case.lot if lot.released_at_hours is not None)
    assert out.released_at_hours == pytest.approx(0, abs=0.05), "not half an hour later"
