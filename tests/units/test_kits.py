"""Bands by kind of kit. Figures: see advisor/units/kits.py for what is sourced and what is not."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.units import PARAMETERS, Quantity, UnitError, kit_band, parse

WATER = [
    key for key in PARAMETERS if PARAMETERS[key].family not in ("volume", "mass", "length", "time")
]
KITS = ["colour_card", "strip", "drops", "meter", "lab", "unknown"]


def test_zero_on_a_card_is_an_interval() -> None:
    band = kit_band(parse("0", "tan_mg_l"), "tan_mg_l", "colour_card")
    assert (band.value, band.low) == (0, 0)
    assert band.high == PARAMETERS["tan_mg_l"].first_mark


def test_a_card_reads_to_its_neighbouring_marks_and_a_strip_worse() -> None:
    reading = parse("1 mg/L N", "tan_mg_l")
    card = kit_band(reading, "tan_mg_l", "colour_card")
    strip = kit_band(reading, "tan_mg_l", "strip")
    meter = kit_band(reading, "tan_mg_l", "meter")
    assert (card.low, card.high) == (0.5, 2.0)
    assert strip.high - strip.low > card.high - card.low > meter.high - meter.low


def test_meter_bands_are_the_usgs_criteria() -> None:
    """Wagner et al. (2006) USGS TM 1-D3, calibration criteria, from memory."""
    ph = kit_band(parse("7.4", "ph"), "ph", "meter")
    oxygen = kit_band(parse("6", "do_mg_l"), "do_mg_l", "meter")
    low = kit_band(parse("100", "conductivity_us_cm"), "conductivity_us_cm", "meter")
    high = kit_band(parse("1000", "conductivity_us_cm"), "conductivity_us_cm", "meter")
    assert (ph.low, ph.high) == pytest.approx((7.2, 7.6))
    assert (oxygen.low, oxygen.high) == pytest.approx((5.7, 6.3))
    assert (low.low, low.high) == pytest.approx((95, 105))
    assert (high.low, high.high) == pytest.approx((970, 1030))


def test_one_drop_is_one_german_degree() -> None:
    band = kit_band(parse("6 dKH", "alkalinity_mg_l_caco3"), "alkalinity_mg_l_caco3", "drops")
    five, seven = (parse(f"{n} dKH", "alkalinity_mg_l_caco3").value for n in (5, 7))
    assert (band.low, band.high) == pytest.approx((five, seven), rel=1e-4)


def test_flags_and_value_stay_and_the_note_names_the_kit() -> None:
    reading = parse(">8 mg/L N", "tan_mg_l")
    band = kit_band(reading, "tan_mg_l", "colour_card")
    assert (band.value, band.at_least, band.low) == (8, True, 4)
    assert band.high >= reading.high
    assert band.note == "band: colour card"


@pytest.mark.parametrize("parameter, kit", [("volume_l", "meter"), ("ph", "sniff")])
def test_no_band_for_what_no_kit_reads(parameter: str, kit: str) -> None:
    with pytest.raises(UnitError, match="not a kind of kit"):
        kit_band(Quantity(7, 7, 7, "7"), parameter, kit)  # type: ignore[arg-type]


@given(st.data(), st.sampled_from(WATER), st.sampled_from(KITS))
def test_a_band_only_widens_and_stays_physical(
    data: st.DataObject, parameter: str, kit: str
) -> None:
    known = PARAMETERS[parameter]
    ends = sorted(data.draw(st.tuples(*[st.floats(known.low, known.high)] * 3)))
    reading = Quantity(ends[1], ends[0], ends[2], "")
    band = kit_band(reading, parameter, kit)  # type: ignore[arg-type]
    assert known.low <= band.low <= reading.low
    assert reading.high <= band.high <= known.high
    assert band.value == reading.value
