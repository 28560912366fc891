"""One written time: its date in every order that it can have, its time of day, its zone."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from advisor.case.logs.column_words import squash
from advisor.wording.times import iso_moment

_MONTHS = (
    "jan january januar janvier enero gennaio januari janner|feb february februar fevrier febrero"
    " febbraio februari fev|mar march marz mars marzo maart mrz|apr april avril abril aprile avr"
    "|may mai mayo maggio mei|jun june juni juin junio giugno|jul july juli juillet julio luglio"
    " juil|aug august aout agosto augustus|sep sept september septembre septiembre settembre"
    "|oct october oktober octobre octubre ottobre okt|nov november novembre noviembre"
    "|dec december dezember decembre diciembre dicembre dez"
)
MONTHS = {word: n for n, words in enumerate(_MONTHS.split("|"), 1) for word in words.split()}
_DAYS = "mon tue wed thu fri sat sun|mo di mi do fr sa so|lun mar mer jeu ven sam dim"
_WEEKDAYS = {
    **{word: n for row in _DAYS.split("|") for n, word in enumerate(row.split()) if word != "mar"},
    "tues": 1, "thur": 3, "thurs": 3, "wednes": 2, "satur": 5, "montag": 0, "dienstag": 1,
    "mittwoch": 2, "donnerstag": 3, "freitag": 4, "samstag": 5, "sonntag": 6, "lundi": 0,
    "mardi": 1, "mercredi": 2, "jeudi": 3, "vendredi": 4, "samedi": 5, "dimanche": 6,
    "monday": 0, "tuesday": 1, "wednesday": 2, "thursday": 3, "friday": 4, "saturday": 5,
    "sunday": 6,
}  # fmt: skip
_CLOCK = re.compile(
    r"(?<![\d.])(\d{1,3})\s*(?:[:h]|(?<=\d)\.(?=\d\d\b))\s*(\d{2})(?:\s*[:.]\s*(\d{2})(?:[.,:](\d{1,6}))?)?"
    r"(?:\s*uhr|\s*h\b|\s*s\b)?\s*(?:([ap])\.?\s?m\.?(?!\w))?",
    re.I,
)
_WHOLE_HOUR = re.compile(r"(?<!\d)(\d{1,2})\s*(?:([ap])\.?\s?m\.?(?!\w)|h(?!\w)|uhr)", re.I)
_NUMERIC = re.compile(r"(\d{1,4})\s?([./-])\s?(\d{1,2})\s?\2\s?(\d{2,4})\.?")
_OFFSET = re.compile(
    r"(?:(?:utc|gmt)\s*)?([+-])(\d{1,2})(?::?(\d{2}))?$|(?:^|(?<=\W)|(?<=\d))(utc|gmt|z)$", re.I
)
_LETTERS = re.compile(r"\b([A-Z]{2,5})$")
#: Letters for a zone with one meaning in use; others are asked (common practice, no source).
_FIXED = {"CET": 1, "CEST": 2, "MEZ": 1, "MESZ": 2, "EET": 2, "EEST": 3, "WET": 0, "WEST": 1,
          "JST": 9, "NZST": 12, "NZDT": 13, "AEST": 10, "AEDT": 11, "EDT": -4, "PDT": -7,
          "MDT": -6, "CDT": -5}  # fmt: skip
ORDERS = ("year first", "day first", "month first")


@dataclass(frozen=True)
class WrittenTime:
    """A written time. ``days``: order -> date, "named" where the month is a word.

    seconds : of the day, None when there is no time of day; half : "a" or "p"
    hour    : as written, for times in halves of a day
    zone    : of this very time; letters : a zone in letters that could be several
    """

    days: dict[str, date] = field(default_factory=dict)
    seconds: float | None = None
    half: str = ""
    hour: int = -1
    zone: tzinfo | None = None
    letters: str = ""
    weekday: int | None = None


def fixed(hours: float) -> timezone:
    return timezone(timedelta(hours=hours))


def zone_of(text: str) -> tzinfo | None:
    """A zone as people write it; None when it is not one, or could be several."""
    text = text.strip().strip("()[]").strip()
    found = _OFFSET.search(text)
    if found and (
        found[4]
        or found.start() == 0
        or re.fullmatch(r"(utc|gmt)?\s*", text[: found.start()], re.I)
    ):
        if found[4]:
            return fixed(0) if squash(text) in ("utc", "gmt", "z") else None
        hours = int(found[2]) + int(found[3] or 0) / 60
        return fixed(hours if found[1] == "+" else -hours) if hours <= 14 else None
    if text.upper() in _FIXED:
        return fixed(_FIXED[text.upper()])
    if "/" in text:
        try:
            return ZoneInfo(text)
        except (ZoneInfoNotFoundError, ValueError, OSError):
            return None
    return None


def read_written(text: str) -> WrittenTime | None:
    """A time as a log writes it; None when some part of it is not understood."""
    text = text.strip().strip("\"'")
    quick = _iso(text)
    if quick is not None:
        return quick
    zone, letters, text = _without_zone(text)
    seconds, half, hour, rest = _clock(text)
    weekday, rest = _without_weekday(rest)
    rest = re.sub(r"\b(?:um|at|le|on|a|à|o'clock|uhr)\b|,|[T]\s*$", " ", rest).strip(" .-")
    days = _days(rest) if rest else {}
    if rest and not days:
        return None
    if seconds is None and not days:
        return None
    return WrittenTime(days, seconds, half, hour, zone, letters, weekday)


def _iso(text: str) -> WrittenTime | None:
    if not re.match(r"\d{4}-?\d{2}-?\d{2}[Tt ]\d", text):
        return None
    try:
        at = iso_moment(text.replace(" UTC", "Z").replace(",", "."))
    except ValueError:
        return None
    clock = at.hour * 3600 + at.minute * 60 + at.second + at.microsecond / 1e6
    return WrittenTime({"year first": at.date()}, clock, "", at.hour, at.tzinfo)


def _without_zone(text: str) -> tuple[tzinfo | None, str, str]:
    """(zone, letters that could be several zones, the text without them)."""
    found = _OFFSET.search(text)
    head = text[: found.start()].rstrip() if found else ""
    if found and re.search(r"[:h.]\d{2}(\.\d+)?$", head):
        zone = zone_of(text[found.start() :])
        if zone is not None:
            return zone, "", head
    named = _LETTERS.search(text)
    if (
        named
        and named[1] not in ("AM", "PM", "UHR")
        and re.search(r"\d\s*$", text[: named.start()])
    ):
        zone = zone_of(named[1])
        return zone, "" if zone else named[1], text[: named.start()].rstrip()
    return None, "", text


def _clock(text: str) -> tuple[float | None, str, int, str]:
    """(seconds of the day, half of it, hour as written, the text without it)."""
    found = next(reversed(list(_CLOCK.finditer(text))), None)  # dates in points come before it
    dated = _NUMERIC.search(text)
    is_date = found is not None and ":" not in found[0] and "." in found[0] and dated is not None
    if found is not None and not (is_date and dated and dated[0] in text[found.start() - 3 :]):
        hour, minute, second = int(found[1]), int(found[2]), int(found[3] or 0)
        if minute > 59 or second > 59:
            return None, "", -1, text
        fraction = float(f"0.{found[4]}") if found[4] else 0.0
        half = (found[5] or "").lower()
        rest = f"{text[: found.start()]} {text[found.end() :]}"
        return hour * 3600 + minute * 60 + second + fraction, half, hour, rest
    whole = _WHOLE_HOUR.search(text)
    if whole:
        rest = f"{text[: whole.start()]} {text[whole.end() :]}"
        return int(whole[1]) * 3600.0, (whole[2] or "").lower(), int(whole[1]), rest
    return None, "", -1, text


def _without_weekday(text: str) -> tuple[int | None, str]:
    found = re.match(r"\s*([A-Za-z]{2,10})\.?,?\s+(?=\S)", text)
    if found and squash(found[1]) in _WEEKDAYS and squash(found[1]) not in MONTHS:
        return _WEEKDAYS[squash(found[1])], text[found.end() :]
    return None, text


def _days(text: str) -> dict[str, date]:
    """Every order in which a written date is one."""
    named = re.fullmatch(r"(?:(\d{1,4})(?:st|nd|rd|th|er|\.)?[\s/.-]*)?([^\W\d]{3,10})\.?[\s/.-]*"
                         r"(\d{1,4})(?:st|nd|rd|th)?(?:[\s/.-]+(\d{4}|\d{2}))?", text)  # fmt: skip
    if named and squash(named[2]) in MONTHS:
        return _named(MONTHS[squash(named[2])], named[1], named[3], named[4])
    basic = re.fullmatch(r"(\d{4})(\d{2})(\d{2})", text)
    found = basic or _NUMERIC.fullmatch(text)
    if found is None:
        return {}
    if basic:
        return _valid({"year first": (int(found[1]), int(found[2]), int(found[3]))})
    first, sign, second, third = found[1], found[2], int(found[3]), found[4]
    if len(first) == 4:
        return _valid({"year first": (int(first), second, int(third))})
    if len(first) == 3 or len(third) == 3:
        return {}
    year = int(third) + (2000 if len(third) == 2 else 0)
    orders = {"day first": (year, second, int(first))}
    if sign != ".":
        orders["month first"] = (year, int(first), second)
    if len(third) == 2 and sign == "-":
        orders["year first"] = (2000 + int(first), second, int(third))
    return _valid(orders)


def _named(month: int, before: str | None, after: str, last: str | None) -> dict[str, date]:
    """17 April 2026, April 17 2026, 2026 April 17, 17-Apr-26."""
    if before and len(before) == 4:
        return _valid({"named": (int(before), month, int(after))})
    day, year = (before, after) if before else (after, last)
    if before and last:
        return {}
    if not year:
        return {}
    return _valid({"named": (int(year) + (2000 if len(year) <= 2 else 0), month, int(day or 0))})


def _valid(orders: dict[str, tuple[int, int, int]]) -> dict[str, date]:
    found = {}
    for order, (year, month, day) in orders.items():
        try:
            found[order] = date(year, month, day)
        except ValueError:
            continue
    return found
