"""Which fish, and how many: lots in a line, with bags, sizes and what cannot be told apart.

Names are those of rules/species, found as whole words of the line, longest first; a slip of
the keys is forgiven where one name alone is near. A name of several kinds is asked back.
"""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from advisor.ask.hear.kind_names import VARIETY, Named, name_of, with_figure
from advisor.ask.hear.line import with_numbers
from advisor.ask.hear.lots_line import ready
from advisor.ask.hear.named_lots import NamedLot, NamedLots, closer, joined
from advisor.ask.hear.packs import Pack, pack
from advisor.ask.hear.patterns import words
from advisor.ask.hear.word_sets import word_set
from advisor.rulebase import RuleBase

_LENGTH = re.compile(
    r"(?<![\w.])(\d+(?:[.,]\d+)?)(?:\s*(?:-|to|/)\s*(\d+(?:[.,]\d+)?))?\s*"
    r"(cm|mm|foot|feet|ft|inch(?:es)?|in\b(?!\s+[a-z1])|ins\b|\"|''|zoll)(?:\s*(?:long|each|size|sl|tl))?(?=\W|$)"
)
_PAIRS = re.compile(r"\b(\d+)\s*(?:pairs?|prs?)\b")
_PAIR = re.compile(r"\b(?:a\s+)?(?:pair|pr)\b")
_TRIOS = re.compile(r"\b(\d+)\s*trios?\b")
_WATER = re.compile(
    r"\b(\d+(?:[.,]\d+)?)\s*(?:l|liters?|litres?|litros?)\b(?:\s*(?:each|a bag|per bag|in each))?"
)
_PIECES = re.compile(
    r"\b(?:pez|peces|poissons?|fische?|pesci|vis(?:sen)?|pcs?|pieces?|pce|nos?|units?|heads?|st|stk|stück|stueck|ea|each|fish(?:es)?|count|qty|of (?:em|them)|approx"
    r"|about|around|roughly|ca|circa|nearly|some|x|of|the|we|have|got|total|assorted|asst|mixed|mix|male|males|female"
    r"|females|large|small|medium|med|sm|lg|xl|xxl|jumbo|adult|adults|juvenile|juveniles|juv|young|size[ds]?|very|tiny|big|nice|wild|wc"
    r"|box|boxes|hab|i|these|are|and|in|single|show|quality|grade|unsexed|sexed|only|also|plus|there|is|it|little"
    r"|thats|them|individually|bagged|cups|cup|dollar|feeder|feeders|pairs?|prs?|trios?|long|to|for|with|new|from|my|our|fresh|lot|lots|nr|idk|like|think|guess|maybe|or|so|bout|say|says|said|believe|reckon|called|sold|as|marked|labell?ed|label|named|not determined|undetermined|unsorted|species|specimens?|individuals?|inds?|animals?|pups?|supposedly|apparently|probably|presumably|sent|delivered|which|they|sp|spp|cf|aff|var)\b\.?"
)
_VAGUE = re.compile(
    r"\b(?:a few|few|some|several|many|lots of|loads of|a load of|a bunch of|handful of|plenty of)\b"
)
#: More fish than this are in no lot.
MOST_FISH = 1_000_000
_SEGMENTS = re.compile(
    r"\s*(?:(?<!\d),|,(?!\d+ ?(?:cm|mm|inch|in\b|ft|g\b|gr|kg|l\b|lit|\"))|[;&\n]|\s\+\s|\+(?=\s*\d)|\band\b|\bplus\b|\bund\b|\by\b|\bet\b|(?<=\d)\s*/\s*(?=[a-z])|(?<!\w)-(?!\w))\s*"
)
_WORD = re.compile(r"\d+(?:\.\d+)?|[^\W\d_][^\W_]*(?:[.'-][^\W_]+)*\.?")


def lots(text: str, base: RuleBase, *, bare: bool) -> NamedLots:
    """The lots of a line.

    bare : a number by itself is a lot of an unnamed kind (where the fish were asked for)
    """
    found = NamedLots()
    line = ready(text, base)
    found.ask += line.ask
    whole = _Whole.of(line.text)
    segments = [part for part in _SEGMENTS.split(whole.text) if part and part.strip()]
    for part in segments:
        _segment(part, base, found, bare=bare)
    _told_not_here(found, line.gone, base)
    joined(found, base, parts=line.parts)
    if len(found.lots) == 1:
        found.lots = [whole.dressed(found.lots[0], found)]
    elif found.lots and (whole.packing.fish is not None or whole.packing.doubt):
        found.ask.append("How many of each, and in how many bags?")
        found.lots = []
    return found


def beside(text: str, base: RuleBase) -> list[NamedLot]:
    """Lots told at another question: pieces of the line that are a number and a name, no more."""
    found: list[NamedLot] = []
    for part in _SEGMENTS.split(with_numbers(text)):
        words = re.sub(
            r"^(?:we (?:have|got)|there are|its|i have|i got) ", "", (part or "").strip()
        )
        items = list(_items(words, base))
        kinds = [item for item in items if isinstance(item, Named)]
        numbers = [item for item in items if isinstance(item, int)]
        if not (len(items) == 2 and len(kinds) == len(numbers) == 1):
            continue
        (kind,), (number,) = kinds, numbers
        if not kind.may_be and (kind.species or kind.group) and 0 < number <= MOST_FISH:
            found.append(NamedLot(kind.said, kind.species, kind.group, number))
    return found


def _told_not_here(found: NamedLots, gone: Iterable[str], base: RuleBase) -> None:
    """ "2 Clarias - correction, no Clarias arrived": that lot is none."""
    kinds = [named for name in gone if (named := name_of(name, base))]
    for named in kinds:
        found.lots = [
            lot for lot in found.lots
            if not (lot.said and (lot.species, lot.group) == (named.species, named.group))
        ]  # fmt: skip


@dataclass(frozen=True)
class _Whole:
    """What holds for the one lot of a line: how it is packed, and in how much water."""

    text: str
    packing: Pack
    water_l: float | None

    @classmethod
    def of(cls, text: str) -> _Whole:
        water = _WATER.search(text)
        plain_bags = re.sub(
            r"\b(?:big|large|small|little|double|huge|jumbo|clear|plastic|poly) (?=bags?\b|box)",
            "",
            text,
        )
        packing = pack(_WATER.sub(" ", plain_bags))
        return cls(packing.text, packing, float(water[1].replace(",", ".")) if water else None)

    def dressed(self, lot: NamedLot, found: NamedLots) -> NamedLot:
        """The lot with its packing; a number told bag by bag is reckoned."""
        packing, count = self.packing, lot.count
        if packing.fish is not None:
            if count is not None and count not in (packing.fish, packing.bags, packing.boxes):
                found.ask.append(f"How many {lot.said or 'fish'}: {count} or {packing.fish}?")
            count = packing.fish
        elif packing.doubt and count is None:
            found.ask.append(packing.doubt)
        bags = count if packing.singly and packing.bags is None else packing.bags
        return replace(lot, count=count, bags=bags, bag_water_l=self.water_l)


def _segment(part: str, base: RuleBase, found: NamedLots, *, bare: bool) -> None:
    length = _LENGTH.search(part)
    lead = list(_items(part[: length.start()], base)) if length else []
    part = _LENGTH.sub(" ", part)
    cm = None if length is None else _cm(length)
    part = re.sub(
        r"(?<![\w.])\d+(?:[.,]\d+)?\s*(?:g|gr|grams?|kg|kilos?|oz|lbs?)\b(?: each)?", " ", part
    )
    if re.search(r"(?<![\w.])\d+[.,]\d+\b", part):
        found.ask.append("Fish are counted whole: how many are there?")
        part = re.sub(r"(?<![\w.])\d+[.,]\d+\b", " ", part)
    ranged = re.search(r"(?<![\w.])(\d+)\s*(?:-|to)\s*(\d+)\b", part)
    if ranged:
        found.ask.append(f"How many of them: {ranged[1]} or {ranged[2]}?")
        part = part.replace(ranged[0], " ")
    part = re.sub(r"\b(?:ordered|invoiced|instead of|supposed to be|should be) \d+\b", " ", part)
    vague = bool(_VAGUE.search(part))
    part = _VAGUE.sub(" ", part)
    part = _PAIRS.sub(lambda hit: f" {int(hit[1]) * 2} ", part)
    part = _TRIOS.sub(lambda hit: f" {int(hit[1]) * 3} ", part)
    if not re.search(r"(?<![\w.])\d", part):
        part = _PAIR.sub(" 2 ", part)
    items = list(_items(part, base))
    kinds = [item for item in items if isinstance(item, Named)]
    numbers = [item for item in items if isinstance(item, int)]
    if not kinds:
        if not _short_of_last(items, numbers, cm, base, found):
            _no_kind(numbers, items, cm, found, base, _WORD.findall(part), bare=bare, vague=vague)
        return
    apart = len(numbers) > 1 and len(kinds) > 1 and length is not None
    at = sum(isinstance(item, Named) for item in lead) - 1  # the one that it is told of
    strange = _beside_name(items)
    if strange and bare:
        found.ask.append(f'Which fish are "{strange}"?')
        return
    if len(kinds) == 1 and len(numbers) > 1:
        numbers = _of_one(numbers, part, kinds[0], found)
        items = [*numbers, kinds[0]]
    for which, (named, count) in enumerate(_paired(items, len(numbers))):
        found.lots.append(_lot(named, count, None if apart and which != at else cm, found))
        if count is None and vague:
            found.ask.append(f"How many {named.said}?")


def _of_one(numbers: list[int], part: str, kind: Named, found: NamedLots) -> list[int]:
    """Several numbers of one kind: a whole and its parts, its sexes, or to be asked."""
    first, *rest = numbers
    if first == sum(rest) or len(set(numbers)) == 1:
        return [first]
    if re.search(r"\b(?:males?|females?|fems?|cocks?|hens?|juv\w*|adults?|young)\b", part):
        return [sum(numbers)]
    found.ask.append(f"How many {kind.said}: {' or '.join(map(str, numbers))}?")
    return []


def _beside_name(items: list[object]) -> str:
    """A word right before a name that is in no list: "skunk botias" are perhaps no botias."""
    held = words()
    for one, other in pairwise(items):
        if isinstance(one, str) and isinstance(other, Named) and one not in VARIETY | held.small:
            return f"{one} {other.said}"
        if isinstance(other, str) and isinstance(one, Named) and not held.means(other):
            return f"{one.said} {other}" if other not in VARIETY else ""
    return ""


def _short_of_last(
    items: list[object], numbers: list[int], cm: float | None, base: RuleBase, found: NamedLots
) -> bool:
    """ "15 peppered corys, 15 bronze": the family of the lot before is meant."""
    words = [item for item in items if isinstance(item, str)]
    last = found.lots[-1] if found.lots else None
    if last is None or not last.said or not words or len(numbers) != 1:
        return False
    named = name_of(f"{' '.join(words)} {last.said.split()[-1]}", base)
    if named is None or named.species is None:
        return False
    found.lots.append(NamedLot(named.said, named.species, named.group, numbers[0], length_cm=cm))
    return True


def _lot(named: Named, count: int | None, cm: float | None, found: NamedLots) -> NamedLot:
    if named.may_be and named.group is None:
        found.unsure.append((len(found.lots), named))
    if count is not None and not 0 < count <= MOST_FISH:
        found.ask.append(f"How many {named.said}?")
        count = None
    return NamedLot(named.said, named.species, named.group, count, length_cm=cm)


_OF_SAME = word_set("of_same")


def _no_kind(
    numbers: list[int], items: list[object], cm: float | None, found: NamedLots, base: RuleBase,
    said: list[str], *, bare: bool, vague: bool,
) -> None:  # fmt: skip
    """A segment without a kind: a size or number for the lot before, or an unnamed lot."""
    words = [item for item in items if isinstance(item, str)]
    every = bool({"all", "both", "each", "ea"} & {*words, *said})
    words = [word for word in words if word not in ("all", "both")]
    last = found.lots[-1] if found.lots else None
    if cm is not None and last is not None and not words:
        told_of = found.lots if every else found.lots[-1:]
        found.lots[-len(told_of) :] = [
            lot if lot.length_cm is not None else replace(lot, length_cm=cm) for lot in told_of
        ]
        last = found.lots[-1]
    if len(numbers) == 1 and not words and every and last is not None and last.count is None:
        found.lots = [
            replace(lot, count=numbers[0]) if lot.said and lot.count is None else lot
            for lot in found.lots
        ]
        return
    if words and not numbers and last is not None and last.said:
        told_closer = closer([w for w in words if w not in ("ones", "one", "type")], last, base)
        if told_closer is not None:
            found.lots[-1] = told_closer
            return
    same = last is not None and last.said and not set(words) - _OF_SAME
    if same and last is not None and last.count is None and len(numbers) > 1:
        found.lots[-1] = replace(last, count=sum(numbers))
        return
    told = bool(words or set(said) & _OF_SAME)
    if same and last is not None and last.count is not None and len(numbers) == 1 and told:
        found.lots.append(replace(last, count=numbers[0], length_cm=cm))
        return
    if len(numbers) == 1 and not words and last is not None and last.count is None and last.said:
        found.lots[-1] = replace(found.lots[-1], count=numbers[0])
        return
    if words and (numbers or vague) and bare:
        found.ask.append(f'"{" ".join(words)}" is in no list of kinds. Which fish are they?')
    elif len(numbers) == 1 and not words and bare and last is None and numbers[0] <= MOST_FISH:
        found.lots.append(NamedLot(count=numbers[0]))
    elif len(numbers) == 1 and not told and bare and cm is None and last is not None and last.said:
        counts = [lot.count for lot in found.lots if lot.count is not None]
        if numbers[0] not in (*counts, sum(counts)):  # neither said again nor the sum
            found.ask.append(f"{numbers[0]} of which fish?")
    found.rest += words


def _paired(items: list[object], many: int) -> Iterator[tuple[Named, int | None]]:
    """Each name with its number: before it where the segment begins with one, else after it."""
    kinds = [item for item in items if isinstance(item, Named)]
    if many <= 1:
        yield _best(kinds), next((item for item in items if isinstance(item, int)), None)
        return
    first = next(item for item in items if not isinstance(item, str))
    numbers_first = isinstance(first, int)
    waiting: list[Named] = []
    number: int | None = None
    for item in items:
        if isinstance(item, str):
            continue
        if numbers_first:
            if isinstance(item, int):
                if waiting:
                    yield _best(waiting), number
                waiting, number = [], item
            elif isinstance(item, Named):
                waiting.append(item)
        elif isinstance(item, int):
            if waiting:
                yield _best(waiting), item
            waiting = []
        elif isinstance(item, Named):
            waiting.append(item)
    if waiting:
        yield _best(waiting), number if numbers_first else None


def _best(kinds: list[Named]) -> Named:
    """Of names beside each other ("goldfish oranda", "tetra neon") the one that says most."""
    sure = [k for k in kinds if not k.may_be and not k.loose] or [k for k in kinds if not k.may_be]
    return (sure or kinds)[-1]


def _items(part: str, base: RuleBase) -> Iterator[object]:
    """Numbers, names and other words of a segment, in order."""
    words = [word.rstrip(".") if len(word) > 2 else word for word in _WORD.findall(part)]
    joined = [w for w in words if not w.isdecimal() and not _PIECES.fullmatch(w)]
    numbers = [w for w in words if w.isdecimal()]
    if len(numbers) == 1 and len(joined) > 1:
        whole = name_of(" ".join(joined), base)
        if whole is not None and not whole.loose:
            place = words.index(numbers[0])
            pair = (int(numbers[0]), whole) if place == 0 else (whole, int(numbers[0]))
            yield from pair
            return
    at = 0
    while at < len(words):
        if words[at].isdecimal() and not with_figure(words, at, base):
            yield int(words[at])
            at += 1
            continue
        for size in range(min(5, len(words) - at), 0, -1):
            run = words[at : at + size]
            if any(w.isdecimal() for w in run[1:]) and not with_figure(run, 0, base):
                continue
            near = size <= 3 and not any(_PIECES.fullmatch(word) for word in run)
            named = (
                None
                if size == 1 and _PIECES.fullmatch(run[0])
                else name_of(" ".join(run), base, near=near)
            )
            if named is not None:
                yield named
                at += size
                break
        else:
            if not _PIECES.fullmatch(words[at]):
                yield words[at]
            at += 1


def _cm(hit: re.Match[str]) -> float:
    scale = {"cm": 1.0, "mm": 0.1, "foot": 30.48, "feet": 30.48, "ft": 30.48}.get(hit[3], 2.54)
    values = [float(hit[n].replace(",", ".")) for n in (1, 2) if hit[n]]
    return round(scale * sum(values) / len(values), 2)
