"""What the question wants as a number: heads, hours, litres, grams, days, readings, fish."""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from advisor.ask.hear import amounts, heads, readings_said, spans, time_told, which_fish
from advisor.ask.hear.ears import Ears, rounded
from advisor.ask.hear.heads_wanted import counts, take_heads
from advisor.ask.hear.line import with_numbers
from advisor.ask.hear.packs import pack
from advisor.ask.hear.poses import without_poses


def by_question(ears: Ears, text: str, tidy: str) -> None:
    question = ears.question
    wants: dict[str, Callable[[Ears, str, str], None]] = {
        "lots": _lots, "look.counts": counts, "look.at_hours": _arrived,
        "transit.hours_sealed": _sealed, "transit.fasted_hours": _fasted,
        "receiving.age_days": _age, "transit.air_c": _air, "lot.bags": _bags,
        "lot.dead_on_arrival": _doa, "receiving.volume_l": _volume, "lot.bag_water_l": _litres,
        "lot.mass_g": _mass,
    }  # fmt: skip
    if question.kind == "reading":
        _readings(ears, text)
    elif question.field in wants:
        wants[question.field](ears, text, tidy)


#: "bag 24 C", "ph 7.2 in the tank", "at 78F": a water told beside the fish is no kind of fish.
_OF_WATER = r"(?:(?:in |of )?(?:the |my |our )?(?:bags?|tank|water|box|tub|vat|pond)(?: water| temp(?:erature)?)?(?: is| are|:| reads?| at)*\s*)?"
_WATER_TOLD = re.compile(
    rf"(?:^|[,;]|\band\b|\bat\b|\s)\s*{_OF_WATER}"
    r"(?:(?:at |about |temp(?:erature)? )*(?:[4-9]\d(?:[.,]\d)?\s*(?:°\s*f|deg\w* f|f)|[1-4]?\d(?:[.,]\d)?\s*(?:°\s*c|deg\w* c|°|degrees|c))(?=\s*(?:\.?\s*$|[,;)]|(?:and|in|on|water|bags?|tank|box)\b))"
    r"|ph\s*(?:is |of |at |=|:)?\s*\d(?:[.,]\d+)?(?!\w))"
    r"(?:\s+(?:in|on) (?:the |my |our )?(?:bags?|tank|water|box|tub|vat|pond))?",
    re.I,
)


def _lots(ears: Ears, text: str, tidy: str) -> None:
    kinds, poses = without_poses(ears.text)
    if poses:
        before = list(ears.ask)
        take_heads(ears, with_numbers(", ".join(poses)))
        ears.ask = before
        if not kinds.strip(" ,.;"):
            return
    without = re.sub(
        r"(?:about|ca\.?|around)?\s*\d+(?:[.,]\d+)?\s*(?:h(?!\.? [a-z]{5,})|hrs?|hours?|days?)\b.*$",
        "",
        kinds,
        flags=re.I,
    )
    without = re.sub(
        r"\b(?:\d+|one|two|three|four|five|six|seven|eight|nine|ten)\s+(?:are |is |of them )?(?:dead|down|died|doa|lost)\b|\blost \d+\b",
        "",
        without,
        flags=re.I,
    )
    without = _WATER_TOLD.sub(" , ", without).strip(" ,")
    without = re.sub(r"\ba single bag (?:with|of|holding)\b", "1 bag of", without, flags=re.I)
    without = re.sub(r"\bin a single bag\b", "in 1 bag", without, flags=re.I)
    found = which_fish.lots(without, ears.base, bare=True)
    named = [lot for lot in found.lots if lot.said or lot.count is not None]
    if named:
        ears.out["lots"] = [
            {key: value for key, value in vars(lot).items() if value not in (None, "")}
            for lot in named
        ]
    ears.ask += found.ask


def _doa(ears: Ears, text: str, tidy: str) -> None:
    came = ears.came
    text = " ".join(_FILLER.sub("", text).split()).strip(" ,.")
    each_bag = re.match(
        r"(\d+),? (?:1|one) (?:per|in each|in every|a|from each) (?:bag|box)$", text
    )
    text = each_bag[1] if each_bag else text
    if of_all := re.fullmatch(r"(?:about )?(\d+) (?:out )?of (?:the |those |about )?(\d+)", text):
        text = of_all[1] if int(of_all[1]) <= int(of_all[2]) else text
    text = re.sub(
        rf"(?<=\d)\s+(?:{_SPREAD}) (?:the |all )?\d+ (?:bags?|box\w*|cartons?)\b", "", text
    )
    packed = pack(text)
    if re.fullmatch(r"none|nil|no|nothing|zero|nobody|0|not one|not any", text):
        number: int | None = 0
    elif packed.fish is not None:
        number = packed.fish
    elif bare := re.fullmatch(
        r"(?:just |only |about |the )*(\d+)(?: (?:fish|pcs|pieces|bodies|[a-z]+s?))?"
        r"(?: (?:in|from) (?:one|1|the|a single) (?:bag|box|corner)\w*)?(?:,? (?:the )?(?:others?|rest)(?: \w+)? (?:nil|none|ok|fine|clear|0))?",
        text,
    ):
        number = int(bare[1])
    else:
        found = heads.heads(text, came)
        if not found.counts and not found.ask and not re.search(r"\d", text):
            found = heads.heads(f"{text} dead", came)
        ears.ask += [found.ask] if found.ask else []
        number = found.on_arrival if found.on_arrival is not None else found.counts.get("dead")
    if number is None:
        return
    if came is not None and number > came:
        ears.ask.append(f"That is more than the {came} that came. How many were dead in the bags?")
    else:
        ears.out["dead_on_arrival"] = number


#: Over how many bags the dead lay.
_SPREAD = r"across|over|in|from|between|among|amongst|out of|spread over"
#: Words that change nothing about a number.
_FILLER = re.compile(
    r"\b(?:still|so far|yet|again|at all|of them|in total|altogether|dead|doa|i think|found|we had|there (?:is|are|were|was))\b"
)


def _arrived(ears: Ears, text: str, tidy: str) -> None:
    if re.fullmatch(r"\s*(?:about |ca |roughly )?\d+(?:[.,]\d+)?\s*", text) and not re.fullmatch(
        r"\s*[012]\d[0-5]\d\s*", text
    ):
        ears.ask.append("Minutes, hours or days?")
        return
    colon = re.fullmatch(r"\s*(\d{1,2}):(\d\d)\s*", text)
    if colon:
        ears.out["at_hours"] = int(colon[1]) + int(colon[2]) / 60 if int(colon[1]) < 6 else None
        if ears.out["at_hours"] is None:
            del ears.out["at_hours"]
            ears.ask.append("Is that a time of the clock, or how long ago?")
        return
    told = time_told.opened(tidy, ears.now)
    if told.span is not None:
        if ears.out.get("place") != "closed_bag":
            ears.out["at_hours"] = rounded(told.span.hours)
    elif told.ask:
        ears.ask.append(told.ask)


def _sealed(ears: Ears, text: str, tidy: str) -> None:
    if spans.BELOW_ZERO.search(text):
        ears.ask.append("That lies below zero. How many hours were they sealed?")
        return
    told = time_told.sealed(tidy, ears.now)
    if told.span is not None:
        if told.span.hours > 400:
            ears.ask.append("So long? How many hours were the bags sealed?")
            return
        if told.span.hours <= 0:
            ears.ask.append("No time at all? How many hours were the bags sealed?")
            return
        ears.out["hours_sealed"] = rounded(told.span.hours)
        if told.span.low != told.span.high:
            ears.out["hours_sealed_span"] = [told.span.low, told.span.high]
    elif told.ask:
        ears.ask.append(told.ask)


def _fasted(ears: Ears, text: str, tidy: str) -> None:
    bare = re.fullmatch(r"\s*(?:about |ca )?(\d+)\s*", text)
    if bare:
        ears.out["fasted_hours"] = float(bare[1])
        return
    if re.search(
        r"\bnot (?:fasted|starved|at all)\b|\bno fast\w*|^\s*(?:none|nil|no|never|0)\s*$|unfasted",
        text,
    ):
        ears.out["fasted_hours"] = 0.0
        return
    found = spans.lengths(tidy)
    if found:
        ears.out["fasted_hours"] = rounded(found[0].hours)
    elif re.search(r"\bovernight\b|\bages\b|\bnormal\b|\busual\b|\blong\b|\benough\b", tidy):
        ears.ask.append("How many hours without food?")


def _age(ears: Ears, text: str, tidy: str) -> None:
    bare = re.fullmatch(r"\s*(?:about |ca )?(\d+)\s*", text)
    if bare:
        ears.out["age_days"] = int(bare[1])
        return
    if re.search(r"\byesterday\b", tidy):
        ears.out["age_days"] = 1
        return
    if re.search(r"\btoday\b|\bjust (?:set|filled)\b|\bthis morning\b", tidy):
        ears.out["age_days"] = 0
        return
    if re.search(r"\b(?:without|no|empty|never|before|not) (?:any |had |with )*fish\w*", text):
        ears.ask.append("How many days has it run with fish or a fed filter?")
        return
    found = spans.lengths(tidy)
    if found:
        ears.out["age_days"] = round(found[0].hours / 24)
    else:
        ears.ask.append("How many days or weeks has it run with fish or a fed filter?")


def _air(ears: Ears, text: str, tidy: str) -> None:
    text = re.sub(r"\b(?:(?:about|around|just|near|close to) )?freezing(?: point)?\b", "0 c", text)
    text = re.sub(
        r"\b(?:for |after )?\d+(?:[.,]\d+)?\s*(?:h|hrs?|hours?|min\w*|days?|nights?)\b", " ", text
    )
    if re.search(r"\d0s\b", text):
        ears.ask.append("How cold and how warm was it, in degrees?")
        return
    both = re.search(
        r"\b(?:never|not|no|nothing) (?:below|under|less than|colder than) (-?\d+(?:[.,]\d+)?)\D+?(?:above|over|more than|warmer than) (-?\d+(?:[.,]\d+)?)", text
    )  # fmt: skip
    if both:
        text = f"{both[1]} {both[2]}"
    bound = re.search(
        r"\b(below|under|less than|above|over|more than|sub)\s+(-?\d+(?:[.,]\d+)?)", text
    )
    if bound:
        ears.ask.append("About how cold and how warm, in degrees?")
        return
    scale = bool(re.search(r"\d\s*°?\s*f\b|fahrenheit", text))
    figures = re.findall(
        r"(?<![\w.,])(-?\d+(?:[.,]\d+)?)(?:\s*°?\s*[cf]\b)?",
        re.sub(r"(?<=\d)\s*-\s*(?=\d)", " ", text),
    )
    values = [float(n.replace(",", ".")) for n in figures][:2]
    if re.search(r"\bminus\s+\d", text):
        values = [-values[0], *values[1:]]
    if not values:
        ears.ask.append("How cold and how warm was it, in degrees?")
        return
    if scale or max(values) > 55:
        values = [round((v - 32) / 1.8, 1) for v in values]
    ears.out["air_low_c"], ears.out["air_high_c"] = min(values), max(values)


def _bags(ears: Ears, text: str, tidy: str) -> None:
    """Bags of the lot: counted, or boxes by the bags in each; boxes alone are asked about."""
    packed = pack(
        re.sub(
            r"\b(?:big|small|large|little|huge|double|clear|plastic|poly)\s+(?=bag|box)", "", text
        )
    )
    rest = re.sub(
        r"\d+(?:[.,]\d+)?\s*(?:l\b|lit\w+|fish|kg|gal\w*|cm)|\d+ (?:hours?|h)\b", " ", packed.text
    )
    loose = [int(n) for n in re.findall(r"(?<![\w.,-])(\d+)(?![\w.,]*\d)", rest)]
    bags = packed.bags
    if bags is None and packed.boxes is not None:
        bags = packed.fish if packed.fish is not None and not loose else None
        bags = loose[0] if loose and packed.fish in (None, loose[0]) and len(loose) == 1 else bags
    elif bags is None and packed.singly:
        bags = ears.came or (loose[0] if len(loose) == 1 else None)
    elif bags is None and len(loose) == 1 and not re.search(r"\b(?:or|to|-)\s*\d", rest):
        bags = loose[0]
    if bags is not None and bags > 0 and not re.search(r"\d\s*(?:or|-|to)\s*\d", text):
        ears.out["bags"] = bags
    else:
        ears.ask.append("How many bags in a box?" if packed.boxes else "How many bags?")
    water = re.search(r"(\d+(?:[.,]\d+)?)\s*(?:l\b|liters?|litres?)", text)
    if water:
        ears.out["bag_water_l"] = float(water[1].replace(",", "."))


def _volume(ears: Ears, text: str, tidy: str) -> None:
    text = re.sub(r"(?<![\d.,])(\d{1,3})[,.](\d{3})(?![\d.,])(?! ?m3)", _thousands, text)
    if re.search(r"\b(?:imp\w*|uk|proper|british|english)\b", text):
        text = re.sub(r"\b(?:imp\w*|uk|proper|british|english)\b\.? ?", "", text)
        text = re.sub(r"\bgal\w*", "imperial gallons", text)
    each = re.search(
        r"\b(\d+) (?:tanks|vats|tubs|ponds|bays|racks|aquariums)\b.*?\b(\d+(?:[.,]\d+)?)\s*(l\b|liters?|litres?|gal\w*)(?: (?:each|apiece|per tank|a tank)| ea\b)", text
    )  # fmt: skip
    if each:
        text = f"{int(each[1]) * float(each[2].replace(',', '.'))} {each[3]}"
    rack = re.search(
        r"\b(\d+)\s*(?:tanks? )?(?:x|of|@)\s*(\d+(?:[.,]\d+)?)\s*(l\b|liters?|litres?|gal\w*)", text
    )
    if rack and re.search(r"\d", text[rack.end() :]):
        ears.ask.append("How many litres is it in all?")
        return
    if rack:
        text = f"{int(rack[1]) * float(rack[2].replace(',', '.'))} {rack[3]}"
    if bare := re.fullmatch(r"\s*(?:about |approx |roughly |ca )?(\d{2,6})\s*", text):
        ears.out["volume_l"] = float(bare[1])
        return
    _amount(ears, text, "volume_l", "How many litres is it?")


def _thousands(hit: re.Match[str]) -> str:
    """ "2,800 gallon": no tank is told to a thousandth of a litre. "1.000" stays to be asked."""
    return hit[0] if hit[2] == "000" else f"{hit[1]}{hit[2]}"


def _litres(ears: Ears, text: str, tidy: str) -> None:
    if re.search(r"\b(?:weigh\w*|gross|box(?:es)?|cartons?)\b", text) and re.search(
        r"\d\s*(?:kg|kilo)", text
    ):
        ears.ask.append("How many litres of water are in one bag?")
        return
    if re.search(r"\bbox\w* (?:of|is|holds?) \d|\d+ ?(?:l|lit\w+) box", text):
        ears.ask.append("How many litres of water are in one bag?")
        return
    text = re.sub(r"(\d)\s*(?:kg|kilos?)\b", r"\1 l", text)
    text = re.sub(r"\b\d+(?:[.,]\d+)?\s*(?:l|lit\w+)\s*(?:of )?(?:o2|oxygen|air|gas)\b", " ", text)
    _amount(ears, text, "bag_water_l", "How many litres of water are in one bag?")


#: "20 for 100 g", "20 of them weigh 100 g": so many together.
_TOGETHER = re.compile(
    r"^\D*?\b(\d+) (?:(?:fish|of (?:them|these)|pcs|pieces) )?(?:for|to|weigh|make|come to|=) (?:the |a |about |ca )*(\d+(?:[.,]\d+)?)\s*(g\b|grams?|kg|kilos?|oz|lb)"
)


def _mass(ears: Ears, text: str, tidy: str) -> None:
    per_kilo = re.search(
        r"\b(\d+) (?:fish )?(?:to|in|per|make|for) (?:the |a |1 |one )?(kilo\w*|kg|pound|lb)\b",
        text,
    )
    if per_kilo and int(per_kilo[1]) > 1:
        text = f"{1 / int(per_kilo[1])} {per_kilo[2]}"
    many = _TOGETHER.search(text)
    if many and int(many[1]) > 1:
        text = f"{float(many[2].replace(',', '.')) / int(many[1])} {many[3]}"
    if re.search(
        r"\b(?:together|total|altogether|all of them|whole (?:bag|lot)|combined|in all|box)\b", text
    ):
        ears.ask.append("How many grams does one fish weigh?")
        return
    _amount(ears, text, "mass_g", "How many grams does one fish weigh?")


def _amount(ears: Ears, text: str, name: str, ask: str) -> None:
    """The one amount of the line in the units of a parameter; two that differ are asked about."""
    found = amounts.amounts(text, "volume_l" if name == "bag_water_l" else name)
    if found.ask or len(found.values) != 1 or found.values[0][1] <= 0:
        ears.ask.append(found.ask or ask)
        return
    low, value, high = found.values[0]
    ears.out[name] = rounded(value)
    if low != high:
        ears.out[f"{name}_span"] = [rounded(low), rounded(high)]


def _readings(ears: Ears, text: str) -> None:
    around = {}
    if ears.case is not None:
        for look in ears.case.observation:
            if look.tank.temperature_c is not None:
                around["temperature_c"] = look.tank.temperature_c.value
    text = with_numbers(re.sub(r"\bone\b", " ", ears.text, flags=re.I))
    found = readings_said.readings(text, ears.question, ears.base, around)
    take_readings(ears, found)


def take_readings(ears: Ears, found: readings_said.Waters) -> None:
    rows = [_row(each) for each in found.readings.values()]
    if rows:
        ears.out["readings"] = rows
    ears.ask += found.ask


def _row(heard: readings_said.SaidReading) -> dict[str, Any]:
    quantity = heard.quantity
    bounded = quantity.at_least or quantity.at_most
    bound = quantity.low if quantity.at_least else quantity.high
    row: dict[str, Any] = {
        "water": heard.water, "parameter": heard.parameter,
        "value": bound if bounded else quantity.value, "low": quantity.low, "high": quantity.high,
    }  # fmt: skip
    if bounded:
        row["limit"] = "above" if quantity.at_least else "below"
    if heard.kit:
        row["kit"] = heard.kit
    row["entered"] = quantity.entered
    return row
