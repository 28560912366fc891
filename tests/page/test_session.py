"""The session on a page: one question each, nothing lost, nothing counted twice, two at once."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.case import Case, load_case, loads_case, save_case
from advisor.case.model import Session
from tests.ask.test_done import TWO
from tests.ask.test_ticks import BAGS
from tests.page.conftest import Phone, Room, case_of, delivery, taps


def in_opened_bag(phone: Phone) -> None:
    """Still in an opened bag, gasping: out of it at once."""
    phone.answer(tap=next(tap for tap in taps(phone) if "still" in label(phone, tap)))
    phone.answer(choice=["gasping_at_surface"], tap="go")


def label(phone: Phone, tap: str) -> str:
    found = re.search(rf'value="{re.escape(tap)}"><b>(.*?)</b>', phone.page)
    return found.group(1) if found else ""


# -- one question a page ------------------------------------------------------------


def test_not_known_is_there_at_every_question(phone: Phone) -> None:
    asked = 0
    while phone.asked and asked < 60:
        ways = taps(phone)
        assert "unknown" in ways or any(way.startswith("line:") for way in ways), phone.title
        phone.answer(tap="unknown" if "unknown" in ways else ways[0])
        asked += 1
    assert asked > 8
    assert phone.title == "All asked for now"


def test_nothing_chosen_is_no_answer(room: Room, phone: Phone) -> None:
    before = phone.asked
    phone.answer(tap="go")
    assert phone.asked == before and "Nothing was chosen" in phone.page
    assert case_of(room).session.answered == ()


def test_what_cannot_wait_stands_on_top_as_soon_as_it_is_certain(phone: Phone) -> None:
    assert "DO NOW" not in phone.page
    in_opened_bag(phone)
    assert phone.page.index("DO NOW") < phone.page.index('class="question"')
    assert phone.page.count("DO NOW") == 1, "and not once more among what is said"
    phone.get(f"{delivery(phone)}/plan")
    assert phone.page.count("DO NOW") >= 2, "at the end once more"


def test_a_step_is_ticked_and_stays_ticked(room: Room, phone: Phone) -> None:
    in_opened_bag(phone)
    action = re.findall(r'name="action" value="([^"]+)"', phone.page)[0]
    at = delivery(phone)
    phone.post(f"{at}/done", action=action, back="ask")
    assert action in [done for look in case_of(room).observation for done in look.done]
    assert f'value="{action}"' not in phone.page
    phone.post(f"{at}/done", action="no_such_step")
    assert phone.status == 422


def test_a_tick_is_undone_on_the_plan(room: Room, phone: Phone) -> None:
    """Taken back, it waits again; the same form once more takes back no other tick."""
    in_opened_bag(phone)
    action = re.findall(r'name="action" value="([^"]+)"', phone.page)[0]
    at = delivery(phone)
    before = case_of(room)
    phone.post(f"{at}/done", action=action)
    assert f'action="{at}/undone"' in phone.page and "Undo" in phone.page
    hour = re.findall(r'name="at" value="([^"]+)"', phone.page)[0]
    phone.post(f"{at}/undone", action=action, at=hour)
    assert case_of(room).observation == before.observation
    assert f'action="{at}/undone"' not in phone.page
    assert f'value="{action}"' in phone.page, "it waits again"
    phone.post(f"{at}/undone", action=action, at=hour)
    assert case_of(room).observation == before.observation


def test_free_words_are_heard_and_shown_back(room: Room, phone: Phone) -> None:
    phone.answer(tap=taps(phone)[2])
    phone.answer(words="gasping at the top, one lies on its side", tap="go")
    assert "Seen: gasping at surface" in phone.page
    assert "gasping_at_surface" in case_of(room).observation[0].seen
    assert case_of(room).observation[0].not_seen == (), "what was not spoken of stays open"


def test_why_is_answered_and_the_question_stays(phone: Phone) -> None:
    before = phone.asked
    assert "Why is this asked?" in phone.page and "Why: " not in phone.page
    phone.answer(tap="why")
    assert phone.asked == before and "Why: " in phone.page


@pytest.mark.parametrize("way", ["ask", "look", "close"])
def test_no_page_speaks_of_keys_of_a_keyboard(room: Room, phone: Phone, way: str) -> None:
    in_opened_bag(phone)
    phone.get(f"{delivery(phone)}/{way}")
    for at in range(40):
        text = re.sub(r"<[^>]+>", " ", phone.page)
        assert not re.search(r"\bEnter\b|\b[a-z] = |\([a-z] when|[;.] [a-z] [a-z]+s\b", text), text
        if not phone.asked:
            break
        ways = taps(phone)
        if phone.asked.startswith("kinds"):
            phone.answer(words="12 guppies, 8 angelfish and 3 blorps", tap="go")
        elif at % 3 and "go" in ways and phone.asked.startswith(("ph", "tank", "thermo")):
            phone.answer(words="7.2", tap="go")
        else:
            phone.answer(tap="unknown" if "unknown" in ways else ways[0])


# -- changing -------------------------------------------------------------------------


def test_all_answers_and_a_change_that_leaves_nothing_of_the_old(room: Room, phone: Phone) -> None:
    in_opened_bag(phone)
    for words in ("40 guppies", "2 dead", "30 h"):
        phone.answer(words=words, tap="go")
    assert case_of(room).transit.hours_sealed == 30
    phone.get(f"{delivery(phone)}/answers")
    assert "gasping at surface" in phone.page and "Ana" in phone.page
    key = "breathing_and_posture/guppies"
    phone.get(f"{delivery(phone)}/again/{key}")
    phone.answer(choice=["rapid_gill_movement"], tap="go")
    assert phone.title == "All answers"
    (look,) = case_of(room).observation
    assert look.seen == ("rapid_gill_movement",) and "gasping_at_surface" in look.not_seen
    phone.get(f"{delivery(phone)}/again/hours_sealed")
    phone.answer(tap="unknown")
    assert case_of(room).transit.hours_sealed is None
    assert "hours_sealed" in case_of(room).session.unknown


def test_a_change_begun_and_left_changes_nothing(room: Room, phone: Phone) -> None:
    in_opened_bag(phone)
    before = case_of(room)
    phone.get(f"{delivery(phone)}/again/breathing_and_posture/fish")
    phone.get(f"{delivery(phone)}/ask")
    assert case_of(room) == before


@pytest.mark.parametrize("key", ["kinds", "no_such_question", "hours_sealed", "../../plan"])
def test_only_answered_questions_can_be_changed(phone: Phone, key: str) -> None:
    phone.get(f"{delivery(phone)}/again/{key}")
    assert phone.status == 404 or phone.title == "The plan as it stands"


# -- nothing lost, nothing twice ----------------------------------------------------------


def test_a_restart_finds_everyone_where_they_were(room: Room, phone: Phone) -> None:
    in_opened_bag(phone)
    asked, kept = phone.asked, case_of(room)
    room.restart()
    again = Phone(room.client())
    again.client.cookies = phone.client.cookies
    again.get(phone.path)
    assert again.asked == asked and "DO NOW" in again.page
    assert case_of(room) == kept
    again.get(f"{delivery(phone)}/answers")
    assert "gasping" in again.page and "Ana" in again.page


def test_a_restart_in_the_middle_of_a_question_keeps_its_answered_parts(
    room: Room, phone: Phone
) -> None:
    in_opened_bag(phone)
    while not phone.asked.startswith("thermometer"):
        phone.answer(tap="unknown" if "unknown" in taps(phone) else taps(phone)[0])
    first = phone.asked
    phone.answer(words="24.5", tap="go")
    second = phone.asked
    assert first.startswith("thermometer") and second.startswith("thermometer") and first != second
    for _ in range(2):
        room.restart()
        again = Phone(room.client())
        again.client.cookies = phone.client.cookies
        again.get(phone.path)
        assert again.asked == second
    again.answer(tap="unknown")
    water = case_of(room).observation[0]
    read = [each.temperature_c for each in (water.tank, water.bag) if each.temperature_c]
    assert [each.value for each in read] == [24.5]
    assert not list(room.folder.glob(".page/*.parts"))


def test_parts_answered_long_ago_are_asked_again(room: Room, phone: Phone) -> None:
    in_opened_bag(phone)
    while not phone.asked.startswith("thermometer"):
        phone.answer(tap="unknown" if "unknown" in taps(phone) else taps(phone)[0])
    first = phone.asked
    phone.answer(words="24.5", tap="go")
    room.clock.forward(3)
    phone.get(phone.path)
    assert phone.asked == first


def test_an_answer_sent_twice_counts_once(room: Room, phone: Phone) -> None:
    first = {name: phone.hidden(name) for name in ("token", "once", "made", "asked")}
    form = {**first, "tap": taps(phone)[2]}
    for _ in range(2):
        phone.client.post(phone.path, data=form)
    kept = case_of(room)
    assert len(kept.session.answered) == 1
    room.restart()
    late = room.client()
    late.cookies = phone.client.cookies
    late.post(phone.path, data=form)
    assert case_of(room) == kept
    phone.get(f"{delivery(phone)}/answers")
    assert "Two answers differ" not in phone.page


def test_a_page_left_open_over_night_is_told_so(room: Room, phone: Phone) -> None:
    room.clock.forward(9)
    phone.answer(tap=taps(phone)[2])
    assert "had stood open for hours" in phone.page
    assert case_of(room).session.answered == ()
    phone.answer(tap=taps(phone)[2])
    assert len(case_of(room).session.answered) == 1


def test_a_file_changed_by_a_terminal_is_seen(room: Room, phone: Phone) -> None:
    (path,) = room.folder.glob("*.toml")
    case = load_case(path)
    fresh = case.model_copy(update={"session": Session(answered=("where_are_they/fish",))})
    save_case(fresh, path)
    before = phone.asked
    phone.get(phone.path)
    assert phone.asked and phone.asked != before


def test_a_full_disk_is_said_and_the_session_goes_on(
    room: Room, phone: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    from advisor.errors import AdvisorError

    def full(*_: object, **__: object) -> str:
        raise AdvisorError("delivery.toml: not saved, no space left on the disk")

    with monkeypatch.context() as patched:
        patched.setattr("advisor.page.seat.save_case", full)
        phone.answer(tap=taps(phone)[2])
        assert "Not saved" in phone.page and "no space left" in phone.page
        second = phone.asked
    phone.answer(tap="unknown")
    assert "Not saved" not in phone.page and phone.asked != second
    assert len(case_of(room).session.answered) == 2


# -- two people ------------------------------------------------------------------------


def test_two_answers_to_one_question_are_shown_to_both(room: Room, phone: Phone) -> None:
    ben = room.phone("Ben")
    ben.get(phone.path)
    ways = taps(phone)
    phone.answer(tap=ways[2])
    ben.answer(tap=ways[3])
    for person in (phone, ben):
        person.get(f"{delivery(phone)}/ask")
        assert "Two answers differ" in person.page
    kept = case_of(room)
    phone.post(f"{delivery(phone)}/settle", key="where_are_they/fish")
    ben.get(f"{delivery(phone)}/ask")
    assert "Two answers differ" not in ben.page and case_of(room) == kept


def test_the_same_answer_of_two_people_is_no_quarrel(room: Room, phone: Phone) -> None:
    ben = room.phone("Ben")
    ben.get(phone.path)
    way = taps(phone)[2]
    phone.answer(tap=way)
    ben.answer(tap=way)
    ben.get(f"{delivery(phone)}/answers")
    assert "Two answers differ" not in ben.page


def test_lots_are_taken_on_by_name_and_both_answer_at_once(room: Room) -> None:
    ana, ben = room.phone("Ana"), room.phone("Ben")
    ana.get("/receive")
    ana.post("/receive", kind=["guppy", "neon tetra"], count=["9", "30"], bags="", tank=["", ""])
    at = delivery(ana)
    ana.post(f"{at}/claim", lot="guppy")
    ben.get(f"{at}/bags")
    assert "Taken on by Ana" in ben.page
    ben.post(f"{at}/claim", lot="neon-tetra")
    for person in (ana, ben):
        person.get(f"{at}/ask")
    asked: dict[str, set[str]] = {"Ana": set(), "Ben": set()}
    for _ in range(12):
        for name, person in (("Ana", ana), ("Ben", ben)):
            if not person.asked:
                continue
            asked[name].add(person.asked.split("|")[0].partition("/")[2])
            ways = taps(person)
            person.answer(tap="unknown" if "unknown" in ways else ways[-1])
    assert "neon-tetra" not in asked["Ana"] and "guppy" not in asked["Ben"]
    assert "neon-tetra" in asked["Ben"]
    done = case_of(room).session.answered
    assert {key.partition("/")[2] for key in done} >= {"guppy", "neon-tetra"}


def test_every_case_has_its_mark_and_odd_names_too(room: Room) -> None:
    phone = room.phone()
    save_case(Case(), Path(room.folder) / "Ein Fall, über alles.toml")
    phone.get("/")
    marks = set(re.findall(r"/d/([0-9a-f]{16})/", phone.page))
    assert len(marks) == 1
    phone.get(f"/d/{marks.pop()}/ask")
    assert phone.status == 200


def test_a_step_ticked_for_one_lot_moves_no_other(room: Room, phone: Phone) -> None:
    """Under the angels' plan; the neons' bag stays shut, and so does its plan."""
    (path,) = room.folder.glob("*.toml")
    save_case(loads_case(TWO), path)
    at = delivery(phone)
    phone.get(f"{at}/plan")
    sheets = phone.page.split('<section class="sheet')[1:]
    angels = next(sheet for sheet in sheets if 'aria-label="Plan for angels"' in sheet)
    assert 'name="lot" value="angels"' in angels and 'value="neons"' not in angels
    action = re.findall(r'name="action" value="(open_worst_bag[a-z_]+)"', angels)[0]
    phone.post(f"{at}/done", action=action, lot="angels")
    assert {look.lot for look in case_of(room).observation if look.done} == {"angels"}
    phone.get(f"{at}/plan")
    assert "angels: Open the bag" in phone.page, "among what was done"
    assert "Keep the bags shut" in phone.page
    phone.post(f"{at}/done", action=action)
    assert phone.status == 422, "the plan has it for no lot any more"


def test_one_bag_ticked_on_the_page_leaves_the_others_shut(room: Room, phone: Phone) -> None:
    """As a foreman met it at the terminal: a step on one bag emptied all bags of both lots."""
    (path,) = room.folder.glob("*.toml")
    save_case(loads_case(BAGS), path)
    at = delivery(phone)
    phone.get(f"{at}/ask")
    action = re.findall(r'name="action" value="(open_worst_bag[a-z_]+)"', phone.page)[0]
    phone.post(f"{at}/done", action=action, lot="guppies", back="ask")
    assert "Of which of these was a bag opened?" in phone.page
    phone.post(f"{at}/done", action=action, lot="guppies", back="ask")
    assert "Of which of these was a bag opened?" in phone.page, "sent twice, asked once"
    phone.answer(choice="guppies")
    assert "how many were in that bag?" in phone.page
    phone.answer(words="8")
    phone.answer(tap="take:new")
    lots = {lot.id: (lot.count, lot.sealed) for lot in case_of(room).lot}
    assert lots == {"guppies": (12, "yes"), "guppies-2": (8, "yes"), "mollies": (10, "yes")}
    assert {look.lot for look in case_of(room).observation if look.done} == {"guppies-2"}
    phone.get(f"{at}/plan")
    assert "Open the bag with the weakest fish" in phone.page.split("<h2>Done</h2>")[0]


def test_closing_over_shut_bags_is_asked_once_by_buttons(room: Room, phone: Phone) -> None:
    (path,) = room.folder.glob("*.toml")
    save_case(loads_case(TWO), path)
    at = delivery(phone)
    phone.get(f"{at}/close")
    assert "The bag is told shut (angels, neons)." in phone.page
    assert "Close the case all the same?" in phone.page and "y closes" not in phone.page
    phone.answer(tap="line:")
    assert not case_of(room).outcome.closed and "The case stays open." in phone.page
    phone.get(f"{at}/close")
    phone.answer(tap="line:y")
    assert "how many have died in all by now?" in phone.page
    assert "Enter" not in re.sub(r"<[^>]+>", " ", phone.page)
    for words in ("1", "2", "0"):
        phone.answer(words=words, tap="go")
    assert case_of(room).outcome.closed
    assert {each.dead for each in case_of(room).outcome.deaths} == {1, 2}
