"""A bag as it was asked about, from flags or from a case, in the simulation's terms."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from advisor.advice.facts.sheet import FactSheet
from advisor.advice.results import MoveResult
from advisor.bag.banded import Amount, Band
from advisor.bag.inputs import Measured, SealedBag, TankWater
from advisor.errors import AdvisorError
from advisor.rulebase.species import Kind
from advisor.units import Quantity
from advisor.wording.numbers import exact

#: Volume taken for a tank whose size is not known [L]; it matters only to pouring bag water in.
ANY_TANK_L = 1000.0


@dataclass(frozen=True)
class Tank:
    """The receiving water as far as it is known; None is unknown.

    filter : "cycled", "part" or "new", None unknown
    """

    volume_l: float | None = None
    temperature_c: Amount | None = None
    ph: Amount | None = None
    alkalinity_mg_l_caco3: Amount | None = None
    tan_mg_l: Amount | None = None
    nitrite_mg_l: Amount | None = None
    do_mg_l: Amount | None = None
    salinity_g_kg: Amount | None = None
    conductivity_us_cm: Amount | None = None
    filter: str | None = None


@dataclass(frozen=True)
class Later:
    """Bag temperatures [°C] before and after so many minutes of floating."""

    first_c: float
    later_c: float
    minutes: float


@dataclass(frozen=True)
class BagAsked:
    """One bag to look at.

    name        : the lot, or "bag"
    label       : one line saying what it is
    bag         : None when too little is known for a forecast; ``measured`` then stands alone
    later       : a second look at a floating bag, None without one
    emergency   : what the assessment of the case has to be done for this lot at once
    move        : the way the assessment of the case chose for this lot
    sheet       : facts of the lot, from a case
    fish_count, fish_mass_g : of the whole lot, for the tank
    sealed      : whether the bag is still shut, None unknown
    released    : the fish are out of it already
    """

    name: str
    label: str
    bag: SealedBag | None
    measured: Measured | None
    tank: Tank
    kind: Kind | None = None
    later: Later | None = None
    emergency: str | None = None
    move: MoveResult | None = None
    sheet: FactSheet | None = None
    fish_count: int = 0
    fish_mass_g: Amount | None = None
    sealed: bool | None = None
    released: bool = False
    notices: tuple[str, ...] = field(default=())


def amount(found: Quantity | None) -> Amount | None:
    """A typed quantity as the simulation takes it: exact, or with its band."""
    if found is None:
        return None
    if found.low == found.high:
        return found.value
    return Band(found.value, found.low, found.high)


def tank_water(tank: Tank, salinity_g_kg: Amount) -> tuple[TankWater, tuple[str, ...]]:
    """The tank for the simulation, and what had to be taken for granted, in words.

    salinity_g_kg : of the bag, taken for a tank whose salinity is not known

    Raises AdvisorError for an impossible tank.
    """
    from advisor.bag import defaults
    from advisor.water.seawater import SEA_FROM_G_KG

    taken = []

    def known_or(given: Amount | None, usual: object, what: str, unit: str) -> Amount:
        if given is not None:
            return given
        value, low, high = (getattr(usual, end) for end in ("value", "low", "high"))
        taken.append(f"{what} {exact(value)} {unit} ({exact(low)} to {exact(high)})")
        return Band(value, low, high)

    sea = _middle(salinity_g_kg) > SEA_FROM_G_KG
    alkalinity = defaults.START_ALKALINITY_SEA if sea else defaults.START_ALKALINITY
    try:
        water = TankWater(
            volume_l=ANY_TANK_L if tank.volume_l is None else tank.volume_l,
            temperature_c=known_or(
                tank.temperature_c, defaults.START_TEMPERATURE, "temperature", "°C"
            ),
            alkalinity_mg_l_caco3=known_or(
                tank.alkalinity_mg_l_caco3, alkalinity, "alkalinity", "mg/L as CaCO3"
            ),
            ph=tank.ph,
            tan_mg_l=tank.tan_mg_l or 0.0,
            do_mg_l=tank.do_mg_l,
            salinity_g_kg=salinity_g_kg if tank.salinity_g_kg is None else tank.salinity_g_kg,
            conductivity_us_cm=tank.conductivity_us_cm,
        )
    except AdvisorError as fault:
        raise in_flags(fault, TANK_FLAGS) from None
    if tank.ph is None:
        taken.append("pH in balance with room air")
    if tank.tan_mg_l is None:
        taken.append("no ammonia in it")
    return water, tuple(taken)


def _middle(amount: Amount) -> float:
    return amount.value if isinstance(amount, Band) else amount


#: Field of the simulation's inputs -> the flag a person typed.
FLAGS: Mapping[str, str] = {
    "water_l": "--water",
    "gas_l": "--gas",
    "gas": "--gas-kind",
    "fish_count": "--fish",
    "fish_mass_g": "--mass",
    "hours": "--hours",
    "fasted_hours": "--fasted",
    "temperature_c": "--temp",
    "start_c": "--packed-temp",
    "outside_c": "--outside",
    "ph": "--ph",
    "tan_mg_l": "--tan",
    "do_mg_l": "--do",
    "alkalinity_mg_l_caco3": "--alkalinity",
    "salinity_g_kg": "--salinity",
    "conductivity_us_cm": "--conductivity",
    "minutes_after_opening": "--minutes-open",
    "later_c": "--later-temp",
    "minutes_between": "--after",
}
#: The same for the tank.
TANK_FLAGS: Mapping[str, str] = {
    "volume_l": "--tank-volume",
    "temperature_c": "--tank-temp",
    "ph": "--tank-ph",
    "alkalinity_mg_l_caco3": "--tank-alkalinity",
    "tan_mg_l": "--tank-tan",
    "salinity_g_kg": "--tank-salinity",
    "conductivity_us_cm": "--tank-conductivity",
}


def in_flags(fault: AdvisorError, flags: Mapping[str, str] = FLAGS) -> AdvisorError:
    """The same sentence with the flag a person typed in place of the field's name."""
    name, colon, rest = str(fault).partition(":")
    flag = flags.get(name)
    return AdvisorError(f"{flag}:{rest}") if colon and flag else fault
