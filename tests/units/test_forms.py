"""The forms people write, each read as its neighbour in plain form would be."""

import gsw
import pytest

from advisor.units import PARAMETERS, Quantity, is_unknown, parse, parse_difference

# (parameter, as written, the same in the stored unit); conversions are checked in test_published.
SAME = [
    ("temperature_c", "25,5", "25.5"),
    ("temperature_c", "25.5C", "25.5"),
    ("temperature_c", "25.5 °C.", "25.5"),
    ("temperature_c", "25.5℃", "25.5"),
    ("temperature_c", "  temp is 25.5 degrees  ", "25.5"),
    ("temperature_c", "−1 °C", "-1"),
    ("temperature_c", "tropical, 26 C", "26"),
    ("temperature_c", "77F", "77 °F"),
    ("temperature_c", "77 degrees Fahrenheit", "77 °F"),
    ("temperature_c", "７７ ℉", "77 °F"),
    ("ph", "pH 7.4", "7.4"),
    ("ph", "pH7.4", "7.4"),
    ("ph", "7.4, colour card", "7.4"),
    ("ph", "ph: 7.4", "7.4"),
    ("ph", "7,250", "7.25"),
    ("tan_mg_l", "0.5 NH3-N", "0.5 mg/L as N"),
    ("tan_mg_l", "TAN 0.5", "0.5 mg/L as N"),
    ("tan_mg_l", "0,5 mg/l NH₄⁺-N", "0.5 mg/L as N"),
    ("tan_mg_l", "500 ppb N", "0.5 mg/L as N"),
    ("tan_mg_l", "0.5 mg/L NH₃", "0.5 ppm as NH3"),
    ("nitrite_mg_l", "NO2- 0.5", "0.5 mg/L as NO2"),
    ("nitrite_mg_l", "0.5 mg/l NO₂⁻", "0.5 mg/L as NO2"),
    ("nitrite_mg_l", "0.5 ppm nitrite-N", "0.5 mg/L as N"),
    ("nitrate_mg_l", "20 nitrate ion", "20 mg/L as NO3"),
    ("alkalinity_mg_l_caco3", "KH 6", "6 dKH"),
    ("alkalinity_mg_l_caco3", "6 °dH", "6 dKH"),
    ("alkalinity_mg_l_caco3", "120 ppm", "120"),
    ("alkalinity_mg_l_caco3", "2 mmol/L", "2 meq/L"),
    ("hardness_mg_l_caco3", "GH: 8", "8 dGH"),
    ("hardness_mg_l_caco3", "8 degrees", "8 dGH"),
    ("conductivity_us_cm", "1.2 mS", "1200 µS/cm"),
    ("conductivity_us_cm", "1.2 dS/m", "1200"),
    ("conductivity_us_cm", "TDS 200", "200 ppm"),
    ("salinity_g_kg", "35 ‰", "35"),
    ("salinity_g_kg", "35ppt", "35"),
    ("salinity_g_kg", "0.5 % salt", "5"),
    ("salinity_g_kg", "1.025", "1.025 SG"),
    ("salinity_g_kg", "1,025", "1.025 SG"),
    ("salinity_g_kg", "specific gravity 1.025", "1.025 SG"),
    ("volume_l", "25 gallons", "25 US gal"),
    ("volume_l", "25 UK gal", "25 imp gal"),
    ("volume_l", "25 gal imp", "25 imp gal"),
    ("volume_l", "2½ gal", "2.5 US gal"),
    ("volume_l", "2 1/2 gal", "2.5 US gal"),
    ("volume_l", "1 234 L", "1234 L"),
    ("volume_l", "1,234.5 L", "1234.5 L"),
    ("volume_l", "1.234,5 L", "1234.5 L"),
    ("mass_g", "1 lb 8 oz", "24 oz"),
    ("length_cm", "1' 6\"", "18 in"),
    ("hours", "2 days", "48"),
    ("hours", "two days", "48"),
    ("hours", "a day", "24"),
    ("hours", "half an hour", "0.5"),
    ("hours", "one and a half hours", "1.5"),
    ("hours", "a day and a half", "36"),
    ("hours", "day and a half", "36"),
    ("hours", "two days and a half", "60"),
    ("hours", "an hour and a quarter", "1.25"),
    ("hours", "a day and 6 hours", "30"),
    ("hours", "a week", "168"),
    ("hours", "half a day", "12"),
    ("hours", "1 h 30 min", "1.5"),
    ("hours", "1:30", "1.5"),
    ("hours", "90 min", "1.5"),
    ("hours", "2 days and 3 hours", "51"),
    ("hours", "20 hrs in the bag", "20"),
    ("minutes", "1.5 hours", "90"),
    ("total_gas_pressure_pct", "105 %", "105"),
    ("co2_mg_l", "15 ppm CO2", "15"),
    ("chlorine_mg_l", "0.1 ppm free chlorine", "0.1"),
]


@pytest.mark.parametrize("parameter, written, plain", SAME, ids=lambda v: v)
def test_form_is_read_like_its_plain_one(parameter: str, written: str, plain: str) -> None:
    got, meant = parse(written, parameter), parse(plain, parameter)
    assert got.value == pytest.approx(meant.value, rel=1e-12)
    assert (got.low, got.high) == pytest.approx((meant.low, meant.high), rel=1e-12)
    assert got.entered == written.strip()


# (parameter, as written, value, low, high)
BANDS = [
    ("ph", "6.8-7.0", 6.9, 6.8, 7.0),
    ("ph", "7.0 - 6.8", 6.9, 6.8, 7.0),
    ("ph", "6.8 to 7", 6.9, 6.8, 7.0),
    ("ph", "between 6.8 and 7.0", 6.9, 6.8, 7.0),
    ("ph", "6.8/7.0", 6.9, 6.8, 7.0),
    ("ph", "7.2 ± 0.1", 7.2, 7.1, 7.3),
    ("ph", "7.2 +/- 0.1", 7.2, 7.1, 7.3),
    ("ph", "~7.4", 7.4, 7.35, 7.45),
    ("ph", "7ish", 7, 6.5, 7.5),
    ("ph", "low 7", 7, 6.5, 7.5),
    ("ph", "7.4?", 7.4, 7.35, 7.45),
    ("temperature_c", "68-77 F", 22.5, 20, 25),
    ("temperature_c", "68F-77F", 22.5, 20, 25),
    ("temperature_c", "-1-1", 0, -1, 1),
    ("tan_mg_l", "between 0.25 and 0.5 mg/L N", 0.375, 0.25, 0.5),
    ("tan_mg_l", "0.1 ± 0.2 mg/L N", 0.1, 0, 0.3),
    ("volume_l", "about 100 L", 100, 90, 110),
    ("conductivity_us_cm", "350 ppm", 350 / 0.64, 500, 700),
]


@pytest.mark.parametrize("parameter, written, value, low, high", BANDS, ids=str)
def test_ranges_and_hedges_open_a_band(
    parameter: str, written: str, value: float, low: float, high: float
) -> None:
    got = parse(written, parameter)
    assert (got.value, got.low, got.high) == pytest.approx((value, low, high), rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(
    "written", [">8 mg/L N", "over 8 ppm N", "8+ ppm TAN", "off the chart at 8 NH3-N", "≥ 8 as N",
                "top of the card at 8 ppm N", "8 N or more"],
)  # fmt: skip
def test_the_top_mark_means_at_least(written: str) -> None:
    got = parse(written, "tan_mg_l")
    assert (got.value, got.low, got.at_least, got.at_most) == (8, 8, True, False)
    assert got.high > 8


@pytest.mark.parametrize("written", ["<0.25 mg/L N", "under 0.25 N", "0.25 ppm N or less"])
def test_below_a_mark_is_a_band_from_zero(written: str) -> None:
    got = parse(written, "tan_mg_l")
    assert (got.low, got.high, got.at_most) == (0, 0.25, True)
    assert 0 < got.value < 0.25


def test_bounds_on_one_of_a_unit() -> None:
    assert parse("over an hour", "hours").at_least
    assert parse("less than a day", "hours").high == 24


def test_under_a_time_keeps_the_time_stated() -> None:
    got = parse("<36 h", "hours")
    assert (got.value, got.low, got.high, got.at_most) == (36, 0, 36, True)


def test_trace_and_none_detected_are_bands_and_zero_is_zero() -> None:
    trace, none, zero = (parse(t, "tan_mg_l") for t in ("trace", "not detected", "0 ppm"))
    assert trace.low == none.low == 0
    assert trace.high == none.high == PARAMETERS["tan_mg_l"].first_mark
    assert trace.value > none.value == 0
    assert (zero.value, zero.low, zero.high) == (0, 0, 0)


def test_a_difference_in_fahrenheit_has_no_32() -> None:
    assert parse_difference("9 F").value == pytest.approx(5)
    assert parse_difference("5 °C warmer").value == 5
    assert parse_difference("5").value == 5


@pytest.mark.parametrize(
    "text", ["", "  ", "?", "unknown", "Don't know", "dont know.", "N/A", "not tested", "u", "-"]
)
def test_unknown_is_an_answer(text: str) -> None:
    assert is_unknown(text)


@pytest.mark.parametrize("text", ["0", "fine", "7.4", "none", "unknown 7"])
def test_other_answers_are_not_unknown(text: str) -> None:
    assert not is_unknown(text)


@pytest.mark.parametrize("temperature_c", [5.0, 15.0, 25.0, 30.0])
@pytest.mark.parametrize("salinity", [0.0, 35.0])
def test_percent_of_saturation_needs_the_water(temperature_c: float, salinity: float) -> None:
    """gsw.O2sol_SP_pt (Garcia & Gordon 1992, 1 atm of moist air), per kg, times TEOS-10 density."""
    got = parse("50 % sat", "do_mg_l", temperature_c=temperature_c, salinity_g_kg=salinity)
    per_kg = gsw.O2sol_SP_pt(salinity, temperature_c)
    density = gsw.rho_t_exact(salinity * 35.16504 / 35, temperature_c, 0) / 1000
    assert got.value == pytest.approx(per_kg * density * 31.998e-3 / 2, rel=0.003)
    assert "saturation" in got.note


def test_notes_say_which_gallon_and_which_unit_was_taken() -> None:
    assert parse("25 gal", "volume_l").note == "US measure"
    assert parse("25", "volume_l").note == "no unit given; taken as L"
    assert parse("25 L", "volume_l") == Quantity(25, 25, 25, "25 L")
