"""How long the bags were shut, and since when the fish are out, from lengths and moments told.

Every length and moment of the line has to have its part in the answer; what has none is asked.
"""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from datetime import datetime

from advisor.ask.hear.clock_said import Moment, points
from advisor.ask.hear.spans import (
    NEXT_DAY,
    Span,
    ToldSpan,
    ago,
    between,
    by_clock,
    dates,
    exactly,
    lengths,
)
from advisor.ask.hear.word_sets import word_set

_BARE = re.compile(
    r"\s*(?:about |ca |roughly |approx |~|around |maybe |just |only |it was |was |its |say )*(\d+(?:[.,]\d+)?)(?:\s*(?:-|to|or)\s*(\d+(?:[.,]\d+)?))?\s*(?:total|in all|door to door|bag to bag|all in|sealed|shut|max|tops|i think|i reckon|they said|ish)?\s*[.!]?\s*"
)
#: A length that speaks of something else than the bags.
_NOT_BEFORE = re.compile(
    r"\b(?:opened|fasted|fast|out|unpacked|starved|open|purged|unfed|released|acclimat\w+|dripp\w+|float\w+)\b[\w ]*$"
)
_NOT_AFTER = re.compile(
    r"^\s*(?:before\b|fast\w*\b(?! *\d)|without food|no food|unfed|starv\w*|old|out\b|drip\w*|float\w*)"
)
_SUM = re.compile(
    r"\bflight|\btransit|\bplus\b|\+|\bthen\b|\banother\b|\bcustoms|\bwaiting|\bdrive"
)
_NO_ZONE = word_set("no_zone")
_WHOLE = re.compile(
    r"\b(?:total|in all|altogether|all in|door to door|bag to bag|all told|overall|makes|whole)\b"
)


def sealed(text: str, now: datetime) -> ToldSpan:
    """Hours the bags were shut. text: small letters, numbers in figures, tidied."""
    bare = _BARE.fullmatch(text)
    if bare:
        return _bare(bare)
    added = re.fullmatch(r"\s*(\d+)\s*(?:h|hrs?|hours?)?\s*(?:\+|plus)\s*(\d+)\s*", text)
    if added and int(added[1]) > 5:
        return exactly(float(added[1]) + float(added[2]))
    if re.fullmatch(
        r"\D*(?:[<>]|(?<!just )over|more than|at least|up to|less than|(?<!just )under)\s*\d+\D*",
        text,
    ):
        return ToldSpan(None, "About how many hours is that?")
    if re.search(r"\bfrom \d+h (?:to|till|until) \d+h\b", text):
        hours = between(text)
        return ToldSpan(None) if hours is None else exactly(hours)
    if re.search(
        r"\d ?(?:-| )?days? (?:shipping|delivery|service|post|mail|courier|air)|\d[^,;]*\?\s*(?:maybe|or|perhaps)",
        text,
    ):
        return ToldSpan(None, "How many hours is that, from tying to opening?")
    text, apart = _zones(text)
    dated = _by_dates(text, now)
    if dated is not None:
        return dated
    if NEXT_DAY.search(text) and (hours := between(text)) is not None:
        return exactly(hours)
    figures = re.findall(r"\d+(?:[:.]\d\d)?", text)
    sure = re.search(r"\d[:.h]\d\d|\d ?[ap]\.?m|\b\d{4}\b", text) or lengths(text)
    if NEXT_DAY.search(text) and len(figures) == 2 and not sure:
        return ToldSpan(None, "From when to when were the bags shut, with am or pm?")
    if re.search(r"\bpacked (?:some ?(?:time|where) )?(?:before|earlier)\b", text):
        return ToldSpan(None, "From when to when were the bags shut?")
    told = points(text, now)
    if "?" in text and told and len(re.findall(r"\d+|noon|midnight|yesterday|today", text)) > 1:
        return ToldSpan(None, "From when to when were the bags shut?")
    spans = [s for s in lengths(text) if not _elsewhere(text, s)]
    spans = [s for s in spans if not any(_inside(s, p) for p in told)]
    if apart and len(re.findall(r"\d", text)) > 1 and not spans:
        return ToldSpan(None, "Counted across time zones: how many hours is that?")
    if len(told) >= 2 and (not spans or told[0].what == "start"):
        return _by_points(told, now)
    if not spans:
        old = between(text)
        if old is not None and len(told) < 2:
            return exactly(old)
        starts = re.search(
            r"\b(?:pack|tied|bagged|sealed|closed|since|sent|shipped|left|collected|from)\w*", text
        ) or (len(told) == 1 and told[0].sure and told[0].what == "")
        at = by_clock(text, now) if starts else None
        if at is None and len(told) == 1 and starts:
            at = told[0].at
        if at is not None:
            hours = (now - at).total_seconds() / 3600
            return exactly(hours)
        alone = re.findall(
            r"(?<![\w.,:])\d+(?:[.,]\d+)?(?=\s*(?:$|[.;,](?!\d)|bag to|door to|total|in all|or so|tops|max))",
            text,
        )
        alone = alone if len(re.findall(r"\d+(?:[.,]\d+)?", text)) == 1 else []
        if len(alone) == 1 and 5 < float(alone[0].replace(",", ".")) <= 120 and not told:
            return exactly(float(alone[0].replace(",", ".")))
        return ToldSpan(None, ago(text, now).ask)
    if len(spans) == 1:
        return ToldSpan(_with_rest(text, spans[0]))
    whole = [s for s in spans if _WHOLE.search(_up_to_digit(text[s.place[1] :])[:24]) or _WHOLE.search(text[max(0, s.place[0] - 14) : s.place[0]])]  # fmt: skip
    if len(whole) == 1:
        return ToldSpan(whole[0])
    if _SUM.search(text):
        each = re.search(r"\beach (?:side|end|way)\b", text)
        twice = [s for s in spans if each and s.place[0] < each.start()][-1:]
        parts = [*spans, *twice]
        return ToldSpan(Span(sum(s.hours for s in parts), sum(s.low for s in parts), sum(s.high for s in parts)))  # fmt: skip
    if len({round(s.hours, 2) for s in spans}) == 1:
        return ToldSpan(spans[0])
    return ToldSpan(None, "Which of these is the time from tying to opening, in hours?")


def _up_to_digit(text: str) -> str:
    return re.split(r"\d", text, maxsplit=1)[0]


_ZONE = re.compile(r"(?<![a-z])(?:gmt|utc|[ecmp][sd]t|cet|bst)\b")


def _zones(text: str) -> tuple[str, bool]:
    """The line without the one zone that all its times are told in; whether zones differ."""
    named = _ZONE.findall(text)
    if len(named) > 1 and len(set(named)) == 1:
        return _ZONE.sub(" ", text), False
    place = re.search(r"\b([a-z]{4,}) time\b", text)
    elsewhere = place is not None and place[1] not in _NO_ZONE
    return text, bool(named or elsewhere or re.search(r"\blocal\b|\btime ?zones?\b", text))


_DATED = re.compile(
    r"(?<![\d/.])(\d{1,2})[/.](\d{1,2})(?:[/.]\d{2,4})?,? (?:at |@ )?([01]?\d|2[0-3])[:.]?([0-5]\d)\b"
)


def _by_dates(text: str, now: datetime) -> ToldSpan | None:
    """ "packed 02/06 16:00, opened 03/06 1700": day or month first, whichever makes few days."""
    iso = dates(text)
    if iso:
        hours = ((iso[1] if len(iso) > 1 else now) - iso[0]).total_seconds() / 3600
        asked = ToldSpan(None, "From when to when were the bags shut?")
        return exactly(hours) if hours > 0 else asked
    found = _DATED.findall(text)
    if len(found) != 2:
        return None
    fits = set()
    for day, month in ((0, 1), (1, 0)):
        try:
            end = _last_before(now, *(int(found[1][part]) for part in (month, day, 2, 3)))
            start = _last_before(end, *(int(found[0][part]) for part in (month, day, 2, 3)))
        except ValueError:
            continue
        hours = (end - start).total_seconds() / 3600
        if 0 < hours <= 240:
            fits.add(hours)
    return exactly(fits.pop()) if len(fits) == 1 else None


def _last_before(now: datetime, month: int, day: int, hour: int, minute: int) -> datetime:
    at = datetime(now.year, month, day, hour, minute)
    return at if at <= now else at.replace(year=now.year - 1)


def _bare(hit: re.Match[str]) -> ToldSpan:
    low = float(hit[1].replace(",", "."))
    high = float(hit[2].replace(",", ".")) if hit[2] else low
    if low <= 5:
        return ToldSpan(None, "Hours or days?")
    return ToldSpan(Span((low + high) / 2, min(low, high), max(low, high)))


def _with_rest(text: str, span: Span) -> Span:
    """ "36h plus 3 in customs": a number joined to a length has its unit."""
    hit = re.match(
        r"[\w ,]{0,26}(?:\bplus\b|\+|\band another\b)\s*(?:about |another |ca |roughly )?(\d+(?:[.,]\d+)?)(?!\s*(?:bags?|fish|min|[.:]?\d))( each| either)?",
        text[span.place[1] :],
    )
    if not hit:
        return span
    more = float(hit[1].replace(",", ".")) * (2 if hit[2] else 1)
    return Span(span.hours + more, span.low + more, span.high + more)


def _elsewhere(text: str, span: Span) -> bool:
    before, after = text[max(0, span.place[0] - 18) : span.place[0]], text[span.place[1] :][:18]
    return bool(_NOT_BEFORE.search(before) or _NOT_AFTER.search(after))


def _inside(span: Span, point: Moment) -> bool:
    return point.place[0] < span.place[1] and span.place[0] < point.place[1]


def _by_points(told: list[Moment], now: datetime) -> ToldSpan:
    first = next((p for p in told if p.what == "start"), told[0])
    ends = [p for p in told if p.what in ("end", "now") and p.at > first.at]
    last = ends[-1] if ends else told[-1]
    if last.at <= first.at:
        return ToldSpan(None, "From when to when were the bags shut?")
    hours = (last.at - first.at).total_seconds() / 3600
    return exactly(hours)


def opened(text: str, now: datetime) -> ToldSpan:
    """Hours since the fish are out of the bag."""
    if dates(text):
        return ago(text, now)
    told = points(text, now)
    spans = [s for s in lengths(text) if not any(_inside(s, p) for p in told)]
    many = len({round(s.hours, 3) for s in spans}) > 1
    if many and (
        len(re.findall(r"\bago\b", text)) > 1 or spans[0].hours < max(s.hours for s in spans)
    ):
        return ToldSpan(None, "Which of these is it: how long ago did the first ones come out?")
    if not spans and len(told) == 2 and any(p.what == "now" for p in told):
        hours = abs((told[1].at - told[0].at).total_seconds()) / 3600
        return exactly(hours)
    if not spans and len(told) > 1:
        outs = [p for p in told if p.what == "end"]
        if len(outs) != 1:
            return ToldSpan(None, "Which of these is when they came out of the bag?")
        return exactly((now - outs[0].at).total_seconds() / 3600)
    if re.search(r"\bday \d", text) and not spans and not told:
        return ToldSpan(None, "How many hours or days ago did they come out of the bag?")
    found = ago(text, now)
    if found.span is None and not spans and len(told) == 1:
        hours = (now - told[0].at).total_seconds() / 3600
        return exactly(hours)
    return found
