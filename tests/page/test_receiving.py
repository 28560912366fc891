"""Boxes written down, bags opened and emptied, lots taken on; no form counts twice."""

from __future__ import annotations

import pytest

from tests.page.conftest import Room, case_of, delivery


def test_twelve_boxes_make_twelve_shut_lots(room: Room) -> None:
    phone = room.phone()
    phone.get("/receive")
    assert "Do not cut yet" in phone.page and phone.page.count("<legend>Box") == 12
    kinds = ["guppy", "neon tetra", "angelfish", "cardinal tetra", "platy", "swordtail"] * 2
    phone.post(
        "/receive", supplier="Invented Fish Farm", kind=kinds, count=["10"] * 12,
        bags=["1"] * 12, tank=[f"A{i}" for i in range(12)],
    )  # fmt: skip
    lots = case_of(room).lot
    assert len({lot.id for lot in lots}) == 12 and {lot.sealed for lot in lots} == {"yes"}
    assert phone.title == "Bags" and "Do not cut yet" in phone.page
    assert phone.page.count("Opened now") >= 12


def test_a_box_that_cannot_be_read_is_named_and_nothing_is_lost(room: Room) -> None:
    phone = room.phone()
    phone.get("/receive")
    phone.post("/receive", kind=["guppy", "platy"], count=["9", "many"], bags=["", ""], tank="")
    assert phone.status == 422 and "Box 2, number of fish" in phone.page
    assert 'value="guppy"' in phone.page and 'value="many"' in phone.page
    assert not list(room.folder.glob("*.toml"))


def test_a_bag_is_opened_and_emptied_by_the_clock(room: Room) -> None:
    phone = room.phone()
    phone.get("/receive")
    phone.post("/receive", kind=["guppy"], count=["9"], bags=["1"], tank=["A1"])
    at = delivery(phone)
    room.clock.forward(0.5)
    for _ in range(2):  # a second tap changes nothing
        phone.post(f"{at}/bags", lot="guppy", step="opened")
    assert "keep the bags shut" not in phone.page, "what is open is not told to stay shut"
    room.clock.forward(0.1)
    phone.post(f"{at}/bags", lot="guppy", step="out", way="netted")
    (lot,) = case_of(room).lot
    assert (lot.sealed, lot.opened_at_hours, lot.release_method) == ("no", 0.5, "netted")
    assert lot.released_at_hours == pytest.approx(0.6)
    phone.post(f"{at}/bags", lot="no-such", step="opened")
    assert phone.status == 422


def test_a_grid_that_a_phone_sends_twice_is_one_delivery(room: Room) -> None:
    phone = room.phone()
    phone.get("/receive")
    form = {name: phone.hidden(name) for name in ("token", "once", "made")}
    form |= {"kind": "guppy", "count": "9", "bags": "1", "tank": "A1"}
    where = set()
    for _ in range(2):
        answer = phone.client.post("/receive", data=form, headers={"x-kept": "1"})
        where.add(answer.text)
    room.restart()
    late = room.client()
    late.cookies = phone.client.cookies
    where.add(late.post("/receive", data=form, headers={"x-kept": "1"}).text)
    assert len(where) == 1 and len(list(room.folder.glob("*.toml"))) == 1


def test_a_new_grid_is_another_delivery(room: Room) -> None:
    phone = room.phone()
    for _ in range(2):
        phone.get("/receive")
        once = phone.hidden("once")
        phone.post("/receive", once=once, kind="guppy", count="9", bags="1", tank="")
    assert len(list(room.folder.glob("*.toml"))) == 2


def test_fish_look_wrong_tapped_twice_begins_once(room: Room) -> None:
    phone = room.phone()
    form = {name: phone.hidden(name) for name in ("token", "once")}
    for _ in range(2):
        phone.client.post("/start", data=form)
    assert len(list(room.folder.glob("*.toml"))) == 1


def test_a_lot_taken_on_twice_is_still_taken_on(room: Room) -> None:
    phone = room.phone("Ana")
    phone.get("/receive")
    phone.post("/receive", kind=["guppy"], count=["9"], bags=["1"], tank=["A1"])
    at = delivery(phone)
    for want, said in (("take", True), ("take", True), ("give", False), ("give", False)):
        phone.post(f"{at}/claim", lot="guppy", want=want)
        assert ("Taken on by Ana" in phone.page) is said


def test_a_kind_in_no_table_is_asked_for_once_and_what_is_understood_is_said(room: Room) -> None:
    phone = room.phone()
    phone.get("/receive")
    boxes = {"kind": ["xyzfish", "lepard danios", "guppy"], "count": ["9"] * 3, "bags": ["1"] * 3}
    phone.post("/receive", **boxes, tank=[""] * 3)
    assert phone.status == 422 and not list(room.folder.glob("*.toml"))
    assert "Box 1, kind: " in phone.page and "xyzfish" in phone.page
    assert "Is it zebra danio" in phone.page and "Box 3, kind" not in phone.page
    kept = ["xyzfish", "lepard danios", "guppy"]
    boxes["kind"] = ["xyzfish", "leopard danio", "guppy"]
    phone.post("/receive", **boxes, tank=[""] * 3, asked=kept)
    assert phone.title == "Bags"
    assert "Taken as guppy (Poecilia reticulata)" in phone.page
    assert "Taken as a delicate unknown fish" in phone.page
    assert [lot.species for lot in case_of(room).lot] == boxes["kind"]


def test_a_kind_written_anew_is_asked_for_again(room: Room) -> None:
    phone = room.phone()
    phone.get("/receive")
    phone.post("/receive", kind=["qqqfish"], count=["9"], bags=["1"], tank="", asked=["xyzfish"])
    assert phone.status == 422 and "qqqfish" in phone.page
