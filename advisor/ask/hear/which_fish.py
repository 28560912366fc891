"""Which fish, and how many: lots in a line, with bags, sizes and what cannot be told apart.

Names are those of rules/species, found as whole words of the line, longest first; a slip of
the keys is forgiven where one name alone is near. A name of several kinds is asked back.
"""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache

from advisor.ask.hear.line import with_numbers
from advisor.rulebase import RuleBase
from advisor.rulebase.species import could_be, kin_group, plain_name

_LENGTH = re.compile(
    r"(?<![\w.])(\d+(?:[.,]\d+)?)(?:\s*(?:-|to|/)\s*(\d+(?:[.,]\d+)?))?\s*"
    r"(cm|mm|inch(?:es)?|in\b(?!\s+[a-z1])|ins\b|\"|''|zoll)(?:\s*(?:long|each|size|sl|tl))?(?=\W|$)"
)
_BAGS_OF = re.compile(
    r"\b(\d+)\s*(bags?|bgs|packets?|polybags?|cups?|boxes|box)\s*(?:of|a|à|@|with|x|each)\s*(\d+)\b"
)
_BAGS = re.compile(
    r"\b(?:in\s+|total\s+)?(\d+)\s*(?:polybags?|bags?|bgs|packets?|beutel\w*|bolsas?)\b(?!\s*(?:of|a)\s*\d)"
)
_SINGLY = re.compile(
    r"\b(?:individually|singly|single|each in own|one per|1 per)\s*(?:bagged|cups?|bags?|bag)\b"
)
_PAIRS = re.compile(r"\b(\d+)\s*(?:pairs?|prs?)\b")
_PAIR = re.compile(r"\b(?:a\s+)?(?:pair|pr)\b")
_TRIOS = re.compile(r"\b(\d+)\s*trios?\b")
_GOT = re.compile(r"\bordered\s+(\d+)\b(.*?)\b(?:got|received|came|counted|only)\s+(\d+)\b")
_WATER = re.compile(
    r"\b(\d+(?:[.,]\d+)?)\s*(?:l|liters?|litres?|litros?)\b(?:\s*(?:each|a bag|per bag|in each))?"
)
_PIECES = re.compile(
    r"\b(?:pcs?|pieces?|pce|nos?|units?|heads?|st|stk|stück|stueck|ea|each|fish(?:es)?|count|qty|of (?:em|them)|approx"
    r"|about|around|roughly|ca|circa|nearly|some|x|of|the|we|have|got|total|assorted|asst|mixed|mix|male|males|female"
    r"|females|large|small|medium|med|sm|lg|xl|xxl|jumbo|adult|adults|juvenile|juveniles|juv|young|size[ds]?|very|tiny|big|nice|wild|wc"
    r"|box|boxes|hab|i|these|are|and|in|single|show|quality|grade|unsexed|sexed|only|also|plus|there|is|it|little"
    r"|thats|them|individually|bagged|cups|cup|dollar|feeder|feeders|pairs?|prs?|trios?|long|to|for|with|new|from|my|our|fresh|lot|lots)\b\.?"
)
_VAGUE = re.compile(
    r"\b(?:a few|few|some|several|many|lots of|loads of|a load of|a bunch of|handful of|plenty of)\b"
)
#: More fish than this are in no lot.
MOST_FISH = 1_000_000
_SEGMENTS = re.compile(
    r"\s*(?:[,;&\n]|\s\+\s|\+(?=\s*\d)|\band\b|\bplus\b|\bund\b|\by\b|\bet\b|(?<=\d)\s*/\s*(?=[a-z])|(?<!\w)-(?!\w))\s*"
)
_WORD = re.compile(r"\d+(?:\.\d+)?|[^\W\d_][^\W_]*(?:[.'-][^\W_]+)*\.?")


@dataclass(frozen=True)
class NamedLot:
    """One lot as it was named. ``said``: its words; species and group as the table has them."""

    said: str = ""
    species: str | None = None
    group: str | None = None
    count: int | None = None
    bags: int | None = None
    bag_water_l: float | None = None
    length_cm: float | None = None


@dataclass
class NamedLots:
    """Lots found; ``ask`` what has to be asked back; ``rest`` words that name no kind."""

    lots: list[NamedLot] = field(default_factory=list)
    ask: list[str] = field(default_factory=list)
    rest: list[str] = field(default_factory=list)


def lots(text: str, base: RuleBase, *, bare: bool) -> NamedLots:
    """The lots of a line.

    bare : a number by itself is a lot of an unnamed kind (where the fish were asked for)
    """
    found = NamedLots()
    text = with_numbers(re.sub(r"\b([lL])\s?[-]?(\d{1,3}[a-z]?)\b", r"\1\2", text))
    text = re.sub(r"\bx\s*(?=\d)|(?<=\d)\s*x\b|\bof (?:em|them|those|these)\b", " ", text)
    text = re.sub(
        r"\b(\d+)\s*(?:m|males?)\b[ ,/&+]*(\d+)\s*(?:f|females?)\b",
        lambda hit: str(int(hit[1]) + int(hit[2])),
        text,
    )
    if re.search(r"\bminus\b|(?<!\w)-\d", text):
        found.ask.append("How many are there of each?")
        text = re.sub(r"\bminus\s+\d+|(?<!\w)-\d+", "", text)
    ordered = _GOT.search(text)
    if ordered:
        text = text[: ordered.start()] + f"{ordered[3]} {ordered[2]}" + text[ordered.end() :]
    whole = _Whole.of(text)
    segments = [part for part in _SEGMENTS.split(whole.text) if part and part.strip()]
    for part in segments:
        _segment(part, base, found, bare=bare)
    if (len(found.lots) == 1 and found.lots[0].count is not None) or whole.bags_total:
        found.lots = [whole.dressed(lot, alone=len(found.lots) == 1) for lot in found.lots]
    return found


@dataclass(frozen=True)
class _Whole:
    """What holds for the one lot of a line: bags, water."""

    text: str
    bags: int | None
    bags_total: bool
    water_l: float | None
    singly: bool

    @classmethod
    def of(cls, text: str) -> _Whole:
        bags: int | None = None
        water = _WATER.search(text)
        text = _WATER.sub(" ", text)

        def times(hit: re.Match[str]) -> str:
            nonlocal bags
            bags = bags if hit[2].startswith("box") else int(hit[1])
            return f" {int(hit[1]) * int(hit[3])} "

        text = _BAGS_OF.sub(times, text)
        hits = list(_BAGS.finditer(text))
        if bags is None and len(hits) == 1:
            bags = int(hits[0][1])
        text = _BAGS.sub(" , ", text)
        each = re.search(r"\b(\d+)\s+(?:in\s+)?each\b", text)
        if each and bags is not None and not water:
            text = text.replace(each[0], str(int(each[1]) * bags))
        singly = bool(_SINGLY.search(text))
        litres = float(water[1].replace(",", ".")) if water else None
        return cls(text, bags, False, litres, singly)

    def dressed(self, lot: NamedLot, *, alone: bool) -> NamedLot:
        if not alone:
            return lot
        bags = lot.count if self.singly and self.bags is None else self.bags
        return replace(lot, bags=bags, bag_water_l=self.water_l)


def _segment(part: str, base: RuleBase, found: NamedLots, *, bare: bool) -> None:
    length = _LENGTH.search(part)
    part = _LENGTH.sub(" ", part)
    cm = None if length is None else _cm(length)
    if re.search(r"(?<![\w.])\d+[.,]\d+\b", part):
        found.ask.append("Fish are counted whole: how many are there?")
        part = re.sub(r"(?<![\w.])\d+[.,]\d+\b", " ", part)
    ranged = re.search(r"(?<![\w.])(\d+)\s*(?:-|to)\s*(\d+)\b", part)
    if ranged:
        found.ask.append(f"How many of them: {ranged[1]} or {ranged[2]}?")
        part = part.replace(ranged[0], " ")
    vague = bool(_VAGUE.search(part))
    part = _VAGUE.sub(" ", part)
    part = _PAIRS.sub(lambda hit: f" {int(hit[1]) * 2} ", part)
    part = _TRIOS.sub(lambda hit: f" {int(hit[1]) * 3} ", part)
    if not re.search(r"(?<![\w.])\d", part):
        part = _PAIR.sub(" 2 ", part)
    items = list(_items(part, base))
    kinds = [item for item in items if isinstance(item, _Named)]
    numbers = [item for item in items if isinstance(item, int)]
    if not kinds:
        _no_kind(numbers, items, cm, found, bare=bare)
        return
    for named, count in _paired(items, len(numbers)):
        found.lots.append(_lot(named, count, cm, found))
        if count is None and vague:
            found.ask.append(f"How many {named.said}?")


@dataclass(frozen=True)
class _Named:
    """A name found: a species, a group of kin, or several kinds it may be."""

    said: str
    species: str | None = None
    group: str | None = None
    may_be: tuple[str, ...] = ()
    loose: bool = False


def _lot(named: _Named, count: int | None, cm: float | None, found: NamedLots) -> NamedLot:
    if named.may_be and named.group is None:
        names = (
            ", ".join(named.may_be[:-1]) + f" or {named.may_be[-1]}"
            if len(named.may_be) > 1
            else named.may_be[0]
        )
        found.ask.append(f'Which are "{named.said}": {names}?')
        return NamedLot(said="", count=None)
    if count is not None and not 0 < count <= MOST_FISH:
        found.ask.append(f"How many {named.said}?")
        count = None
    return NamedLot(named.said, named.species, named.group, count, length_cm=cm)


def _no_kind(
    numbers: list[int], items: list[object], cm: float | None, found: NamedLots, *, bare: bool
) -> None:
    """A segment without a kind: a size or number for the lot before, or an unnamed lot."""
    words = [item for item in items if isinstance(item, str)]
    last = found.lots[-1] if found.lots else None
    if cm is not None and last is not None and last.length_cm is None and not words:
        found.lots[-1] = replace(last, length_cm=cm)
    if len(numbers) == 1 and not words and last is not None and last.count is None and last.said:
        found.lots[-1] = replace(found.lots[-1], count=numbers[0])
        return
    if words and numbers and bare:
        found.ask.append(f'"{" ".join(words)}" is in no list of kinds. Which fish are they?')
    elif len(numbers) == 1 and not words and bare and last is None and numbers[0] <= MOST_FISH:
        found.lots.append(NamedLot(count=numbers[0]))
    found.rest += words


def _paired(items: list[object], many: int) -> Iterator[tuple[_Named, int | None]]:
    """Each name with its number: before it where the segment begins with one, else after it."""
    kinds = [item for item in items if isinstance(item, _Named)]
    if many <= 1:
        yield _best(kinds), next((item for item in items if isinstance(item, int)), None)
        return
    first = next(item for item in items if not isinstance(item, str))
    numbers_first = isinstance(first, int)
    waiting: list[_Named] = []
    number: int | None = None
    for item in items:
        if isinstance(item, str):
            continue
        if numbers_first:
            if isinstance(item, int):
                if waiting:
                    yield _best(waiting), number
                waiting, number = [], item
            elif isinstance(item, _Named):
                waiting.append(item)
        elif isinstance(item, int):
            if waiting:
                yield _best(waiting), item
            waiting = []
        elif isinstance(item, _Named):
            waiting.append(item)
    if waiting:
        yield _best(waiting), number if numbers_first else None


def _best(kinds: list[_Named]) -> _Named:
    """Of names beside each other ("goldfish oranda", "tetra neon") the one that says most."""
    sure = [k for k in kinds if not k.may_be and not k.loose] or [k for k in kinds if not k.may_be]
    return (sure or kinds)[-1]


def _items(part: str, base: RuleBase) -> Iterator[object]:
    """Numbers, names and other words of a segment, in order."""
    words = [word.rstrip(".") if len(word) > 2 else word for word in _WORD.findall(part)]
    joined = [w for w in words if not w.isdecimal() and not _PIECES.fullmatch(w)]
    numbers = [w for w in words if w.isdecimal()]
    if len(numbers) == 1 and len(joined) > 1:
        whole = _name(" ".join(joined), base, near=False)
        if whole is not None and not whole.loose:
            place = words.index(numbers[0])
            pair = (int(numbers[0]), whole) if place == 0 else (whole, int(numbers[0]))
            yield from pair
            return
    at = 0
    while at < len(words):
        if words[at].isdecimal() and not _with_figure(words, at, base):
            yield int(words[at])
            at += 1
            continue
        for size in range(min(5, len(words) - at), 0, -1):
            run = words[at : at + size]
            if any(w.isdecimal() for w in run[1:]):
                continue
            near = size <= 3 and not any(_PIECES.fullmatch(word) for word in run)
            named = (
                None
                if size == 1 and _PIECES.fullmatch(run[0])
                else _name(" ".join(run), base, near=near)
            )
            if named is not None:
                yield named
                at += size
                break
        else:
            if not _PIECES.fullmatch(words[at]):
                yield words[at]
            at += 1


def _with_figure(words: list[str], at: int, base: RuleBase) -> bool:
    """Whether a figure is part of a name: "6 line wrasse"."""
    runs = (" ".join(words[at : at + size]) for size in (4, 3, 2))
    return any(plain_name(run) in base.species_index for run in runs)


def _name(text: str, base: RuleBase, *, near: bool) -> _Named | None:
    """The kind of that very name; with ``near`` of one a slip away."""
    for form in _forms(text):
        key = plain_name(form)
        if key in base.species_index:
            species = base.species_index[key]
            return _Named(text, species.name, loose="kind not given" in (species.note or ""))
        if key in base.shared_index:
            group = kin_group(form, base)
            names = tuple(each.name for each in could_be(form, base))
            return _Named(text, None, group.id if group else None, names)
        if key in base.kin_index:
            return _Named(text, None, base.kin_index[key])
    if not near or len(text) < 5:
        return None
    best = _near(plain_name(text), _names_of(base))
    return (
        None if best is None else replace(_name(best, base, near=False) or _Named(text), said=text)
    )


def _forms(text: str) -> Iterator[str]:
    """The name as written, and its singular forms."""
    yield text
    if text.endswith("ies"):
        yield f"{text[:-3]}y"
    if text.endswith("es"):
        yield text[:-2]
    if text.endswith("s"):
        yield text[:-1]
    yield f"{text}s"


@lru_cache(maxsize=4)
def _all_names(fingerprint: str, names: tuple[str, ...]) -> tuple[str, ...]:
    return names


def _names_of(base: RuleBase) -> tuple[str, ...]:
    return _all_names(base.fingerprint, (*base.species_index, *base.shared_index, *base.kin_index))


@lru_cache(maxsize=512)
def _near(text: str, names: tuple[str, ...]) -> str | None:
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    most = 2 if len(text) >= 8 else 1
    hits = process.extract(text, names, scorer=OSA.distance, score_cutoff=most, limit=4)
    hits = [hit for hit in hits if hit[0][0] == text[0]]
    if not hits:
        return None
    return str(hits[0][0])


def _cm(hit: re.Match[str]) -> float:
    scale = {"cm": 1.0, "mm": 0.1}.get(hit[3], 2.54)
    values = [float(hit[n].replace(",", ".")) for n in (1, 2) if hit[n]]
    return round(scale * sum(values) / len(values), 2)


@lru_cache(maxsize=4)
def _words_of(names: tuple[str, ...]) -> frozenset[str]:
    words = {word for name in names for word in name.split() if len(word) > 3}
    return frozenset(words | {f"{word}s" for word in words})


def name_words(base: RuleBase) -> frozenset[str]:
    """Every longer word of a name of a kind."""
    return _words_of(_names_of(base))
