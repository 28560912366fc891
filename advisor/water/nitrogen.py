"""Forms in which kits report nitrogen, and nitrite against chloride.

Stored readings are always as N; a kit may read the ion. The factors are molar
masses (IUPAC).
"""

from __future__ import annotations

from advisor.errors import AdvisorError
from advisor.water import masses
from advisor.water.formulas import published
from advisor.water.input_checks import check_not_negative, check_positive

#: mg of the form per mg of nitrogen.
PER_N = {
    "NH3": masses.NH3 / masses.N,
    "NH4": masses.NH4 / masses.N,
    "NO2": masses.NO2 / masses.N,
    "NO3": masses.NO3 / masses.N,
}
#: Chloride to nitrite by mass, Durborow et al. (1997) for channel catfish ponds.
CHLORIDE_TO_NITRITE = 10.0

_DURBOROW = (
    "Durborow RM, Crosby DM, Brunson MW (1997) Nitrite in Fish Ponds, SRAC Publication 462; "
    "mass of chloride to mass of nitrite ion"
)


@published("molar masses, IUPAC", equation="{nitrogen_mg_l} * M(form)/M(N)", unit="mg/L")
def from_nitrogen_mg_l(nitrogen_mg_l: float, form: str) -> float:
    """Amount as ``NH3``, ``NH4``, ``NO2`` or ``NO3`` that holds this much nitrogen."""
    check_not_negative("nitrogen_mg_l", nitrogen_mg_l, "mg/L")
    return nitrogen_mg_l * _per_n(form)


def _per_n(form: str) -> float:
    try:
        return PER_N[form]
    except KeyError:
        raise AdvisorError(f"form: {form!r} is not one of {', '.join(PER_N)}.") from None


@published(
    _DURBOROW,
    equation="max(0, {ratio} * {nitrite_ion_mg_l} - {chloride_mg_l})",
    unit="mg/L chloride",
)
def chloride_to_add_mg_l(
    nitrite_ion_mg_l: float, chloride_mg_l: float = 0.0, ratio: float = CHLORIDE_TO_NITRITE
) -> float:
    """Chloride to add so that nitrite is kept out of the gill."""
    check_not_negative("nitrite_ion_mg_l", nitrite_ion_mg_l, "mg/L")
    check_not_negative("chloride_mg_l", chloride_mg_l, "mg/L")
    check_positive("ratio", ratio)
    return max(0.0, ratio * nitrite_ion_mg_l - chloride_mg_l)


@published("molar masses, IUPAC", equation="{chloride} * 58.44/35.45", unit="as given")
def salt_for_chloride(chloride: float) -> float:
    """Sodium chloride that holds this much chloride (any mass unit, or per litre)."""
    check_not_negative("chloride", chloride)
    return chloride * masses.NACL / masses.CL
