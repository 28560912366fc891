"""The page in a real browser: boxes, clocks, two people, a killed server, a lost network.

Needs Chromium (Debian: apt-get install chromium) and ``pip install -e .[browser]``;
without them it is skipped, unless ADVISOR_BROWSER=required, as in CI. The rules of
accessibility are those of axe-core, shipped inside axe-playwright-python.
"""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.page.serving import Server

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)
REQUIRED = os.environ.get("ADVISOR_BROWSER") == "required"
if REQUIRED:
    import axe_playwright_python
    import playwright.sync_api as playwright
else:
    playwright = pytest.importorskip("playwright.sync_api", reason="needs .[browser]")
    axe_playwright_python = pytest.importorskip("axe_playwright_python", reason="needs .[browser]")
pytest.importorskip("uvicorn")
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(CHROMIUM is None and not REQUIRED, reason="needs Chromium"),
]
AXE = next(Path(axe_playwright_python.__file__).parent.rglob("axe.min.js"))
#: Things to touch that are smaller than 44 CSS pixels in height (WCAG 2.2, 2.5.5 asks for 44).
SMALL = """() => [...document.querySelectorAll(
    'a, button, input:not([type=hidden]), select, summary')]
  .map(e => e.closest('label') || e)
  .filter(e => { const r = e.getBoundingClientRect();
                 return r.width > 0 && r.left > -900 && r.height < 44
                        && !['P'].includes(e.parentElement.tagName); })
  .map(e => e.outerHTML.slice(0, 90))"""


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    server = Server(tmp_path / "cases")
    yield server
    server.kill()


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    with playwright.sync_playwright() as engine:
        chromium = engine.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield chromium
        chromium.close()


def come_in(chromium: Any, server: Server, name: str, **more: Any) -> Any:
    """A browser of one's own, come in; ``said`` gathers what its console complains of."""
    context = chromium.new_context(viewport={"width": 390, "height": 844}, **more)
    page = context.new_page()
    page.goto(f"{server.url}/enter?code={server.code}")
    page.fill("#name", name)
    page.click("button.big")
    page.wait_for_selector("text=Fish look wrong")
    return page


def wait_for_other(page: Any, asked: str) -> str:
    """Wait until something else is asked than ``asked``."""
    page.wait_for_function(
        "before => { const e = document.querySelector('[name=asked]'); "
        "return document.readyState === 'complete' && (!e || e.value !== before); }",
        arg=asked,
        timeout=20_000,
    )
    found = page.query_selector("[name=asked]")
    return found.get_attribute("value") if found else ""


def asked(page: Any) -> str:
    return str(page.get_attribute("[name=asked]", "value"))


def begin(page: Any) -> str:
    """Begin to ask; gives the delivery's address."""
    page.click("text=Fish look wrong")
    page.wait_for_selector("button.tap")
    return str(page.url).rsplit("/", 1)[0]


def write_boxes(page: Any, server: Server, number: int) -> None:
    page.goto(f"{server.url}/receive")
    kinds = ("neon tetra", "swordtail", "guppy", "angelfish", "platy", "cardinal tetra")
    for at in range(1, number + 1):
        page.fill(f"#kind{at}", kinds[(at - 1) % len(kinds)])
        page.fill(f"#count{at}", str(5 * at))
        page.fill(f"#bags{at}", "1")
        page.fill(f"#tank{at}", f"row {at}")


def test_twelve_boxes_are_received_and_one_bag_is_opened(chromium: Any, server: Server) -> None:
    page = come_in(chromium, server, "Ana")
    said: list[str] = []
    page.on("console", lambda line: said.append(line.text))
    write_boxes(page, server, 12)
    page.click("text=In which order are they opened?")
    page.wait_for_url("**/bags", timeout=60_000)
    assert len(server.case.lot) == 12
    assert page.locator("text=Do not cut yet").count() == 1
    page.click("text=Opened now >> nth=0")
    page.wait_for_selector("[data-since]")
    assert sum(lot.opened_at_hours is not None for lot in server.case.lot) == 1
    assert not said, "the policy of the page bars nothing that the page needs"


def test_two_browsers_at_one_delivery(chromium: Any, server: Server) -> None:
    ana, ben = (come_in(chromium, server, name) for name in ("Ana", "Ben"))
    at = begin(ana)
    ben.goto(f"{at}/ask")
    first = asked(ana)
    ana.click("button.tap >> nth=2")
    wait_for_other(ana, first)
    ben.click("button.tap >> nth=4")
    ben.wait_for_selector("text=Two answers differ")
    ana.goto(f"{at}/ask")
    assert ana.locator("text=Two answers differ").count() == 1


def test_a_killed_server_loses_no_answer(chromium: Any, server: Server) -> None:
    page = come_in(chromium, server, "Ana")
    at = begin(page)
    before = asked(page)
    page.click("button.tap >> nth=2")
    now = wait_for_other(page, before)
    for _ in range(3):
        kept = server.case
        server.kill()
        server.start()
        assert server.case == kept
        page.goto(f"{at}/ask")
        assert asked(page) == now
        page.click("button[value=unknown]")
        now = wait_for_other(page, now)
    assert len(server.case.session.answered) == 4


def test_an_answer_is_kept_while_the_network_is_away_and_sent_once(
    chromium: Any, server: Server
) -> None:
    page = come_in(chromium, server, "Ana")
    begin(page)
    before = asked(page)
    page.context.set_offline(True)
    page.click("button.tap >> nth=2")
    page.wait_for_selector("text=It is kept on this device")
    assert server.case.session.answered == ()
    page.context.set_offline(False)
    wait_for_other(page, before)
    assert len(server.case.session.answered) == 1
    assert page.evaluate("localStorage.getItem('answers not sent')") == "[]"


def test_a_server_that_was_away_gets_the_kept_answer(chromium: Any, server: Server) -> None:
    page = come_in(chromium, server, "Ana")
    begin(page)
    before = asked(page)
    server.kill()
    page.click("button.tap >> nth=2")
    page.wait_for_selector("text=It is kept on this device")
    server.start()
    wait_for_other(page, before)
    assert len(server.case.session.answered) == 1


def test_a_clock_counts_down_and_rings(chromium: Any, server: Server) -> None:
    page = come_in(chromium, server, "Ana")
    begin(page)
    page.click("button.tap >> nth=2")
    page.wait_for_selector("[name=choice]")
    page.click("button[value=none]")
    page.wait_for_selector("text=Your answer")
    page.clock.install()
    page.goto(f"{server.url}/watch")
    assert re.match(r"in 1\d min \d\d s", page.inner_text("[data-due]"))
    page.click("text=Let it ring")
    page.clock.fast_forward("16:00")
    page.wait_for_selector(".ringing")
    assert "ago" in page.inner_text("[data-due]")
    assert page.inner_text("#wire").startswith("Look at")


def test_it_works_without_script_and_by_keyboard(chromium: Any, server: Server) -> None:
    page = come_in(chromium, server, "Ana", java_script_enabled=False)
    page.click("text=Fish look wrong")
    page.focus("button.tap >> nth=2")
    page.keyboard.press("Enter")
    page.wait_for_selector("[name=choice]")
    page.focus("[name=choice] >> nth=0")
    page.keyboard.press("Space")
    page.keyboard.press("Enter")
    page.wait_for_selector("text=Your answer")
    assert len(server.case.session.answered) == 2


def test_nothing_bars_anyone_at_any_width(chromium: Any, server: Server) -> None:
    page = come_in(chromium, server, "Ana", bypass_csp=True)
    said: list[str] = []
    page.on("console", lambda line: said.append(line.text))
    write_boxes(page, server, 2)
    page.click("text=In which order are they opened?")
    page.wait_for_url("**/bags")
    at = page.url.rsplit("/", 1)[0]
    pages = ["/", "/watch", "/receive", "/enter", "/train", "/train/3"]
    ways = ("ask", "look", "plan", "answers", "bags", "why", "photo", "trend", "close")
    for path in [*pages, *(f"{at.removeprefix(server.url)}/{way}" for way in ways)]:
        page.goto(server.url + path)
        page.evaluate(AXE.read_text(encoding="utf-8"))
        for width in (320, 390, 768):
            page.set_viewport_size({"width": width, "height": 844})
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (path, width)
            found = page.evaluate("async () => await axe.run()")
            assert len(found["passes"]) > 10, "axe did look"
            wrong = [(v["id"], [n["html"][:90] for n in v["nodes"]]) for v in found["violations"]]
            assert not wrong, (path, width)
            assert not page.evaluate(SMALL), (path, width)
    assert not [line for line in said if "Content Security Policy" in line]


def test_a_picture_goes_up_and_papers_print(chromium: Any, server: Server, tmp_path: Path) -> None:
    from PIL import Image

    page = come_in(chromium, server, "Ana")
    at = begin(page)
    raw = tmp_path / "seen.png"
    Image.new("RGB", (80, 60), (10, 90, 120)).save(raw)
    page.goto(f"{at}/photo")
    page.set_input_files("#picture", raw)
    page.click("text=Keep it")
    page.wait_for_selector("main img")
    assert page.evaluate("document.querySelector('main img').naturalWidth") == 80
    assert len(server.case.photo) == 1
    for paper in ("paper/vet", "paper/supplier", "paper/log", "paper/labels", "paper/vet?full=1"):
        said: list[str] = []
        page.on("console", lambda line, said=said: said.append(line.text))
        page.goto(f"{at}/{paper}")
        assert not said, (paper, said)
        assert page.pdf(format="A4").startswith(b"%PDF")
