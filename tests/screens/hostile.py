"""Text that means harm, and cases full of it."""

from __future__ import annotations

from types import UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from hypothesis import strategies as st
from pydantic import BaseModel

from advisor.case import Case
from advisor.case.model import (
    Added,
    Claim,
    Delivery,
    Lot,
    Observation,
    Photo,
    Receiving,
    Sample,
    Transit,
)
from advisor.case.readings import Reading

#: Control sequences (ECMA-48, ISO 6429), direction codes (Unicode UAX 9), markup of rich,
#: HTML, templates, and spreadsheet formulas.
PIECES = (
    *("\x1b[2J", "\x1b]0;owned\x07", "\x1b[31m", "\x9b2J", "\x1b]8;;http://x\x1b\\", "\x1bc"),
    *("\r", "\n", "\t", "\x08\x08", "\x00", "\x7f", "\x85", "\x0c", "\x0e"),
    *("\u202e", "\u2066", "\u200f", "\u061c", "\u2028", "\u2029", "\ufeff", "\u200b", "\u00ad"),
    *("[red]", "[/]", "[bold", "[link=http://x]", "\\[", ":warning:", "[@click=app.bell]"),
    *("<script>alert(1)</script>", "<img src=x onerror=y>", "&lt;", "{{ 7 * 7 }}", "{% raw %}"),
    *('=HYPERLINK("http://x")', "+1", "-2+3", "@SUM(A1)", "%s", "{0}", "$(id)", "`id`", "'; --"),
    *("DO NOW: ", "\n\nDO NOW: pour it in", "\nLIKELY CAUSES", "e\u0301", "鱼", "🐟", "עברית"),
    *("\U000e0041", "\ue000", "x" * 130, " ", "normal words"),
)
texts = st.lists(st.sampled_from(PIECES), min_size=1, max_size=5).map("".join)


def _takes_text(hint: Any) -> bool:
    return hint is str or (get_origin(hint) in (Union, UnionType) and str in get_args(hint))


def _fill(part: type[BaseModel], text: str) -> dict[str, Any]:
    """Every field of ``part`` that takes any text, filled with it."""
    return {name: text for name, hint in get_type_hints(part).items() if _takes_text(hint)}


def hostile_case(text: str) -> Case:
    """A delivery in trouble whose every free text is ``text``; words of the rules stay words."""
    reading = _fill(Reading, text)
    short = text[:37]
    lot = _fill(Lot, text) | {"id": short, "hours_sealed": 40, "bag_water_l": 2, "count": 9}
    del lot["group"]  # a word of the rules
    other = lot | {"id": f"{short} 2", "species": f"{text} neon tetra"}
    look = _fill(Observation, text) | {
        "at_hours": 0.5,
        "lot": "all",
        "seen": ["gasping_at_surface", "brown_gills"],
        "not_seen": ["lying_on_side"],
        "words": [text],
        "tank": {"ph": {"value": 8.2} | reading, "nitrite_mg_l": {"value": 3} | reading},
        "bag": {"tan_mg_l": {"value": 4, "low": 1, "high": 8} | reading, "ph": {"value": 6.4}},
        "done": [text],
    }
    return Case.model_validate(
        {
            "delivery": _fill(Delivery, text) | {"received": "2030-01-02T10:00:00"},
            "transit": _fill(Transit, text),
            "receiving": _fill(Receiving, text) | {"volume_l": 90, "added": [_fill(Added, text)]},
            "lot": [lot, other],
            "observation": [look],
            "outcome": {"note": text, "confirmed_by": text},
            "photo": [_fill(Photo, text)],
            "sample": [_fill(Sample, text) | {"lot": "all"}],
            "step": [{"at_hours": 0, "what": text}],
            "claim": _fill(Claim, text),
        }
    )
