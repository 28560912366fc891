"""What a concentration is stated as: N or the ion, CaCO3 or bicarbonate, Cl or salt.

A stated basis gives a factor to the stored one. No basis on ammonia, nitrite or
nitrate is a question for the person: kits report either, and seldom say which.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from advisor.units.parameters import Parameter
from advisor.units.spellings import Key, key_of
from advisor.water import masses

#: Substance or basis -> spellings that state it.
_SPELLINGS: dict[str, str] = {
    "N": "n|as n|-n|(n)|nitrogen|as nitrogen|-nitrogen",
    "TAN": "tan|total ammonia nitrogen|ammonia nitrogen|ammonia-nitrogen|ammonia-n"
    "|ammonia n|nh3-n|nh3 n|nh3n|nh4-n|nh4 n|nh4n|nh4+-n|ammonium-n|ammonium nitrogen"
    "|ammoniacal nitrogen|as nh3-n|as nh4-n|as tan|total ammonia as n|as ammonia nitrogen"
    "|nh3/nh4-n|nh3-n/nh4-n",
    "NH3": "nh3|as nh3|as ammonia",
    "NH4": "nh4|nh4+|as nh4|as nh4+|ammonium|as ammonium",
    "ammonia": "ammonia|total ammonia|nh3/nh4|nh3/nh4+|nh4/nh3|nh4+/nh3|nh3 + nh4|nh3+nh4"
    "|nh3 and nh4|amm",
    "free NH3": "free ammonia|un-ionised ammonia|un-ionized ammonia|unionised ammonia"
    "|unionized ammonia|toxic ammonia|free nh3|un-ionised|un-ionized|unionised|unionized"
    "|uia|nh3 free",
    "NO2-N": "no2-n|no2 n|no2n|no2--n|nitrite-n|nitrite n|nitrite nitrogen"
    "|nitrite-nitrogen|as no2-n|as nitrite nitrogen",
    "NO2": "no2|no2-|as no2|as no2-|as nitrite|nitrite ion|as nitrite ion|as the ion|ion|as ion",
    "nitrite": "nitrite|nitrites",
    "NO3-N": "no3-n|no3 n|no3n|no3--n|nitrate-n|nitrate n|nitrate nitrogen"
    "|nitrate-nitrogen|as no3-n|as nitrate nitrogen",
    "NO3": "no3|no3-|as no3|as no3-|as nitrate|nitrate ion|as nitrate ion",
    "nitrate": "nitrate|nitrates",
    "CaCO3": "caco3|as caco3|calcium carbonate|as calcium carbonate",
    "HCO3": "hco3|hco3-|as hco3|as hco3-|bicarbonate|as bicarbonate|hydrogen carbonate",
    "Ca": "calcium|as calcium|ca++|ca2+|as ca",
    "Cl2": "cl2|as cl2|chlorine|free chlorine|total chlorine|chloramine|monochloramine"
    "|free cl|total cl",
    "Cl-": "cl|cl-|as cl|as cl-|chloride|chlorides",
    "NaCl": "nacl|as nacl|sodium chloride|as salt",
    "CO2": "co2|carbon dioxide|as co2",
    "Cu": "cu|copper|as cu|cu2+|cu++|chelated copper|free copper",
    "H2S": "h2s|as h2s|hydrogen sulfide|hydrogen sulphide",
    "S": "sulfide|sulphide|sulfides|sulphides|as sulfide|as sulphide|as s",
    "TDS": "tds|total dissolved solids|dissolved solids",
}

_N = masses.N
_FACTORS: dict[str, dict[str, float]] = {
    "tan_mg_l": {"N": 1.0, "TAN": 1.0, "NH3": _N / masses.NH3, "NH4": _N / masses.NH4},
    "nitrite_mg_l": {"N": 1.0, "NO2-N": 1.0, "NO2": _N / masses.NO2},
    "nitrate_mg_l": {"N": 1.0, "NO3-N": 1.0, "NO3": _N / masses.NO3},
    "alkalinity_mg_l_caco3": {"CaCO3": 1.0, "HCO3": masses.CACO3 / 2 / masses.HCO3},
    "hardness_mg_l_caco3": {"CaCO3": 1.0, "Ca": masses.CACO3 / masses.CA},
    "chlorine_mg_l": {"Cl2": 1.0},
    "chloride_mg_l": {"Cl-": 1.0, "NaCl": masses.CL / masses.NACL},
    "co2_mg_l": {"CO2": 1.0},
    "copper_mg_l": {"Cu": 1.0},
    "sulfide_mg_l": {"H2S": 1.0, "S": 1.0},
    "conductivity_us_cm": {"TDS": 1.0},
    "salinity_g_kg": {"NaCl": 1.0},
}
#: Names that fit the parameter but do not say the basis.
_NEUTRAL = {"tan_mg_l": "ammonia", "nitrite_mg_l": "nitrite", "nitrate_mg_l": "nitrate"}


@dataclass(frozen=True, slots=True)
class Basis:
    """One meaning of a concentration: its label for the person and its factor."""

    label: str
    factor: float


#: The meanings offered when ammonia, nitrite or nitrate comes without a basis.
CHOICES: dict[str, tuple[Basis, ...]] = {
    "tan_mg_l": (
        Basis("as N (NH3-N, TAN)", 1.0),
        Basis("as NH3", _N / masses.NH3),
        Basis("as NH4", _N / masses.NH4),
    ),
    "nitrite_mg_l": (Basis("as N (NO2-N)", 1.0), Basis("as NO2", _N / masses.NO2)),
    "nitrate_mg_l": (Basis("as N (NO3-N)", 1.0), Basis("as NO3", _N / masses.NO3)),
}


@cache
def substance_names() -> dict[Key, str]:
    """Every spelling of a substance or basis -> its short name."""
    return {key_of(s): name for name, joined in _SPELLINGS.items() for s in joined.split("|")}


def factor(parameter: Parameter, substance: str) -> float | None:
    """Stored amount per amount stated as ``substance``; None when it states no basis.

    Raises KeyError when the substance is not what this parameter measures.
    """
    if _NEUTRAL.get(parameter.key) == substance:
        return None
    return _FACTORS.get(parameter.key, {})[substance]


def basis_label(parameter: Parameter, substance: str) -> str:
    """How a note names the stated basis: "as NH3"; empty when it is the stored one."""
    same = _FACTORS.get(parameter.key, {}).get(substance) == 1.0
    return "" if same else f"as {substance}"
