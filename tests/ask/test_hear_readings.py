"""Readings in a typed line: which water, which parameter, how much. Read by hand.

Values in the units the case keeps: °C, mg/L (ammonia, nitrite and nitrate as nitrogen: 1 mg/L NO2
is 0.304 mg/L as N, 1 mg/L NO3 0.226, by their atomic weights), mg/L of CaCO3 (1 °dH is 17.848).
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.ask.hearing import hear


def read(question: str, text: str) -> dict[tuple[str, str], float]:
    return {
        (r["water"], r["parameter"]): r["value"] for r in hear(question, text).get("readings", ())
    }


T, PH, N2, N3 = "temperature_c", "ph", "nitrite_mg_l", "nitrate_mg_l"
TAN, DO, KH, GH = "tan_mg_l", "do_mg_l", "alkalinity_mg_l_caco3", "hardness_mg_l_caco3"


@pytest.mark.parametrize(
    "question, text, means",
    [
        ("thermometer", "24", {("tank", T): 24}),
        ("thermometer", "tank 24, bag 20", {("tank", T): 24, ("bag", T): 20}),
        ("thermometer", "24 in the tank, 20 in the bag", {("tank", T): 24, ("bag", T): 20}),
        ("thermometer", "bag 20 tank 24", {("tank", T): 24, ("bag", T): 20}),
        ("thermometer", "24 20", {("tank", T): 24, ("bag", T): 20}),
        ("thermometer", "24 tank and 20 bag", {("tank", T): 24, ("bag", T): 20}),
        ("thermometer", "both 24", {("tank", T): 24, ("bag", T): 24}),
        ("thermometer", "24 in both", {("tank", T): 24, ("bag", T): 24}),
        ("thermometer", "75 F", {("tank", T): 23.89}),
        ("thermometer", "75", {("tank", T): 23.89}),  # no fish lives at 75 °C
        ("thermometer", "tank 75F bag 68F", {("tank", T): 23.89, ("bag", T): 20}),
        ("thermometer", "the tank is at 24.5, the bag at 21", {("tank", T): 24.5, ("bag", T): 21}),
        ("thermometer", "24,5", {("tank", T): 24.5}),
        ("thermometer", "only the bag: 21", {("bag", T): 21}),
        ("ph", "7.2", {("tank", PH): 7.2}),
        ("ph", "tank 7.4 bag 6.2", {("tank", PH): 7.4, ("bag", PH): 6.2}),
        ("ph", "ph 6.2 in the bag", {("bag", PH): 6.2}),
        ("ph", "bag ph 6.2, tank ph 7.4", {("tank", PH): 7.4, ("bag", PH): 6.2}),
        ("ph", "bag: 6.2", {("bag", PH): 6.2}),
        ("ph", "seven point two", {("tank", PH): 7.2}),
        ("ammonia_nitrite", "ammonia 0.5 ppm as N, nitrite 0",
         {("tank", TAN): 0.5, ("tank", N2): 0}),
        ("ammonia_nitrite", "nitrite 1 mg/l as NO2", {("tank", N2): 0.304}),
        ("ammonia_nitrite", "NO2 0, NH3 0", {("tank", N2): 0, ("tank", TAN): 0}),
        ("ammonia_nitrite", "both zero", {("tank", N2): 0, ("tank", TAN): 0}),
        ("ammonia_nitrite", "0 0", {("tank", N2): 0, ("tank", TAN): 0}),
        ("ammonia_nitrite", "none detected", {("tank", N2): 0, ("tank", TAN): 0}),
        ("ammonia_nitrite", "NO2-N 0.3 mg/l", {("tank", N2): 0.3}),
        ("hardness", "KH 6, GH 12", {("tank", KH): 107.1, ("tank", GH): 214.2}),
        ("hardness", "GH 12 KH 6", {("tank", KH): 107.1, ("tank", GH): 214.2}),
        ("hardness", "KH 6 dH", {("tank", KH): 107.1}),
        ("hardness", "kh 100 ppm", {("tank", KH): 100}),
        ("oxygen", "6.5 mg/l", {("tank", DO): 6.5}),
        ("oxygen", "DO 6.5", {("tank", DO): 6.5}),
        ("salinity", "35 ppt", {("tank", "salinity_g_kg"): 35}),
        ("salinity", "sg 1.025", {("tank", "salinity_g_kg"): 33.2}),
        # the water stands behind the number, in a clause of its own, or only once
        ("thermometer", "24 tank 20 bag", {("tank", T): 24, ("bag", T): 20}),
        ("thermometer", "20 in the bag 24 in the tank", {("tank", T): 24, ("bag", T): 20}),
        ("thermometer", "20, thats the bag", {("bag", T): 20}),
        ("thermometer", "tank 24, 20", {("tank", T): 24, ("bag", T): 20}),
        ("thermometer", "tank 24, tank 24", {("tank", T): 24}),
        # of saturation: 8.26 mg/L at 25 °C, 10.08 at 15 °C in fresh water (Benson and Krause 1980)
        ("oxygen", "80% at 25 C", {("tank", DO): 6.61}),
        ("oxygen", "80% at 15 C", {("tank", DO): 8.07}),
        ("oxygen", "6.5 mg/l, 80 %", {("tank", DO): 6.5}),
        # nothing found is nothing, whatever it is counted as; strips show ppm, drops degrees
        ("ammonia_nitrite", "ammonia 0 nitrite 0", {("tank", N2): 0, ("tank", TAN): 0}),
        ("hardness", "kh 100 on a strip", {("tank", KH): 100}),
        ("hardness", "kh 20 on a strip", {("tank", KH): 20}),
        ("hardness", "kh 19 on a strip", {("tank", KH): 339.1}),
        ("hardness", "kh 20", {("tank", KH): 357}),
        ("conductivity", "tds 150", {}), ("ph", "12", {}), ("thermometer", "tank 45", {}),
        # said beside other questions, with their names
        ("breathing_and_posture", "gasping, tank 24 C", {("tank", T): 24}),
        ("breathing_and_posture", "gasping, 7.4ph", {("tank", PH): 7.4}),
        ("breathing_and_posture", "gasping, tank ph 7.2, 0.3 nitrite as N",
         {("tank", PH): 7.2, ("tank", N2): 0.3}),
        ("breathing_and_posture", "gasping, tank ph 7.4", {("tank", PH): 7.4}),
        ("behaviour", "scratching, bag temp 21 C", {("bag", T): 21}),
        ("breathing_and_posture", "gasping at 3", {}),
        ("breathing_and_posture", "5 gasping, room at 24 C", {}),
        ("counts", "3 dead, nitrite 0.5 mg/l as N", {("tank", N2): 0.5}),
        # no reading of the water
        ("thermometer", "about to measure", {}), ("ph", "dont know", {}), ("ph", "no kit", {}),
        ("oxygen", "2 airstones", {}), ("salinity", "2 spoons of salt", {}), ("ph", "17", {}),
        ("ph", "-3", {}), ("thermometer", "10 bags", {}), ("salinity", "1 tbsp per gallon", {}),
        ("hardness", "6", {}), ("ph", "7 or 8", {}), ("tap", "7.4", {}), ("ph", "bag 6 bag 7", {}),
    ],
)  # fmt: skip
def test_readings(question: str, text: str, means: dict[tuple[str, str], float]) -> None:
    got = read(question, text)
    assert set(got) == set(means)
    assert got == pytest.approx(means, rel=0.01)


@pytest.mark.parametrize(
    "question, text, limit",
    [
        ("ammonia_nitrite", "nitrite over 5 mg/l as N", "above"),
        ("ammonia_nitrite", "nitrite > 5 mg/l as N", "above"),
        ("ammonia_nitrite", "nitrite under 0.1 mg/l as N", "below"),
        ("ammonia_nitrite", "nitrite < 0.1 mg/l as N", "below"),
        ("ammonia_nitrite", "nitrite 5 mg/l as N", None),
        ("hardness", "kh under 3", "below"),
        ("hardness", "kh over 20", "above"),
        ("hardness", "kh 3", None),
    ],
)
def test_a_bound_is_no_number_of_its_own(question: str, text: str, limit: str | None) -> None:
    (one,) = hear(question, text)["readings"]
    assert one.get("limit") == limit


@pytest.mark.parametrize(
    "text, kit",
    [
        ("nitrite 0.5 as N, strip", "strip"), ("nitrite 0.5 as N on a drop kit", "drops"),
        ("nitrite 0.5 as N", None),
    ],
)  # fmt: skip
def test_the_kit_is_kept(text: str, kit: str | None) -> None:
    (one,) = hear("ammonia_nitrite", text)["readings"]
    assert one.get("kit") == kit


@given(
    tank=st.integers(50, 330), bag=st.integers(50, 330),
    way=st.sampled_from(
        ["tank {t}, bag {b}", "bag {b}, tank {t}", "{t} in the tank and {b} in the bag",
         "the bag is {b}, the tank is {t}", "tank: {t}; bag: {b}", "bag {b} tank {t}",
         "{b} bag, {t} tank",
         "tank {t} C, bag {b} C", "bag water {b}, tank water {t}", "bag at {b} and tank at {t}"]
    ),
    comma=st.booleans(), shape=st.sampled_from([str.upper, str.lower, str.capitalize]),
)  # fmt: skip
@settings(max_examples=120)
def test_each_number_keeps_its_water(
    tank: int, bag: int, way: str, comma: bool, shape: Any
) -> None:
    """However it is put, the tank's number is the tank's: temperatures of 5 to 33 °C."""
    text = way.format(t=tank / 10, b=bag / 10)
    text = text.replace(".", ",") if comma else text
    assert read("thermometer", shape(text)) == {("tank", T): tank / 10, ("bag", T): bag / 10}


@given(
    tan=st.integers(0, 80), nitrite=st.integers(0, 80),
    way=st.sampled_from(["ammonia {a} as N, nitrite {n} as N", "nitrite {n} as N, ammonia {a} as N",
                         "NH3-N {a}, NO2-N {n}", "no2-n {n} nh3-n {a}"]),
)  # fmt: skip
@settings(max_examples=60)
def test_each_number_keeps_its_parameter(tan: int, nitrite: int, way: str) -> None:
    got = read("ammonia_nitrite", way.format(a=tan / 10, n=nitrite / 10))
    assert got == pytest.approx({("tank", TAN): tan / 10, ("tank", N2): nitrite / 10})
