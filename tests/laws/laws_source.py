"""Laws of the source: a thing that is named as doing harm is shut off."""

from __future__ import annotations

import re

from tests.laws.law import PRACTICE, law
from tests.laws.plan import Plan, soon
from tests.laws.situation import Situation

SULFIDE = (
    "cafishvet.com/?p=87531 (fish leave for a tub while mud is stirred); theaquariumwiki.com/H2S"
)
GAS = "thesprucepets.com, gas bubble disease: the origin of the bubbles is found and removed"
RESTART = "reefdoctor.tripod.com/id14.html: a filter that stood is cleaned before it runs again"


@law(f"{PRACTICE}: carbon dioxide over 20 mg/L troubles fish (Clinical Guide to Fish Medicine)",
     kind="must")  # fmt: skip
def carbon_dioxide_dosing_is_shut_off(s: Situation, p: Plan) -> bool:
    """Where carbon dioxide is fed to the tank and fish gulp or lie, the feed is shut off."""
    if s.place != "tank" or not s.yes("co2_dosed") or not s.distress:
        return True
    return soon(p, "stop_co2", first=4)


@law(f"{PRACTICE}: WikiVet, Chlorine", kind="must")
def a_running_hose_is_shut(s: Situation, p: Plan) -> bool:
    """Where a hose runs into the fish's water it is shut among the first steps."""
    if s.place != "tank" or not s.yes("hose_left_running"):
        return True
    if not (s.distress or s.tank.read_at_least("chlorine_mg_l", 0.05)):
        return True
    return soon(p, "stop_hose", first=4)


@law(SULFIDE, kind="must")
def stirred_ground_is_left_still(s: Situation, p: Plan) -> bool:
    """Where ground or a stopped filter was stirred and smells of eggs, it is left still or off."""
    if s.place != "tank" or not s.yes("gravel_or_filter_disturbed"):
        return True
    if "rotten_egg_smell" not in s.seen or not s.distress:
        return True
    return soon(p, "stop_filter", "tub", "clean_water", "other_tank", first=5)


@law(GAS, kind="must")
def a_pump_that_draws_air_is_mended(s: Situation, p: Plan) -> bool:
    """Where a pump draws air and fish carry bubbles, the leak is closed."""
    bubbles = "bubbles_under_skin_fins_eyes" in s.seen
    if s.place != "tank" or not (s.yes("pump_sucks_air") and bubbles):
        return True
    return p.any_of("stop_gas")


@law(f"{GAS}; Merck Veterinary Manual, Environmental Diseases (gas supersaturation)", kind="must")
def too_much_gas_is_driven_off(s: Situation, p: Plan) -> bool:
    """Water surely over 110 % of gas is splashed or its source shut, or the fish leave it."""
    if s.place != "tank" or not s.tank.surely_at_least("total_gas_pressure_pct", 110):
        return True
    return p.any_of("stop_gas", "splash", "tub", "clean_water", "other_tank", conditional=True)


@law("Yanong & Erlacher-Reid, Biosecurity in Aquaculture 1, SRAC 4707: shared water is one unit",
     kind="must")  # fmt: skip
def shared_water_is_cut_off_from_a_catching_disease(s: Situation, p: Plan) -> bool:
    """Where spots, dust or rotten gills show in a shared system, that tank's water is cut off."""
    catching = {"white_spots", "gold_dust", "saddle_shaped_pale_patch", "white_gill_patches"}
    if s.place != "tank" or s.said("shared_system") != "yes" or not s.seen & catching:
        return True
    if s.yes("electric_fault_suspected"):
        return True
    return p.says(r"\b(cut|shut|close|take)\b[^.]*\b(off|inflow|overflow|out of the system)\b")


@law(f"{PRACTICE}: spray, paint and metal poison fish", kind="must")
def spraying_is_stopped(s: Situation, p: Plan) -> bool:
    """Where something was sprayed or new metal hung in and fish fall, the source is stopped."""
    if s.place != "tank" or not s.yes("spraying_nearby", "new_metal_or_plumbing"):
        return True
    if not (s.distress or s.seen & {"sudden_deaths", "darting"}):
        return True
    return soon(p, "stop_source", "tub", "clean_water", "other_tank", first=4)


@law(f"{PRACTICE}: the chaser goes, not the victim", kind="must")
def a_chaser_is_parted_from_its_victim(s: Situation, p: Plan) -> bool:
    """Where a chaser was seen and fish are torn or hide, he is parted from them."""
    torn = s.seen & {"frayed_fins", "missing_scales", "ulcers"}
    if s.place != "tank" or not s.yes("chaser_seen") or not torn or s.gasps:
        return True
    if s.yes("electric_fault_suspected"):  # hands stay out of a live tank, for a chaser too
        return True
    return p.any_of("stop_chaser", "other_tank", conditional=True)


@law(RESTART)
def a_filter_is_not_switched_on_foul(s: Situation, p: Plan) -> bool:
    """A filter that stood still is not simply switched on again into the fish's water."""
    if not s.yes("filter_stopped") or s.place != "tank":
        return True
    on = re.compile(r"\b(restart|switch on|turn on|start) (?:the )?(?:filter|canister)\b")
    orders = [(x, c) for x in p.lines for c in x.parts if c.mood == "order"]
    return all("rinse" in line.text.lower() for line, clause in orders if on.search(clause.text))


@law(f"{PRACTICE}: what is in the water may be the poison", kind="must")
def a_remedy_that_fells_fish_is_thinned(s: Situation, p: Plan) -> bool:
    """Fish that roll after formalin, dye or oxidiser went in get air, carbon, or other water."""
    remedy = s.yes("formalin_in_water", "oxidiser_in_water", "dye_in_water")
    if s.place != "tank" or not remedy or not s.is_down:
        return True
    # Water over-full of gas is aired by splashing, and never by a stone.
    ways = ("change_water", "carbon", "tub", "clean_water", "other_tank", "air_tank", "splash")
    return soon(p, *ways, first=4)


@law("Yanong, UF/IFAS FA165", kind="must")
def shrimp_leave_copper(s: Situation, p: Plan) -> bool:
    """Invertebrates in water with copper are taken to other water."""
    copper = s.yes("copper_in_water") or s.tank.surely_at_least("copper_mg_l", 0.1)
    surely = s.tank.surely_at_least("copper_mg_l", 0.1)
    if s.place != "tank" or not (s.kind.invertebrate and copper and (s.distress or surely)):
        return True
    return p.any_of("tub", "clean_water", "other_tank", "change_water", "carbon", first=5)
