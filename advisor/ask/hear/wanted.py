"""What the question wants as a number: heads, hours, litres, grams, days, readings, fish."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from advisor.ask.hear import heads, readings_said, spans, which_fish
from advisor.ask.hear.ears import Ears, rounded
from advisor.errors import AdvisorError


def by_question(ears: Ears, text: str, tidy: str) -> None:
    question = ears.question
    wants: dict[str, Callable[[Ears, str, str], None]] = {
        "lots": _lots, "look.counts": _counts, "look.at_hours": _arrived,
        "transit.hours_sealed": _sealed, "transit.fasted_hours": _fasted,
        "receiving.age_days": _age, "transit.air_c": _air, "lot.bags": _bags,
        "lot.dead_on_arrival": _doa, "receiving.volume_l": _volume, "lot.bag_water_l": _litres,
        "lot.mass_g": _mass,
    }  # fmt: skip
    if question.kind == "reading":
        _readings(ears, text)
    elif question.field in wants:
        wants[question.field](ears, text, tidy)


def _lots(ears: Ears, text: str, tidy: str) -> None:
    without = re.sub(
        r"(?:about|ca\.?|around)?\s*\d+(?:[.,]\d+)?\s*(?:h|hrs?|hours?|days?)\b.*$",
        "",
        ears.text,
        flags=re.I,
    )
    without = re.sub(r"\b\d+\s+(?:are |is |of them )?(?:dead|down|died|doa)\b", "", without)
    found = which_fish.lots(without, ears.base, bare=True)
    named = [lot for lot in found.lots if lot.said or lot.count is not None]
    if named:
        ears.out["lots"] = [
            {key: value for key, value in vars(lot).items() if value not in (None, "")}
            for lot in named
        ]
    ears.ask += found.ask


def _counts(ears: Ears, text: str, tidy: str) -> None:
    pair = re.fullmatch(r"\s*(\d+)\s*(?:[/, ]|and)\s*(\d+)\s*", text)
    if re.fullmatch(r"\s*(0|zero|none|nil|no|nothing|nobody|0 0|0/0)\s*", text):
        ears.out["counts"] = {"dead": 0, "down": 0}
        return
    if pair:
        ears.ask.append("Which of these is dead, and which down?")
        return
    if re.fullmatch(r"\s*(?:just |only )?(?:the )?\d+(?: more)?(?: fish)?\s*", text):
        ears.ask.append("Dead or down?")
        return
    take_heads(ears, text)


def take_heads(ears: Ears, text: str) -> None:
    found = heads.heads(text, ears.came)
    if found.counts:
        ears.out["counts"] = {
            k: found.counts[k] for k in ("dead", "down", "normal") if k in found.counts
        }
    if found.ask:
        ears.ask.append(found.ask)


def _doa(ears: Ears, text: str, tidy: str) -> None:
    came = ears.came
    bare = re.fullmatch(r"\s*(?:just |only |about )?(?:the )?(\d+)(?: fish| pcs)?\s*", text)
    each = re.search(r"\b(\d+) (?:in|per) (?:each|every|a) bag\b.*?\b(\d+) bags?\b", text)
    if each:
        ears.out["dead_on_arrival"] = int(each[1]) * int(each[2])
        return
    if re.fullmatch(r"\s*(none|nil|no|nothing|zero|nobody|0)\s*", text):
        ears.out["dead_on_arrival"] = 0
        return
    share = re.search(r"(\d+)\s*%|\bhalf\b", text)
    if bare:
        number = int(bare[1])
    elif share and came:
        number = round(came * (int(share[1]) / 100 if share[1] else 0.5))
    elif (
        re.fullmatch(r"\s*(all|every one|the lot|all of them|everything)(?: dead)?\s*", text)
        and came
    ):
        number = came
    else:
        found = heads.heads(text, came)
        ears.ask += [found.ask] if found.ask else []
        dead = found.on_arrival if found.on_arrival is not None else found.counts.get("dead")
        if dead is None:
            return
        number = dead
    if came is not None and number > came:
        ears.ask.append(f"That is more than the {came} that came. How many were dead in the bags?")
    else:
        ears.out["dead_on_arrival"] = number


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
    told = spans.ago(tidy, ears.now)
    if told.span is not None:
        if ears.out.get("place") not in ("open_bag", "closed_bag"):
            ears.out["at_hours"] = rounded(told.span.hours)
    elif told.ask:
        ears.ask.append(told.ask)


def _sealed(ears: Ears, text: str, tidy: str) -> None:
    if re.search(r"(?<![\w.])-\s*\d", text):
        ears.ask.append("That lies below zero. How many hours were they sealed?")
        return
    bare = re.fullmatch(r"\s*(?:about |ca |roughly |approx |~)?(\d+(?:[.,]\d+)?)\s*", text)
    if bare:
        figure = float(bare[1].replace(",", "."))
        if figure > 5:
            ears.out["hours_sealed"] = figure
        else:
            ears.ask.append("Hours or days?")
        return
    if re.search(r"\bflight|transit|plus\b|\+", tidy):
        found = spans.lengths(tidy)
        if len(found) > 1 and not re.search(r"\bfasted|opened|ago\b", tidy):
            total = sum(s.hours for s in found)
            total += found[-1].hours if re.search(r"\beach (?:side|end|way)\b", tidy) else 0
            ears.out["hours_sealed"] = rounded(total)
            return
        plus = re.search(r"(\d+) h\w* plus (\d+) each", tidy)
        if plus:
            ears.out["hours_sealed"] = float(int(plus[1]) + 2 * int(plus[2]))
            return
    hours = spans.between(tidy)
    if hours is None and re.search(
        r"\b(pack|tied|bagged|sealed|closed|since|sent|shipped|left)\w*", tidy
    ):
        at = spans.by_clock(tidy, ears.now)
        if at is not None:
            hours = (ears.now - at).total_seconds() / 3600
    if hours is None:
        found = spans.lengths(tidy)
        mine = [s for s in found if not _not_sealed(tidy, s)]
        if mine:
            hours = mine[0].hours
            if mine[0].low != mine[0].high:
                ears.out["hours_sealed_span"] = [mine[0].low, mine[0].high]
    if hours is not None:
        if hours > 400:
            ears.ask.append("So long? How many hours were the bags sealed?")
        else:
            ears.out["hours_sealed"] = rounded(hours)
    elif told := spans.ago(tidy, ears.now).ask:
        ears.ask.append(told)


def _not_sealed(text: str, span: spans.Span) -> bool:
    """A length that speaks of something else: opened 20 min ago, fasted 2 days."""
    before, after = (
        text[max(0, span.place[0] - 14) : span.place[0]],
        text[span.place[1] : span.place[1] + 14],
    )
    return bool(
        re.search(r"\b(opened|fasted|fast|out|unpacked|starved|open)\b[\w ]*$", before)
        or re.search(r"^\s*fast", after)
    )


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
    found = spans.lengths(tidy)
    if found:
        ears.out["age_days"] = round(found[0].hours / 24)
    else:
        ears.ask.append("How many days or weeks has it run with fish or a fed filter?")


def _air(ears: Ears, text: str, tidy: str) -> None:
    bound = re.search(r"\b(below|under|less than|above|over|more than)\s+(-?\d+(?:[.,]\d+)?)", text)
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
    if scale or min(values) > 45:
        values = [round((v - 32) / 1.8, 1) for v in values]
    ears.out["air_low_c"], ears.out["air_high_c"] = min(values), max(values)


def _bags(ears: Ears, text: str, tidy: str) -> None:
    number = re.search(
        r"(?<![\w.,-])(\d+)(?![\w.,]*\d)(?!\s*(?:l\b|liters?|litres?|fish|kg))", text
    )
    if number and int(number[1]) > 0 and not re.search(r"\b(?:or|to|-)\s*\d", text):
        ears.out["bags"] = int(number[1])
    else:
        ears.ask.append("How many bags?")
    water = re.search(r"(\d+(?:[.,]\d+)?)\s*(?:l\b|liters?|litres?)", text)
    if water:
        ears.out["bag_water_l"] = float(water[1].replace(",", "."))


def _volume(ears: Ears, text: str, tidy: str) -> None:
    rack = re.search(r"\b(\d+)\s*x\s*(\d+)\s*(?:l\b|liters?|litres?)", text)
    if rack:
        ears.out["volume_l"] = float(int(rack[1]) * int(rack[2]))
        return
    if re.fullmatch(r"\s*(?:about )?\d{2,6}\s*", text):
        ears.out["volume_l"] = float(text)
        return
    _number(ears, text, "volume_l", "How many litres is it?")


def _litres(ears: Ears, text: str, tidy: str) -> None:
    kilos = re.fullmatch(r"\s*(?:about )?(\d+(?:[.,]\d+)?)\s*(?:kg|kilos?)\s*", text)
    if kilos:
        ears.out["bag_water_l"] = float(kilos[1].replace(",", "."))
        return
    _number(ears, text, "bag_water_l", "How many litres of water are in one bag?")


def _mass(ears: Ears, text: str, tidy: str) -> None:
    text = re.sub(r"(?<=[a-z])\s+(?:each|koi|fish|apiece|neons?)\b.*$", "", text)
    _number(ears, text, "mass_g", "How many grams does one fish weigh?")


def _number(ears: Ears, text: str, name: str, ask: str) -> None:
    """One number in the units of a parameter; no number, or none above zero, is asked back."""
    from advisor.units import AmbiguousBasis, parse

    parameter = "volume_l" if name == "bag_water_l" else name
    text = re.sub(r"\bimp(?:erial)?\.? gal\w*", "imperial gallons", text)
    text = re.sub(
        r"\bhalf an? (\w+)", r"0.5 \1", re.sub(r"\bhalf (gal\w*|l\w*|kilo|kg|g)\b", r"0.5 \1", text)
    )
    try:
        quantity = parse(text, parameter)
    except AmbiguousBasis as doubt:
        ears.ask.append(doubt.question)
        return
    except AdvisorError:
        ears.ask.append(ask)
        return
    if quantity.value <= 0:
        ears.ask.append(ask)
        return
    ears.out[name] = rounded(quantity.value)


def _readings(ears: Ears, text: str) -> None:
    around = {}
    if ears.case is not None:
        for look in ears.case.observation:
            if look.tank.temperature_c is not None:
                around["temperature_c"] = look.tank.temperature_c.value
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
