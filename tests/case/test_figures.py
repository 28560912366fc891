"""Figures of a hand-written case held against each other, and names looked up as it is loaded."""

from __future__ import annotations

from pathlib import Path

import pytest

import advisor
from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner, default_reasoner
from advisor.case import load_with_stamp, loads_case, save_case
from advisor.errors import AdvisorError

CASE = """\
format = "arrival-case-1"
[delivery]
received = 2027-03-02T14:10:00
[transit]
air_low_c = 18
[[lot]]
id = "A"
species = "guppy"
count = 10
[[lot]]
id = "B"
count = 40
bags = 2
mass_g = 1.2
bag_water_l = 4
[[observation]]
at_hours = 1
lot = "B"
tank.temperature_c = 24
[outcome]
survivors_48h = 30
"""

#: What cannot be: (line to put in, behind which line, its line then, what is said).
IMPOSSIBLE = {
    "millilitres": ("bag_water_l = 4", "bag_water_l = 3000", 15, "no bag holds 3000 litres"),
    "fish by weight": ("mass_g = 1.2", "mass_g = 800", 15, "kg of fish to each litre"),
    "more counted than there are": (
        'lot = "B"', 'lot = "B"\ncounts.normal = 38\ncounts.dead = 5', 19, "43 fish are counted",
    ),
    "all of both lots": (
        'lot = "B"', 'lot = "all"\ncounts.normal = 51', 19, "51 fish are counted, and there are 50",
    ),
    "shut and released": (
        "bag_water_l = 4", 'bag_water_l = 4\nsealed = "yes"\nreleased_at_hours = 1', 16, "shut",
    ),
    "shut and opened": (
        "bag_water_l = 4", 'bag_water_l = 4\nsealed = "yes"\nopened_at_hours = 1', 16, "shut",
    ),
    "released before opened": (
        "bag_water_l = 4", "bag_water_l = 4\nopened_at_hours = 2\nreleased_at_hours = 1", 17,
        "before the bag was opened",
    ),
    "oxygen of a bag in a tank": (
        "tank.temperature_c = 24", "tank.temperature_c = 24\ntank.do_mg_l = 45", 20, "45 %",
    ),
    "more oxygen than pure": (
        "tank.temperature_c = 24", "bag.temperature_c = 28\nbag.do_mg_l = 55", 20, "pure oxygen",
    ),
    "a hundred thousand hours": ("at_hours = 1", "at_hours = 100000", 17, "after receipt"),
    "air": ("air_low_c = 18", "air_low_c = 18\nair_high_c = 8", 5, "lies above"),
    "survivors": ("survivors_48h = 30", "survivors_48h = 60", 21, "60 survive"),
    "deaths": (
        "survivors_48h = 30", 'deaths = [{ at_hours = 5, lot = "A", dead = 11 }]', 21, "11 died",
    ),
    "a fish of lead": ("mass_g = 1.2", "mass_g = 120\nlength_cm = 3", 14, "no fish of 3 cm"),
}  # fmt: skip


@pytest.mark.parametrize("what", IMPOSSIBLE)
def test_what_cannot_be_is_refused_with_its_line(what: str) -> None:
    old, new, line, said = IMPOSSIBLE[what]
    loads_case(CASE)
    with pytest.raises(AdvisorError) as fault:
        loads_case(CASE.replace(old, new), "b.toml")
    assert f"b.toml, line {line}, " in str(fault.value) and said in str(fault.value)


def test_what_a_session_wrote_opens_again_whatever_was_answered(tmp_path: Path) -> None:
    path = tmp_path / "case.toml"
    text = CASE.replace("bag_water_l = 4", "bag_water_l = 3000")
    case = loads_case(text, weighed=False)
    save_case(case, path)
    assert load_with_stamp(path, weighed=False)[0] == case


ODD = {
    "a large bag": ("bag_water_l = 4", "bag_water_l = 80", "much for one bag"),
    "crowded": ("mass_g = 1.2", "mass_g = 120", "kg of fish to each litre"),
    "hot": ("tank.temperature_c = 24", "tank.temperature_c = 36", "far from the usual"),
    "an unknown fish": ('"guppy"', '"blorbfish of Nowhere"', "not in the species table"),
    "bags": ("bags = 2", "bags = 50", "more bags (50) than fish (40)"),
}


@pytest.fixture(scope="module")
def reasoner() -> Reasoner:
    return default_reasoner()


@pytest.mark.parametrize("what", ODD)
def test_what_is_odd_is_taken_and_stands_beside_the_advice(what: str, reasoner: Reasoner) -> None:
    old, new, said = ODD[what]
    assert assess(loads_case(CASE), reasoner).remarks == ()
    remarks = assess(loads_case(CASE.replace(old, new)), reasoner).remarks
    assert len(remarks) == 1 and said in remarks[0]


@pytest.mark.parametrize(
    "written",
    ["Japanese koi", "koi, 15 cm", "ko\u200bi", "\u202ekoi", "KOI (red)", "kói", "koi\u00ad"],
)
def test_koi_are_koi_however_they_are_written(written: str, reasoner: Reasoner) -> None:
    found = assess(loads_case(CASE.replace("guppy", written)), reasoner)
    assert found.lots[0].kind_of_fish == "koi" and not found.remarks


WORDS = {
    "sign": ("tank.temperature_c = 24", 'seen = ["gasping_at_surfac"]', "gasping_at_surface"),
    "group": ('species = "guppy"', 'group = "livebearer"', "did you mean"),
    "another kind's group": ('"guppy"', '"guppy"\ngroup = "koi_carp"', "guppy is of the group"),
    "history": ('species = "guppy"', "history.runs_of_rain = true", "no item"),
}


@pytest.mark.parametrize("what", WORDS)
def test_every_word_is_looked_up_as_a_case_is_loaded(what: str, tmp_path: Path) -> None:
    old, new, said = WORDS[what]
    path = tmp_path / "b.toml"
    path.write_text(CASE.replace(old, new), encoding="utf-8")
    with pytest.raises(AdvisorError) as fault:
        advisor.load_case(path)
    assert "b.toml" in str(fault.value) and said in str(fault.value)
