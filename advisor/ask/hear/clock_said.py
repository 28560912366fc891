"""Points of the clock in a line, with their day, and what happened then: packed, opened, now."""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

_WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_DAY = (
    r"(?:day before yesterday|yesterday|last night|yesterday night|tonight|today|this (?:morning|afternoon|evening)|next (?:day|morning)|the (?:next|following) (?:day|morning)"
    r"|gestern|heute|ayer|hoy|hier|(?:last |on )?(?:mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?s?(?: (?:night|morning|evening|afternoon))?|night before)"
)
_PART = r"(?:in the |at |this |that )?(?:morning|afternoon|evening|night|noon|midday|lunch(?:time)?|midnight|abends|morgens|früh|tea ?time|tea|dinner ?time|supper ?time|breakfast(?: time)?)"
_TIME = (
    r"(?:(?P<h>\d{1,2})(?!\.\d\d\s*(?:h\b|hrs?\b|hours?\b|days?\b))[:.h](?P<m>[0-5]\d)(?![\d.])\s*(?P<ap>am|pm|a\.m\.?|p\.m\.?)?"
    r"|(?P<h2>\d{1,2})\s*(?P<ap2>am|pm|a\.m\.?|p\.m\.?|oclock|o clock|uhr)"
    r"|(?P<h3>[01]\d|2[0-3])(?P<m3>[0-5]\d)(?:\s*(?:h|hrs|local))?(?!\d)"
    r"|(?P<half>half|quarter) (?P<past>past |to |gone )?(?P<h5>\d{1,2})(?!\s*(?:h\b|hours?|days?))"
    r"|(?P<word>noon|midday|midnight)"
    r"|(?P<h4>1[0-2]|\d)(?!\s*(?:h\b|hrs?|hours?|min|days?|d\b|weeks?|%|bags?|box|fish|[.,:/-]?\d|x\b|l\b|c\b|f\b|cm|kg|g\b|of\b|st\b|nd\b|rd\b|th\b|or\b|to \d|plus|and \d)))"
)
_POINT = re.compile(
    rf"(?P<d1>{_DAY})?[\s,]*(?P<p1>{_PART})?[\s,]*(?:at |about |around |ca |roughly |by |say |like |so |@ |~)*(?<![\w.,:/-]){_TIME}\s*(?P<p2>{_PART})?(?:\s*(?:on )?(?P<d2>{_DAY})(?![\s,]*(?:at )?\d))?"
)
_START = r"pack\w*|bag(?:ged|ging)|tied|sealed|closed|shut|sent|shipped|left|departed|collected|picked(?: up)?|from|bought|since|took off|dispatched|caught"
_END = r"open\w*|cut|out|unpack\w*|unbagged|undone|untied|to|til|until|till|let|released|netted|tipped|in the (?:tank|pond)"
_BETWEEN = r"landed|arrived|here|home|got|received|delivered|cleared|came|door|back|collect"


#: A day that is told from the moment before it.
_NEXT = re.compile("next|following")


@dataclass(frozen=True)
class Moment:
    """A moment told. ``what``: start, end, between, now or nothing; ``sure`` when day and half
    of the day were said or follow from the 24-hour clock."""

    at: datetime
    what: str
    sure: bool
    place: tuple[int, int]


def points(text: str, now: datetime) -> list[Moment]:
    """The moments of a line in its order. text: small letters, numbers in figures, tidied."""
    text = re.sub(r"\b(5|10|20|25) (past|to) (1[0-2]|\d)\b(?!\s*(?:h|min|day))", _spoken_time, text)
    found: list[Moment] = []
    dated = False
    last_end = 0
    for hit in _POINT.finditer(text):
        bare = hit["h4"] is not None
        lead = text[last_end : hit.start()] + (hit["d1"] or "")
        what = _what(text[last_end : hit.end()])
        day = hit["d1"] or hit["d2"]
        part = " ".join(filter(None, (hit["p1"], hit["p2"], day)))
        if bare and not (day or hit["p1"] or hit["p2"] or _event_right_before(lead, what)):
            continue
        told = _of_day(hit, part, what, found[-1].at if found else None, now, day)
        if told is None and found and not dated and (day is None or _NEXT.search(day)):
            # "packed noon, opened 8 pm", told at 3 pm: both were yesterday
            found = [replace(each, at=each.at - timedelta(days=1)) for each in found]
            told = _of_day(hit, part, what, found[-1].at, now, day)
        if told is None:
            continue
        dated = dated or (day is not None and not _NEXT.search(day))
        found.append(Moment(told, what, not bare or bool(day), hit.span()))
        last_end = hit.end()
    return found


def _spoken_time(hit: re.Match[str]) -> str:
    """ "20 to 3" is 2.40."""
    minutes, hour = int(hit[1]), int(hit[3])
    return f"{hour}.{minutes:02}" if hit[2] == "past" else f"{(hour - 2) % 12 + 1}.{60 - minutes}"


def _what(lead: str) -> str:
    best = ("", -1)
    for name, form in (("start", _START), ("end", _END), ("between", _BETWEEN), ("now", r"now|its|it is")):  # fmt: skip
        for hit in re.finditer(rf"\b(?:{form})\b", lead):
            if hit.start() > best[1]:
                best = (name, hit.start())
    return best[0]


def _event_right_before(lead: str, what: str) -> bool:
    return bool(what) and bool(
        re.search(
            rf"\b(?:{_START}|{_END}|{_BETWEEN}|now)\b(?: (?:them|it|the bags?|bags?|up|at|about|around|the|in|was|got|home|here))*\s*$",
            lead,
        )
    )


def _of_day(
    hit: re.Match[str],
    part: str,
    what: str,
    before: datetime | None,
    now: datetime,
    day: str | None,
) -> datetime | None:
    """The moment: by its day if one was said, after the moment before, else the last one."""
    if hit["word"]:
        hour, minute, half = (0 if hit["word"] == "midnight" else 12), 0, "x"
    else:
        hour = int(hit["h"] or hit["h2"] or hit["h3"] or hit["h5"] or hit["h4"])
        minute = int(hit["m"] or hit["m3"] or 0)
        half = (hit["ap"] or hit["ap2"] or "")[:1]
        half = "" if half in ("o", "u") else half
    if hit["half"]:
        minute = 30 if hit["half"] == "half" else 15
        if hit["past"] == "to ":
            hour, minute = (hour - 1) % 24 or 12, 60 - minute
    if hour > 23:
        return None
    known = bool(half) or hour > 12 or bool(hit["h3"])
    if half == "p" and hour < 12:
        hour += 12
    elif half == "a" and hour == 12:
        hour = 0
    elif not known and re.search(r"afternoon|evening|night|abends|tea|dinner|supper|noon", part):
        if hour == 12:
            hour = 0 if "night" in part else 12
        elif hour > 0 and not ("night" in part and hour < 5):
            hour += 12
        known = True
    elif not known and re.search(r"morning|morgens|früh|breakfast", part):
        hour, known = hour % 12, True
    hours = [hour] if known or hour == 0 or ":" in hit[0] else [hour % 12, hour % 12 + 12]
    options = [_dated(h, minute, part, day, before, now) for h in hours]
    after = [o for o in options if before is None or o > before]
    past = [o for o in (after or options) if o <= now]
    if not past:
        return None
    return min(past) if before is not None and what != "end" else max(past)


def _dated(
    hour: int, minute: int, part: str, day: str | None, before: datetime | None, now: datetime
) -> datetime:
    at = now.replace(hour=hour, minute=minute, second=0, microsecond=0)
    if day is None:
        if before is not None:
            at = before.replace(hour=hour, minute=minute)
            return at if at > before else at + timedelta(days=1)
        return at if at <= now else at - timedelta(days=1)
    if "before yesterday" in day:
        return at - timedelta(days=2)
    if re.search(r"yesterday|last night|night before|gestern|ayer|hier", day):
        return at - timedelta(days=0 if hour < 5 and "night" in day else 1)
    if _NEXT.search(day):
        start = (before or now - timedelta(days=1)).replace(hour=hour, minute=minute)
        return start + timedelta(days=1)
    name = re.search("|".join(_WEEKDAYS), day)
    if name:
        at -= timedelta(days=(now.weekday() - _WEEKDAYS.index(name[0])) % 7)
        return at if at <= now else at - timedelta(days=7)
    return at
