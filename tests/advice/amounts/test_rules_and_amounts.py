"""The actions of the rule base: amounts that exist, hazards that forbid, no medicine, no dose."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import pytest

from advisor.advice.amounts import unknown_names
from advisor.rulebase import RuleBase, conditions
from advisor.rulebase.condition_text import read_condition
from advisor.rulebase.conditions import Facts

#: Substances under prescription or other rules in at least one country. An action names none.
REGULATED = (
    *("formalin", "formaldehyde", "malachite", "copper", "permanganate", "peroxide"),
    *("praziquantel", "metronidazole", "levamisole", "chloroquine", "methylene"),
    *("oxytetracycline", "antibiotic", "erythromycin", "chloramine-t"),
)


def holds(base: RuleBase, condition: Mapping[str, Any], told: Facts) -> bool:
    """Whether a condition surely holds: findings worked out from what was told, and from each
    other, by the plain evaluator."""
    facts = dict(told)
    for _ in range(6):  # findings rest on findings, a few deep
        for finding in base.findings.values():
            node = read_condition(finding.when, base.names)
            if (result := conditions.evaluate(node, facts)) is not None:
                facts[("finding", finding.id)] = result
    return conditions.evaluate(read_condition(condition, base.names, later=True), facts) is True


def history(**answers: str) -> dict[tuple[str, str], Any]:
    return {("history", name): answer for name, answer in answers.items()}


def seen(*signs: str) -> dict[tuple[str, str], Any]:
    return {("sign", name): True for name in signs}


def trait(*names: str) -> dict[tuple[str, str], Any]:
    return {("trait", name): True for name in names}


def read(**readings: float) -> dict[tuple[str, str], Any]:
    return {(part, name): n for name, n in readings.items() for part in conditions.NUMBERS}


def standing(cause: str, word: str) -> dict[tuple[str, str], Any]:
    return {("standing", cause): conditions.STANDINGS.index(word)}


OPEN_BAG = {("place", "place"): "open_bag"}
KOI_WARM = {
    **trait("carp_family_notifiable"),
    **read(tank_temperature_c=23.0),
    **history(carp_mixed_lately="yes"),
    **seen("rapid_gill_movement"),
}

CHLORAMINE_ALKALINE = {
    **history(water_supply="chloramine"),
    **read(tank_ph=8.3),
    ("known", "history:ammonia_binder_in_water"): False,
    ("known", "history:oxidiser_in_water"): False,
}

#: Each hazard of the reference's conflict and group rows that an action could run into:
#: what is known -> action that must be forbidden.
CHILLED = {
    **history(box_arrived_cold="yes", rewarmed="no"),
    ("known", "bag_temperature_c"): False,
}

HAZARDS = [
    ("raise_alkalinity_slowly", read(tank_tan_mg_l=2.0)),
    ("raise_alkalinity_slowly", trait("soft_acid_water")),
    ("change_water_for_ammonia", read(tank_ph=5.8, tank_tan_mg_l=6.0, tank_nh3_n_mg_l=0.002)),
    ("change_water_for_nitrite", read(tank_ph=5.8, tank_tan_mg_l=6.0)),
    ("give_pure_water_minerals", read(tank_tan_mg_l=2.0)),
    ("salt_against_nitrite", history(zeolite_in_filter="yes")),
    ("salt_against_nitrite", trait("invertebrate")),
    ("salt_against_nitrite", trait("marine")),
    ("salt_against_nitrite", read(present_above_salinity_borne_g_kg=0.0)),
    ("salt_support", history(zeolite_in_filter="yes")),
    ("salt_support", trait("scaleless")),
    ("salt_support", KOI_WARM),
    ("zeolite_in_filter", history(salt_in_water="yes")),
    ("zeolite_in_filter", trait("marine")),
    ("salt_bath_one_fish_first", seen("lying_on_side")),
    ("salt_bath_one_fish_first", seen("gasping_at_surface")),
    ("salt_bath_one_fish_first", seen("brown_gills")),
    ("salt_bath_one_fish_first", trait("scaleless")),
    ("salt_bath_one_fish_first", KOI_WARM),
    ("freshwater_dip_marine", seen("weak_response")),
    ("freshwater_dip_marine", seen("rapid_gill_movement")),
    ("bind_ammonia", history(ammonia_binder_in_water="yes")),
    ("bind_ammonia", read(tank_do_mg_l=3.0)),
    ("dechlorinate_now", CHLORAMINE_ALKALINE),
    ("dechlorinate_now", history(no_dechlorinator="yes")),
    ("dechlorinate_now", {**history(dechlorinator_used="yes"), **read(tank_chlorine_mg_l=0.0)}),
    ("dechlorinate_and_bind", history(ammonia_binder_in_water="yes")),
    ("isolate_the_sick", seen("brown_gills")),
    ("separate_chaser", seen("brown_gills")),
    ("separate_chaser", KOI_WARM),
    ("less_crowding", KOI_WARM),
    ("isolate_the_sick", standing("koi_herpesvirus", "possible")),
    ("isolate_the_sick", standing("spring_viraemia", "possible")),
    ("rewarm_in_tank", {**standing("koi_herpesvirus", "likely"), **read(tank_temperature_c=20.0)}),
    ("cool_slowly", {**standing("spring_viraemia", "likely"), **read(tank_temperature_c=12.0)}),
    ("warm_for_white_spot", standing("koi_herpesvirus", "possible")),
    ("warm_for_white_spot", standing("columnaris", "possible")),
    ("warm_for_white_spot", trait("cold_water")),
    ("warm_for_white_spot", read(tank_do_mg_l=4.5)),
    ("warm_for_white_spot", seen("gasping_at_surface")),
    ("feed_thin_fish", read(tank_tan_mg_l=1.0)),
    ("feed_thin_fish", read(tank_nitrite_mg_l=0.5)),
    ("feed_thin_fish", CHILLED),
    ("feed_thin_fish", {**read(hours_sealed=30.0), ("phase", "phase"): "arrival"}),
    ("first_small_meal", {("phase", "phase"): "arrival"}),
    ("air_tank", seen("bubbles_under_skin_fins_eyes")),
    ("air_tank", history(electric_fault_suspected="yes")),
    ("change_water_for_ammonia", history(electric_fault_suspected="yes")),
    ("keep_water_sample", history(electric_fault_suspected="yes")),
    ("read_thermometer", history(electric_fault_suspected="yes")),
    ("test_water_first", history(electric_fault_suspected="yes")),
    ("take_a_scrape", KOI_WARM),
    ("take_a_scrape", seen("brown_gills")),
    ("separate_chaser", history(electric_fault_suspected="yes")),
    ("remove_dead_and_waste", CHILLED),
    ("shallow_and_still", seen("bubbles_under_skin_fins_eyes")),
    ("leave_alone", seen("sudden_deaths")),
    ("leave_alone", OPEN_BAG),
    ("leave_alone", KOI_WARM),
]


@pytest.mark.parametrize(
    "action_id, told", HAZARDS, ids=[f"{a}-{i}" for i, (a, _) in enumerate(HAZARDS)]
)
def test_each_hazard_forbids(base: RuleBase, action_id: str, told: Facts) -> None:
    action = base.actions[action_id]
    assert any(holds(base, forbid.when, told) for forbid in action.forbidden)


#: What once forbade single steps of opening, and bars the way itself now.
WAY_BARS = [
    ("slow_change", {("trait", "invertebrate"): False}),
    ("open_and_net_over", trait("invertebrate")),
    ("open_and_net_over", read(step_ahead_conductivity_ratio=4.0)),
    (
        "open_and_net_over",
        read(step_ahead_temperature_c=5.0, step_ahead_rise_past_borne_c=1.0),
    ),
    ("float", read(float_past_oxygen_min=5.0)),
]


@pytest.mark.parametrize(
    "way, told", WAY_BARS, ids=[f"{w}-{i}" for i, (w, _) in enumerate(WAY_BARS)]
)
def test_each_hazard_bars_the_way(base: RuleBase, way: str, told: Facts) -> None:
    assert any(holds(base, bar.when, told) for bar in base.moves[way].bars)
    assert not any(holds(base, bar.when, {}) for bar in base.moves[way].bars)


def test_water_with_copper_is_not_fit_for_invertebrates(base: RuleBase) -> None:
    told = {**trait("invertebrate"), **history(copper_in_water="yes")}
    assert any(holds(base, reason.when, told) for reason in base.fits["copper"].unfit)
    barred = {("fit", "water"): "not_fit"}
    assert any(holds(base, bar.when, barred) for bar in base.moves["slow_change"].bars)


@pytest.mark.parametrize(
    "told",
    [
        seen("brown_gills"),
        read(tank_nitrite_mg_l=0.5),
        KOI_WARM,
        standing("koi_herpesvirus", "very_likely"),
        history(oxidiser_in_water="yes"),
    ],
)
def test_a_possible_harm_bars_no_way_out_of_poisoned_water(base: RuleBase, told: Facts) -> None:
    """Out of chlorine, sulfide or poison: what only may harm bars neither tub nor dechlorinator."""
    for name in ("move_to_clean_water", "dechlorinate_now"):
        assert not any(holds(base, forbid.when, told) for forbid in base.actions[name].forbidden)


def test_chlorine_is_bound_one_way_or_the_other(base: RuleBase) -> None:
    """Where thiosulfate is barred for chloramine at high pH the binder is not, and vice versa."""

    def barred(name: str, told: Facts) -> bool:
        return any(holds(base, forbid.when, told) for forbid in base.actions[name].forbidden)

    for extra in ({}, history(ammonia_binder_in_water="yes"), history(oxidiser_in_water="yes")):
        told = {**CHLORAMINE_ALKALINE, **extra}
        told |= {("known", f"history:{name}"): True for _, name in extra}
        assert barred("dechlorinate_now", told) != barred("dechlorinate_and_bind", told)


@pytest.mark.parametrize("action_id", sorted({a for a, _ in HAZARDS}))
def test_nothing_told_forbids_nothing(base: RuleBase, action_id: str) -> None:
    bars = (bar for bar in base.actions[action_id].forbidden if bar.proof != "missing")
    assert not any(holds(base, bar.when, {}) for bar in bars)


def test_salt_waits_for_kind_and_nitrite(base: RuleBase) -> None:
    needs = base.actions["salt_against_nitrite"].requires
    assert needs is not None
    named = {("trait", "marine"): False}
    assert not holds(base, needs, {})
    assert not holds(base, needs, named)
    measured = {**named, **read(tank_nitrite_mg_l=0.5)}
    assert not holds(base, needs, measured)  # what is in the water already is asked first
    asked = {**measured, ("known", "history:zeolite_in_filter"): True}
    assert holds(base, needs, {**asked, **history(salt_in_water="no")})
    assert not holds(base, needs, {**asked, **history(salt_in_water="yes")})
    assert holds(base, needs, {**asked, ("known", "tank_salinity_g_kg"): True})


def test_reportable_duty_needs_no_ranking(base: RuleBase) -> None:
    duty = base.actions["stop_movement"]
    assert duty.when is not None and duty.emergency_when is not None
    assert holds(base, duty.when, KOI_WARM)
    calm: Facts = {**KOI_WARM}
    for cause in base.causes:
        calm = {**calm, **standing(cause, "possible")}
    assert holds(base, duty.emergency_when, calm)  # nothing else kills within the hour
    for killer in ("chlorine", "low_oxygen", "heat", "poison"):
        assert not holds(base, duty.emergency_when, {**calm, **standing(killer, "very_likely")})
    assert not holds(base, duty.when, {**KOI_WARM, **read(tank_temperature_c=12.0)})


def test_nobody_is_told_to_carry_a_suspect_carp_about(base: RuleBase) -> None:
    sent = base.vet_notes["scrape-and-snip"].when, base.vet_notes["which-fish-to-send"].when
    likely = {**KOI_WARM, **standing("columnaris", "likely")}
    other = {("trait", "carp_family_notifiable"): False, **standing("columnaris", "likely")}
    for condition in sent:
        assert condition is not None
        assert not holds(base, condition, likely)
        assert holds(base, condition, other)


def test_every_amount_leads_to_a_formula(base: RuleBase) -> None:
    wrong = {a.id: unknown_names(a.amount) for a in base.actions.values() if a.amount}
    assert not {k: v for k, v in wrong.items() if v}


def test_facts_named_in_amounts_exist(base: RuleBase) -> None:
    for action in base.actions.values():
        if action.amount:
            for word in action.amount.given.values():
                assert not isinstance(word, str) or word in base.quantities, (action.id, word)


@pytest.mark.parametrize(
    "action_id, argument, limit",
    [
        ("change_water_for_ammonia", "most_nh3_n", "nh3_trade_limit"),
        ("change_water_for_nitrite", "target", "nitrite_trade_limit"),
        ("float_closed", "close_enough_c", "act_temperature_gap"),
        ("raise_alkalinity_slowly", "target_mg_l_caco3", "alkalinity_holds"),
        ("salt_against_nitrite", "parts", "chloride_guard"),
    ],
)
def test_numbers_in_amounts_are_those_of_the_limits(
    base: RuleBase, action_id: str, argument: str, limit: str
) -> None:
    amount = base.actions[action_id].amount
    assert amount is not None
    assert amount.given[argument] == base.limits[limit].value


def test_no_action_gives_a_regulated_substance(base: RuleBase) -> None:
    for action in base.actions.values():
        named = [w for w in REGULATED if re.search(rf"\b{w}", action.text.lower())]
        assert not named, (action.id, named)


def test_no_dose_outside_the_actions(base: RuleBase) -> None:
    dose = re.compile(r"\d\s*(mg|g|ml|ppm|drops?)\b(?!/L alkalinity)", re.I)
    allowed = {"copper-kills-invertebrates"}  # names an alkalinity, not a dose
    for entry in (*base.vet_notes.values(), *base.cautions.values()):
        texts = [entry.text, getattr(entry, "because", ""), *getattr(entry, "ask", ())]
        if entry.id not in allowed:
            assert not any(dose.search(text) for text in texts), entry.id


def test_standing_cautions_are_twelve_and_short(base: RuleBase) -> None:
    always = [c for c in base.cautions.values() if c.always]
    assert len(always) == 12
    assert all(len(c.text) <= 140 for c in always)


def test_gentle_steps_carry_no_amount_and_no_chemistry(base: RuleBase) -> None:
    gentle = [a for a in base.actions.values() if a.gentle]
    assert {"air_tank", "dim_and_quiet", "hold_medicines", "ready_matched_water"} <= {
        a.id for a in gentle
    }
    assert all(a.authority == "keeper" for a in gentle)
    #: A matched part change can be undone; everything else that is measured out cannot.
    assert {a.amount.formula for a in gentle if a.amount} <= {"water_change_share_l"}


#: The right first move for each cause: the cause alone likely, nothing else known.
FIRST = {
    "settling": "leave_alone",
    "carbon_dioxide": "air_tank",
    "low_oxygen": "air_tank",
    "ammonia_bag": "air_tank",
    "ammonia_tank": "change_water_for_ammonia",
    "nitrite": "air_tank",
    "ph_rise": "newcomers_out_of_old_water",
    "ph_drop": "newcomers_out_of_old_water",
    "cold": "rewarm_in_tank",
    "heat": "unplug_the_heater",
    "osmotic_step": "match_minerals_in_tub",
    "chlorine": "shut_the_tap",
    "gas_supersaturation": "stop_gas_source",
    "hydrogen_sulfide": "leave_the_gravel",
    "poison": "change_water_after_poison",  # the source is stopped where one is named
    "sedative": "air_tank",
    "injury": "clean_water_for_wounds",
    "buoyancy": "shallow_and_still",
    "starvation": "feed_thin_fish",
    "aggression": "separate_chaser",
    "old_tank_acid": "newcomers_out_of_old_water",
    "white_spot": "keep_tools_apart",
    "costia": "keep_tools_apart",
    "trichodina": "keep_tools_apart",
    "chilodonella": "keep_tools_apart",
    "flukes": "keep_tools_apart",
    "velvet": "keep_tools_apart",
    "columnaris": "do_not_warm_columnaris",
    "aeromonas": "keep_tools_apart",
    "water_mould": "keep_tools_apart",
    "koi_herpesvirus": "stop_movement",
    "spring_viraemia": "stop_movement",
    "gut_flagellates": "keep_tools_apart",
    "electric_shock": "cut_power",
    "gut_worms": "keep_tools_apart",
    "tetrahymena": "keep_tools_apart",
    "goldfish_herpesvirus": "hold_goldfish_lot",
}
TIMES = ("now", "within_hour", "today", "until_48h", "quarantine")


@pytest.mark.parametrize("cause", FIRST)
def test_the_first_move_for_a_cause(base: RuleBase, cause: str) -> None:
    proposed = [
        a
        for a in base.actions.values()
        if cause in a.needed_for and a.at_standing in ("possible", "likely")
    ]
    proposed.sort(key=lambda a: (TIMES.index(a.time), not a.emergency, a.order, a.id))
    assert proposed[0].id == FIRST[cause]


def test_every_action_says_on_what_it_rests(base: RuleBase) -> None:
    for action in base.actions.values():
        assert all(c.basis == "practice" for c in action.source if c.ref == "bench-practice")
        assert action.because != action.text
