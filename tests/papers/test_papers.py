"""What the papers say, and what they must never say."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from advisor.advice.reasoner import Reasoner
from advisor.advice.results import Assessment
from advisor.ask.rechecks import looks_due
from advisor.case import Case, Lot, load_case
from advisor.case.readings import Reading, Readings
from advisor.papers.blocks import Code, Items
from advisor.papers.html import to_html
from advisor.papers.one_paper import PURPOSES, make_paper
from advisor.papers.plain_paper import to_text
from advisor.papers.sections import kind_words, timeline
from advisor.papers.tank_log import last_trouble, quarantine_end
from advisor.papers.until import known_until
from advisor.rulebase import RuleBase
from advisor.wording.times import day_and_time, moment

CASES = Path(__file__).parents[2] / "cases"


class _Page(HTMLParser):
    """Tags with their attributes, and the text between."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.unbalanced: list[str] = []
        self.words: list[str] = []
        self.feed(page)
        self.close()

    VOID = frozenset(("meta", "wbr", "br", "link", "img", "path", "use", "rect"))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if tag in self.VOID:
            return
        if not self.open or self.open.pop() != tag:
            self.unbalanced.append(tag)

    def handle_data(self, data: str) -> None:
        if not self.open or self.open[-1] != "style":
            self.words.append(data)

    @property
    def text(self) -> str:
        return re.sub(r"\s+", " ", "".join(self.words))


ALL = [(name, purpose) for name in ("delivery", "hostile") for purpose in PURPOSES]


@pytest.mark.parametrize("which", ALL, ids="-".join)
def test_a_page_needs_nothing_from_outside_and_runs_nothing(
    papers: dict[Any, Any], which: tuple[str, str]
) -> None:
    page = _Page(to_html(papers[which]))
    assert not page.unbalanced and not page.open
    assert not {"script", "iframe", "img", "link", "object", "base", "form"} & {
        tag for tag, _ in page.tags
    }
    for tag, attrs in page.tags:
        assert not [name for name in attrs if name.startswith("on")], tag
        for name in ("src", "href", "xlink:href"):
            assert (attrs.get(name) or "#").startswith("#"), (tag, attrs)
    ids = [attrs["id"] for _, attrs in page.tags if "id" in attrs]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("purpose", PURPOSES)
def test_hostile_text_is_read_as_it_was_written(papers: dict[Any, Any], purpose: str) -> None:
    page = _Page(to_html(papers["hostile", purpose]))
    text = to_text(papers["hostile", purpose])
    place = "<img src=x onerror=alert(1)>"
    assert place in page.text and place in re.sub(r"\s+", " ", text)
    for said in (page.text, text):
        assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b\u202e]", said)


def test_markup_of_the_terminal_and_of_templates_is_text(papers: dict[Any, Any]) -> None:
    text = to_text(papers["hostile", "vet"])
    assert "[bold]not bold[/bold]" in text
    assert "{{ 7 * 7 }}" in to_text(papers["hostile", "supplier"])
    assert "{{ 7 * 7 }}" in _Page(to_html(papers["hostile", "supplier"])).text


@pytest.mark.parametrize("which", ALL, ids="-".join)
def test_text_papers_keep_to_eighty_columns(papers: dict[Any, Any], which: tuple[str, str]) -> None:
    from rich.cells import cell_len

    assert max(cell_len(line) for line in to_text(papers[which]).splitlines()) <= 80


VET = [
    "harlequin rasbora (Trigonostigma heteromorpha)",  # what
    "60",
    "Marlow & Quint Fish Wholesale (invented)",  # from whom
    "box opened, bags looked at under dim light",  # history
    "looked for and not seen",
    "brown gills",
    "drop test",  # kit
    "4.00 to 16.00",  # band of a reading
    "8 / (1 + 10^(",  # formula with its numbers
    "Emerson",  # and where it was published
    "settling after the journey",
    "decibans",
    "Judgement",
    "second air stone in Q3",  # done
    "44 normal, 11 down, 5 dead",  # and what was found next
    "clean bottle, filled to the brim",  # samples
    "Question:",
    "no diagnosis",
]


#: In the annex with workings only: weights and formulas are not what a vet reads first.
FULL = {"8 / (1 + 10^(", "decibans", "Emerson"}


def test_the_vets_note_holds_what_a_vet_needs(
    papers: dict[Any, Any], delivery: Case, reasoner: Reasoner
) -> None:
    page = _Page(to_html(papers["delivery", "vet"])).text
    full = _Page(to_html(make_paper(delivery, "vet", reasoner, full=True))).text
    for wanted in VET:
        assert wanted.lower() in full.lower(), wanted
        assert wanted in FULL or wanted.lower() in page.lower(), wanted


def first_page(paper: Any) -> str:
    """What stands before the annex, as text."""
    front = tuple(section for section in paper.sections if not section.annex)
    return to_text(replace(paper, sections=front, foot=()))


def test_the_first_page_asks_and_tells_and_weighs_nothing(
    papers: dict[Any, Any], base: RuleBase
) -> None:
    for name in ("delivery", "hostile"):
        text = first_page(papers[name, "vet"])
        assert "deciban" not in text
        words = set(re.findall(r"[\w-]+", text))
        assert not words & {rule for rule in base.rules if "-" in rule or "_" in rule}
    text = first_page(papers["delivery", "vet"])
    order = ["Question:", "FISH, AND DEATHS BY DAY", "SIGNS", "WATER", "GIVEN AND DONE"]
    assert [text.index(each) for each in order] == sorted(text.index(each) for each in order)
    assert "made ready" not in text.lower()


def test_page_one_cuts_signs_of_many_lots_and_the_annex_has_them_all(reasoner: Reasoner) -> None:
    case = load_case(CASES / "demo" / "four-lots-one-burned-on-opening.toml")
    paper = make_paper(case, "vet", reasoner)
    text = first_page(paper)
    assert "more in the annex" in text
    whole = " ".join(to_text(paper).split())
    annex = whole.partition("ALL SIGNS")[2]
    for look in case.observation:
        for sign in (*look.seen, *look.not_seen):
            assert reasoner.base.signs[sign].name in annex, sign


def test_the_vet_reads_the_water_of_a_tub(delivery: Case, reasoner: Reasoner) -> None:
    first, *others = delivery.observation
    tub = first.model_copy(update={"tub": Readings(ph=Reading(value=6.87))})
    case = delivery.model_copy(update={"observation": [tub, *others]})
    assert "6.87" in to_text(make_paper(case, "vet", reasoner))


def test_what_is_judged_is_marked(papers: dict[Any, Any]) -> None:
    paper = papers["delivery", "vet"]
    judged = [section.title for section in paper.sections if section.judgement]
    assert judged and all("cause" in title.lower() for title in judged)
    assert [block.mood for block in paper.lead if hasattr(block, "mood")].count("judgement") == 2


SUPPLIER = [
    "MQ-20417",
    "2 fewer",  # 40 ordered, 38 received
    "6.7 %",  # 4 of 60
    "11.7 %",  # 7 of 60
    "31 h",
    "netted over",
    "27 min",  # opened at 0.25 h, in the tank at 0.7 h
    "14 min",
    "bags_closed.jpg",
    "within the window",
    "9.45",  # 7 x 1.35
    "EUR",
]


def test_the_suppliers_paper_holds_the_facts(papers: dict[Any, Any]) -> None:
    page = _Page(to_html(papers["delivery", "supplier"])).text
    for wanted in SUPPLIER:
        assert wanted in page, wanted


def test_the_suppliers_paper_judges_nothing(papers: dict[Any, Any], reasoner: Reasoner) -> None:
    text = re.sub(r"\s+", " ", to_text(papers["delivery", "supplier"])).lower()
    for cause in reasoner.base.causes.values():
        assert cause.name.lower() not in text, cause.name
    blame = "fault|blame|careless|negligen|guilty|liable|likely|because of|due to|poor pack"
    assert not re.search(blame, text)


@pytest.mark.parametrize(
    "reported, falls",
    [(24, "within the window"), (24.5, "after the window, by 30 min"), (None, "")],
)
def test_the_window_is_stated_as_it_is(
    delivery: Case, reasoner: Reasoner, reported: float | None, falls: str
) -> None:
    claim = delivery.claim.model_copy(update={"reported_at_hours": reported})
    paper = make_paper(delivery.model_copy(update={"claim": claim}), "supplier", reasoner)
    text = to_text(paper)
    assert ("The report falls" in text) is bool(falls)
    assert falls in text


def test_the_log_says_what_today_what_not_and_when_next(papers: dict[Any, Any]) -> None:
    paper = papers["delivery", "log"]
    titles = [section.title for section in paper.sections]
    assert titles[0].startswith("Do today") and titles[-1] == "Look again"
    text = to_text(paper)
    assert "[ ]" in text


def test_the_log_s_next_looks_are_those_of_the_session(
    papers: dict[Any, Any], delivery: Case
) -> None:
    due = list(looks_due(delivery, urgent=False))
    text = to_text(papers["delivery", "log"])
    at = [moment(delivery.delivery.received, each.at_hours) for each in due]
    assert at and all(day_and_time(each) in text for each in at[:3] if each is not None)


def test_nothing_stands_under_do_and_do_not_without_its_lot(reasoner: Reasoner) -> None:
    case = load_case(CASES / "demo" / "four-lots-one-burned-on-opening.toml")
    paper = make_paper(case, "log", reasoner)
    said = {
        section.title: {
            entry.text: entry.lead
            for block in section.blocks if isinstance(block, Items) for entry in block.entries
        }
        for section in paper.sections
    }  # fmt: skip
    both = set(said["Do today, in this order"]) & set(said["Not to be done"])
    assert both  # the resting lot is left alone, the others are not
    for text in both:
        assert said["Do today, in this order"][text] and said["Not to be done"][text]


def test_emergencies_come_first_in_the_log(reasoner: Reasoner) -> None:
    for name in ("four-lots-one-burned-on-opening", "four-lots-bags-still-sealed"):
        paper = make_paper(load_case(CASES / "demo" / f"{name}.toml"), "log", reasoner)
        strong = [
            entry.strong
            for block in paper.sections[0].blocks if isinstance(block, Items)
            for entry in block.entries
        ]  # fmt: skip
        assert strong == sorted(strong, reverse=True)


def test_a_label_holds_lot_kind_day_next_look_and_a_code_of_the_case(
    delivery: Case, reasoner: Reasoner
) -> None:
    scan = "http://192.0.2.7:8765/d/0123456789abcdef"
    paper = make_paper(delivery, "labels", reasoner, scan=scan)
    for section in paper.sections:
        (code,) = [block for block in section.blocks if isinstance(block, Code)]
        assert code.holds == scan
    text = " ".join(to_text(paper).split())
    for said in ("Next look", "In since", "2 Mar 14:10", "zebra danio", f"Scan code: {scan}"):
        assert said.casefold() in text.casefold()
    assert to_html(paper).count("<svg") == len(paper.sections)
    assert not any(
        isinstance(block, Code)
        for section in make_paper(delivery, "labels", reasoner).sections
        for block in section.blocks
    )


def test_quarantine_ends_after_the_last_death(delivery: Case, assessed: Assessment) -> None:
    # last death on the look at 24 h, 3 March; the rules give 28 to 42 days
    assert last_trouble(delivery) == 24
    ends = quarantine_end(delivery, list(assessed.lots))
    assert ends.startswith("31 March 2027 to 14 April 2027")


def test_no_quarantine_in_the_plan_leaves_a_line_to_write_on(delivery: Case) -> None:
    assert quarantine_end(delivery, []) == ""


def test_what_came_later_is_left_out(delivery: Case, reasoner: Reasoner) -> None:
    early = timeline(known_until(delivery, 1), reasoner.base, delivery.lot)
    times = {row[1] for row in early.rows}
    assert "+1 h" in times and not times & {"+6 h", "+24 h", "+46 h", "+20 h 30 min"}
    text = to_text(make_paper(delivery, "supplier", reasoner, until_hours=1))
    assert "5 of 60 dead at the last count" in text


def test_one_lot_alone(delivery: Case, reasoner: Reasoner) -> None:
    text = to_text(make_paper(delivery, "supplier", reasoner, lot="B"))
    assert "zebra danio" in text and "harlequin" not in text


def test_a_note_on_one_lot_tells_nothing_of_another(reasoner: Reasoner) -> None:
    case = load_case(CASES / "demo" / "four-lots-one-burned-on-opening.toml")
    well, ill = case.lot[0], case.lot[2]
    done = "air stone put into the opened bag"
    assert done in to_text(make_paper(case, "vet", reasoner, lot=ill.id))
    text = to_text(make_paper(case, "vet", reasoner, lot=well.id))
    assert done not in text and ill.id not in text.partition("History")[2]


@pytest.mark.parametrize("purpose", PURPOSES)
def test_an_empty_case_still_gives_a_paper(purpose: Any, reasoner: Reasoner) -> None:
    for case in (Case(), Case(lot=(Lot(id="A"),))):
        paper = make_paper(case, purpose, reasoner)
        assert "nan" not in to_text(paper).lower().split()
        assert to_html(paper).startswith("<!DOCTYPE html>")


def test_the_same_case_gives_the_same_page(
    delivery: Case, reasoner: Reasoner, papers: dict[Any, Any]
) -> None:
    again = make_paper(delivery, "supplier", reasoner)
    assert to_html(again) == to_html(papers["delivery", "supplier"])


def test_a_name_already_scientific_is_not_doubled(reasoner: Reasoner) -> None:
    lot = Lot(id="A", species="Danio rerio")
    assert kind_words(lot, reasoner.base) == "Danio rerio"


def test_a_label_says_what_must_not_be_missed_for_its_lot_alone(
    delivery: Case, reasoner: Reasoner, assessed: Assessment
) -> None:
    paper = make_paper(delivery, "labels", reasoner)
    assert len(paper.sections) == len(assessed.lots)
    urgent = [any(a.emergency for a in lot.actions) for lot in assessed.lots]
    first = to_text(replace(paper, sections=paper.sections[:1]))
    assert ("NOW:" in first) == any(urgent)
    for lot, section in ((lot, s) for lot in assessed.lots for s in paper.sections):
        if section.title.startswith(f"{lot.lot}:"):
            text = " ".join(to_text(replace(paper, sections=(section,))).split())
            done = {" ".join(a.text.split()) for a in lot.actions}
            held = re.findall(r"NOT NOW: ([^.]*)", text)
            assert not [one for one in held if any(d.startswith(one) for d in done)]
