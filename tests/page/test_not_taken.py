"""An answer that is not taken is asked back or shown again, never dropped."""

from __future__ import annotations

from tests.page.conftest import Phone, Room, case_of, taps


def test_none_at_a_reading_is_asked_back(room: Room, phone: Phone) -> None:
    """ "none" may be a test that read 0, or no test: it is no zero by itself, of any reading."""
    phone.answer(tap=taps(phone)[2])
    while not phone.asked.startswith("ammonia"):
        phone.answer(tap="unknown" if "unknown" in taps(phone) else taps(phone)[0])
    for words in ("none", "no"):
        before = phone.asked
        phone.answer(words=words, tap="go")
        if words == "none":
            assert phone.asked == before and "was nothing measured?" in phone.page
    assert not any(look.tank.given() for look in case_of(room).observation)


def test_an_answer_that_was_not_taken_is_shown(room: Room, phone: Phone) -> None:
    """A page left open for hours, and a second tab behind the first: the typed words stay."""
    first = {name: phone.hidden(name) for name in ("token", "once", "made", "asked")}
    phone.answer(tap=taps(phone)[2])
    phone.post(phone.path, **{**first, "asked": "no_such|part|tank", "words": "900", "tap": "go"})
    assert "your answer was not used" in phone.page and "Your answer was: 900" in phone.page
    kept, asked = case_of(room), phone.asked
    made = {name: phone.hidden(name) for name in ("token", "once", "made", "asked")}
    room.clock.forward(5)
    phone.post(phone.path, **{**made, "words": "gasping at the top", "tap": "go"})
    assert "Your answer was: gasping at the top" in phone.page and case_of(room) == kept
    assert asked.startswith("breathing")
