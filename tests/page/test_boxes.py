"""What was written of the boxes is put right; deliveries are put away, taken out, reopened."""

from __future__ import annotations

import re

import pytest

from tests.page.conftest import Phone, Room, case_of, delivery, taps

EMPTY = {"lot": "", "kind": "", "count": "", "bags": "", "tank": ""}


@pytest.fixture
def bench(room: Room) -> Phone:
    """Two boxes for two tanks; the goldfish were looked at."""
    phone = room.phone()
    phone.get("/receive")
    phone.post(
        "/receive", kind=["neon tetra", "goldfish"], count=["200", "3"], bags=["2", "1"],
        tank=["A1", "cold 1"],
    )  # fmt: skip
    return phone


def rows(*changes: dict[str, str]) -> dict[str, list[str]]:
    boxes = [{**EMPTY, **each} for each in changes]
    return {name: [box[name] for box in boxes] for name in EMPTY}


NEON = {"lot": "neon-tetra", "kind": "neon tetra", "count": "200", "bags": "2", "tank": "A1"}
GOLD = {"lot": "goldfish", "kind": "goldfish", "count": "3", "bags": "1", "tank": "cold 1"}


def look_at(phone: Phone, at: str, lot: str, sign: str) -> None:
    phone.post(f"{at}/bags", lot=lot, step="opened")
    for _ in range(40):
        phone.get(f"{at}/ask")
        if phone.asked.startswith(f"breathing_and_posture/{lot}"):
            break
        phone.answer(tap="unknown" if "unknown" in taps(phone) else taps(phone)[0])
    phone.answer(choice=[sign], tap="go")


def test_kind_and_count_are_put_right_and_what_was_seen_stays(room: Room, bench: Phone) -> None:
    at = delivery(bench)
    look_at(bench, at, "goldfish", "gasping_at_surface")
    seen = [look.seen for look in case_of(room).observation if look.lot == "goldfish" and look.seen]
    bench.get(f"{at}/boxes")
    bench.post(f"{at}/boxes", **rows(NEON, {**GOLD, "kind": "fantail", "count": "30"}))
    assert bench.title == "Bags"
    case = case_of(room)
    assert [(lot.id, lot.species, lot.count) for lot in case.lot] == [
        ("neon-tetra", "neon tetra", 200), ("fantail", "fantail", 30),
    ]  # fmt: skip
    assert [each.seen for each in case.observation if each.lot == "fantail" and each.seen] == seen
    assert "breathing_and_posture/fantail" in case.session.answered
    assert not [key for key in case.session.answered if key.endswith("/goldfish")]
    assert case.lot[1].opened_at_hours is not None


def test_a_forgotten_box_is_added_shut_and_nothing_was_seen_of_it(room: Room) -> None:
    phone = room.phone()
    phone.get("/receive")
    phone.post("/receive", kind=["goldfish"], count=["3"], bags=["1"], tank=["cold 1"])
    at = delivery(phone)
    look_at(phone, at, "goldfish", "gasping_at_surface")
    phone.post(f"{at}/boxes", **rows(GOLD, {"kind": "guppy", "count": "9"}))
    case = case_of(room)
    assert [(lot.id, lot.sealed) for lot in case.lot] == [("goldfish", "no"), ("guppy", "yes")]
    assert not [look for look in case.observation if look.concerns("guppy") and look.seen]
    assert [look for look in case.observation if look.lot == "goldfish" and look.seen]


def test_a_box_goes_only_when_nothing_was_told_of_it(room: Room, bench: Phone) -> None:
    at = delivery(bench)
    look_at(bench, at, "goldfish", "gasping_at_surface")
    bench.post(f"{at}/boxes", **rows(NEON, {"lot": "goldfish"}))
    assert bench.status == 422 and "something was told" in bench.page
    assert 'value="goldfish"' in bench.page and len(case_of(room).lot) == 2
    bench.post(f"{at}/boxes", **rows(GOLD, {"lot": "neon-tetra"}))
    assert [lot.id for lot in case_of(room).lot] == ["goldfish"]


@pytest.mark.parametrize("count", ["-5", "0", "3 dozen", "10-12"])
def test_a_count_that_is_none_is_asked_back(room: Room, bench: Phone, count: str) -> None:
    at, before = delivery(bench), case_of(room)
    bench.post(f"{at}/boxes", **rows(NEON, {**GOLD, "count": count}))
    assert bench.status == 422 and "Box 2, number of fish" in bench.page
    assert f'value="{count}"' in bench.page and case_of(room) == before
    bench.get("/receive")
    bench.post("/receive", kind=["guppy"], count=[count], bags=["1"], tank=[""])
    assert bench.status == 422 and "Box 1, number of fish" in bench.page


def test_a_wrong_hour_of_receipt_is_put_right_and_looks_keep_their_time_of_day(
    room: Room, bench: Phone
) -> None:
    at = delivery(bench)
    room.clock.forward(2)
    bench.post(f"{at}/bags", lot="goldfish", step="opened")
    bench.get(f"{at}/boxes")
    shown = re.findall(r'name="received" type="datetime-local" value="([^"]+)"', bench.page)[0]
    hour = int(shown[11:13])
    bench.post(f"{at}/came", received=f"{shown[:11]}{hour - 1:02}{shown[13:]}")
    (opened,) = (lot.opened_at_hours for lot in case_of(room).lot if lot.opened_at_hours)
    assert opened == pytest.approx(3, abs=0.02), "an hour earlier received, an hour more since"
    bench.get(f"{at}/boxes")
    bench.post(f"{at}/came", received=f"{shown[:11]}{hour + 2:02}{shown[13:]}")
    (opened,) = (
        lot.opened_at_hours for lot in case_of(room).lot if lot.opened_at_hours is not None
    )
    assert opened == pytest.approx(0, abs=0.02)
    bench.get(f"{at}/boxes")
    bench.post(f"{at}/came", received="2999-01-01T10:00")
    assert bench.status == 422


def test_put_away_taken_out_closed_and_reopened(room: Room, bench: Phone) -> None:
    at = delivery(bench)
    bench.get(f"{at}/boxes")
    bench.post(f"{at}/away")
    assert not list(room.folder.glob("*.toml")) and "No delivery is open" in bench.page
    assert "Put away: 1" in bench.page
    bench.get(f"{at}/plan")
    assert bench.status == 404
    bench.get("/")
    bench.post(f"{at}/out")
    assert len(case_of(room).lot) == 2 and bench.title == "The plan as it stands"
    bench.get(f"{at}/close")
    for _ in range(20):
        if not bench.asked:
            break
        yes = "line:y" if "line:y" in taps(bench) else "unknown"
        bench.answer(tap=yes if yes in taps(bench) else taps(bench)[0])
    assert case_of(room).outcome.closed
    bench.get("/")
    assert "Closed: 1" in bench.page and "Reopen" in bench.page and "200 neon tetra" in bench.page
    bench.post(f"{at}/reopen")
    assert not case_of(room).outcome.closed
    bench.get("/")
    assert "Closed:" not in bench.page and "came " in bench.page


# -- one reading, one tank ------------------------------------------------------------


def test_a_reading_is_of_the_tank_it_was_taken_in(room: Room, bench: Phone) -> None:
    """25.5 in the neons' A1 is no warmth of the goldfish's cold 1, which is asked for."""
    at = delivery(bench)
    bench.get(f"{at}/ask")
    named = []
    for _ in range(60):
        if not bench.asked or len(named) == 2:
            break
        about = re.search(r'<span class="about">(.*?)</span>', bench.page)
        if "||tank temperature" in bench.asked:
            named.append(about.group(1) if about else "")
            bench.answer(words="25.5" if "A1" in named[-1] else "12", tap="go")
            bench.get(f"{at}/bags")
            unread = re.findall(r"<strong>(.*?): no water read yet", bench.page)
            assert ("Tank cold 1" in unread) == (len(named) == 1) or len(named) == 2, unread
            bench.get(f"{at}/ask")
        else:
            bench.answer(tap="unknown" if "unknown" in taps(bench) else taps(bench)[0])
    assert named == ["Tank A1 of 200 neon tetra:", "Tank cold 1 of 3 goldfish:"]


# -- a tap at the bag is taken back -----------------------------------------------------


def test_a_bag_opened_by_mistake_is_shut_again(room: Room, bench: Phone) -> None:
    at, before = delivery(bench), case_of(room).lot
    bench.post(f"{at}/bags", lot="goldfish", step="opened")
    assert "Not opened: it is still shut" in bench.page
    bench.post(f"{at}/bags", lot="goldfish", step="not_opened")
    assert case_of(room).lot == before and "Not opened" not in bench.page
    for way in ("netted", "tub"):
        bench.post(f"{at}/bags", lot="goldfish", step="opened")
        opened = case_of(room).lot
        bench.post(f"{at}/bags", lot="goldfish", step="out", way=way)
        assert case_of(room).lot != opened
        bench.post(f"{at}/bags", lot="goldfish", step="not_opened")
        assert case_of(room).lot != before, "who is out has to be put back first"
        bench.post(f"{at}/bags", lot="goldfish", step="not_out")
        assert case_of(room).lot == opened
        bench.post(f"{at}/bags", lot="goldfish", step="not_opened")
        assert case_of(room).lot == before


def test_a_look_that_finds_the_bag_shut_after_all_takes_the_opening_back(
    room: Room, bench: Phone
) -> None:
    at = delivery(bench)
    bench.post(f"{at}/bags", lot="goldfish", step="opened")
    room.clock.forward(0.3)
    bench.get(f"{at}/look")
    for _ in range(8):
        if bench.asked.startswith("where_are_they"):
            shut = [tap for tap in taps(bench) if tap in ("take:shut", "take:bags_sealed=yes")]
            bench.answer(tap=shut[0])
        else:
            bench.answer(tap="unknown" if "unknown" in taps(bench) else taps(bench)[0])
        assert "cannot be" not in bench.page
    (gold,) = (lot for lot in case_of(room).lot if lot.id == "goldfish")
    assert (gold.sealed, gold.opened_at_hours) == ("yes", None)
