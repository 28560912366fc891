"""Sums on what is dissolved: ammonia, carbon dioxide, pH, oxygen, gas and the criteria."""

from __future__ import annotations

from advisor.errors import AdvisorError
from advisor.screens.show_water.sums import (
    Sum,
    SumFigure,
    Take,
    Values,
    WorkedSum,
    listed,
    number,
    optional,
)

TAN = Take("tan", "tan_mg_l", ("ammonia", "tam"))
PH = Take("ph", "ph")
TEMP = Take("temp", "temperature_c", ("temperature", "t"))
ALKALINITY = Take("alkalinity", "alkalinity_mg_l_caco3", ("alk", "kh", "dkh"))
SALINITY = Take("salinity", "salinity_g_kg", ("salt", "s"), needed=False, default=0.0)
SOME_TAN = Take("tan", "tan_mg_l", ("ammonia",), needed=False, default=0.0)
ALTITUDE = Take("altitude", also=("height",), needed=False, how="altitude")
PRESSURE = Take("pressure", also=("barometer",), needed=False, how="pressure")


def _nh3(values: Values) -> WorkedSum:
    from advisor.water.ammonia import unionised_ammonia_mg_l, unionised_fraction

    ph, temp, salt = (number(values, key) for key in ("ph", "temp", "salinity"))
    tan = number(values, "tan")
    inputs = {"tan_mg_l": tan, "ph": ph, "temperature_c": temp, "salinity_g_kg": salt}
    share = 100.0 * unionised_fraction(ph, temp, salt)
    return WorkedSum(
        (
            SumFigure(
                "un-ionised ammonia",
                unionised_ammonia_mg_l(**inputs),
                "mg/L as N",
                "unionised_ammonia_mg_l",
                inputs,
            ),
            SumFigure("share of the total", share, "%"),
        )
    )


def _co2(values: Values) -> WorkedSum:
    from advisor.water.carbonate import co2_mg_l_from

    inputs = {
        "ph": number(values, "ph"),
        "alkalinity_mg_l_caco3": number(values, "alkalinity"),
        "tan_mg_l": number(values, "tan"),
        "temperature_c": number(values, "temp"),
        "salinity_g_kg": number(values, "salinity"),
    }
    found = co2_mg_l_from(**inputs)
    return WorkedSum((SumFigure("carbon dioxide", found, "mg/L", "co2_mg_l_from", inputs),))


def _air(values: Values) -> WorkedSum:
    from advisor.water.ammonia import unionised_ammonia_mg_l
    from advisor.water.carbonate import ph_with_air

    tan, temp, salt = (number(values, key) for key in ("tan", "temp", "salinity"))
    inputs = {
        "alkalinity_mg_l_caco3": number(values, "alkalinity"),
        "tan_mg_l": tan,
        "temperature_c": temp,
        "pco2_atm": number(values, "co2") * 1e-6,
        "salinity_g_kg": salt,
    }
    ph = ph_with_air(**inputs)
    parts = [SumFigure("pH once in balance with air", ph, "", "ph_with_air", inputs, places=2)]
    if tan > 0.0:
        parts.append(_ammonia_at(tan, ph, temp, salt, unionised_ammonia_mg_l(tan, ph, temp, salt)))
    return WorkedSum(parts)


def _ammonia_at(tan: float, ph: float, temp: float, salt: float, value: float) -> SumFigure:
    inputs = {"tan_mg_l": tan, "ph": ph, "temperature_c": temp, "salinity_g_kg": salt}
    return SumFigure("un-ionised ammonia", value, "mg/L as N", "unionised_ammonia_mg_l", inputs)


def _mix(values: Values) -> WorkedSum:
    from advisor.water.ammonia import unionised_ammonia_mg_l
    from advisor.water.carbonate import Water, dic_mmol_l_from, mix, ph_from

    volumes = values["volume"]
    count = len(volumes) if isinstance(volumes, tuple) else 1
    if count < 2:
        raise AdvisorError("volume: one water only; name two or more, like volume=2 L and 10 L.")
    columns = [
        listed(values, key, count)
        for key in ("volume", "ph", "alkalinity", "tan", "temp", "salinity")
    ]
    waters = [
        Water(litres, alk, dic_mmol_l_from(ph, alk, tan, temp, salt), tan, temp, salt)
        for litres, ph, alk, tan, temp, salt in zip(*columns, strict=True)
    ]
    mixed = mix(waters)
    inputs = dict(zip(Water._fields[1:], mixed[1:], strict=True))
    ph = ph_from(**inputs)
    parts = [SumFigure("pH after mixing", ph, "", "ph_from", inputs, places=2)]
    tan, temp, salt = mixed.tan_mg_l, mixed.temperature_c, mixed.salinity_g_kg
    if tan > 0.0:
        parts.append(_ammonia_at(tan, ph, temp, salt, unionised_ammonia_mg_l(tan, ph, temp, salt)))
    parts.append(SumFigure("temperature", temp, "°C", places=1))
    parts.append(SumFigure("alkalinity", mixed.alkalinity_mg_l_caco3, "mg/L as CaCO3", places=0))
    return WorkedSum(parts, ("Just after mixing, before any carbon dioxide leaves.",))


def _pressure_mmhg(values: Values) -> float:
    from advisor.water.gas import pressure_at_altitude_mmhg
    from advisor.water.oxygen import STANDARD_MMHG

    measured, altitude = optional(values, "pressure"), optional(values, "altitude")
    if measured is not None:
        return measured
    return STANDARD_MMHG if altitude is None else pressure_at_altitude_mmhg(altitude)


def _oxygen(values: Values) -> WorkedSum:
    from advisor.water.oxygen import oxygen_saturation_mg_l, percent_saturation

    inputs = {
        "temperature_c": number(values, "temp"),
        "salinity_g_kg": number(values, "salinity"),
        "pressure_mmhg": _pressure_mmhg(values),
    }
    full = oxygen_saturation_mg_l(**inputs)
    parts = [
        SumFigure("oxygen at saturation", full, "mg/L", "oxygen_saturation_mg_l", inputs, places=2)
    ]
    reading = optional(values, "do")
    if reading is not None:
        inputs = {"do_mg_l": reading, **inputs}
        share = percent_saturation(**inputs)
        parts.append(SumFigure("the reading is", share, "%", "percent_saturation", inputs))
    return WorkedSum(parts)


def _gas(values: Values) -> WorkedSum:
    from advisor.water.gas import excess_gas_pressure_mmhg

    inputs = {
        "total_gas_pressure_pct": number(values, "total"),
        "barometric_mmhg": _pressure_mmhg(values),
    }
    found = excess_gas_pressure_mmhg(**inputs)
    return WorkedSum(
        (SumFigure("excess gas pressure", found, "mmHg", "excess_gas_pressure_mmhg", inputs),)
    )


def _criteria(values: Values) -> WorkedSum:
    from advisor.water.criteria import acute_criterion_tan_mg_l, chronic_criterion_tan_mg_l

    at = {"ph": number(values, "ph"), "temperature_c": number(values, "temp")}
    unit = "mg/L total ammonia as N"
    acute = "acute_criterion_tan_mg_l"
    without = acute_criterion_tan_mg_l(**at, salmonids_present=False)
    parts = [
        SumFigure("one hour", without, unit, acute, at),
        SumFigure(
            "with trout or salmon",
            acute_criterion_tan_mg_l(**at, salmonids_present=True),
            unit,
            acute,
            at,
        ),
        SumFigure(
            "30 days", chronic_criterion_tan_mg_l(**at), unit, "chronic_criterion_tan_mg_l", at
        ),
    ]
    tan = optional(values, "tan")
    if tan is not None:
        parts.append(SumFigure("the reading is", tan / without, "times the one-hour criterion"))
    note = "US EPA 2013, for life in open fresh water; no threshold of harm to one fish."
    return WorkedSum(parts, (note,))


def _salinity(values: Values) -> WorkedSum:
    from advisor.water.salinity import salinity_from_conductivity, salinity_from_specific_gravity

    conductivity, gravity = optional(values, "conductivity"), optional(values, "sg")
    temp = number(values, "temp")
    if (conductivity is None) == (gravity is None):
        raise AdvisorError(
            "salinity: give either conductivity=50 mS/cm or sg=1.025, and the temperature."
        )
    if conductivity is not None:
        inputs = {"conductivity_us_cm": conductivity, "temperature_c": temp}
        found = salinity_from_conductivity(**inputs)
        note = "Sea-salt proportions are taken; hard tap water so conductive holds less salt."
        part = SumFigure("salinity", found, "g/kg", "salinity_from_conductivity", inputs, places=2)
        return WorkedSum((part,), (note,))
    assert gravity is not None
    found = salinity_from_specific_gravity(gravity, temp)
    inputs = {"temperature_c": temp, "salinity_g_kg": found, "reference_c": 25.0}
    note = "For a hydrometer made for 25 °C."
    part = SumFigure(
        "salinity", found, "g/kg", "specific_gravity", inputs, places=2, solved=gravity
    )
    return WorkedSum((part,), (note,))


SUMS = (
    Sum(
        "nh3",
        "un-ionised ammonia from total ammonia, pH and temperature",
        "tan=2 ppm as N ph=7.8 temp=78 F",
        (TAN, PH, TEMP, SALINITY),
        _nh3,
    ),
    Sum(
        "co2",
        "free carbon dioxide from pH and alkalinity",
        "ph=6.4 alkalinity=5 dKH temp=24 C",
        (PH, ALKALINITY, TEMP, SOME_TAN, SALINITY),
        _co2,
    ),
    Sum(
        "air",
        "pH once the water has stood in air, and what its ammonia becomes",
        "alkalinity=60 ppm tan=3 mg/L as N temp=24 C",
        (
            ALKALINITY,
            TEMP,
            SOME_TAN,
            SALINITY,
            Take("co2", also=("ppm",), needed=False, default=420.0, how="ppm"),
        ),
        _air,
        "Outdoor air holds about 420 ppm of carbon dioxide, a closed room up to 1200.",
    ),
    Sum(
        "mix",
        "pH and ammonia just after waters are poured together",
        "volume=2 L and 10 L ph=6.4 and 7.8 alkalinity=60 ppm and 120 ppm temp=22 and 25",
        (
            Take("volume", "volume_l", ("litres", "v"), many=True),
            Take("ph", "ph", many=True),
            Take("alkalinity", "alkalinity_mg_l_caco3", ("alk", "kh", "dkh"), many=True),
            Take("temp", "temperature_c", ("temperature", "t"), many=True),
            Take("tan", "tan_mg_l", ("ammonia",), needed=False, default=0.0, many=True),
            Take("salinity", "salinity_g_kg", ("salt",), needed=False, default=0.0, many=True),
        ),
        _mix,
        "One value stands for every water; otherwise as many as there are volumes.",
    ),
    Sum(
        "oxygen",
        "oxygen at saturation, and a reading in percent of it",
        "temp=25 C do=6.5 mg/L altitude=1200 m",
        (
            TEMP,
            SALINITY,
            Take("do", "do_mg_l", ("oxygen", "reading"), needed=False),
            ALTITUDE,
            PRESSURE,
        ),
        _oxygen,
    ),
    Sum(
        "gas",
        "excess gas pressure from total gas pressure in percent",
        "total=108 % pressure=745 mmHg",
        (Take("total", "total_gas_pressure_pct", ("tgp", "percent")), ALTITUDE, PRESSURE),
        _gas,
    ),
    Sum(
        "criteria",
        "ammonia criteria of the US EPA (2013) for fresh water",
        "ph=7.8 temp=25 C tan=2 mg/L as N",
        (PH, TEMP, Take("tan", "tan_mg_l", ("ammonia",), needed=False)),
        _criteria,
    ),
    Sum(
        "salinity",
        "salinity from conductivity or specific gravity",
        "sg=1.025 temp=25 C",
        (
            Take("conductivity", "conductivity_us_cm", ("ec",), needed=False),
            Take("sg", also=("gravity",), needed=False, how="count"),
            Take("temp", "temperature_c", ("temperature", "t"), needed=False, default=25.0),
        ),
        _salinity,
    ),
)
