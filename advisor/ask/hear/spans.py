"""How long, and since when: lengths of time and points of the clock, in hours.

"30h", "a day and a half", "26-30 hrs", "yesterday 5 pm", "since 9 oclock", "mon 10am". What is
no time of its own ("ages", "normal") and a number without a unit are asked back.
"""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta

_N = r"\d+(?:[.,]\d+)?"
_UNITS: dict[str, float] = {
    r"s(?:ec(?:ond)?s?)": 1 / 3600,
    r"m(?:in(?:ute)?s?|ins?\.?|inuten?|inutos?|inuti)?": 1 / 60,
    r"h(?:(?:ou)?rs?|eures?|oras?)?|std\.?|stunden?|horas?|ore|uur|uren|godz\w*": 1.0,
    r"d(?:ays?|\b)|tagen?|jours?|d[ií]as?|giorni|dagen|dys?": 24.0,
    r"n(?:ights?)": 24.0,
    r"w(?:(?:ee)?ks?)?|wochen?|semanas?|semaines?": 168.0,
    r"mon(?:th)?s?|mo|mth?s?|monaten?|meses|mois": 730.5,
    r"y(?:(?:ea)?rs?)?|jahren?|años?|ans?": 8766.0,
}
_UNIT = "|".join(f"(?P<u{at}>{form})" for at, form in enumerate(_UNITS))
_LENGTH = re.compile(rf"(?<![\d.,])(?P<n>{_N})\s*(?:{_UNIT})(?![a-zäöü])")
_RANGE = re.compile(
    rf"(?<![\d.,])(?P<a>{_N})\s*(?:{_UNIT.replace('<u', '<v')})?\s*"
    rf"(?:-|to|till|or|bis|und|and|y|a)\s*(?P<b>{_N})\s*(?:{_UNIT})(?![a-zäöü])"
)
_WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_DAY = r"(?P<wd>mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?"
_CLOCK = re.compile(
    r"(?<![\d.,:/-])(?:(?P<h>\d{1,2})[:.h](?P<m>\d{2})\s*(?P<ap1>am|pm|a\.m\.|p\.m\.)?"
    r"|(?P<h2>\d{1,2})\s*(?P<ap2>am|pm|a\.m\.?|p\.m\.?|oclock|uhr|o clock)"
    r"|(?P<h3>[01]\d|2[0-3])(?P<m3>[0-5]\d)(?:\s*(?:h|hrs))?(?![\d])"
    r"|(?P<h4>\d{1,2})h(?![a-z\d]))(?![\d])"
)
_DATE = re.compile(r"(20\d\d)-(\d\d)-(\d\d)(?:[ t]+(\d\d):(\d\d))?")
#: A minus before a number, and no dash of a range: "6 - 7 h".
BELOW_ZERO = re.compile(r"(?<![\w.])(?<!\d )-\s*\d")
#: Words that name a time of day, and none that could be asked back.
_VAGUE = re.compile(
    r"\b(ages|a while|some time|not long|long time|long ago|forever|normal|usual|last night|lunch\w*"
    r"|dinner\w*|this morning|this afternoon|this evening|yesterday|today|tonight|tomorrow|overnight"
    r"|morning|evening|recently|a bit|the other day|few (?:hours|days|minutes|mins|hrs)|lately|soon"
    r"|many (?:hours|days)|noon|midnight|breakfast|weekend|earlier|hours|days)\b"
)
_NOW = re.compile(
    r"\b(right now|just now|now|just opened|just this (?:second|minute|moment)|this (?:second|minute|moment)"
    r"|opening (?:them|now)|just (?:out|released|netted|put|let|arrived)|straight now|jetzt|gerade|as we speak|ahora)\b"
)


@dataclass(frozen=True)
class Span:
    """A length of time [h], from ``low`` to ``high``; ``place`` in the text it was read from."""

    hours: float
    low: float
    high: float
    place: tuple[int, int] = (0, 0)


@dataclass(frozen=True)
class ToldSpan:
    """What a line says of one time: a span, or why it has to be asked."""

    span: Span | None
    ask: str = ""


def exactly(hours: float) -> ToldSpan:
    """A length of time without a band."""
    return ToldSpan(Span(hours, hours, hours))


def tidied(text: str) -> str:
    """Spoken lengths in figures: "a day and a half" 36 h, "half an hour" 30 min."""
    text = f" {text} "
    swaps = (
        (r"\bthree quarters? of an? hour\b|\b3 quarters? of an? hour\b|\b3/4 (?:of an? )?h(?:our|r)?\b", "45 min"),
        (r"\bquarter(?: of)? (?:of )?an? hour\b|\b1/4 h(?:our|r)?\b|\bquarter hour\b", "15 min"),
        (r"\b(?:an?|1) (?:hour|hr) (?:and|&) an? half\b|\b(?:hour|hr) (?:and|&) (?:an? )?half\b|\b1 and (?:an? )?half (?:hours?|hrs?)\b", "1.5 h"),
        (r"\b(?:an? |1 )?(?:hour|hr) (?:and|&) (?:three|3) quarters?\b", "1.75 h"),
        (r"\b(?:an? |1 )?(?:hour|hr) (?:and|&) (?:an? |1 )?quarter\b", "1.25 h"),
        (r"\b(\d+) (?:hours?|hrs?) (?:and|&) (?:three|3) quarters?\b|\b(\d+) (?:and|&) (?:three|3) quarters? (?:hours?|hrs?)\b", r"\1\2.75 h"),
        (r"\b(\d+) (?:and|&) an? quarter (?=h)", r"\1.25 "),
        (r"\b(?:an?|1) day (?:and|&) an? half\b|\bday (?:and|&) (?:an? )?half\b|\b1 and (?:an? )?half days?\b", "36 h"),
        (r"\b(\d+) and (?:an? )?half (h|hours?|hrs?|days?|weeks?|years?|yrs?|months?)\b", r"\1.5 \2"),
        (r"\b(\d+) (days?|hours?|hrs?|weeks?|years?|months?) and (?:an? )?half\b", r"\1.5 \2"),
        (r"\b(\d+) 1/2 (?=[a-z])", r"\1.5 "),
        (r"\b(\d+) 3/4 (?=[a-z])", r"\1.75 "),
        (r"\b(\d+) 1/4 (?=[a-z])", r"\1.25 "),
        (r"(?<!from )(?<!at )(?<!since )\b(\d)h(\d\d)\b", r"\1 h \2 min"),
        (r"\b(\d+) ?(?:h|hrs?|hours?) (\d{2})(?=\s*$|\s*[,;]|\s+ago)", r"\1 h \2 min"),
        (r"(\d)½", r"\1.5"), (r"½", "0.5"),
        (r"\b3/4 (?=[a-z])", "0.75 "), (r"\b1/2 (?=[a-z])", "0.5 "), (r"\b1/4 (?=[a-z])", "0.25 "),
        (r"\bhalf (?:an? |of an? )?hour\b|\bhalf hr\b|\bhalbe stunde\b|\bmedia hora\b|\bdemi heure\b", "30 min"),
        (r"\bhalf (?:an? |of an? )?day\b", "12 h"), (r"\bhalf (?:an? )?(year|month|week)\b", r"0.5 \1"),
        (r"\b(?:a )?fortnight\b", "2 weeks"),
        (r"\b(\d+) (?:full|whole|solid|good|long) (?=days?|hours?|hrs?)", r"\1 "),
        (r"\b(\d+) days? and \1 nights?\b", r"\1 days"),
        (r"\b(evening|morning|night|yesterday|today|until) (?:at )?(\d|1\d|2[0-3]) hour\b(?! ago| long| in)", r"\1 \2:00"),
        (r"\b(1[0-2]|[1-9])([0-5]\d) ?([ap])\.?m\b", r"\1:\2\3m"),
        (r"\b(?:an?|1)? ?week (?:and|&) an? half\b", "1.5 weeks"), (r"\b(?:an?|1)? ?month (?:and|&) an? half\b", "1.5 months"),
        (r"\b(?:an?|1) (?:hour|hr) (?:and )?(\d\d?)(?=\s*$|\s*[,;]|\s+ago)", r"1 h \1 min"),
        (r"\b(\d+) (?:hours|hrs|h) and (\d\d?)(?=\s*$|\s*[,;]|\s+ago)", r"\1 h \2 min"),
        (r"\b(?:an|a|1) (hour|hr|minute|min|day|week|month|year|moment)\b", r"1 \1"),
        (r"\b1 moment\b", "1 minute"),
        (r"\bover a (?=day|week)", "1 "),
    )  # fmt: skip
    for form, put in swaps:
        text = re.sub(form, put, text)
    return text


def lengths(text: str) -> list[Span]:
    """Every length of time said in the text (small letters, numbers in figures)."""
    found: list[Span] = []
    taken: list[tuple[int, int]] = []
    for hit in _RANGE.finditer(text):
        unit = _unit_of(hit, "u")
        first = _unit_of(hit, "v") or unit
        if (
            re.search(r"\band\b|\bund\b", hit[0])
            and _number(hit["a"]) * first > _number(hit["b"]) * unit
        ):
            continue
        low, high = sorted((_number(hit["a"]) * first, _number(hit["b"]) * unit))
        found.append(Span((low + high) / 2, low, high, hit.span()))
        taken.append(hit.span())
    last: Span | None = None
    for hit in _LENGTH.finditer(text):
        if any(start <= hit.start() < end for start, end in taken):
            continue
        hours = _number(hit["n"]) * _unit_of(hit, "u")
        here = Span(hours, hours, hours, hit.span())
        between = text[last.place[1] : hit.start()] if last else ""
        if last and re.fullmatch(r"\s*(?:and|&|,)?\s*", between) and hours < last.hours:
            whole = last.hours + hours  # "1 day 6 hrs"
            found[-1] = last = Span(whole, whole, whole, (last.place[0], hit.end()))
            continue
        found.append(here)
        last = here
    return sorted(found, key=lambda span: span.place)


def _unit_of(hit: re.Match[str], letter: str) -> float:
    return next(
        (size for at, size in enumerate(_UNITS.values()) if hit.groupdict().get(f"{letter}{at}")),
        0.0,
    )


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def ago(text: str, now: datetime) -> ToldSpan:
    """How long ago, told as a length or by the clock.

    text : small letters, numbers in figures, tidied
    """
    if BELOW_ZERO.search(text):
        return ToldSpan(None, "That lies below zero. How long was it?")
    if "tomorrow" in text and "ago tomorrow" not in text:
        return ToldSpan(None, "That lies ahead. How long ago was it?")
    at = by_clock(text, now)
    if at is not None:
        hours = (now - at).total_seconds() / 3600
        if hours < 0:
            return ToldSpan(None, "That lies ahead. How long ago was it?")
        return exactly(hours)
    found = lengths(text)
    if found:
        first = found[0]
        if "ago tomorrow" in text:
            return exactly(first.hours - 24)
        bound = re.search(
            r"\b(more|longer|over|less|under) than?\b|\bover\b", text[: first.place[0]]
        )
        if bound and not re.search(r"\bjust (over|under)\b", text):
            return ToldSpan(None, "About how long, in hours?")
        return ToldSpan(first)
    if _NOW.search(text) and not re.search(r"\bnot\b|\d", text):
        return exactly(0.0)
    if _VAGUE.search(text):
        return ToldSpan(None, "How long ago was that, in hours or by the clock?")
    return ToldSpan(None)


def by_clock(text: str, now: datetime) -> datetime | None:
    """The last moment before ``now`` that a date, a day or a time of day names."""
    on_dates = dates(text)
    if on_dates:
        return on_dates[0]
    time = _time_of_day(text)
    if time is None:
        return None
    day = re.search(rf"\b{_DAY}\b", text)
    at = now.replace(hour=time[0], minute=time[1], second=0, microsecond=0)
    if "day before yesterday" in text:
        return at - timedelta(days=2)
    if re.search(r"\byesterday|\blast night|\bgestern|\bayer\b|\bhier\b|\bday before\b", text):
        return at - timedelta(days=1)
    if day:
        back = (now.weekday() - _WEEKDAYS.index(day["wd"][:3])) % 7
        at -= timedelta(days=back)
        return at if at <= now else at - timedelta(days=7)
    return at if at <= now else at - timedelta(days=1)


def dates(text: str) -> list[datetime]:
    """Every date written as ISO 8601, "2026-11-24" or "2026-11-24 15:00", that there is."""
    found = []
    for hit in _DATE.finditer(text):
        with suppress(ValueError):
            year, month, day, hour, minute = (int(part or 0) for part in hit.groups())
            found.append(datetime(year, month, day, hour, minute))
    return found


def _time_of_day(text: str) -> tuple[int, int] | None:
    for hit in _CLOCK.finditer(text):
        hour = hit["h"] or hit["h2"] or hit["h3"] or hit["h4"]
        minute = int(hit["m"] or hit["m3"] or 0)
        half = (hit["ap1"] or hit["ap2"] or "")[:1]
        if hit["h4"] and not re.search(r"\b(yesterday|night|next day|at)\b", text):
            continue  # "3h" is a length
        plain_figure = hit["h"] and ":" not in hit[0] and not half
        if plain_figure and "h" not in hit[0]:
            continue  # "2.30" may be a length
        number = int(hour)
        if number > 23 or minute > 59:
            continue
        afternoon = half == "p" or re.search(
            r"\b(afternoon|evening|tonight|last night|night|abends)\b", text
        )
        if afternoon and number < 12 and half != "a":
            number += 12
        if half == "a" and number == 12:
            number = 0
        return number, minute
    return None


NEXT_DAY = re.compile(r"\b(?:(?:the )?(?:next|following) (?:day|morning|evening|afternoon))\b")


def between(text: str) -> float | None:
    """Hours from one told time to another: "packed 5pm got them 9am", "22h to 14h next day"."""
    times = []
    for hit in _CLOCK.finditer(text):
        told = _time_of_day(hit[0].replace("h", ":00") if hit["h4"] else hit[0])
        if told is None:
            continue
        day = re.search(rf"\b{_DAY}\b", text[max(0, hit.start() - 12) : hit.start()])
        times.append((told, _WEEKDAYS.index(day["wd"][:3]) if day else None))
    if len(times) != 2:
        return None
    (first, one), (second, other) = times
    hours = (second[0] - first[0]) + (second[1] - first[1]) / 60
    if one is not None and other is not None:
        return hours + 24 * ((other - one) % 7)
    if hours <= 0:
        return hours + 24
    return hours + 24 if NEXT_DAY.search(text) else hours
