"""A bag from the flags of the command line."""

from __future__ import annotations

import argparse
import re

from advisor.advice.facts.counted_facts import mass_of
from advisor.advice.facts.forecast import GAS_TO_WATER, usual_salinity_g_kg
from advisor.bag.banded import Amount, Band, centre
from advisor.bag.inputs import Gas, Measured, SealedBag, TemperaturePath
from advisor.bag.tank_told import Tank
from advisor.case import Lot
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase
from advisor.rulebase.species import Kind, kind_of, similar_species
from advisor.screens.show_bag.bag_asked import BagAsked, Later, amount, in_flags
from advisor.screens.show_water.typed_values import read_kit, read_value
from advisor.units import Quantity, is_unknown
from advisor.units.kits import Kit
from advisor.wording.nearest import nearest
from advisor.wording.numbers import exact

#: How a person names a filter -> how the simulation does.
FILTERS = {
    "mature": "cycled", "cycled": "cycled", "part": "part", "seeded": "part",
    "new": "new", "none": "new",
}  # fmt: skip
GASES = ("oxygen", "air", "none")
ANSWERS = {"yes": True, "no": False}


class _Flags:
    """Reads the flags of one command line; each text into its stored unit."""

    def __init__(self, args: argparse.Namespace) -> None:
        self.args = args
        text = args.kit
        self.kit: Kit | None = None if text is None else read_kit(text, "--kit")

    def text(self, name: str) -> str | None:
        """What was typed, None when the flag is absent or says unknown."""
        found: str | None = getattr(self.args, name)
        return None if found is None or is_unknown(found) else found

    def quantity(self, name: str, parameter: str, *, kit: bool = False) -> Quantity | None:
        text = self.text(name)
        flag = "--" + name.replace("_", "-")
        used = self.kit if kit else None
        return None if text is None else read_value(text, parameter, flag, kit=used)

    def amount(self, name: str, parameter: str, *, kit: bool = False) -> Amount | None:
        return amount(self.quantity(name, parameter, kit=kit))

    def number(self, name: str, parameter: str) -> float | None:
        found = self.quantity(name, parameter)
        return None if found is None else found.value

    def word(self, name: str, known: tuple[str, ...]) -> str | None:
        text = self.text(name)
        if text is None or text.strip().lower() in known:
            return None if text is None else text.strip().lower()
        flag = "--" + name.replace("_", "-")
        raise AdvisorError(
            f'{flag}: "{text}" is not one of {", ".join(known)}, unknown{nearest(text, known)}.'
        )


def bag_of_flags(args: argparse.Namespace, base: RuleBase) -> BagAsked:
    """The bag the flags describe.

    Raises AdvisorError, one sentence with the flag in it.
    """
    flags = _Flags(args)
    lot = Lot(id="bag", species=args.species, group=args.group)
    kind, notices = _kind(lot, base)
    count = _count(flags)
    mass = _mass(flags, lot, kind, count)
    tank = _tank(flags)
    salinity = flags.amount("salinity", "salinity_g_kg")
    salinity = usual_salinity_g_kg(kind) if salinity is None else salinity
    try:
        bag, lacks = _sealed(flags, kind, count, mass, salinity)
        measured = _measured(flags, bag, count, mass)
    except AdvisorError as fault:
        raise in_flags(fault) from None
    if bag is None:
        _alone(measured, lacks, kind)
        notices += (f"No forecast of the journey: it needs {' and '.join(lacks)}.",)
    return BagAsked(
        name="bag",
        label=label_of(bag, kind, args.species or args.group),
        bag=bag,
        measured=measured,
        tank=tank,
        kind=kind,
        later=_later(flags),
        fish_count=count or 0,
        fish_mass_g=mass,
        sealed=None if args.minutes_open is None else False,
        notices=notices,
    )


def label_of(bag: SealedBag | None, kind: Kind | None, written: str | None) -> str:
    """One line saying what bag this is."""
    if bag is None:
        return "A bag known by its readings"
    fish = written or (kind.group.name if kind and kind.certain else "fish")
    mass, water = bag.fish_mass_g, centre(bag.water_l)
    over = f"{exact(centre(bag.gas_l))} L {bag.gas}" if bag.gas != "none" else "no gas"
    of = f" of {exact(centre(mass))} g" if mass is not None else ""
    return (
        f"{bag.fish_count} {fish}{of} in {exact(water)} L under {over}, {exact(bag.hours)} h sealed"
    )


def _kind(lot: Lot, base: RuleBase) -> tuple[Kind | None, tuple[str, ...]]:
    if lot.group is not None and lot.group not in base.groups:
        raise AdvisorError(
            f'--group: no group "{lot.group}" in the rule base{nearest(lot.group, base.groups)}'
            if nearest(lot.group, base.groups)
            else f'--group: no group "{lot.group}" in the rule base; list them with advisor rules.'
        )
    kind = kind_of(lot, base)
    if lot.species is None and lot.group is None:
        return kind, ("Kind of fish not given; --species narrows the band.",)
    if kind is not None and not kind.certain:
        near = similar_species(lot.species or "", base)
        hint = f" Like it: {', '.join(near)}." if near else ""
        return kind, (f"{kind.note}.{hint}",)
    return kind, ()


def _count(flags: _Flags) -> int | None:
    text = flags.text("fish")
    if text is None:
        return None
    if re.fullmatch(r"\s*\d{1,6}\s*(fish)?\s*", text) is None:
        raise AdvisorError(f'--fish: "{text.strip()}" is not a number of fish; give 0 or more.')
    return int(re.sub(r"\D", "", text))


def _mass(flags: _Flags, lot: Lot, kind: Kind | None, count: int | None) -> Amount | None:
    given = flags.amount("mass", "mass_g")
    if given is not None or count == 0:
        return given
    table = mass_of(lot, kind)
    return None if table is None else Band(*table[:3])


def _sealed(
    flags: _Flags, kind: Kind | None, count: int | None, mass: Amount | None, salinity: Amount
) -> tuple[SealedBag | None, tuple[str, ...]]:
    """The bag, or None and the flags that are missing for a forecast."""
    water, hours = flags.amount("water", "volume_l"), flags.number("hours", "hours")
    needs = {"--water": water, "--fish": count, "--hours": hours}
    needs |= {} if count == 0 else {"--mass (or a --species of the table)": mass}
    lacks = tuple(flag for flag, value in needs.items() if value is None)
    if water is None or hours is None or count is None or lacks:
        return None, lacks
    gas_l, gas = _gas(flags, water)
    certain = kind is not None and kind.certain
    sedated = flags.word("sedated", ("yes", "no"))
    return SealedBag(
        water_l=water,
        gas_l=gas_l,
        gas=gas,
        fish_count=count,
        fish_mass_g=mass,
        hours=hours,
        temperature=_temperature(flags),
        fasted_hours=flags.number("fasted", "hours"),
        sedated=None if sedated is None else ANSWERS[sedated],
        ph=flags.amount("packed_ph", "ph", kit=True),
        alkalinity_mg_l_caco3=flags.amount("alkalinity", "alkalinity_mg_l_caco3", kit=True),
        tan_mg_l=flags.amount("packed_tan", "tan_mg_l", kit=True),
        salinity_g_kg=salinity,
        conductivity_us_cm=flags.amount("conductivity", "conductivity_us_cm"),
        oxygen_use_factor=kind.group.oxygen_use_factor if kind and certain else None,
        air_breather=bool(kind and "air_breather" in kind.traits),
    ), ()


def _gas(flags: _Flags, water: Amount) -> tuple[Amount, Gas]:
    kind = flags.word("gas_kind", GASES)
    text = flags.text("gas")
    if text is not None and re.fullmatch(r"\s*0+(\.0*)?\s*[a-zA-Z]*\s*|none", text):
        return 0.0, "none"
    if kind == "none":
        if text is not None:
            raise AdvisorError(f"--gas: {text} of gas, but --gas-kind is none; leave one out.")
        return 0.0, "none"
    gas: Gas = "air" if kind == "air" else "oxygen"
    volume = flags.amount("gas", "volume_l")
    if volume is None:
        volume = Band(*(centre(water) * times for times in GAS_TO_WATER))
    return volume, gas


def _temperature(flags: _Flags) -> TemperaturePath:
    """Where the temperature ended; what is not told of the way is a band around it."""
    packed = flags.amount("packed_temp", "temperature_c")
    outside = flags.amount("outside", "temperature_c")
    now = flags.amount("temp", "temperature_c")
    return TemperaturePath(start_c=packed, outside_c=outside, arrival_c=now)


def _measured(
    flags: _Flags, bag: SealedBag | None, count: int | None, mass: Amount | None
) -> Measured | None:
    readings = {
        "ph": flags.amount("ph", "ph", kit=True),
        "tan_mg_l": flags.amount("tan", "tan_mg_l", kit=True),
        "do_mg_l": flags.amount("do", "do_mg_l", kit=True),
    }
    if (later := flags.amount("later_temp", "temperature_c")) is not None:
        readings["temperature_c"] = later
    elif bag is None or isinstance(bag.temperature, TemperaturePath):
        readings["temperature_c"] = flags.amount("temp", "temperature_c")
    open_for = flags.number("minutes_open", "minutes") or 0.0
    if bag is not None:
        found = {name: value for name, value in readings.items() if value is not None}
        return Measured(**found, minutes_after_opening=open_for) if found else None
    readings |= {
        "alkalinity_mg_l_caco3": flags.amount("alkalinity", "alkalinity_mg_l_caco3", kit=True),
        "salinity_g_kg": flags.amount("salinity", "salinity_g_kg"),
        "conductivity_us_cm": flags.amount("conductivity", "conductivity_us_cm"),
        "water_l": flags.amount("water", "volume_l"),
    }
    if count and mass is not None:
        readings["fish_total_g"] = count * centre(mass)
    return Measured(**readings, minutes_after_opening=open_for)


def _alone(measured: Measured | None, lacks: tuple[str, ...], kind: Kind | None) -> None:
    """Without a forecast the readings must carry the answer."""
    if measured is None or measured.ph is None or measured.tan_mg_l is None:
        note = kind.note if kind and kind.note and "table" in kind.note else ""
        unknown = (
            f" ({note})" if note and not any(f in lacks for f in ("--water", "--hours")) else ""
        )
        raise AdvisorError(
            f"{lacks[0].split()[0]}: missing{unknown}; a forecast needs --water, --fish, --mass "
            "and --hours, or give --ph and --tan read in the bag. "
            "Example: advisor bag --water 2L --gas 4L --fish 40 --mass 0.4g --hours 30 --temp 24C"
        )


def _tank(flags: _Flags) -> Tank:
    word = flags.word("filter", tuple(FILTERS))
    return Tank(
        volume_l=flags.number("tank_volume", "volume_l"),
        temperature_c=flags.amount("tank_temp", "temperature_c"),
        ph=flags.amount("tank_ph", "ph", kit=True),
        alkalinity_mg_l_caco3=flags.amount("tank_alkalinity", "alkalinity_mg_l_caco3", kit=True),
        tan_mg_l=flags.amount("tank_tan", "tan_mg_l", kit=True),
        nitrite_mg_l=flags.amount("tank_nitrite", "nitrite_mg_l", kit=True),
        salinity_g_kg=flags.amount("tank_salinity", "salinity_g_kg"),
        conductivity_us_cm=flags.amount("tank_conductivity", "conductivity_us_cm"),
        filter=None if word is None else FILTERS[word],
    )


def _later(flags: _Flags) -> Later | None:
    first = flags.number("temp", "temperature_c")
    later = flags.number("later_temp", "temperature_c")
    minutes = flags.number("after", "minutes")
    if later is None and minutes is None:
        return None
    if first is None or later is None or minutes is None:
        raise AdvisorError(
            "--later-temp: give it with --temp before floating and --after, such as "
            "--temp 19C --later-temp 22C --after 10min."
        )
    return Later(first, later, minutes)
