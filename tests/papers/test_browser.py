"""Papers in a real browser: phone, screen, and print on A4 and Letter. Screenshots are kept.

Needs Chromium (Debian: apt-get install chromium) and ``pip install -e .[browser]``;
without them it is skipped, unless ADVISOR_BROWSER=required, as in CI.
Screenshots and PDFs land in build/papers/.
"""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any, Literal

import pytest

from advisor.advice.reasoner import Reasoner
from advisor.case import load_case
from advisor.papers.html import to_html
from advisor.papers.one_paper import PURPOSES, make_paper

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)
REQUIRED = os.environ.get("ADVISOR_BROWSER") == "required"
if REQUIRED:
    import playwright.sync_api as playwright
else:
    playwright = pytest.importorskip("playwright.sync_api", reason="needs .[browser]")
pytestmark = pytest.mark.skipif(CHROMIUM is None and not REQUIRED, reason="needs Chromium")

CASES = Path(__file__).parents[2] / "cases"
KEPT = Path(__file__).parents[2] / "build" / "papers"
#: Width inside the margins of the style sheet (13 mm each side) in CSS pixels of 1/96 inch.
SHEETS = {"A4": (210 - 26) / 25.4 * 96, "Letter": (215.9 - 26) / 25.4 * 96}
OVER = """() => {
  const wide = document.documentElement.clientWidth;
  const out = [...document.querySelectorAll('body *')].filter(e => !e.closest('thead'))
    .filter(e => e.getBoundingClientRect().right > wide + 0.5)
    .map(e => e.tagName + ' ' + e.textContent.slice(0, 40));
  return {scroll: document.documentElement.scrollWidth, wide, out};
}"""
ALL = [(name, purpose) for name in ("delivery", "hostile") for purpose in PURPOSES]


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with playwright.sync_playwright() as engine:
        chromium = engine.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield chromium
        chromium.close()


@pytest.fixture(scope="module")
def files(papers: dict[Any, Any]) -> dict[tuple[str, str], Path]:
    KEPT.mkdir(parents=True, exist_ok=True)
    written = {}
    for which in ALL:
        written[which] = KEPT / f"{'-'.join(which)}.html"
        written[which].write_text(to_html(papers[which]), encoding="utf-8")
    return written


@pytest.mark.parametrize("which", ALL, ids="-".join)
def test_a_paper_fits_a_phone_a_screen_and_both_sheets(
    browser: Any, files: dict[Any, Path], which: tuple[str, str]
) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 740})
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("dialog", lambda dialog: said.append(dialog.message))
    page.on("console", lambda line: said.append(line.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(files[which].as_uri())
    name = "-".join(which)
    for width in (360, 390, 1000):
        page.set_viewport_size({"width": width, "height": 740})
        found = page.evaluate(OVER)
        assert found["scroll"] <= found["wide"] and not found["out"], (width, found)
        page.screenshot(path=str(KEPT / f"{name}-{width}.png"), full_page=True)
    page.emulate_media(media="print")
    for sheet, wide in SHEETS.items():
        page.set_viewport_size({"width": int(wide), "height": 1000})
        found = page.evaluate(OVER)
        assert found["scroll"] <= found["wide"] and not found["out"], (sheet, found)
        pdf = page.pdf(
            format=sheet, prefer_css_page_size=False, path=str(KEPT / f"{name}-{sheet}.pdf")
        )
        if which[1] == "log":
            assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == 1, "the log is one page"
    assert asked == [files[which].as_uri()]
    assert said == []
    page.close()


@pytest.mark.parametrize("purpose", PURPOSES)
def test_hostile_text_stays_text(browser: Any, files: dict[Any, Path], purpose: str) -> None:
    page = browser.new_page()
    page.goto(files["hostile", purpose].as_uri())
    assert "owned" not in page.title() or "<script>" in page.title()
    strange = "script, img, iframe, marquee, i, a, table table, h1 ~ h1"
    assert page.evaluate(f"document.querySelectorAll('{strange}').length") == 0
    handlers = """() => [...document.querySelectorAll('*')].filter(
        e => [...e.attributes].some(a => a.name.startsWith('on'))).length"""
    assert page.evaluate(handlers) == 0
    text = page.evaluate("document.body.textContent")
    assert "<img src=x onerror=alert(1)>" in text
    assert "\x1b" not in text and "\u202e" not in text
    page.close()


@pytest.mark.trial
@pytest.mark.parametrize("purpose", PURPOSES)
def test_every_case_fits_too(browser: Any, reasoner: Reasoner, purpose: Any) -> None:
    page = browser.new_page()
    for path in sorted(CASES.rglob("*.toml")):
        page.set_content(to_html(make_paper(load_case(path), purpose, reasoner)))
        page.emulate_media(media="screen")
        page.set_viewport_size({"width": 360, "height": 740})
        found = page.evaluate(OVER)
        assert found["scroll"] <= found["wide"] and not found["out"], (path.name, found)
        page.emulate_media(media="print")
        for sheet in SHEETS if purpose == "log" else ():
            pdf = page.pdf(format=sheet)
            assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == 1, (path.name, sheet)
    page.close()


def pages_of(browser: Any, html: str, sheet: str) -> int:
    page = browser.new_page()
    page.set_content(html)
    pdf = page.pdf(format=sheet, prefer_css_page_size=False)
    page.close()
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


#: Pages of the vet's note by number of lots, and of a claim for one lot.
MOST_PAGES = {1: 2, 2: 3, 3: 4, 4: 5}
FEW = [path for at, path in enumerate(sorted(CASES.rglob("*.toml"))) if at % 9 == 0]


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize(
    "path",
    [
        path if path in FEW[:4] else pytest.param(path, marks=pytest.mark.trial)
        for path in (*sorted((CASES / "demo").glob("*.toml")), *FEW)
    ],
    ids=lambda p: p.stem,
)
def test_papers_are_short(browser: Any, reasoner: Reasoner, path: Path, sheet: str) -> None:
    case = load_case(path)
    vet = to_html(make_paper(case, "vet", reasoner))
    assert pages_of(browser, vet, sheet) <= MOST_PAGES.get(max(1, len(case.lot)), 6)
    if len(case.lot) == 1:
        assert pages_of(browser, to_html(make_paper(case, "supplier", reasoner)), sheet) == 1


#: Smallest print of page one [CSS pixels of 1/96 inch]: 9.5 points.
SMALLEST_PX = 9.5 * 96 / 72


@pytest.fixture(scope="module")
def two_photographs(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """A wide and a tall photograph, as a phone takes them."""
    from PIL import Image

    folder = tmp_path_factory.mktemp("photographs")
    sizes = {"bag-on-arrival.jpg": (1600, 1200), "dead-in-tray.jpg": (1200, 1600)}
    for name, size in sizes.items():
        Image.effect_noise(size, 80).convert("RGB").save(folder / name)
    return [folder / name for name in sizes]


#: Papers that show photographs, and their pages at most, of one lot.
PHOTOGRAPHED: tuple[tuple[Literal["vet", "supplier"], int], ...] = (("vet", 2), ("supplier", 1))


@pytest.mark.parametrize("sheet", SHEETS)
def test_photographs_do_not_cost_a_page(
    browser: Any, reasoner: Reasoner, two_photographs: list[Path], sheet: str
) -> None:
    case = load_case(CASES / "demo" / "four-lots-one-burned-on-opening.toml")
    well, ill = case.lot[0].id, case.lot[2].id
    for lot, purpose, most in ((lot, *of) for lot in (well, ill) for of in PHOTOGRAPHED):
        html = to_html(make_paper(case, purpose, reasoner, lot=lot, photos=two_photographs))
        assert html.count("<img ") == 2
        assert pages_of(browser, html, sheet) <= most, (lot, purpose)


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("path", sorted((CASES / "demo").glob("four*.toml")), ids=lambda p: p.stem)
def test_page_one_of_four_lots_is_one_page_in_print_that_can_be_read(
    browser: Any, reasoner: Reasoner, path: Path, sheet: str
) -> None:
    paper = make_paper(load_case(path), "vet", reasoner)
    front = replace(paper, sections=tuple(s for s in paper.sections if not s.annex), foot=())
    html = to_html(front)
    assert pages_of(browser, html, sheet) == 1
    page = browser.new_page()
    page.set_content(html)
    page.emulate_media(media="print")
    least = page.evaluate(
        """() => Math.min(...[...document.querySelectorAll('body *')]
            .filter(e => [...e.childNodes].some(n => n.nodeType == 3 && n.data.trim()))
            .filter(e => !e.closest('.mark, style, script'))
            .map(e => parseFloat(getComputedStyle(e).fontSize)))"""
    )
    page.close()
    assert least >= SMALLEST_PX - 0.01
