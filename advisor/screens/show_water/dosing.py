"""Sums on what to add and what to change: salt, thiosulfate, bicarbonate, water."""

from __future__ import annotations

from advisor.errors import AdvisorError
from advisor.screens.show_water.sums import (
    Sum,
    SumFigure,
    Take,
    Values,
    WorkedSum,
    number,
    optional,
)
from advisor.wording.numbers import exact, short

VOLUME = Take("volume", "volume_l", ("tank", "water", "litres", "v"))
SOME_VOLUME = Take("volume", "volume_l", ("tank", "water", "litres", "v"), needed=False)
#: Arithmetic does not know the fish.
ONLY_SUM = "A sum, not advice: whether these fish bear it is another question."
_MG = 1000.0


def _salt(values: Values) -> WorkedSum:
    from advisor.water.arithmetic import dose_g
    from advisor.water.salinity import density_kg_l

    start, target = number(values, "from"), number(values, "to")
    if target < start:
        raise AdvisorError(
            f"to: {short(target, 3)} g/kg is less than the {short(start, 3)} g/kg there is; "
            "change water to lower it (advisor water change)."
        )
    per_litre = target * density_kg_l(25.0, target) - start * density_kg_l(25.0, start)
    inputs = {"rise_g_l": per_litre, "volume_l": number(values, "volume"), "active_fraction": 1.0}
    return WorkedSum(
        (SumFigure("salt to add", dose_g(**inputs), "g", "dose_g", inputs, salt=True),), (ONLY_SUM,)
    )


def _thiosulfate(values: Values) -> WorkedSum:
    from advisor.water.chlorine import (
        THIOSULFATE_TO_SULFATE,
        THIOSULFATE_TO_TETRATHIONATE,
        thiosulfate_g,
    )

    inputs = {"chlorine_mg_l": number(values, "chlorine"), "volume_l": number(values, "volume")}
    count_on = {**inputs, "mg_per_mg": THIOSULFATE_TO_TETRATHIONATE}
    least = {**inputs, "mg_per_mg": THIOSULFATE_TO_SULFATE}
    parts = (
        SumFigure(
            "sodium thiosulfate pentahydrate to count on",
            thiosulfate_g(**count_on),
            "g",
            "thiosulfate_g",
            count_on,
        ),
        SumFigure("the least that can work", thiosulfate_g(**least), "g", "thiosulfate_g", least),
    )
    note = "Breaking chloramine frees ammonia: see advisor water chloramine."
    return WorkedSum(parts, (note,))


def _chloramine(values: Values) -> WorkedSum:
    from advisor.water.chlorine import ammonia_freed_mg_l

    inputs = {"chloramine_mg_l": number(values, "chlorine")}
    found = ammonia_freed_mg_l(**inputs)
    part = SumFigure("total ammonia freed", found, "mg/L as N", "ammonia_freed_mg_l", inputs)
    return WorkedSum((part,), ("Chloramine counted as chlorine, as kits for total chlorine do.",))


def _bicarbonate(values: Values) -> WorkedSum:
    from advisor.water.arithmetic import bicarbonate_for_alkalinity_g

    start, target = number(values, "from"), number(values, "to")
    if target < start:
        raise AdvisorError(
            f"to: {short(target, 3)} is less than the {short(start, 3)} mg/L as CaCO3 there is; "
            "bicarbonate only raises alkalinity."
        )
    inputs = {"rise_mg_l_caco3": target - start, "volume_l": number(values, "volume")}
    found = bicarbonate_for_alkalinity_g(**inputs)
    part = SumFigure(
        "sodium bicarbonate to add", found, "g", "bicarbonate_for_alkalinity_g", inputs
    )
    note = "It raises pH too, and with it the toxic share of any ammonia."
    return WorkedSum((part,), (note, ONLY_SUM))


def _chloride(values: Values) -> WorkedSum:
    from advisor.water.nitrogen import chloride_to_add_mg_l, from_nitrogen_mg_l, salt_for_chloride

    ion = from_nitrogen_mg_l(number(values, "nitrite"), "NO2")
    inputs = {
        "nitrite_ion_mg_l": ion,
        "chloride_mg_l": number(values, "chloride"),
        "ratio": number(values, "ratio"),
    }
    chloride = chloride_to_add_mg_l(**inputs)
    parts = [SumFigure("chloride to add", chloride, "mg/L", "chloride_to_add_mg_l", inputs)]
    volume = optional(values, "volume")
    if volume is not None:
        grams = chloride * volume / _MG
        salt = salt_for_chloride(grams)
        parts.append(
            SumFigure("as salt", salt, "g", "salt_for_chloride", {"chloride": grams}, salt=True)
        )
    return WorkedSum(parts, (ONLY_SUM,))


def _change(values: Values) -> WorkedSum:
    from advisor.water.arithmetic import change_to_reach

    inputs = {
        "start": number(values, "from"),
        "target": number(values, "to"),
        "new_water": number(values, "new"),
    }
    share = change_to_reach(**inputs)
    parts = [SumFigure("water to change", 100.0 * share, "%", "change_to_reach", inputs)]
    volume = optional(values, "volume")
    if volume is not None:
        parts.append(SumFigure("that is", share * volume, "L"))
    note = "For what mixes in proportion (ammonia, nitrite, salt, alkalinity); never for pH or NH3."
    return WorkedSum(parts, (note,))


def _change_nh3(values: Values) -> WorkedSum:
    from advisor.water.carbonate import Water, dic_mmol_l_from
    from advisor.water.water_change import water_change_plan

    def water(prefix: str, volume: float) -> Water:
        ph, alk = number(values, prefix + "ph"), number(values, prefix + "alkalinity")
        tan = number(values, prefix + "tan")
        temp = optional(values, prefix + "temp")
        temp = number(values, "temp") if temp is None else temp
        return Water(volume, alk, dic_mmol_l_from(ph, alk, tan, temp), tan, temp)

    volume = number(values, "volume")
    limit, step = optional(values, "limit"), optional(values, "step")
    limit = _limit("nh3_gill_damage") if limit is None else limit
    step = _limit("ph_step_small") if step is None else step
    plan = water_change_plan(water("", volume), water("new-", 1.0), limit, step)
    if not plan.reached and not plan.changes:
        raise AdvisorError(
            f"new-ph: with that water un-ionised ammonia stays over {short(limit, 3)} "
            "mg/L as N however "
            "much is changed; use water of a lower pH or with less ammonia."
        )
    if not plan.changes:
        note = (
            f"Un-ionised ammonia is at {short(plan.peak_nh3_mg_l, 3)} mg/L as N, under the limit."
        )
        return WorkedSum((SumFigure("water to change", 0.0, "%"),), (note,))
    first, last = plan.changes[0], plan.changes[-1]
    parts = [
        SumFigure("water to change at once", 100.0 * first.fraction, "%"),
        SumFigure("that is", first.fraction * volume, "L"),
        SumFigure("changes in all", float(len(plan.changes)), "", places=0),
        SumFigure("un-ionised ammonia after them", last.nh3_mg_l, "mg/L as N"),
        SumFigure("pH after them", last.ph, "", places=2),
    ]
    reached = "" if plan.reached else " The limit is not reached; test and go on."
    why = {"limit": "what is needed", "ph step": "the pH step", "largest change": "half the tank"}
    held = why[plan.limited_by]
    note = f"Limit {short(limit, 3)} mg/L as N; the first change is limited by {held}.{reached}"
    return WorkedSum(parts, (note,))


def _limit(name: str) -> float:
    """A limit of the rule base; the code holds none."""
    from advisor.rulebase import load_rulebase

    return load_rulebase().limits[name].value


def _left(values: Values) -> WorkedSum:
    from advisor.water.arithmetic import left_after_changes

    share, times = number(values, "share"), number(values, "times")
    if times != int(times) or times < 0:
        raise AdvisorError(f"times: {exact(times)} is not a number of changes; give 1, 2, 3 ...")
    inputs = {"change_fraction": share, "times": times}
    left = left_after_changes(share, int(times))
    return WorkedSum((SumFigure("left of it", 100.0 * left, "%", "left_after_changes", inputs),))


def _flow(values: Values) -> WorkedSum:
    from advisor.water.arithmetic import left_after_flow_through

    inputs = {"tank_volumes": number(values, "volumes")}
    left = left_after_flow_through(**inputs)
    return WorkedSum(
        (SumFigure("left of it", 100.0 * left, "%", "left_after_flow_through", inputs),)
    )


def _volume(values: Values) -> WorkedSum:
    from advisor.water.arithmetic import rectangular_volume_l, round_volume_l

    length, width = optional(values, "length"), optional(values, "width")
    across, depth = optional(values, "diameter"), number(values, "depth") / 100.0
    if across is not None and length is None and width is None:
        inputs = {"diameter_m": across / 100.0, "depth_m": depth}
        found, formula = round_volume_l(**inputs), "round_volume_l"
    elif across is None and length is not None and width is not None:
        inputs = {"length_m": length / 100.0, "width_m": width / 100.0, "depth_m": depth}
        found, formula = rectangular_volume_l(**inputs), "rectangular_volume_l"
    else:
        raise AdvisorError("volume: give length, width and depth, or diameter and depth.")
    return WorkedSum((SumFigure("volume", found, "L", formula, inputs),))


def _new(key: str, parameter: str, default: float | None = None) -> Take:
    return Take(f"new-{key}", parameter, (f"new_{key}",), needed=False, default=default)


SUMS = (
    Sum(
        "salt",
        "salt for a rise in salinity",
        "volume=40 L to=3 g/L",
        (VOLUME, Take("to", "salinity_g_kg", ("target",)),
         Take("from", "salinity_g_kg", ("start", "now"), needed=False, default=0.0)),
        _salt,
    ),
    Sum(
        "thiosulfate",
        "sodium thiosulfate that takes up chlorine",
        "chlorine=1.5 mg/L volume=200 L",
        (Take("chlorine", "chlorine_mg_l", ("cl",)), VOLUME),
        _thiosulfate,
    ),
    Sum(
        "chloramine",
        "ammonia freed when chloramine is broken",
        "chlorine=2 mg/L",
        (Take("chlorine", "chlorine_mg_l", ("chloramine", "total", "cl")),),
        _chloramine,
    ),
    Sum(
        "bicarbonate",
        "sodium bicarbonate for a rise in alkalinity",
        "volume=100 L from=2 dKH to=4 dKH",
        (VOLUME, Take("to", "alkalinity_mg_l_caco3", ("target",)),
         Take("from", "alkalinity_mg_l_caco3", ("start", "now"))),
        _bicarbonate,
    ),
    Sum(
        "chloride",
        "chloride, as salt, that guards against nitrite",
        "nitrite=1 mg/L as NO2 chloride=12 mg/L volume=200 L",
        (Take("nitrite", "nitrite_mg_l", ("no2",)),
         Take("chloride", "chloride_mg_l", ("cl",), needed=False, default=0.0),
         Take("ratio", needed=False, default=10.0, how="count"), SOME_VOLUME),
        _chloride,
        "The ratio is chloride to nitrite ion by weight: 10 for channel catfish ponds.",
    ),
    Sum(
        "change",
        "how much water to change to bring something down",
        "from=4 to=1 volume=200 L",
        (Take("from", also=("start", "now"), how="same"), Take("to", also=("target",), how="same"),
         Take("new", also=("tap",), needed=False, default=0.0, how="same"), SOME_VOLUME),
        _change,
        "from, to and new stand in one unit, whichever it is.",
    ),
    Sum(
        "change-nh3",
        "water changes that bring un-ionised ammonia under a limit without too large a pH step",
        "volume=200 L tan=4 mg/L as N ph=7.9 alkalinity=7 dKH temp=25 new-ph=7.4 new-alk=90 ppm",
        (VOLUME, Take("tan", "tan_mg_l", ("ammonia",)), Take("ph", "ph"),
         Take("alkalinity", "alkalinity_mg_l_caco3", ("alk", "kh")),
         Take("temp", "temperature_c", ("temperature", "t")),
         Take("new-ph", "ph", ("new_ph",)),
         Take("new-alkalinity", "alkalinity_mg_l_caco3", ("new_alkalinity", "new-alk")),
         _new("temp", "temperature_c"), _new("tan", "tan_mg_l", 0.0),
         Take("limit", "tan_mg_l", needed=False), Take("step", needed=False, how="count")),
        _change_nh3,
        "Limit and pH step come from the rule base (nh3_gill_damage, ph_step_small) unless given.",
    ),
    Sum(
        "left",
        "what is left of something after equal water changes",
        "share=50 % times=3",
        (Take("share", how="share"), Take("times", needed=False, default=1.0, how="count")),
        _left,
    ),
    Sum(
        "flow",
        "what is left after so many tank volumes have run through",
        "volumes=2",
        (Take("volumes", how="count"),),
        _flow,
    ),
    Sum(
        "volume",
        "litres of a tank from its sides",
        "length=120 cm width=40 cm depth=45 cm",
        (Take("length", "length_cm", ("l",), needed=False),
         Take("width", "length_cm", ("w",), needed=False),
         Take("depth", "length_cm", ("d", "height")),
         Take("diameter", "length_cm", ("across",), needed=False)),
        _volume,
    ),
)  # fmt: skip
