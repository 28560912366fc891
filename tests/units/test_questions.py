"""Where the text leaves two meanings, the person is asked, and "unknown" widens the band."""

import pytest

from advisor.errors import AdvisorError
from advisor.units import AmbiguousBasis, UnitError, WordNotReading, is_odd, parse

NO_BASIS = [
    ("tan_mg_l", "0.5 ppm", 3),
    ("tan_mg_l", "1.0 ppm NH3/NH4, colour card", 3),
    ("tan_mg_l", "total ammonia 0.5", 3),
    ("tan_mg_l", ">8", 3),
    ("tan_mg_l", "0.25-0.5", 3),
    ("nitrite_mg_l", "0.5 mg/l nitrite", 2),
    ("nitrate_mg_l", "40", 2),
    ("alkalinity_mg_l_caco3", "6", 2),
    ("hardness_mg_l_caco3", "8", 2),
    ("salinity_g_kg", "1.02", 2),
    ("volume_l", "1,500 L", 2),
    ("minutes", "1:30", 2),
]


@pytest.mark.parametrize("parameter, text, count", NO_BASIS)
def test_two_meanings_are_asked(parameter: str, text: str, count: int) -> None:
    with pytest.raises(AmbiguousBasis) as caught:
        parse(text, parameter)
    asked = caught.value
    assert len(asked.options) == count
    assert len({label for label, _ in asked.options}) == count
    assert isinstance(asked, AdvisorError)
    assert str(asked).startswith(f"{parameter}: ")
    for _, quantity in asked.options:
        assert asked.widened.low <= quantity.low <= quantity.high <= asked.widened.high
    assert asked.widened.low <= asked.widened.value <= asked.widened.high


def test_the_options_are_the_stated_bases() -> None:
    with pytest.raises(AmbiguousBasis) as caught:
        parse("0.5 ppm", "nitrite_mg_l")
    by_label = {label: quantity.value for label, quantity in caught.value.options}
    assert by_label["as N (NO2-N)"] == parse("0.5 ppm as N", "nitrite_mg_l").value
    assert by_label["as NO2"] == parse("0.5 ppm as NO2", "nitrite_mg_l").value
    assert caught.value.widened.entered == "0.5 ppm"


def test_a_top_mark_without_basis_stays_at_least() -> None:
    with pytest.raises(AmbiguousBasis) as caught:
        parse(">8", "tan_mg_l")
    assert caught.value.widened.at_least


@pytest.mark.parametrize("parameter", ["tan_mg_l", "nitrite_mg_l", "nitrate_mg_l"])
@pytest.mark.parametrize("text", ["0", "0.0 ppm", "zero", "3 umol/L"])
def test_zero_and_moles_have_no_basis_to_ask(parameter: str, text: str) -> None:
    read = parse(text, parameter)
    assert read.value >= 0
    assert read.note == ""


@pytest.mark.parametrize(
    "word, ask",
    [
        ("fine", "number"), ("OK", "number"), ("normal", "number"), ("all good", "number"),
        ("cycled", "nitrite"), ("treated", "how much"), ("conditioned", "how much"),
        ("acclimated properly", "minutes"), ("none", "nothing measured"), ("high", "number"),
        ("off the chart", "mark"), ("over", "mark"),
    ],
)  # fmt: skip
def test_words_are_not_readings(word: str, ask: str) -> None:
    with pytest.raises(WordNotReading) as caught:
        parse(word, "tan_mg_l")
    assert ask in caught.value.ask
    assert caught.value.ask in str(caught.value)


@pytest.mark.parametrize(
    "parameter, text, says",
    [
        ("temperature_c", "78", "temperature_c: 78 is outside -2 to 45 °C. "
         "Is that °F? 78 °F is 25.6 °C."),
        ("temperature_c", "298", "Is that K? 298 K is 24.9 °C."),
        ("temperature_c", "150 F", "150 F (65.56 °C) is outside"),
        ("temperature_c", "25 gal", '"gal" is a unit of volume'),
        ("temperature_c", "70-300 F", "outside"),
        ("volume_l", "25 galons", 'Did you mean "gallons"?'),
        ("volume_l", "-5 L", "outside"),
        ("do_mg_l", "85", "% of saturation"),
        ("do_mg_l", "85 %", "needs the water temperature"),
        ("salinity_g_kg", "1025", "specific gravity of 1.025"),
        ("salinity_g_kg", "1.09 SG", "outside 0.999 to 1.035"),
        ("hours", "90000", "outside"),
        ("tan_mg_l", "0.02 free ammonia", "only a part of the total"),
        ("tan_mg_l", "0.5 nitrite", "nitrite is not total ammonia"),
        ("alkalinity_mg_l_caco3", "8 GH", '"gh" is a unit of hardness'),
        ("ph", "7.2 7.4", "2 numbers"),
        ("ph", "7.2.4", "not one number"),
        ("temperature_c", "mid 70s F", '"s" is a unit of time'),
        ("ph", "blah", "holds no number"),
        ("ph", "7.2 blah", '"blah" is not a unit of pH'),
        ("ph", ">6 <8 or", "numbers"),
        ("ph", "over 7 or less", "both over and under"),
        ("ph", "7" * 201, "too long"),
        ("ph", "1e999", "outside"),
        ("hours", "1:75", "write a time like 1:30"),
    ],
)  # fmt: skip
def test_refusals_name_the_field_and_say_what_to_do(parameter: str, text: str, says: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse(text, parameter)
    assert says in str(caught.value)
    assert str(caught.value).startswith(f"{parameter}: ")


def test_an_unknown_parameter_gets_the_nearest_name() -> None:
    with pytest.raises(UnitError, match='did you mean "do_mg_l"'):
        parse("6", "do_mgl")


def test_odd_values_are_questioned_once() -> None:
    assert is_odd(12, "ph") == "pH 12 is far from the usual 5 to 9.5. Is that right?"
    question = is_odd(40, "temperature_c")
    assert question is not None and "Is that °F?" in question
    question = is_odd(1.2, "conductivity_us_cm")
    assert question is not None and "1.2 mS/cm is 1200 µS/cm" in question
    assert is_odd(7.4, "ph") is None
    assert is_odd(34, "temperature_c") is None
    assert is_odd(34.1, "temperature_c") is not None
