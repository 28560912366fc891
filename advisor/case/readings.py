"""Water readings as a case keeps them: a value, its band, and what was typed.

Stored units are fixed and stand in the field's name. A reading may be written
in a case file as a plain number or, when more is known of it, as a table:

    ph = 7.4
    tan_mg_l = { value = 0.5, low = 0.25, high = 1.0, kit = "colour_card", entered = "0.5 ppm" }
"""

# No postponed annotations in this file; model.py says why.
from typing import Annotated, Any, Literal, get_args

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    SerializerFunctionWrapHandler,
    StrictBool,
    ValidationInfo,
    field_validator,
    model_serializer,
    model_validator,
)

from advisor.units.parameters import PARAMETERS
from advisor.wording.numbers import exact

#: A finite number. Text and true/false are refused instead of being turned into one.
Number = Annotated[float, Field(strict=True, allow_inf_nan=False)]

Kit = Literal["colour_card", "strip", "drops", "meter", "lab"]
Water = Literal["bag", "tank", "tap", "tub"]
#: Every water that a look may have read.
WATERS: tuple[Water, ...] = get_args(Water)


class Reading(BaseModel):
    """One measured value.

    value    : best single figure, in the unit of the field's name
    low, high: ends of the band the true value lies in; None when only the kit is known
    at_least : the kit stood at its top mark: the true value may be higher
    at_most  : the kit stood at its bottom mark: the true value may be lower
    kit      : what kind of test gave it
    entered  : what the person typed, word for word
    """

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    value: Number
    low: Number | None = None
    high: Number | None = None
    at_least: StrictBool = False
    at_most: StrictBool = False
    kit: Kit | None = None
    entered: str | None = None
    note: str | None = None

    @model_validator(mode="after")
    def _band_holds_value(self) -> "Reading":
        if self.low is not None and self.low > self.value:
            raise ValueError(f"low ({exact(self.low)}) lies above value ({exact(self.value)})")
        if self.high is not None and self.high < self.value:
            raise ValueError(f"high ({exact(self.high)}) lies below value ({exact(self.value)})")
        return self

    @model_serializer(mode="wrap")
    def _short_form(self, handler: SerializerFunctionWrapHandler) -> Any:
        full = {k: v for k, v in handler(self).items() if v is not None and v is not False}
        return full["value"] if full.keys() == {"value"} else full


def _number_is_reading(value: Any) -> Any:
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return {"value": value}
    return value


Measured = Annotated[Reading, BeforeValidator(_number_is_reading)] | None


class Readings(BaseModel):
    """What was measured in one water at one time; a field not given was not measured.

    Ammonia, nitrite and nitrate are stored as nitrogen (N), whatever the kit reports.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    temperature_c: Measured = None
    ph: Measured = None
    tan_mg_l: Measured = None
    nitrite_mg_l: Measured = None
    nitrate_mg_l: Measured = None
    do_mg_l: Measured = None
    alkalinity_mg_l_caco3: Measured = None
    hardness_mg_l_caco3: Measured = None
    conductivity_us_cm: Measured = None
    salinity_g_kg: Measured = None
    chlorine_mg_l: Measured = None
    chloride_mg_l: Measured = None
    co2_mg_l: Measured = None
    copper_mg_l: Measured = None
    sulfide_mg_l: Measured = None
    total_gas_pressure_pct: Measured = None

    @field_validator("*", mode="after")
    @classmethod
    def _physical(cls, reading: Reading | None, info: ValidationInfo) -> Reading | None:
        if reading is not None and info.field_name is not None:
            low, high = RANGES[info.field_name]
            for part in (reading.value, reading.low, reading.high):
                if part is not None and not low <= part <= high:
                    raise ValueError(f"{exact(part)} is outside {exact(low)} to {exact(high)}")
        return reading

    def given(self) -> dict[str, Reading]:
        """The readings that were taken, by parameter."""
        pairs = ((name, getattr(self, name)) for name in type(self).model_fields)
        return {name: reading for name, reading in pairs if reading is not None}


#: Physical range of every reading in its stored unit. Wide on purpose, so that only impossible
#: entries are refused; odd ones are questioned by the session.
RANGES = {name: (PARAMETERS[name].low, PARAMETERS[name].high) for name in Readings.model_fields}
