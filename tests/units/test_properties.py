"""Laws that hold for every text and every value."""

import math
import string
import time

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from advisor.errors import AdvisorError
from advisor.units import (
    PARAMETERS,
    AmbiguousBasis,
    Quantity,
    format_value,
    is_odd,
    is_unknown,
    parse,
    parse_difference,
)
from advisor.units.spellings import UNITS
from advisor.units.words import _ASK, _SENSES

# An explicit unit (and basis) under which each parameter's number has one meaning.
PLAIN = {
    "temperature_c": "°C", "ph": "", "tan_mg_l": "mg/L as N", "nitrite_mg_l": "mg/L as N",
    "nitrate_mg_l": "mg/L as N", "do_mg_l": "mg/L", "alkalinity_mg_l_caco3": "mg/L as CaCO3",
    "hardness_mg_l_caco3": "ppm", "conductivity_us_cm": "µS/cm", "salinity_g_kg": "ppt",
    "chlorine_mg_l": "mg/L", "co2_mg_l": "mg/L", "total_gas_pressure_pct": "%",
    "chloride_mg_l": "ppm", "copper_mg_l": "mg/L", "sulfide_mg_l": "mg/L", "volume_l": "L",
    "mass_g": "g", "length_cm": "cm", "hours": "h", "minutes": "min", "age_days": "days",
}  # fmt: skip
KEYS = st.sampled_from(sorted(PARAMETERS))


def _values(parameter: str) -> st.SearchStrategy[float]:
    known = PARAMETERS[parameter]
    return st.floats(known.low, known.high, allow_subnormal=False)


@given(st.data(), KEYS)
def test_a_stored_value_written_out_is_read_back_to_the_last_bit(
    data: st.DataObject, parameter: str
) -> None:
    value = data.draw(_values(parameter))
    assert parse(f"{value!r} {PLAIN[parameter]}", parameter).value == value


@given(st.data(), KEYS)
def test_what_a_screen_shows_is_read_back_to_its_last_place(
    data: st.DataObject, parameter: str
) -> None:
    value = data.draw(_values(parameter))
    shown = format_value(value, parameter)
    try:
        back = parse(f"{shown.split(' ')[0]} {PLAIN[parameter]}", parameter).value
    except AdvisorError:
        known = PARAMETERS[parameter]  # rounding may carry a value over its bound
        assert min(value - known.low, known.high - value) <= 10**-known.decimals
        return
    assert back == pytest.approx(value, abs=0.51 * 10 ** -PARAMETERS[parameter].decimals, rel=0.06)
    assert value <= 0 or shown.startswith("<") or float(shown.split(" ")[0]) > 0


UNIT_PAIRS = [
    ("temperature_c", "°F"), ("temperature_c", "K"), ("volume_l", "US gal"),
    ("volume_l", "imp gal"), ("volume_l", "cubic feet"), ("mass_g", "lb"), ("mass_g", "oz"),
    ("length_cm", "in"), ("alkalinity_mg_l_caco3", "dKH"), ("alkalinity_mg_l_caco3", "meq/L"),
    ("hardness_mg_l_caco3", "°fH"), ("hardness_mg_l_caco3", "gpg"), ("hours", "days"),
    ("age_days", "weeks"),
    ("conductivity_us_cm", "mS/cm"), ("salinity_g_kg", "%"),
]  # fmt: skip


@given(st.data(), st.sampled_from(UNIT_PAIRS))
def test_there_and_back_through_another_unit(data: st.DataObject, pair: tuple[str, str]) -> None:
    parameter, unit = pair
    value = data.draw(_values(parameter))
    from advisor.units.conversion import from_stored
    from advisor.units.spellings import key_of, unit_names

    known = PARAMETERS[parameter]
    there = from_stored(value, unit_names(known.family)[key_of(unit)], known)
    try:
        back = parse(f"{there!r} {unit}", parameter).value
    except AdvisorError:
        edge = min(abs(value - known.low), abs(value - known.high))
        assert edge <= 1e-9 * max(1.0, abs(value))  # one bit over the bound is over
        return
    assert back == pytest.approx(value, rel=1e-12, abs=1e-11)


@given(st.floats(0.01, 50), st.floats(0.01, 50), st.sampled_from(["N", "NH3", "NH4"]))
def test_more_stays_more(one: float, other: float, basis: str) -> None:
    low, high = sorted((one, other))
    assume(low < high)
    first, second = (parse(f"{v!r} mg/L as {basis}", "tan_mg_l").value for v in (low, high))
    assert first < second


@given(st.floats(0.9995, 1.035), st.floats(0.9995, 1.035))
def test_a_heavier_water_is_saltier(one: float, other: float) -> None:
    low, high = sorted((one, other))
    first, second = (parse(f"{v:.6f} SG", "salinity_g_kg") for v in (low, high))
    assert first.value <= second.value
    assert first.low <= first.value <= first.high


def _check(text: str, parameter: str) -> None:
    """Finite and within bounds, or unknown, or one sentence for the person; nothing else."""
    known = PARAMETERS[parameter]

    def sound(quantity: Quantity) -> None:
        assert all(math.isfinite(v) for v in (quantity.value, quantity.low, quantity.high))
        assert known.low <= quantity.low <= quantity.value <= quantity.high <= known.high
        assert not (quantity.at_least and quantity.at_most)
        assert math.copysign(1.0, quantity.value) > 0 or quantity.value < 0
        assert quantity.entered == text.strip()
        is_odd(quantity.value, parameter)
        assert "nan" not in format_value(quantity.value, parameter)

    began = time.perf_counter()
    try:
        sound(parse(text, parameter, temperature_c=25.0))
        assert not is_unknown(text)
    except AmbiguousBasis as asked:
        assert len(asked.options) >= 2
        for _, quantity in (*asked.options, ("", asked.widened)):
            sound(quantity)
    except AdvisorError as error:
        assert str(error) and "\n" not in str(error).replace(text.strip(), "")
    assert time.perf_counter() - began < 2.0  # a hang, not a benchmark


@settings(max_examples=300)
@given(st.text(max_size=200), KEYS)
def test_any_text_is_read_or_refused_in_a_sentence(text: str, parameter: str) -> None:
    _check(text, parameter)


_PIECES = st.one_of(
    st.sampled_from(
        sorted({s for table in UNITS.values() for joined in table.values()
                for s in joined.split("|")})
    ),
    st.sampled_from(sorted({s for joined in _SENSES.values() for s in joined.split("|")})),
    st.sampled_from(sorted({s for joined in _ASK.values() for s in joined.split("|")})),
    st.sampled_from(["NH3-N", "as N", "NO2", "NO3-", "NH3/NH4", "TAN", "HCO3", "CaCO3"]),
    st.floats(-1e4, 1e4).map(lambda v: f"{v:.4g}"),
    st.integers(0, 2000).map(str),
    st.sampled_from(["0", "1.025", "1,025", "1,500", "25,5", "1/2", "9**9", "1e5", "1e-400", "8+"]),
    st.text(string.punctuation + " °µ²½", max_size=3),
)  # fmt: skip


@pytest.mark.slow
@settings(max_examples=1500)
@given(st.lists(st.tuples(_PIECES, st.sampled_from(["", " "])), max_size=7), KEYS)
def test_any_jumble_of_known_words_is_read_or_refused(
    pieces: list[tuple[str, str]], parameter: str
) -> None:
    _check("".join(piece + gap for piece, gap in pieces)[:200], parameter)


@pytest.mark.parametrize(
    "text",
    ["9**9**9", "(" * 200, "1" * 200, "1," * 100, "1/" * 100, "-" * 200, "1 " * 100, "e" * 200,
     "1e" * 100, "1.1" * 60, "½" * 200, "a b" * 60, "nan", "inf", "-inf", "0x10", "1_000", "\x00",
     "__import__('os')", "٣٫٥", "１２", "²", "①", "[bold]7[/bold]", "\x1b[31m7"],
)  # fmt: skip
@pytest.mark.parametrize("parameter", ["ph", "hours", "salinity_g_kg", "hardness_mg_l_caco3"])
def test_hostile_text_neither_hangs_nor_escapes(text: str, parameter: str) -> None:
    _check(text, parameter)


@given(st.floats(-50, 50, allow_subnormal=False))
def test_a_difference_survives_its_unit(step: float) -> None:
    assert parse_difference(f"{step!r} °C").value == step
    assert parse_difference(f"{step!r} F").value == pytest.approx(step / 1.8, abs=1e-12)


@given(st.floats() | st.sampled_from([math.nan, math.inf, -math.inf]), KEYS)
def test_a_screen_never_shows_not_a_number(value: float, parameter: str) -> None:
    shown = format_value(value, parameter)
    assert "nan" not in shown and "inf" not in shown
    assert not shown.startswith("-0 ") and shown != "-0"
