"""Taps on the page in a real browser until the first step that a person expects stands first.

    python -m tests.benchmarks.page_taps [deliveries]

A simulated person knows what a case holds and answers what is asked, beginning with "Fish look
wrong". A tap is a touch of a button, a box to tick or a field to write in; what is typed is
counted apart. The expectation stands in the case, written before the rules were run on it.
"""

from __future__ import annotations

import shutil
import statistics
import sys
import tempfile
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner, default_reasoner
from advisor.advice.settled_by import settings, single
from advisor.ask.answers.replies import Counted, Filled, Lots, Read, Seen, Unknown
from advisor.case import Case, load_case
from advisor.explain.replay.archive import case_files
from advisor.rulebase.entries import Question
from advisor.wording.numbers import exact
from tests.benchmarks.answerer import Person
from tests.page.serving import Server

MOST_ANSWERS = 60


def main(number: int = 8) -> None:
    reasoner = default_reasoner()
    found = [(path, case) for path in case_files() if _fits(case := load_case(path))]
    chosen = found[:: max(1, len(found) // number)][:number]
    print("taps typed answers  delivery")
    with sync_playwright() as engine, tempfile.TemporaryDirectory() as folder:
        chromium = engine.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox"]
        )
        taken = []
        for at, (path, case) in enumerate(chosen):
            server = Server(Path(folder) / str(at))
            page = chromium.new_context(viewport={"width": 390, "height": 844}).new_page()
            taps, typed, answers, reached = _played(page, server, case, reasoner)
            taken += [taps] if reached else []
            end = "" if reached else ", not reached"
            print(f"{taps:4} {typed:5} {answers:7}  {path.stem}{end}", flush=True)
            page.context.close()
            server.kill()
        chromium.close()
    if taken:
        print(f"median {statistics.median(taken):.0f} taps, {len(taken)} of {len(chosen)} reached")


def _fits(case: Case) -> bool:
    """One lot, out of its bag or in an opened one, with an expected first step."""
    one = len(case.lot) == 1 and case.lot[0].sealed != "yes"
    return one and bool(case.expected and case.expected.first_action and case.observation)


def _played(
    page: Any, server: Server, case: Case, reasoner: Reasoner
) -> tuple[int, int, int, bool]:
    """(taps, characters typed, answers, whether the expected step came to stand first)."""
    assert case.expected is not None
    person = Person(case, reasoner)
    page.goto(f"{server.url}/enter?code={server.code}")
    page.fill("#name", "Ana")
    page.click("button.big")
    page.click("text=Fish look wrong")
    page.wait_for_selector("[name=asked]", state="attached")
    taps, typed, stuck = 1, 0, ""
    for answers in range(MOST_ANSWERS):
        plan = assess(server.case, reasoner).lots[0].actions
        if answers and plan and plan[0].id in case.expected.first_action:
            return taps, typed, answers, True
        asked = page.query_selector("[name=asked]")
        if asked is None:
            return taps, typed, answers, False
        before = asked.get_attribute("value") or ""
        form = page.get_attribute(".question [name=once]", "value")
        if before == stuck:  # what was typed was not understood
            page.click(_UNKNOWN)
            more = (1, 0)
        else:
            more = _answer(page, person, reasoner.base.questions, before)
        stuck = before
        taps, typed = taps + more[0], typed + more[1]
        page.wait_for_function(
            "form => { const e = document.querySelector('.question [name=once]'); "
            "return document.readyState === 'complete' && (!e || e.value !== form); }",
            arg=form,
        )
    return taps, typed, MOST_ANSWERS, False


def _answer(
    page: Any, person: Person, questions: dict[str, Question], asked: str
) -> tuple[int, int]:
    """Answer as the person would; gives (taps, characters typed)."""
    key, follows, part = asked.split("|", 2)
    question = questions.get(key.partition("/")[0])
    if question is None or follows not in ("", "part"):
        page.click("button.tap >> nth=0" if page.query_selector("button.tap") else _UNKNOWN)
        return 1, 0
    reply = person.reply(question)
    if page.query_selector("[name=choice]"):
        return _ticked(page, person, question, reply)
    if page.query_selector("button.tap"):
        line = _line(person, question)
        page.click(f'button[value="take:{line}"]' if line else _UNKNOWN)
        return 1, 0
    words = _words(reply, part, person)
    if not words:
        page.click(_UNKNOWN)
        return 1, 0
    page.fill("#words", words)
    page.click("button.go")
    return 2, len(words)


_UNKNOWN = "button[value=unknown]"


def _ticked(page: Any, person: Person, question: Question, reply: object) -> tuple[int, int]:
    there = {box.get_attribute("value") for box in page.query_selector_all("[name=choice]")}
    if isinstance(reply, Unknown):
        page.click(_UNKNOWN)
        return 1, 0
    if isinstance(reply, Seen):
        seen = [sign for sign in reply.seen if sign in there]
        all_known = set(reply.seen) | set(reply.not_seen) >= there
    else:
        seen = [key for key in there if key and person._told(key) == "yes"]
        all_known = False
    if not seen:
        page.click("button[value=none]" if all_known else _UNKNOWN)
        return 1, 0
    for each in seen:
        page.check(f'[name=choice][value="{each}"]')
    rest = page.query_selector("[name=rest]")
    if rest and not all_known:
        rest.check()
    page.click("button.go")
    return len(seen) + (rest is not None and not all_known) + 1, 0


def _line(person: Person, question: Question) -> str:
    """The line of a choice that says most and contradicts nothing."""
    if not single(question):
        told = str(person._told(question.history or "") or "")
        return told if told in question.choices else ""
    best = (0, "")
    for key in question.choices:
        wanted = settings(key)
        released = wanted.pop("released", None) is not None
        held = [person._told(item) == answer for item, answer in wanted.items()]
        if released == (person.lot.released_at_hours is not None) and held and all(held):
            best = max(best, (len(held), key))
    return best[1]


def _words(reply: object, part: str, person: Person) -> str:
    if isinstance(reply, Counted):
        counts = reply.counts
        return ", ".join(
            f"{number} {name}"
            for name, number in (("dead", counts.dead), ("down", counts.down))
            if number is not None
        )
    if isinstance(reply, Lots):
        lot = reply.drafts[0]
        return f"{lot.count or ''} {lot.species or lot.group or ''}".strip()
    if isinstance(reply, Filled):
        values = reply.values.values()
        return " to ".join(exact(v) if isinstance(v, float) else str(v) for v in values)
    if isinstance(reply, Read):
        for name, reading in reply.readings.items():
            if part.startswith(person.reasoner.base.quantities[name].name):
                return exact(reading.value)
    return ""


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
