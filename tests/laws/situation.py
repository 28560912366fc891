"""Where a lot stands at one hour, read by the test from the case's own data.

Built from the plain data of a case (as in its file), never from the advisor's facts. The
newest look leads: its signs, its readings, its counts. A reading keeps the band of its kit;
a kit that stands at zero found nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from tests.laws.kinds import Kind, kind_of

#: (absolute, share of the reading) that the truth may differ by. Strips are good to one block
#: (Anand 2001, Water Conditioning & Purification, September); others common practice, no source.
_REACH = {
    "temperature_c": {"meter": (0.5, 0), "lab": (0.2, 0), "strip": (2, 0), "": (1, 0)},
    "ph": {"meter": (0.2, 0), "lab": (0.1, 0), "strip": (0.5, 0), "": (0.4, 0)},
    "do_mg_l": {"meter": (0.3, 0), "lab": (0.2, 0), "": (1, 0)},
    "salinity_g_kg": {"meter": (1, 0), "lab": (0.2, 0), "": (2, 0)},
    "conductivity_us_cm": {"meter": (5, 0.05), "": (5, 0.1)},
    "total_gas_pressure_pct": {"": (1, 0)},
    "": {"meter": (0.05, 0.1), "lab": (0, 0.1), "drops": (0, 0.5), "colour_card": (0, 0.5),
         "strip": (0, 0.6), "": (0, 0.5)},
}  # fmt: skip
_STAMPS = ("opened_at_hours", "released_at_hours")
_DOWN = {"lying_on_side", "loss_of_equilibrium", "spinning_convulsions", "unresponsive"}
_BREATH = {"gasping_at_surface", "hanging_near_inflow"}
_LACKS = {
    "dechlorinator": r"\b(no|without|out of|not any) (more )?(dechlorinator|thiosulfate|water "
    r"conditioner|conditioner)\b|\b(dechlorinator|conditioner) (is|has) (run out|finished)",
    "power": r"\bpower (cut|is off|out|failure|is out)\b|\bno (power|mains|electricity)\b|"
    r"\bblackout\b",
    "tank": r"\bno (tank|receiving tank|system)\b|\bno (running|ready) tank\b",
    "heater": r"\bno (spare )?heater\b",
    "other_tank": r"\bno (other|second|spare|quarantine) (tank|system)\b",
    "air": r"\bno (air pump|air stone|airstone|pump)\b",
    "tub": r"\bno (tubs?|buckets?|spare (tub|vessel))\b",
    "salt": r"\bno salt\b|\bsalt (is|has) run out\b",
    "second_person": r"\b(alone|no (second|other) (person|hand|helper)|single[- ]handed)\b",
    "thermometer": r"\bno thermometer\b",
    "kit": r"\bno (test )?kits?\b",
}


@dataclass(frozen=True)
class Figure:
    """A reading with the band its kit leaves open."""

    value: float
    low: float
    high: float
    kit: str = ""

    @property
    def nothing_found(self) -> bool:
        """The kit stood at zero."""
        return self.value == 0


@dataclass(frozen=True)
class Water:
    """The newest readings of one water, by their stored name, and the hour of each."""

    readings: Mapping[str, Figure] = field(default_factory=dict)
    hours: Mapping[str, float] = field(default_factory=dict)

    def value(self, name: str) -> float | None:
        figure = self.readings.get(name)
        return None if figure is None else figure.value

    def surely_at_least(self, name: str, limit: float) -> bool:
        """Present for certain: found by its kit, and its whole band reaches the limit."""
        figure = self.readings.get(name)
        return figure is not None and figure.value > 0 and figure.low >= limit

    def surely_at_most(self, name: str, limit: float) -> bool:
        figure = self.readings.get(name)
        return figure is not None and figure.high <= limit

    def read_at_least(self, name: str, limit: float) -> bool:
        """The figure itself, without its band, reaches the limit."""
        value = self.value(name)
        return value is not None and value >= limit

    def read_at_most(self, name: str, limit: float) -> bool:
        value = self.value(name)
        return value is not None and value <= limit

    def none_found(self, name: str) -> bool:
        figure = self.readings.get(name)
        return figure is not None and figure.nothing_found

    def nh3_mg_l(self, end: str = "low") -> float | None:
        """Un-ionised ammonia as N at one end of the bands: Emerson et al. (1975), fresh water.

        In the sea the share is some tenths lower; the low end is then taken at 0.75 of it.
        """
        parts = [self.readings.get(n) for n in ("tan_mg_l", "ph", "temperature_c")]
        if None in parts:
            return None
        tan, ph, temperature = (getattr(part, end) for part in parts)
        share = 1 / (1 + 10 ** (0.09018 + 2729.92 / (temperature + 273.15) - ph))
        salty = self.read_at_least("salinity_g_kg", 15)
        return float(tan * share * (0.75 if salty else 1))


@dataclass(frozen=True)
class Situation:
    """One lot at one hour: where it is, what its water is, what was seen and done."""

    lot: str
    kind: Kind
    species: str | None
    place: str
    hours_in_place: float | None
    hour: float
    bag: Water
    tank: Water
    tap: Water
    packed: Water
    tub: Water
    seen: frozenset[str]
    not_seen: frozenset[str]
    down: int
    dead: int
    normal: int | None
    count: int | None
    done: str
    notes: str
    lacks: frozenset[str]
    history: Mapping[str, Any]
    receiving: Mapping[str, Any]
    own: Mapping[str, Any]
    transit: Mapping[str, Any]
    others: tuple[Situation, ...] = ()
    ever_seen: frozenset[str] = frozenset()
    lately: frozenset[str] = frozenset()
    done_lately: str = ""

    @property
    def present(self) -> Water:
        """The water the fish are in now; of an unknown place nothing is known."""
        waters = {"tank": self.tank, "tub": self.tub, "closed_bag": self.bag, "open_bag": self.bag}
        return waters.get(self.place, Water())

    @property
    def next(self) -> Water:
        """The water they are to go into."""
        return Water() if self.place == "tank" else self.tank

    @property
    def in_bag(self) -> bool:
        return self.place in ("closed_bag", "open_bag")

    @property
    def none_alive(self) -> bool:
        """The newest count leaves no fish that breathes."""
        all_dead = self.count is not None and 0 < self.count <= self.dead
        return all_dead or (self.normal == 0 and not self.down and self.dead > 0)

    @property
    def is_down(self) -> bool:
        """Seen to lie, roll or not to answer; or a tenth and more counted down."""
        total = self.count or (self.normal or 0) + self.down + self.dead
        signs = _DOWN - ({"lying_on_side"} if self.kind.lies_when_well else set())
        return bool(self.seen & signs) or (self.down > 0 and self.down >= 0.1 * total)

    @property
    def gasps(self) -> bool:
        """Gulping at the surface, or for kinds that breathe air as well: gulping and down."""
        if self.kind.air_breather:
            return bool(self.seen & _BREATH) and bool(self.seen & (_DOWN | {"weak_response"}))
        return bool(self.seen & _BREATH)

    @property
    def distress(self) -> bool:
        return self.is_down or self.gasps

    @property
    def calm(self) -> bool:
        """Someone looked; fish swim or answer, nothing is wrong that can be seen."""
        well = {"swimming_normally", "answers_a_hand", "eating", "breathing_settling"}
        quiet = well | {"hiding", "pale_body_colour_loss", "lying_on_bottom_upright",
                        "hanging_at_surface", "refusing_food"}  # fmt: skip
        return bool(self.seen & well) and self.seen <= quiet and not self.down and not self.dead

    def said(self, name: str) -> Any:
        """What the case says under this history name, of the lot or of the delivery."""
        own = self.own.get("history", {})
        return own.get(name, self.history.get(name, self.receiving.get(name, self.own.get(name))))

    def yes(self, *names: str) -> bool:
        return any(self.said(name) == "yes" for name in names)


def lots_of(case: Any, until_hours: float | None = None) -> dict[str, Situation]:
    """A Situation for every lot of ``case`` (a case model or its plain data), by lot id."""
    data = case if isinstance(case, Mapping) else case.model_dump(mode="json", exclude_none=True)
    looks = [
        look
        for look in data.get("observation", ())
        if until_hours is None or look.get("at_hours", 0) <= until_hours
    ]
    # A bag stamped as opened or left after the last look was opened and left: a file tells of acts.
    stamps = (lot.get(k) for lot in data.get("lot", ()) for k in _STAMPS)
    told = (*(s for s in stamps if s is not None), *(o.get("at_hours", 0.0) for o in looks))
    hour = max(told, default=0.0) if until_hours is None else until_hours
    alone = {lot["id"]: _one(data, lot, looks, hour) for lot in data.get("lot", ())}
    return {
        name: _with_others(one, tuple(o for n, o in alone.items() if n != name))
        for name, one in alone.items()
    }


def _with_others(one: Situation, others: tuple[Situation, ...]) -> Situation:
    return Situation(**{**one.__dict__, "others": others})


def _one(data: Mapping[str, Any], lot: Mapping[str, Any], looks: list[Any], hour: float) -> Any:
    mine = sorted(
        (o for o in looks if o.get("lot", "all") in ("all", lot["id"])),
        key=lambda o: o.get("at_hours", 0),
    )
    waters = {name: _water(mine, name) for name in ("bag", "tank", "tap", "tub")}
    eyes = [o for o in mine if not o.get("from_log")]
    newest = max((o.get("at_hours", 0) for o in eyes if _looked(o)), default=None)
    latest = [o for o in eyes if _looked(o) and o.get("at_hours", 0) == newest]
    seen = {sign for o in latest for sign in o.get("seen", ())}
    counts = _counts(eyes)
    done = _done(eyes)
    place, since = _place(lot, eyes, hour, done)
    released, opened = lot.get("released_at_hours"), lot.get("opened_at_hours")
    timed = (released is not None and released > hour) or (
        opened is not None and hour - opened <= 12
    )
    timed = timed or any(
        o.get("minutes_after_opening") for o in eyes if o.get("at_hours", 0) >= hour - 12
    )
    if place == "unknown" and waters["tank"].readings and not waters["bag"].readings and not timed:
        place = "tank"  # only the tank was read; no coming release or fresh opening says else
    notes = " ".join(_notes(data, lot, eyes)).lower()
    history = data.get("history", {})
    return Situation(
        lot=lot["id"],
        kind=kind_of(lot.get("species"), lot.get("group")),
        species=lot.get("species") or lot.get("group"),
        place=place,
        hours_in_place=since,
        hour=hour,
        **waters,
        packed=Water({k: _figure(k, v) for k, v in lot.get("packed", {}).items()}),
        seen=frozenset(seen),
        not_seen=frozenset(s for o in latest for s in o.get("not_seen", ())) - frozenset(seen),
        ever_seen=frozenset(s for o in eyes for s in o.get("seen", ())),
        lately=_lately(eyes, hour),
        down=counts.get("down", 0),
        dead=max(counts.get("dead", 0), lot.get("dead_on_arrival") or 0),
        normal=counts.get("normal"),
        count=lot.get("count"),
        done=done.lower(),
        done_lately=_done(o for o in eyes if o.get("at_hours", 0) >= hour - 6),
        notes=notes,
        lacks=_lacks(notes, history, data.get("receiving", {})),
        history=history,
        receiving=data.get("receiving", {}),
        own=lot,
        transit=data.get("transit", {}),
    )


#: Sablefish that were netted and aired moved ill for 3 h and more and were well by 24 h; those that
#: moved ill were those that died later (Davis 2005, doi 10.1111/j.0022-1112.2005.00602.x).
_RECOVERED_H = 24


def _lately(looks: Iterable[Any], hour: float) -> frozenset[str]:
    """Signs of the last day that no later look sought in vain: they may hold still."""
    last: dict[str, bool] = {}
    for look in looks:
        if look.get("at_hours", 0) >= hour - _RECOVERED_H:
            last |= dict.fromkeys(look.get("not_seen", ()), False)
            last |= dict.fromkeys(look.get("seen", ()), True)
    return frozenset(sign for sign, seen in last.items() if seen)


def _done(looks: Iterable[Any]) -> str:
    """What was done, by the looks' own words, in lower case."""
    return " ".join(
        text for o in looks for text in (*o.get("done", ()), o.get("note") or "")
    ).lower()


def _looked(look: Mapping[str, Any]) -> bool:
    return bool(look.get("seen") or look.get("not_seen"))


def _counts(looks: list[Any]) -> dict[str, int]:
    for look in reversed(looks):
        if look.get("counts"):
            return {k: v for k, v in look["counts"].items() if v is not None}
    return {}


def _notes(data: Mapping[str, Any], lot: Mapping[str, Any], looks: list[Any]) -> Iterable[str]:
    for part in ("delivery", "transit", "receiving"):
        yield data.get(part, {}).get("notes") or ""
    yield lot.get("notes") or ""
    for look in looks:
        yield from (*look.get("words", ()), *look.get("done", ()), look.get("note") or "")


def _lacks(notes: str, history: Mapping[str, Any], receiving: Mapping[str, Any]) -> frozenset[str]:
    lacks = {name for name, pattern in _LACKS.items() if re.search(pattern, notes)}
    said = {
        "power_out": "power",
        "no_dechlorinator": "dechlorinator",
        "no_other_tank": "other_tank",
    }
    lacks |= {lack for name, lack in said.items() if history.get(name) == "yes"}
    return frozenset(lacks)


def _place(
    lot: Mapping[str, Any], looks: list[Any], hour: float, done: str
) -> tuple[str, float | None]:
    """closed_bag, open_bag, tub, tank or unknown; and for how many hours, if it is said."""
    said = lot.get("history", {}).get("fish_are_in")
    newest = max((o.get("at_hours", 0.0) for o in looks), default=0.0)
    # No fish goes back into its bag: a later stamp that has them out of it is the newer.
    left = {"closed_bag": _STAMPS, "open_bag": _STAMPS[1:], "tub": _STAMPS[1:]}.get(said, ())
    stamps = [lot.get(k) for k in left]
    later = any(s is not None and newest < s <= hour for s in stamps)
    if said in ("closed_bag", "open_bag", "tub", "tank") and not later:
        since = lot.get("released_at_hours" if said == "tank" else "opened_at_hours")
        return said, None if since is None or said == "tub" else max(0.0, hour - since)
    released, opened = lot.get("released_at_hours"), lot.get("opened_at_hours")
    if re.search(
        r"\b(into|in|to) (a|an|the|its|their own) ([\w-]+ ){0,3}(tub|bucket|basin)\b", done
    ):
        return "tub", None
    if released is not None and released <= hour:
        return "tank", hour - released
    if lot.get("sealed") == "yes" and (opened is None or opened > hour):
        return "closed_bag", lot.get("hours_sealed")
    # Of a look that tells how long the bag stood open: since then it has stood on.
    told = [
        hour - o.get("at_hours", 0) + o["minutes_after_opening"] / 60
        for o in looks
        if o.get("minutes_after_opening")
    ]
    if opened is not None and opened <= hour:
        open_for = hour - opened
    elif told:
        open_for = max(told)
    else:
        method = lot.get("release_method") not in (None, "unknown")
        ahead = released is not None  # its hour lies ahead: they are not there yet
        return ("tank" if method and not ahead else "unknown"), None
    # A bag that stood open for half a day and more without a word of it is no plain case.
    return ("open_bag", open_for) if open_for <= 12 else ("unknown", None)


def _water(looks: list[Any], name: str) -> Water:
    readings: dict[str, Figure] = {}
    hours: dict[str, float] = {}
    for look in looks:
        for parameter, given in look.get(name, {}).items():
            readings[parameter] = _figure(parameter, given)
            hours[parameter] = look.get("at_hours", 0.0)
    return Water(readings, hours)


def _figure(parameter: str, given: Any) -> Figure:
    """The band: what the person wrote, else what the kind of kit leaves open."""
    if isinstance(given, str):  # as typed; only °F is read here, the loader reads the rest
        given = _typed(given)
    told = given if isinstance(given, Mapping) else {"value": given}
    value, kit = float(told["value"]), told.get("kit") or ""
    table = _REACH.get(parameter, _REACH[""])
    absolute, share = table.get(kit, table[""])
    reach = max(absolute, share * abs(value))
    low = told["low"] if told.get("low") is not None else value - reach
    high = told["high"] if told.get("high") is not None else value + 2 * reach * (share > 0.3)
    if told.get("high") is None and share <= 0.3:
        high = value + reach
    if parameter not in ("temperature_c",):
        low = max(0.0, float(low))
    return Figure(value, float(low), float(high), kit)


def _typed(text: str) -> float:
    """The figure of a typed reading in its stored unit: "78 F" is 25.6, "1 mg/L as NO2" 0.30."""
    value = float(re.findall(r"-?\d+(?:\.\d+)?", text)[0])
    if text.rstrip().endswith("F"):
        return (value - 32) * 5 / 9
    return value * 0.3045 if "NO2" in text else value
