"""How far a reading can be from the truth, by the kind of kit that gave it.

Published: test strips are accurate to one colour block (Anand 2001, Water
Conditioning & Purification, September); meters after the USGS calibration
criteria of Wagner et al. (2006, Techniques and Methods 1-D3; figures from
memory): 0.2 pH, 0.3 mg/L oxygen, the larger of 5 µS/cm and 3 %; Boyd (Global
Seafood Alliance) asks for pH 0.2 and TAN 0.2 mg/L and says that counted drops and
strips do not reach that. Every other figure is common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from advisor.units.parameters import Parameter, look_up
from advisor.units.quantity import Quantity, UnitError
from advisor.wording.names import KITS

Kit = Literal["colour_card", "strip", "drops", "meter", "lab", "unknown"]


@dataclass(frozen=True, slots=True)
class Reach:
    """How far the truth can lie from a reading.

    absolute, share : the larger of a fixed amount and a share of the reading
    marks           : for cards: neighbouring marks differ by this factor;
                      below the first mark nothing is told apart
    """

    absolute: float = 0.0
    share: float = 0.0
    marks: float = 0.0


# A card's neighbouring marks stand near half and double; a strip's blocks are wider.
_CARD, _STRIP, _LAB = Reach(marks=2.0), Reach(marks=3.0), Reach(share=0.1)
_PHOTOMETER = Reach(absolute=0.05, share=0.1)
_ONE_DEGREE = Reach(absolute=17.848)

_BY_FAMILY: dict[str, dict[str, Reach]] = {
    "temperature": {"meter": Reach(0.5), "strip": Reach(2.0), "lab": Reach(0.2),
                    "else": Reach(1.0)},
    "ph": {"colour_card": Reach(0.3), "drops": Reach(0.3), "strip": Reach(0.5), "meter": Reach(0.2),
           "lab": Reach(0.1), "else": Reach(0.5)},
    "nitrogen": {"colour_card": _CARD, "drops": _CARD, "meter": _PHOTOMETER, "lab": _LAB,
                 "else": _STRIP},
    "solute": {"colour_card": _CARD, "drops": _CARD, "meter": _PHOTOMETER, "lab": _LAB,
               "else": _STRIP},
    "oxygen": {"colour_card": Reach(2.0), "drops": Reach(1.0), "meter": Reach(0.3),
               "lab": Reach(0.2), "else": Reach(2.0)},
    "alkalinity": {"drops": _ONE_DEGREE, "meter": Reach(5.0, 0.05), "lab": Reach(share=0.05),
                   "colour_card": _CARD, "else": _STRIP},
    "hardness": {"drops": _ONE_DEGREE, "meter": Reach(5.0, 0.05), "lab": Reach(share=0.05),
                 "colour_card": _CARD, "else": _STRIP},
    "conductivity": {"meter": Reach(5.0, 0.03), "lab": Reach(5.0, 0.01), "else": Reach(5.0, 0.1)},
    "salinity": {"meter": Reach(1.0), "lab": Reach(0.1), "else": Reach(2.0)},
    "percent": {"meter": Reach(1.0), "lab": Reach(0.5), "else": Reach(2.0)},
}  # fmt: skip

_NAMES = {**KITS, "unknown": "kit not known"}


def kit_band(quantity: Quantity, parameter: str, kit: Kit) -> Quantity:
    """``quantity`` with its band widened by what this kind of kit can tell apart.

    kit : how it was read; "unknown" widens as far as the coarsest. A 0 on a card
          becomes the interval from 0 to the first mark.

    The value and the "over"/"under" flags stay. Raises UnitError for a parameter
    that no kit reads (a volume, a time) and for a kit of another name.
    """
    known = look_up(parameter)
    rules = _BY_FAMILY.get(known.family)
    if rules is None or kit not in _NAMES:
        raise UnitError(
            f'{parameter}: "{kit}" is not a kind of kit that reads it; '
            f"for water readings use one of {', '.join(_NAMES)}."
        )
    reach = rules.get(kit, rules["else"])
    low = min(_lower(quantity.low, reach, known), quantity.value)
    high = max(_upper(quantity.high, reach, known), quantity.value)
    note = "; ".join(filter(None, (quantity.note, f"band: {_NAMES[kit]}")))
    return replace(quantity, low=max(low, known.low), high=min(high, known.high), note=note)


def _first_mark(reach: Reach, parameter: Parameter) -> float:
    mark = parameter.first_mark or 0.0
    return mark if reach.marks <= 2.0 else 2 * mark


def _lower(value: float, reach: Reach, parameter: Parameter) -> float:
    if reach.marks:
        return 0.0 if value <= _first_mark(reach, parameter) else value / reach.marks
    return value - max(reach.absolute, reach.share * abs(value))


def _upper(value: float, reach: Reach, parameter: Parameter) -> float:
    if reach.marks:
        return value * reach.marks if value > 0 else _first_mark(reach, parameter)
    return value + max(reach.absolute, reach.share * abs(value))
