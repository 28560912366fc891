"""The figure of a step in words: what is worked out, by which numbers of the rules, from what."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.rulebase import RuleBase
from advisor.rulebase.entries import Amount, Figure
from advisor.wording.numbers import exact

#: Formula -> what it works out, and the words for each number that the rules may give it.
SAID: Mapping[str, tuple[str, Mapping[str, str]]] = {
    "salt_g": (
        "plain salt in grams, less what is in the water",
        {
            "target_g_l": "to {} g/L",
            "most_g_l": "at most {} g/L",
            "volume_l": "for {} L",
            "present_g_l": "which hold {} g/L",
        },
    ),
    "salt_for_nitrite_g": (
        "plain salt in grams, never past what the kind bears for days",
        {
            "parts": "chloride to {} times the nitrite (as NO2) by weight",
            "most_g_l": "at most {} g/L",
        },
    ),
    "thiosulfate_g": (
        "sodium thiosulfate crystals in grams",
        {
            "parts": "{} mg for each mg of chlorine",
            "usual_low": "chlorine not read: from {} mg/L",
            "usual_high": "to {} mg/L is taken",
        },
    ),
    "ascorbic_acid_g": (
        "ascorbic acid in grams, one molecule for one of chlorine",
        {"usual_high": "chlorine not read: {} mg/L is taken"},
    ),
    "binder_active_g": ("active binder in grams, one molecule for one of ammonia", {}),
    "zeolite_g": (
        "dry zeolite in grams",
        {"holds_low_mg_g": "a gram holds {} mg", "holds_high_mg_g": "to {} mg ammonia as N"},
    ),
    "bicarbonate_g": (
        "sodium bicarbonate in grams for one day",
        {
            "target_mg_l_caco3": "toward {} mg/L alkalinity as CaCO3",
            "most_rise_mg_l_caco3": "at most {} mg/L a day",
            "most_ph_rise": "at most {} of pH a day",
        },
    ),
    "water_change_share_l": ("litres to change", {"share": "{} of the water"}),
    "water_change_l": (
        "litres to change",
        {
            "target": "down to {} mg/L",
            "least_share": "at least {} of the water",
            "most_share": "at most {} of it",
        },
    ),
    "water_change_for_ammonia_l": (
        "litres to change",
        {
            "most_nh3_n": "down to {} mg/L un-ionised ammonia as N",
            "least_share": "at least {} of the water",
            "most_share": "at most {} of it",
            "most_ph_rise": "no rise of pH over {}",
        },
    ),
    "tub_l": (
        "litres of the tub",
        {"most_g_l": "at most {} g of fish a litre", "least_l": "at least {} L"},
    ),
    "make_do_l": (
        "litres of the make-do tub and how long it carries them",
        {
            "most_g_l": "at most {} g of fish a litre",
            "least_l": "at least {} L",
            "most_nh3_n": "until {} mg/L un-ionised ammonia as N",
        },
    ),
    "float_minutes": ("minutes afloat", {"close_enough_c": "to within {} °C"}),
    "hours_for_change": (
        "hours for the change of temperature",
        {
            "at_once_c": "after {} °C at once",
            "slow_c_per_h": "at {}",
            "fast_c_per_h": "to {} °C an hour",
        },
    ),
    "hours_to_next_water": (
        "hours to the next water",
        {
            "close_enough_c": "to within {} °C",
            "slow_c_per_h": "at {}",
            "fast_c_per_h": "to {} °C an hour",
        },
    ),
    "weeks_to_days": ("days", {"least_weeks": "{} weeks", "most_weeks": "to {} weeks"}),
    "soft_water_share": (
        "litres of soft water, the rest from the tank",
        {"volume_l": "for {} L", "soft_us_cm": "soft water taken at {} µS/cm"},
    ),
    "shut_hours": (
        "hours the bag may stay shut, while its oxygen is foreseen to last",
        {"most_h": "at most {} h", "usual_load_g_l": "fewer over {} g of fish a litre"},
    ),
    "part_way_c": ("temperature of the tub", {"step_c": "{} °C from the water they are in"}),
}


def figure_words(amount: Figure, base: RuleBase) -> str:
    """The figure of a step, every number of the rules in it, and the readings it is made from."""
    what, numbers = SAID[amount.formula]
    given = amount.given
    said = [
        words.format(exact(float(given[name])))
        for name, words in numbers.items()
        if isinstance(given.get(name), (int, float))
    ]
    facts = [_fact(name, base) for name in given.values() if isinstance(name, str)]
    joined = ", ".join(said).replace(", to ", " to ")
    whole = f"{what}: {joined}" if said else what
    if facts:
        whole += f"; from {', '.join(facts)}"
    if isinstance(amount, Amount) and amount.beside is not None:
        whole += f". Beside it {figure_words(amount.beside, base)}"
    return whole


def _fact(name: str, base: RuleBase) -> str:
    quantity = base.quantities.get(name)
    return name.replace("_", " ") if quantity is None else quantity.name
