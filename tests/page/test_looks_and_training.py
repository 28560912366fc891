"""Later looks, short and whole; readings over the looks; training with choices."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.page.conftest import Phone, Room, case_of, delivery, taps


def test_a_later_look_says_better_or_worse_and_why(room: Room, phone: Phone) -> None:
    phone.answer(tap=taps(phone)[2])
    phone.answer(choice=["gasping_at_surface", "rapid_gill_movement"], tap="go")
    room.clock.forward(1)
    phone.get(f"{delivery(phone)}/look")
    said = ""
    for _ in range(20):
        if not phone.asked:
            break
        if phone.asked.startswith("counts"):
            phone.answer(words="0 dead, 0 down", tap="go")
        elif "none" in taps(phone):
            phone.answer(tap="none")
        else:
            ways = taps(phone)
            phone.answer(tap="unknown" if "unknown" in ways else ways[0])
        said += phone.page
    assert "BETTER than at the last look" in said and "gone: gasping at surface" in said
    assert {look.at_hours for look in case_of(room).observation} == {0.0, 1.0}
    phone.get("/watch")
    assert "Look again" in phone.page


def look_through(phone: Phone, at: str) -> None:
    phone.get(f"{at}/look")
    for _ in range(25):
        if not phone.asked:
            return
        ways = taps(phone)
        phone.answer(tap="unknown" if "unknown" in ways else ways[0])


def test_each_look_is_one_of_its_own(room: Room, phone: Phone) -> None:
    phone.answer(tap=taps(phone)[2])
    phone.answer(tap="none")
    at = delivery(phone)
    for hours in (1.0, 5.0):
        room.clock.forward(hours)
        phone.get(f"{at}/look")
        assert phone.asked.startswith("counts")
        phone.answer(words="0 dead, 0 down", tap="go")
        look_through(phone, at)
        assert phone.title == "All asked for now"
    assert [look.at_hours for look in case_of(room).observation] == [0.0, 1.0, 6.0]


def test_what_is_seen_after_a_pause_is_not_written_to_the_hour_before_it(
    room: Room, phone: Phone
) -> None:
    phone.answer(tap=taps(phone)[2])
    room.clock.forward(3)
    phone.answer(choice=["gasping_at_surface"], tap="go")
    assert [look.at_hours for look in case_of(room).observation] == [3.0]


def test_readings_over_the_looks_are_drawn(room: Room) -> None:
    text = """format = "arrival-case-1"
[delivery]
received = "2026-03-02T12:00:00"
[[lot]]
id = "guppy"
count = 20
"""
    for hours, ph, dead in ((0, 7.2, 0), (1, 7.4, 2)):
        text += f"[[observation]]\nat_hours = {hours}\ntank = {{ ph = {ph} }}\n"
        text += f"counts = {{ dead = {dead} }}\n"
    phone = room.phone()
    (room.folder / "drawn.toml").write_text(text, encoding="utf-8")
    phone.get("/watch")
    (mark,) = set(re.findall(r"/d/([0-9a-f]{16})/", phone.page))
    phone.get(f"/d/{mark}/trend")
    assert "trend.svg" in phone.page and "7.4" in phone.page
    drawn = phone.client.get(f"/d/{mark}/trend.svg")
    assert drawn.headers["content-type"] == "image/svg+xml"
    assert "<script" not in drawn.text and ' style="' not in drawn.text


def test_an_exercise_is_asked_decided_and_shown(
    room: Room, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home"))
    phone = room.phone()
    phone.get("/train/3")
    assert "Decide" in phone.page and "A look" in phone.page
    phone.get("/train/3?asked=breathing_and_posture&asked=wait&asked=no_such_question")
    token = phone.hidden("token") or re.findall(r'name="token" value="(\w+)"', phone.page)[0]
    cause = re.findall(r'name="cause" value="(\w+)"', phone.page)[0]
    answer = phone.client.post(
        "/train/3", data={"token": token, "asked": ["breathing_and_posture"], "cause": cause}
    )
    assert answer.status_code == 200 and "The advisor says" in answer.text
    phone.get("/train/99999")
    assert phone.status == 404


# -- a look in one go ----------------------------------------------------------------------


def in_trouble(phone: Phone) -> None:
    """In a tank, gasping and breathing fast."""
    phone.answer(tap=taps(phone)[2])
    phone.answer(choice=["gasping_at_surface", "rapid_gill_movement"], tap="go")


def quick(room: Room, phone: Phone, seen: list[str], **more: str) -> str:
    """One short look an hour later; gives the verdict."""
    room.clock.forward(1)
    phone.get("/watch")
    (where,) = set(re.findall(r'href="(/d/[0-9a-f]{16}/quick/[^"]+)"', phone.page))
    phone.get(where)
    form = {name: phone.hidden(name) for name in ("once", "made")}
    phone.post(where, choice=seen, **form, **more)
    return phone.title


def test_the_last_look_stands_on_the_short_one(room: Room, phone: Phone) -> None:
    in_trouble(phone)
    room.clock.forward(1)
    phone.get(f"{delivery(phone)}/quick/fish")
    ticked = re.findall(r'name="choice" value="(\w+)" checked', phone.page)
    assert set(ticked) == {"gasping_at_surface", "rapid_gill_movement"}
    assert 'value="lying_on_side">' in phone.page, "what may be new is there to tick"


@pytest.mark.parametrize(
    "seen, verdict",
    [
        ([], "BETTER"),
        (["rapid_gill_movement"], "BETTER"),
        (["gasping_at_surface", "rapid_gill_movement"], "THE SAME"),
        (["gasping_at_surface", "rapid_gill_movement", "lying_on_side"], "WORSE"),
    ],
)
def test_a_short_look_says_better_or_worse(
    room: Room, phone: Phone, seen: list[str], verdict: str
) -> None:
    in_trouble(phone)
    assert verdict in quick(room, phone, seen)
    first, second = case_of(room).observation
    assert second.at_hours == first.at_hours + 1 and set(second.seen) == set(seen)
    assert set(first.seen) - set(seen) <= set(second.not_seen)


def test_the_dead_are_counted_on_a_short_look_and_more_is_worse(room: Room, phone: Phone) -> None:
    in_trouble(phone)
    both = ["gasping_at_surface", "rapid_gill_movement"]
    assert "THE SAME" in quick(room, phone, both, dead="0")
    assert "WORSE" in quick(room, phone, both, dead="3")
    assert case_of(room).observation[-1].counts.dead == 3
    quick(room, phone, both, dead="some")
    assert phone.status == 422 and "Dead in all" in phone.page


def test_a_short_look_sent_twice_is_one_look(room: Room, phone: Phone) -> None:
    in_trouble(phone)
    room.clock.forward(1)
    where = f"{delivery(phone)}/quick/fish"
    phone.get(where)
    form = {name: phone.hidden(name) for name in ("token", "once", "made")}
    for _ in range(2):
        phone.client.post(where, data={**form, "choice": ["gasping_at_surface"]})
    room.restart()
    late = room.client()
    late.cookies = phone.client.cookies
    late.post(where, data={**form, "choice": ["gasping_at_surface"]})
    assert len(case_of(room).observation) == 2


def test_there_is_no_short_look_at_what_nobody_has_seen(room: Room, phone: Phone) -> None:
    at = delivery(phone)
    for lot in ("fish", "no-such-lot"):
        phone.get(f"{at}/quick/{lot}")
        assert phone.status == 422


# -- training -------------------------------------------------------------------------------


def test_the_right_ones_are_among_the_choices_and_nothing_marks_them(
    room: Room, phone: Phone
) -> None:
    from advisor.case import load_case
    from advisor.explain.replay.score import right_causes
    from advisor.page.views.train import _shipped

    for number in (1, 20, 40):
        phone.get(f"/train/{number}")
        causes = re.findall(r'name="cause" value="(\w+)"', phone.page)
        steps = re.findall(r'name="action" value="(\w+)"', phone.page)
        case = load_case(_shipped()[number - 1])
        assert case.expected is not None
        assert set(right_causes(case)) & set(causes), number
        assert not case.expected.first_action or set(case.expected.first_action) & set(steps)
        assert 3 < len(causes) <= 8 and 3 < len(steps) <= 8
        assert case.delivery.title is None or case.delivery.title not in phone.page


def test_scores_are_kept_under_the_name_once_a_form(
    room: Room, phone: Phone, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home"))
    phone.get("/train/3")
    (cause, *_) = re.findall(r'name="cause" value="(\w+)"', phone.page)
    form = {"token": phone.hidden("token"), "once": phone.hidden("once"), "cause": cause}
    for _ in range(2):
        phone.client.post("/train/3", data=form)
    lines = (tmp_path / "home/advisor/training/ana.jsonl").read_text("utf-8").splitlines()
    assert len(lines) == 1 and json.loads(lines[0])["first_cause"] in ("yes", "no")


# -- lists ----------------------------------------------------------------------------------


def test_a_list_reads_again_only_what_was_written_anew(
    room: Room, phone: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    in_trouble(phone)
    phone.get("/")
    assert "To do now" in phone.page
    read: list[object] = []
    monkeypatch.setattr("advisor.page.open_cases.shelved", lambda *a: read.append(a))
    room.clock.forward(1)
    phone.get("/")
    assert not read and "overdue" in phone.page, "but the clock goes on"


def test_what_is_chosen_stays_chosen_when_one_more_thing_is_asked(room: Room) -> None:
    phone = room.phone()
    phone.get("/train/3")
    cause, action = (
        next(value for value in re.findall(rf'name="{name}" value="(\w+)"', phone.page))
        for name in ("cause", "action")
    )
    asked = re.findall(r'name="ask" value="(\w+)"', phone.page)
    phone.post("/train/3", ask=asked[1], cause=cause, action=action, never=[action])
    phone.post("/train/3", ask="wait", asked=asked[1], cause=cause, action=action, never=[action])
    for name, value in (("cause", cause), ("action", action), ("never", action)):
        assert f'name="{name}" value="{value}" checked' in phone.page
    assert re.findall(r'name="asked" value="(\w+)"', phone.page) == [asked[1], "wait"]
    assert "token" not in str(phone.client.get("/train/3").url)
