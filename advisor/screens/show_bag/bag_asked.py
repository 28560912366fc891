"""A bag as it was asked about, from flags or from a case, in the simulation's terms."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from advisor.advice.facts.sheet import FactSheet
from advisor.advice.results import MoveResult
from advisor.bag.banded import Amount, Band
from advisor.bag.inputs import Measured, SealedBag
from advisor.bag.tank_told import Tank
from advisor.errors import AdvisorError
from advisor.rulebase.species import Kind
from advisor.units import Quantity


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
