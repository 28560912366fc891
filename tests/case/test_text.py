"""How a case is written, and readings that a person wrote with their units."""

from __future__ import annotations

import subprocess
import sys

import pytest

from advisor.case import Case, Reading, dumps_case, loads_case
from advisor.errors import AdvisorError

WRITTEN = '''\
format = "arrival-case-1"

[delivery]
title = "Ember tetras"
received = "2030-03-04T10:15:00"
notes = """
Two boxes.
One was wet."""
invented = true

[receiving]
volume_l = 160.5
added = [{ substance = "salt", amount = "1 g/L" }]

[[lot]]
id = "embers"
count = 40
packed.ph = 7
history.bags_leaking = true

[[lot]]
id = "pencils"

[[observation]]
at_hours = 0
lot = "embers"
seen = [
    "gasping_at_surface",
    "clamped_fins",
    "rapid_gill_movement",
    "hanging_near_inflow",
]
counts.normal = 38
bag.temperature_c = 25.6
tank.tan_mg_l = { value = 0.5, low = 0.25, high = 1, kit = "colour_card", entered = "0.5 ppm" }

[outcome]
deaths = [{ at_hours = 3, dead = 2 }, { at_hours = 5.5, lot = "embers", dead = 3 }]
'''


def reading(line: str, name: str) -> Reading | None:
    """The tank's reading ``name`` of a case with one more line in an observation."""
    found = getattr(loads_case(f"[[observation]]\n{line}").observation[0].tank, name)
    assert found is None or isinstance(found, Reading)
    return found


def test_the_written_form_is_pleasant_to_read() -> None:
    assert dumps_case(loads_case(WRITTEN)) == WRITTEN


def test_reading_a_plain_case_loads_nothing_that_is_not_needed() -> None:
    code = (
        "import sys; from advisor.case import loads_case; loads_case('transit.hours_sealed = 30');"
        "print([m for m in ('pint', 'tomlkit', 'difflib', 'numpy', 'advisor.units.conversion',"
        " 'advisor.case.faults') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"


def test_an_untouched_case_is_one_line() -> None:
    assert dumps_case(Case()) == 'format = "arrival-case-1"\n'
    assert loads_case(dumps_case(Case())) == Case()


@pytest.mark.parametrize(
    "text",
    [
        "\r\n",
        "a\r\nb",
        "\\",
        '"""',
        "''' \"\"\"\n",
        "\n\n",
        " \n ",
        "\x00\x7f\x1b[2J",
        "#",
        "é魚🐟",
    ],
)
def test_text_is_kept_to_the_character(text: str) -> None:
    case = Case.model_validate({"delivery": {"notes": text}, "history": {text: text}})
    assert loads_case(dumps_case(case)) == case


def test_dates_may_be_written_as_toml_dates() -> None:
    case = loads_case(
        "[delivery]\nreceived = 2030-03-04T10:15:00\n[[photo]]\nfile='a'\ntaken=2030-03-04"
    )
    assert case.delivery.received == "2030-03-04T10:15:00"
    assert case.photo[0].taken == "2030-03-04"


def test_a_number_stands_for_a_reading() -> None:
    assert reading("tank.ph = 7", "ph") == Reading(value=7.0)


@pytest.mark.parametrize(
    ("written", "celsius"),
    # Defining points of the scale: 32 °F is 0 °C and 1.8 °F is 1 °C (NIST SP 811, B.8).
    [("32 F", 0.0), ("50 °F", 10.0), ("77F", 25.0), ("25.5 C", 25.5)],
)
def test_text_with_a_unit_is_stored_in_the_fields_unit(written: str, celsius: float) -> None:
    found = reading(f'tank.temperature_c = "{written}"', "temperature_c")
    assert found is not None
    assert found.value == pytest.approx(celsius, abs=1e-9)
    assert found.entered == written


def test_an_untold_basis_widens_the_band_instead_of_being_guessed() -> None:
    found = reading('tank.nitrite_mg_l = "1 ppm"', "nitrite_mg_l")
    assert found is not None
    assert found.low is not None
    assert found.high is not None
    # As NO2, 1 mg/L holds 14.007 / 46.005 mg/L of N (IUPAC 2021 atomic weights); as N, all of it.
    assert found.low <= 14.007 / 46.005 + 1e-4
    assert found.high >= 1.0
    assert found.note


def test_a_limit_of_detection_is_kept_as_such() -> None:
    found = reading('tank.nitrite_mg_l = "<0.25 mg/L as N"', "nitrite_mg_l")
    assert found is not None
    assert found.at_most
    assert found.entered == "<0.25 mg/L as N"


@pytest.mark.parametrize("word", ["unknown", "not measured", "?", "don't know"])
def test_an_unknown_reading_is_not_a_reading(word: str) -> None:
    assert reading(f'tank.ph = "{word}"', "ph") is None


def test_oxygen_in_per_cent_uses_the_temperature_of_the_same_water() -> None:
    # 8.263 mg/L is saturation in fresh water at 25 °C and 1 atm: Benson & Krause (1984), as
    # tabulated in USGS Techniques of Water-Resources Investigations 9-A6.2 (8.26).
    found = reading('tank.do_mg_l = "100 %"\ntank.temperature_c = 25', "do_mg_l")
    assert found is not None
    assert found.value == pytest.approx(8.26, abs=0.01)


@pytest.mark.parametrize("line", ['tank.do_mg_l = "90 %"', 'tank.ph = "5 dKH"', 'tank.ph = "fine"'])
def test_text_that_is_no_such_reading_is_refused_with_its_place(line: str) -> None:
    field = line.split(" ")[0]
    with pytest.raises(AdvisorError, match=rf"^case, observation 1, {field}: ") as refusal:
        loads_case(f"[[observation]]\n{line}")
    assert str(refusal.value).count("_mg_l:") == field.count("_mg_l")


def test_the_kit_beside_a_written_value_is_kept() -> None:
    found = reading('tank.ph = { value = "7.4", kit = "meter", low = 7.3 }', "ph")
    assert found == Reading(value=7.4, low=7.3, kit="meter", entered="7.4")
