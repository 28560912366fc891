"""What a person reads when a case file is wrong: one sentence for each fault."""

from __future__ import annotations

import pytest

from advisor.case import loads_case
from advisor.errors import AdvisorError, ManyFaults


def faults_of(text: str) -> list[str]:
    """The sentences that reading ``text`` gives, without the file's name."""
    with pytest.raises(AdvisorError) as refusal:
        loads_case(text, "den.toml")
    said = refusal.value
    sentences = said.faults if isinstance(said, ManyFaults) else (str(said),)
    for sentence in sentences:
        assert sentence.startswith("den.toml")
        assert sentence.isprintable()
    return [sentence.removeprefix("den.toml").lstrip(",: ") for sentence in sentences]


#: Text of a file -> everything said of it.
VALUES = [
    (
        '[[lot]]\nid = "a"\nbag_water_l = "some"',
        ['lot 1, bag_water_l: "some" is not a number; write litres as a number, e.g. 1.5'],
    ),
    (
        '[[lot]]\nid = "a"\nbag_water_l = "two"',
        ['lot 1, bag_water_l: "two" is not a number; write bag_water_l = 2'],
    ),
    (
        '[receiving]\nvolume_l = "40 gal"',
        ['receiving.volume_l: "40 gal" is not a number; write volume_l = 151.4'],
    ),
    ('[[lot]]\nid = "a"\nmass_g = 0', ["lot 1, mass_g: 0 is too low; it must be more than 0"]),
    (
        '[[lot]]\nid = "a"\nbag_gas_l = -1',
        ["lot 1, bag_gas_l: -1 is too low; it must be 0 or more"],
    ),
    (
        '[[lot]]\nid = "a"\ncount = 12.0',
        ["lot 1, count: 12.0 is not a whole number; write one such as 12"],
    ),
    (
        '[[lot]]\nid = "a"\ncount = "a dozen"',
        ['lot 1, count: "a dozen" is not a number; write a whole number, e.g. 12'],
    ),
    ('[[lot]]\nid = "a"\nbags = 0', ["lot 1, bags: 0 is outside 1 to 10000"]),
    (
        '[delivery]\nreceived = "24.11.2026 9:10"',
        [
            'delivery.received: "24.11.2026 9:10" is no date and time; write year first, such as '
            "2026-11-24T09:10, or the date alone"
        ],
    ),
    (
        '[[lot]]\nid = "a"\n[[step]]\nat_hours = 1\nlot = "b"\nwhat = "opened"',
        ['step 1 names lot "b"; the lots are a'],
    ),
    (
        '[[lot]]\nid = "a"\nhours_sealed = 1800',
        [
            "lot 1, hours_sealed: 1800 is outside 0 to 400. "
            "Is that minutes? 1800 minutes is 30.0 hours."
        ],
    ),
    (
        '[[lot]]\nid = "a"\nlength_cm = nan',
        [
            "lot 1, length_cm: nan is not a measurable number; "
            "leave the line out if it is not known"
        ],
    ),
    (
        '[[lot]]\nid = "a"\ngas = "oxigen"',
        [
            'lot 1, gas: "oxigen" is not one of oxygen, air, none, unknown; '
            'did you mean "oxygen"?'
        ],
    ),
    (
        '[[lot]]\nid = "a"\nsedative = true',
        ['lot 1, sedative: true is not one of yes, no, unknown; did you mean "yes"?'],
    ),
    ("[[lot]]\ncount = 3", ['lot 1: id is missing; write id = "..."']),
    ('[[lot]]\nid = ""', ['lot 1, id: "" has 0 characters; give 1 to 40']),
    (
        '[[lot]]\nid = "a"\ncount = 3\ndead_on_arrival = 5',
        ["lot 1: dead_on_arrival (5) is more than count (3)"],
    ),
    (
        '[[lot]]\nid = "a"\n[[lot]]\nid = "a"',
        ['lot id "a" is used twice; give each lot its own id'],
    ),
    (
        '[[lot]]\nid = "a"\n[[observation]]\nlot = "b"',
        ['observation 1 names lot "b"; the lots are a'],
    ),
    (
        "[transit]\nair_high_c = 95",
        ["transit.air_high_c: 95 is outside -40 to 60. Is that °F? 95 °F is 35.0 °C."],
    ),
    (
        "[receiving]\naltitude_m = 9000",
        [
            "receiving.altitude_m: 9000 is outside -430 to 5500. "
            "Is that feet? 9000 feet is 2743.2 m."
        ],
    ),
    ("[delivery]\ntitle = 5", ["delivery.title: 5 is not text; put it in quotes"]),
    (
        '[delivery]\ninvented = "yes"',
        ['delivery.invented: "yes" is neither true nor false; write one of these, without quotes'],
    ),
    (
        '[delivery]\nlaw = "UK"',
        [
            'delivery.law: "UK" is not one of uk, eu, usa, australia, other; '
            'did you mean "uk"?'
        ],
    ),
    (
        "[history]\nx = [1]",
        ["history.x: a list does not fit; write true, false, a number or text in quotes"],
    ),
    (
        'format = "arrival-case-9"',
        ['format: "arrival-case-9" is not a form this version reads; it reads "arrival-case-1"'],
    ),
    (
        "[transit]\nhours_sealed = 1" + "0" * 400,
        [
            "transit.hours_sealed: a number of more than 18 digits is not a measurable number; "
            "leave the line out if it is not known"
        ],
    ),
]  # fmt: skip

READINGS = [
    ("tank.temperature_c = 78",
     "tank.temperature_c: 78 is outside -2 to 45. Is that °F? 78 °F is 25.6 °C."),
    ("tank.ph = 14", "tank.ph: 14 is outside 2 to 12.5"),
    ("bag.do_mg_l = 95",
     "bag.do_mg_l: 95 is outside 0 to 60. Is that % of saturation? This field takes mg/L."),
    ("tank.total_gas_pressure_pct = 1.04",
     "tank.total_gas_pressure_pct: 1.04 is outside 50 to 300. Is that a ratio? 1.04 is 104 %."),
    ("tank.tan_mg_l = { value = 0.5, low = 0.9 }",
     "tank.tan_mg_l: low (0.9) lies above value (0.5)"),
    ("tank.ph = true",
     "tank.ph: true is not a reading; write a number, or text with its unit"),
    ("tank.ph = { valu = 7 }",
     "tank.ph: value is missing; write value = 1.5",
     "tank.ph: valu is not known here; did you mean value?"),
    ('tank.copper_mg_l = { value = 0.5, kit = "stripe" }',
     'tank.copper_mg_l.kit: "stripe" is not one of colour_card, strip, drops, meter, lab; '
     'did you mean "strip"?'),
    ("tap = 7", "tap: 7 is not a table; write its entries as tap.temperature_c = ..."),
    ("seen = ['piping', 3]", "seen 2: 3 is not text; put it in quotes"),
    ('seen = "piping"', 'seen: "piping" is not a list; write seen = ["piping"]'),
]  # fmt: skip

SHAPES = [
    ("lot = 5", ["lot: write [[lot]] with double brackets, once for each lot"]),
    ('[lot]\nid = "a"', ["lot: write [[lot]] with double brackets, once for each lot"]),
    (
        "[[delivery]]\ntitle = 'x'",
        ["delivery: write [delivery] with single brackets, and only once"],
    ),
    (
        "transit = 5",
        ["transit: 5 is not a part of a case; write [transit] and its entries below it"],
    ),
    (
        '[receiving]\nadded = "salt"',
        ['receiving.added: "salt" is not a list of tables; write added = [{ ... }]'],
    ),
    (
        '[receiving]\nadded = ["salt"]',
        ['receiving.added 1: "salt" is not a table; write { substance = ... }'],
    ),
    ("", ['is empty; a case begins with format = "arrival-case-1" and [delivery]']),
    ("# nothing yet", ['is empty; a case begins with format = "arrival-case-1" and [delivery]']),
]

PLACES = [
    ("", "tank_ph = 7", "did you mean tank.ph in an observation?"),
    ("[receiving]", "tank_ph = 7", "did you mean tank.ph in an observation?"),
    ("[receiving]", "ph = 7", "did you mean tank.ph in an observation?"),
    ("[[observation]]", "tank_ph = 7", "did you mean tank.ph?"),
    ("[[observation]]", "ph = 7", "did you mean tank.ph?"),
    ("[[observation]]", "tank_kh = 6", "did you mean tank.alkalinity_mg_l_caco3?"),
    ("[[observation]]", "bag.do_mgl = 6", "did you mean do_mg_l?"),
    ("[[observation]]", "tank.oxygen = 6", "did you mean do_mg_l?"),
    ("[[observation]]", "sen = []", "did you mean seen?"),
    ("[[observation]]", "tank.temperature_f = 78",
     'temperature is stored in °C: temperature_c (or write temperature_c = "78 F")'),
    ("[[observation]]", "tank.kh_dkh = 6",
     "alkalinity is stored in mg/L as CaCO3: alkalinity_mg_l_caco3 "
     '(or write alkalinity_mg_l_caco3 = "6 dKH")'),
    ("[[observation]]", "tank.ammonia_ppm = 0.5",
     'total ammonia is stored in mg/L as N: tan_mg_l (or write tan_mg_l = "0.5 ppm")'),
    ("[receiving]", "volume_gal = 25", "volume is stored in litres: volume_l"),
    ("[transit]", "bag_ph = 7", "did you mean bag.ph in an observation?"),
    ("[delivery]", "hours_seald = 7", "did you mean hours_sealed in [transit]?"),
    ("", "lots = []", "did you mean [[lot]]?"),
    ("", "[tank]", "did you mean [receiving]?"),
    ("", "[Delivery]", "did you mean [delivery]?"),
    ("[outcome]", "xyzzy = 1",
     "known here: closed, survivors_48h, deaths, confirmed_causes, confirmed_by, note"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "said"), VALUES + SHAPES)
def test_a_wrong_value_is_named_with_what_is_allowed(text: str, said: list[str]) -> None:
    assert faults_of(text) == said


@pytest.mark.parametrize(("line", "said"), [(row[0], row[1:]) for row in READINGS])
def test_a_wrong_reading_is_named_with_its_observation(line: str, said: tuple[str, ...]) -> None:
    text = f"[[observation]]\n[[observation]]\n{line}"
    assert faults_of(text) == [f"observation 2, {words}" for words in said]


@pytest.mark.parametrize(("part", "line", "hint"), PLACES)
def test_an_unknown_name_gets_the_nearest_one(part: str, line: str, hint: str) -> None:
    (said,) = faults_of(f"{part}\n{line}")
    assert said.endswith(f"is not known here; {hint}")


def test_faults_are_reported_together_in_the_order_of_the_model() -> None:
    text = """
    [delivery]
    law = "mars"
    colour = "red"
    [[lot]]
    id = "a"
    count = -1
    [[observation]]
    tank.ph = "green"
    bag.ph = 15
    """
    said = faults_of(text)
    assert len(said) == 5
    for sentence, field in zip(
        said, ["tank.ph", "delivery.law", "delivery", "lot 1, count", "bag.ph"], strict=True
    ):
        assert field in sentence


def test_of_very_many_faults_the_first_twenty_are_told_and_the_rest_counted() -> None:
    said = faults_of("[transit]\n" + "\n".join(f"wrong{at} = 1" for at in range(50)))
    assert len(said) == 21
    assert "30 more faults" in said[-1]


def test_control_characters_of_a_file_do_not_reach_the_terminal() -> None:
    (said,) = faults_of('[delivery]\n"\\u001b[2Jx\\u202e" = 1')
    assert "\\u001b[2Jx\\u202e" in said


def test_a_long_name_or_value_is_cut_short() -> None:
    for text in (f"[transit]\n{'x' * 50_000} = 1", f'[delivery]\nlaw = "{"x" * 50_000}"'):
        (said,) = faults_of(text)
        assert len(said) < 450
