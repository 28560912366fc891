"""What the simulations are told: the bag, readings of it, and the tank.

None always means unknown and widens the band; it never means zero. A number
may be exact or a :class:`Band` (a colour card's reading step, a guessed mass).
Every fault is one :class:`AdvisorError` sentence, raised when the object is made.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from typing import Literal

from advisor.bag.banded import Amount, Band, centre, ends
from advisor.errors import AdvisorError
from advisor.water.input_checks import check_between
from advisor.wording.numbers import exact

Gas = Literal["oxygen", "air", "none"]
Posture = Literal["lying", "standing"]
Motion = Literal["still", "carried", "rocked"]

#: Lowest and highest value of each field that makes sense at all, and its unit.
ALLOWED: dict[str, tuple[float, float, str]] = {
    "water_l": (0.005, 5000.0, "L"),
    "gas_l": (0.0, 20000.0, "L"),
    "fish_mass_g": (0.001, 50000.0, "g each"),
    "hours": (0.0, 240.0, "h"),
    "fasted_hours": (0.0, 2000.0, "h"),
    "ph": (3.0, 11.0, ""),
    "alkalinity_mg_l_caco3": (0.0, 2000.0, "mg/L as CaCO3"),
    "tan_mg_l": (0.0, 500.0, "mg/L as N"),
    "do_mg_l": (0.0, 60.0, "mg/L"),
    "salinity_g_kg": (0.0, 45.0, "g/kg"),
    "conductivity_us_cm": (0.0, 100000.0, "µS/cm"),
    "temperature_c": (0.0, 40.0, "°C"),
    "start_c": (0.0, 40.0, "°C"),
    "outside_c": (-40.0, 60.0, "°C"),
    "time_constant_h": (0.05, 1000.0, "h"),
    "oxygen_use_factor": (0.05, 10.0, "times the default"),
    "depth_cm": (0.3, 200.0, "cm"),
    "arrival_c": (0.0, 40.0, "°C"),
    "minutes_after_opening": (0.0, 10000.0, "min"),
    "fish_total_g": (0.0, 500000.0, "g"),
    "volume_l": (0.5, 1e7, "L"),
    "kla_per_h": (0.0, 200.0, "per h"),
}


@dataclass(frozen=True, kw_only=True)
class TemperaturePath:
    """Water temperature in transit: start, and drift towards the air outside the box.

    start_c         : at packing [°C]; None unknown (taken as 24, 21 to 27)
    outside_c       : air around the box [°C]; None means no drift is known
    time_constant_h : hours in which the gap to the outside falls to 37 %; None
                      takes a foam box's, see ``defaults.BOX_TIME_CONSTANT_H``
    arrival_c       : read when the box came [°C]; the course then ends there, and
                      what is not told of the way is a band around it
    """

    start_c: Amount | None = None
    outside_c: Amount | None = None
    time_constant_h: Amount | None = None
    arrival_c: Amount | None = None

    def __post_init__(self) -> None:
        check_fields(self)


@dataclass(frozen=True, kw_only=True)
class SealedBag:
    """One sealed bag (or jar) as it was packed.

    water_l, gas_l : volumes [L] without the fish; gas_l 0 only with gas "none"
    gas            : "oxygen", "air" or "none"
    fish_count     : number of fish; 0 is allowed
    fish_mass_g    : mass of one fish [g]; None only without fish
    hours          : from sealing to now [h]
    temperature    : a TemperaturePath, or one constant temperature [°C]
    fasted_hours   : since the last meal before packing [h]; None unknown
    sedated        : True, False, or None unknown
    ph, alkalinity_mg_l_caco3, tan_mg_l, do_mg_l : the water as packed; None unknown
    salinity_g_kg, conductivity_us_cm : of the water; conductivity None unknown
    oxygen_use_factor : oxygen use of this kind of fish against the default small
                      warm-water fish of the same mass; None unknown, wider band
    air_breather   : takes part of its oxygen from the gas
    rigid          : a jar or drum (volume stays) instead of a bag (pressure stays)
    depth_cm       : water depth as the bag lies; None from its volume and posture
    posture        : "lying" or "standing"; None unknown
    motion         : "still", "carried" or "rocked" on the way; None unknown
    dead_count     : dead on arrival, of ``fish_count``; when they died is drawn
    """

    water_l: Amount
    gas_l: Amount
    fish_count: int
    hours: float
    gas: Gas = "oxygen"
    fish_mass_g: Amount | None = None
    temperature: TemperaturePath | Amount = field(default_factory=TemperaturePath)
    fasted_hours: float | None = None
    sedated: bool | None = None
    ph: Amount | None = None
    alkalinity_mg_l_caco3: Amount | None = None
    tan_mg_l: Amount | None = None
    do_mg_l: Amount | None = None
    salinity_g_kg: Amount = 0.0
    conductivity_us_cm: Amount | None = None
    oxygen_use_factor: Amount | None = None
    air_breather: bool = False
    rigid: bool = False
    depth_cm: Amount | None = None
    posture: Posture | None = None
    motion: Motion | None = None
    dead_count: int = 0

    def __post_init__(self) -> None:
        check_fields(self)
        _check_word("posture", self.posture, ("lying", "standing"))
        _check_word("motion", self.motion, ("still", "carried", "rocked"))
        if not isinstance(self.temperature, TemperaturePath):
            check_amount("temperature_c", self.temperature)
        self._check_gas()
        self._check_fish()

    def _check_gas(self) -> None:
        if self.gas not in ("oxygen", "air", "none"):
            raise AdvisorError(f'gas: "{self.gas}" is not known; use "oxygen", "air" or "none".')
        if self.gas == "none" and ends(self.gas_l)[2] > 0.0:
            raise AdvisorError(
                f'gas_l: {exact(centre(self.gas_l))} L of gas, but gas is "none"; '
                'give 0 L, or say "oxygen" or "air".'
            )

    def _check_fish(self) -> None:
        count = self.fish_count
        if isinstance(count, bool) or not isinstance(count, int) or count < 0:
            raise AdvisorError(f"fish_count: {count} is not a number of fish; give 0 or more.")
        if not 0 <= self.dead_count <= count:
            raise AdvisorError(f"dead_count: {self.dead_count} of {count} fish; give 0 to {count}.")
        if count > 0 and self.fish_mass_g is None:
            raise AdvisorError("fish_mass_g: missing; give the grams of one fish, if only a guess.")
        water_g = centre(self.water_l) * 1000.0
        if self.fish_total_g > water_g:
            raise AdvisorError(
                f"fish_mass_g: {count} fish of {exact(centre(self.fish_mass_g or 0.0))} g weigh "
                f"{exact(self.fish_total_g)} g, more than the {exact(water_g)} g of water; "
                "check the count, the mass of one fish in grams and the water in litres."
            )

    @property
    def fish_total_g(self) -> float:
        """Mass of all the fish [g]."""
        return 0.0 if self.fish_mass_g is None else self.fish_count * centre(self.fish_mass_g)


@dataclass(frozen=True, kw_only=True)
class Measured:
    """Readings of the bag's water; each an exact number, a Band, or None unmeasured.

    minutes_after_opening : when they were taken [min]; 0 at opening. CO2 leaves an
                   open bag, so a late pH is no longer the sealed bag's.
    water_l, fish_total_g : only for ``compare_openings`` without a forecast
    """

    ph: Amount | None = None
    tan_mg_l: Amount | None = None
    temperature_c: Amount | None = None
    alkalinity_mg_l_caco3: Amount | None = None
    do_mg_l: Amount | None = None
    salinity_g_kg: Amount | None = None
    conductivity_us_cm: Amount | None = None
    minutes_after_opening: float = 0.0
    water_l: Amount | None = None
    fish_total_g: Amount | None = None

    def __post_init__(self) -> None:
        check_fields(self)


@dataclass(frozen=True, kw_only=True)
class TankWater:
    """The water the fish go to.

    volume_l              : [L]; matters for pouring bag water in
    temperature_c, alkalinity_mg_l_caco3 : required
    ph                    : None takes the pH in equilibrium with room air
    tan_mg_l, salinity_g_kg : 0 unless given
    do_mg_l               : None takes air saturation
    conductivity_us_cm    : None unknown
    kla_per_h             : oxygen exchange of the tank with air [1/h]; None takes a default
    """

    volume_l: float
    temperature_c: Amount
    alkalinity_mg_l_caco3: Amount
    ph: Amount | None = None
    tan_mg_l: Amount = 0.0
    do_mg_l: Amount | None = None
    salinity_g_kg: Amount = 0.0
    conductivity_us_cm: Amount | None = None
    kla_per_h: Amount | None = None

    def __post_init__(self) -> None:
        check_fields(self)


def _check_word(name: str, word: str | None, words: tuple[str, ...]) -> None:
    if word is not None and word not in words:
        known = " or ".join(f'"{each}"' for each in words)
        raise AdvisorError(f'{name}: "{word}" is not known; use {known}, or leave it out.')


def check_fields(record: object) -> None:
    """Check every numeric field of an input record against ``ALLOWED``."""
    for entry in fields(record):  # type: ignore[arg-type]
        value = getattr(record, entry.name)
        if entry.name in ALLOWED and value is not None:
            check_amount(entry.name, value)


def check_amount(name: str, amount: Amount) -> None:
    """Refuse a number its field cannot have, with one sentence."""
    if not isinstance(amount, (int, float, Band)) or isinstance(amount, bool):
        raise AdvisorError(f"{name}: {amount!r} is not a number.")
    value, low, high = ends(amount)
    if not low <= value <= high:
        raise AdvisorError(
            f"{name}: the band {exact(low)} to {exact(high)} lacks its value {exact(value)}."
        )
    least, most, unit = ALLOWED[name]
    for part in (value, low, high):
        check_between(name, part, least, most, unit)
