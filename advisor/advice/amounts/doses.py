"""Masses to add: salt, thiosulfate, binder, zeolite, bicarbonate.

None of them is a medicine; a medicine has no formula here.
"""

from __future__ import annotations

import math

from advisor.advice.amounts.worked import NotWorkedOut, Outcome, Worked, needs
from advisor.water import masses
from advisor.water.arithmetic import bicarbonate_for_alkalinity_g, dose_g
from advisor.water.chlorine import THIOSULFATE_TO_TETRATHIONATE
from advisor.water.chlorine import thiosulfate_g as thiosulfate_mass_g
from advisor.water.nitrogen import chloride_to_add_mg_l, from_nitrogen_mg_l, salt_for_chloride
from advisor.wording.numbers import short

SALT = "plain salt (sodium chloride)"
THIOSULFATE = "sodium thiosulfate pentahydrate"
BINDER = "sodium hydroxymethanesulfonate, least active substance"
ZEOLITE = "clinoptilolite zeolite, dry"
BICARBONATE = "sodium bicarbonate"
#: Least daily step of alkalinity [mg/L CaCO3]; judgement, a quarter of a drop of a common kit.
LEAST_RISE = 4.0

#: Sodium hydroxymethanesulfonate, HOCH2SO3Na [g/mol], and its mass per mass of nitrogen:
#: one molecule takes up one ammonia.
HYDROXYMETHANESULFONATE = masses.NA + masses.C + 3 * masses.H + 4 * masses.O + masses.S
BINDER_PER_N = HYDROXYMETHANESULFONATE / masses.N


@needs(SALT, "volume_l")
def salt_g(
    volume_l: float,
    target_g_l: float,
    most_g_l: float,
    present_g_l: float | None = 0.0,
) -> Outcome:
    """Salt [g] that lifts the water to ``target_g_l``, never over ``most_g_l``.

    present_g_l : salinity now [g/L]; None is taken as none, and the working says so
    """
    have = present_g_l or 0.0
    rise = max(0.0, min(target_g_l, most_g_l) - have)
    grams = dose_g(rise, volume_l)
    note = "; salinity not measured, taken as none" if present_g_l is None else ""
    working = (
        f"({short(min(target_g_l, most_g_l), 3)} - {short(have, 3)}) g/L x {short(volume_l, 3)} L"
        f" = {short(grams, 3)} g{note}"
    )
    return Worked(SALT, grams, grams, grams, "g", working, "mass balance")


@needs(SALT, "volume_l", "nitrite_mg_l")
def salt_for_nitrite_g(
    volume_l: float,
    nitrite_mg_l: float,
    parts: float,
    most_g_l: float,
    chloride_mg_l: float | None = None,
    borne_g_l: float | None = None,
    present_g_l: float | None = None,
) -> Outcome:
    """Salt [g] whose chloride outweighs the nitrite ion ``parts`` times.

    nitrite_mg_l  : nitrite as N [mg/L]
    chloride_mg_l : chloride now [mg/L]; None is taken as none
    most_g_l      : salt that is never passed [g/L]
    borne_g_l     : salinity this kind bears for days [g/L]; None where it is not known
    present_g_l   : salinity now [g/L]; None is taken as none

    Durborow et al. (1997), SRAC 462, by mass of the nitrite *ion*.
    """
    ion = from_nitrogen_mg_l(nitrite_mg_l, "NO2")
    chloride = chloride_to_add_mg_l(ion, chloride_mg_l or 0.0, parts)
    needed_g_l = salt_for_chloride(chloride) / 1000.0
    room = math.inf if borne_g_l is None else max(0.0, borne_g_l - (present_g_l or 0.0))
    most = min(most_g_l, room)
    grams = dose_g(min(needed_g_l, most), volume_l)
    working = (
        f"chloride {short(parts, 3)} x {short(ion, 3)} mg/L NO2 - {short(chloride_mg_l or 0.0, 3)}"
        f" = {short(chloride, 3)} mg/L; as salt {short(needed_g_l, 3)} g/L x {short(volume_l, 3)} L"
    )
    if chloride_mg_l is None:
        working += "; chloride not measured, taken as none"
    if needed_g_l > most:
        why = "" if most == most_g_l else ", all that this kind bears"
        working += f"; kept to {short(most, 3)} g/L{why}, which is less than the nitrite asks for"
    source = "Durborow et al. 1997, SRAC 462; molar masses, IUPAC"
    return Worked(SALT, grams, grams, grams, "g", working, source)


@needs(THIOSULFATE, "volume_l")
def thiosulfate_g(
    volume_l: float,
    usual_low: float,
    usual_high: float,
    parts: float = THIOSULFATE_TO_TETRATHIONATE,
    chlorine_mg_l: float | None = None,
) -> Outcome:
    """Thiosulfate crystals [g] that bind the chlorine in this much water.

    chlorine_mg_l         : total chlorine [mg/L]; when None the usual span in
                            tap water is used and the upper end advised
    parts                 : mg of crystals per mg of chlorine
    """
    low, value, high = (
        (chlorine_mg_l,) * 3 if chlorine_mg_l is not None else (usual_low, usual_high, usual_high)
    )
    grams = [thiosulfate_mass_g(mg, volume_l, parts) for mg in (low, value, high)]
    working = (
        f"{short(value, 3)} mg/L chlorine x {short(parts, 3)} x {short(volume_l, 3)} L / 1000"
        f" = {short(grams[1], 3)} g"
    )
    if chlorine_mg_l is None:
        working += (
            f"; chlorine not measured, tap water usually holds {short(usual_low, 3)}"
            f" to {short(usual_high, 3)} mg/L"
        )
    source = "2 S2O3-- + Cl2 -> S4O6-- + 2 Cl-; molar masses, IUPAC"
    return Worked(THIOSULFATE, grams[1], grams[0], grams[2], "g", working, source)


#: Ascorbic acid [g/mol] gives two electrons, and so one molecule takes up one of chlorine.
ASCORBIC_ACID = 6 * masses.C + 8 * masses.H + 6 * masses.O
VITAMIN_C = "ascorbic acid (vitamin C powder)"


@needs(VITAMIN_C, "volume_l")
def ascorbic_acid_g(
    volume_l: float,
    usual_high: float,
    chlorine_mg_l: float | None = None,
) -> Outcome:
    """Ascorbic acid [g] that binds the chlorine in this much water, for want of thiosulfate.

    chlorine_mg_l : total chlorine [mg/L]; when None ``usual_high`` of tap water is taken

    One mole per mole of chlorine: about 2.5 mg for each mg, as the US Forest Service gives.
    """
    chlorine = usual_high if chlorine_mg_l is None else chlorine_mg_l
    per_mg = ASCORBIC_ACID / (2 * masses.CL)
    grams = dose_g(chlorine * per_mg / 1000.0, volume_l)
    working = (
        f"{short(chlorine, 3)} mg/L chlorine x {short(per_mg, 3)} x {short(volume_l, 3)} L / 1000"
        f" = {short(grams, 3)} g"
    )
    if chlorine_mg_l is None:
        working += "; chlorine not measured, the upper end of tap water taken"
    source = "C6H8O6 + Cl2 -> C6H6O6 + 2 HCl; molar masses, IUPAC; Land 2005, US Forest Service"
    return Worked(VITAMIN_C, grams, grams, grams, "g", working, source)


@needs(BINDER, "volume_l", "tan_mg_l")
def binder_active_g(volume_l: float, tan_mg_l: float) -> Outcome:
    """Least binder [g active substance] that can take up the ammonia, one molecule for one.

    A check on the label, which gives the strength and the dose of the product.
    """
    grams = dose_g(tan_mg_l * BINDER_PER_N / 1000.0, volume_l)
    working = (
        f"{short(tan_mg_l, 3)} mg/L N x {short(BINDER_PER_N, 3)} x {short(volume_l, 3)} L / 1000"
        f" = {short(grams, 3)} g active substance; the label's dose counts"
    )
    return Worked(BINDER, grams, grams, grams, "g", working, "one to one; molar masses, IUPAC")


@needs(ZEOLITE, "volume_l", "tan_mg_l")
def zeolite_g(
    volume_l: float,
    tan_mg_l: float,
    holds_low_mg_g: float,
    holds_high_mg_g: float,
) -> Outcome:
    """Zeolite [g] that can hold the ammonia now in the water.

    holds_low_mg_g, holds_high_mg_g : mg of nitrogen one gram takes up in fresh water
    """
    if not 0.0 < holds_low_mg_g <= holds_high_mg_g:
        return NotWorkedOut(ZEOLITE, why="the capacity given in the rules is not a range above 0")
    nitrogen = tan_mg_l * volume_l
    low, high = nitrogen / holds_high_mg_g, nitrogen / holds_low_mg_g
    working = (
        f"{short(tan_mg_l, 3)} mg/L N x {short(volume_l, 3)} L / {short(holds_low_mg_g, 3)} to"
        f" {short(holds_high_mg_g, 3)} mg N per g"
    )
    return Worked(ZEOLITE, high, low, high, "g", working, "mass balance; capacity from the rules")


@needs(BICARBONATE, "volume_l", "alkalinity_mg_l_caco3")
def bicarbonate_g(
    volume_l: float,
    alkalinity_mg_l_caco3: float,
    target_mg_l_caco3: float,
    most_rise_mg_l_caco3: float,
    most_ph_rise: float = math.inf,
) -> Outcome:
    """Sodium bicarbonate [g] for one day's step of alkalinity, no step over ``most_rise``.

    most_ph_rise : pH units the step may lift the water. At one level of carbon dioxide pH
                   climbs with the logarithm of alkalinity (first dissociation of carbonic
                   acid), so the step is held to alkalinity x (10^rise - 1). Water that
                   holds next to none gets ``LEAST_RISE``, and a test after it.
    """
    wanted = min(max(0.0, target_mg_l_caco3 - alkalinity_mg_l_caco3), most_rise_mg_l_caco3)
    gentle = math.inf
    if math.isfinite(most_ph_rise):
        gentle = max(LEAST_RISE, alkalinity_mg_l_caco3 * (10.0**most_ph_rise - 1.0))
    rise = min(wanted, gentle)
    grams = bicarbonate_for_alkalinity_g(rise, volume_l)
    working = (
        f"{short(rise, 3)} mg/L CaCO3 / 50.04 x 84.01 x {short(volume_l, 3)} L / 1000"
        f" = {short(grams, 3)} g, for one day; stop when pH has moved as far as the text allows"
    )
    if rise < wanted:
        working += f"; held to what lifts pH by {short(most_ph_rise, 3)}"
    source = "one equivalent per mole; molar masses, IUPAC"
    return Worked(BICARBONATE, grams, grams, grams, "g", working, source)


#: Below this a kitchen scale does not weigh well, and below that it does not weigh at all [g]
#: (common practice, no source); and the strength of a stock to measure from [g/L].
WEIGHABLE_G = 5.0
LEAST_WEIGHED_G = 0.1
STOCK_G_L = 10.0


def stock_ml(weighed: Worked) -> Worked:
    """The same mass as millilitres of a stock of ``STOCK_G_L``: poured, not weighed.

    Its label names the substance where the mass is too small to be shown beside it.
    """
    to_ml = 1000.0 / STOCK_G_L
    what = "the same" if weighed.value >= LEAST_WEIGHED_G else weighed.label
    label = f"{what} from a stock of {short(STOCK_G_L, 3)} g in 1 L of water"
    poured = weighed.value * to_ml
    working = f"{short(weighed.value, 3)} g / {short(STOCK_G_L, 3)} g/L = {short(poured, 3)} mL"
    value, low, high = (mass * to_ml for mass in (weighed.value, weighed.low, weighed.high))
    return Worked(label, value, low, high, "mL", working, "mass balance")
