"""``advisor bag`` as a person uses it: flags, cases, screens, slips, and the data form."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path
from typing import Any

import pytest

from advisor.rulebase import RuleBase
from tests.commands.running import ROOT, run, run_apart
from tests.said import joined

Caps = pytest.CaptureFixture[str]
SEALED = ("--water", "2L", "--gas", "4L", "--fish", "40", "--mass", "0.4g", "--hours", "30")
PLAIN = ("bag", *SEALED, "--temp", "24C", "--no-plot")
TANK = ("--tank-temp", "25C", "--tank-ph", "7.8", "--tank-alkalinity", "6dKH")
DEMO = "cases/demo/four-lots-bags-still-sealed.toml"


def form(capsys: Caps, *words: str) -> dict[str, Any]:
    done = run(capsys, "bag", *words, "--json")
    assert done.status == 0, done.err
    return dict(json.loads(done.out))


def opening(bag: dict[str, Any], name: str) -> dict[str, Any]:
    return next(way for way in bag["openings"] if way["name"] == name)


def test_the_first_line_says_how_and_how_fast(capsys: Caps) -> None:
    done = run(capsys, *PLAIN, *TANK)
    assert done.status == 0
    assert "AT ONCE" in done.out.splitlines()[0]
    apart = run(capsys, "bag", *SEALED, "--temp", "18C", "--no-plot", *TANK).out.splitlines()[0]
    assert re.match(r"FLOAT it shut about \d+ min, then open", apart)


def test_it_says_that_the_comparison_is_computed(capsys: Caps) -> None:
    said = " ".join(run(capsys, *PLAIN).out.split())
    assert "computed" in said and "No controlled trial compares" in said
    assert "Slow change wins" in said and "not here" in said


def test_a_reading_moves_the_forecast_and_its_distance_is_told(capsys: Caps) -> None:
    words = (*SEALED, "--temp", "24C", "--alkalinity", "60 ppm")
    read = form(capsys, *words, "--tan", "9 mg/L as N", "--ph", "6.4")["bags"][0]
    now = read["forecast"]["now"]
    assert 7.0 < now["tan_mg_l"]["value"] < 10.0  # drawn to the reading, by its error and the pH's
    verdicts = {each["quantity"]: each["verdict"] for each in read["forecast"]["distances"]}
    assert verdicts["tan_mg_l"] == "above"
    out = run(capsys, "bag", *words, "--tan", "9 mg/L as N", "--no-plot").out
    assert "READINGS AGAINST THE MODEL" in out and "above the band" in out
    assert form(capsys, *words)["bags"][0]["forecast"]["distances"] == []


def test_readings_alone_are_enough_and_say_so(capsys: Caps) -> None:
    done = run(capsys, "bag", "--ph", "6.3", "--tan", "4 mg/L as N", "--temp", "22C", "--no-plot")
    assert done.status == 0 and "No forecast of the journey" in joined(done.out)
    bag = form(capsys, "--ph", "6.3", "--tan", "4 mg/L as N", "--temp", "22C")["bags"][0]
    assert bag["forecast"] is None and bag["openings"]


def test_unknown_and_left_out_are_the_same_and_widen(capsys: Caps) -> None:
    known = form(capsys, *SEALED, "--temp", "24C", "--alkalinity", "60 ppm", "--fasted", "30 h")
    left_out = form(capsys, *SEALED, "--temp", "24C")
    unknown = form(
        capsys, *SEALED, "--temp", "24C", "--alkalinity", "unknown", "--fasted", "don't know"
    )
    assert unknown["bags"][0]["forecast"]["now"] == left_out["bags"][0]["forecast"]["now"]

    def width(found: dict[str, Any], name: str) -> float:
        band = found["bags"][0]["forecast"]["now"][name]
        return float(band["high"] - band["low"])

    assert width(known, "ph") < width(unknown, "ph")
    assert width(known, "tan_mg_l") < width(unknown, "tan_mg_l")


def test_an_undescribed_tank_is_said_to_be_taken_for_granted(capsys: Caps) -> None:
    said = " ".join(run(capsys, *PLAIN).out.split())
    assert "Tank not fully known, taken as: temperature 24 °C (21 to 27)" in said
    full = run(capsys, *PLAIN, *TANK, "--tank-tan", "0 as N").out
    assert "Tank not fully known" not in full


def test_limits_are_those_of_the_rule_base(capsys: Caps, base: RuleBase) -> None:
    found = form(capsys, *SEALED, "--temp", "24C", "--tank-volume", "100L")
    assert found["gill_limit_mg_l"] == base.limits["nh3_gill_damage"].value
    assert found["tank_after"]["nitrite_limit_mg_l"] == base.limits["nitrite_harm"].value
    way = opening(found["bags"][0], "aerated")
    assert way["strains"]["nh3"] == pytest.approx(
        way["peak_nh3_n_mg_l"]["value"] / found["gill_limit_mg_l"]
    )


def test_exactly_one_way_is_chosen_and_marked(capsys: Caps) -> None:
    bag = form(capsys, *SEALED, "--temp", "24C", *TANK)["bags"][0]
    assert [way["name"] for way in bag["openings"] if way["chosen"]] == ["netted"]
    out = run(capsys, *PLAIN, *TANK).out
    assert len(re.findall(r"^> ", out, re.M)) == 1


def test_two_readings_of_a_floating_bag_give_its_time(capsys: Caps) -> None:
    """By hand, exponential: the gap fell 5 to 3 °C in 10 min, so 3 to 2 °C takes 7.9 min."""
    words = (*SEALED, "--temp", "20C", "--tank-temp", "25C", "--later-temp", "22C")
    bag = form(capsys, *words, "--after", "10min")["bags"][0]
    expected = 10.0 / math.log(5 / 3) * math.log(3 / 2)
    assert bag["floating"]["minutes"]["value"] == pytest.approx(expected, rel=1e-6)
    assert bag["forecast"]["now"]["temperature_c"]["value"] == pytest.approx(22.0)


def test_invertebrates_are_opened_slowly(capsys: Caps) -> None:
    done = run(capsys, *PLAIN, "--species", "red cherry shrimp", *TANK)
    assert done.out.startswith("Open it SLOWLY") and "that is so here" in " ".join(done.out.split())


def test_a_known_kind_narrows_the_band(capsys: Caps) -> None:
    kind = form(capsys, *SEALED, "--temp", "24C", "--species", "neon tetra")
    none = form(capsys, *SEALED, "--temp", "24C")
    co2 = [found["bags"][0]["forecast"]["now"]["co2_mg_l"] for found in (kind, none)]
    assert co2[0]["high"] - co2[0]["low"] < co2[1]["high"] - co2[1]["low"]


def test_the_tank_afterwards_changes_with_its_filter(capsys: Caps) -> None:
    words = (*SEALED, "--temp", "24C", *TANK, "--tank-volume", "50L")
    both = form(capsys, *words)["tank_after"]["by_filter"]
    assert set(both) == {"cycled", "new"}
    one = form(capsys, *words, "--filter", "mature")["tank_after"]["by_filter"]
    assert set(one) == {"cycled"}
    assert both["new"]["peak_nh3_n_mg_l"]["value"] > both["cycled"]["peak_nh3_n_mg_l"]["value"]
    assert form(capsys, *SEALED, "--temp", "24C")["tank_after"] is None


# --- cases -------------------------------------------------------------------


def test_a_case_gives_its_sealed_lots_in_the_order_of_assess(capsys: Caps) -> None:
    found = form(capsys, DEMO)
    assessed = json.loads(run(capsys, "assess", DEMO, "--json").out)
    order = [place["lot"] for place in assessed["opening_order"]]
    assert [bag["name"] for bag in found["bags"]] == order
    assert found["opening_order"] == assessed["opening_order"]
    assert order[0] == "swordtails"  # what the case's author expects in its [expected] note


def test_an_emergency_of_the_assessment_stands_before_computed_water(capsys: Caps) -> None:
    out = run(capsys, "bag", DEMO, "--lot", "swordtails", "--no-plot").out
    said = " ".join(out.split())
    assert out.startswith("EMERGENCY: ") and said.index("Not float them shut:") > 0
    assert said.index("EMERGENCY: ") < said.index("Un-ionised ammonia past")


def test_the_screen_of_assess_shows_the_order_near_the_top(capsys: Caps) -> None:
    lines = run(capsys, "assess", DEMO).out.splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("Open the bags in this order"))
    assert at <= 20
    assert "order: swordtails, then" in lines[at]


@pytest.mark.parametrize(
    "path", sorted((ROOT / "cases" / "demo").glob("*.toml")), ids=lambda p: p.stem
)
def test_no_case_ends_in_a_traceback_or_a_number_that_is_none(path: Path, capsys: Caps) -> None:
    done = run(capsys, "bag", str(path), "-v", "--no-plot")
    assert done.status in (0, 2)
    assert not re.search(r"\b(nan|inf)\b|Traceback", done.out + done.err)
    if done.status == 0:
        json.loads(run(capsys, "bag", str(path), "--json").out, parse_constant=_no_constant)


def _no_constant(name: str) -> None:
    raise AssertionError(f"{name} in the data form")


# --- slips -------------------------------------------------------------------

SLIPS = (
    (("--water", "-2L", *SEALED[2:]), "--water: -2L"),
    ((*SEALED, "--gas", "-4L"), "--gas: -4L"),
    ((*SEALED, "--mass", "100g"), "--mass: 40 fish of 100 g weigh 4000 g, more than the 2000 g"),
    ((*SEALED, "--ph", "19"), "--ph: 19 is outside"),
    ((*SEALED, "--ph", "12"), "--ph: 12 is outside 3 to 11"),
    ((*SEALED, "--temp", "300C"), "--temp: 300C (300 °C) is outside"),
    ((*SEALED, "--tank-temp", "42"), "--tank-temp: 42 is outside 0 to 40 °C"),
    ((*SEALED, "--tan", "2 ppm"), "as N (NH3-N, TAN), as NH3 or as NH4"),
    ((*SEALED, "--fish", "forty"), '--fish: "forty" is not a number of fish'),
    ((*SEALED, "--fish", "-3"), '--fish: "-3" is not a number of fish'),
    ((*SEALED, "--hours", "300"), "--hours: 300 is outside 0 to 240"),
    ((*SEALED, "--hours", "unknown"), "--hours: missing"),
    ((*SEALED, "--gas-kind", "helium"), "--gas-kind"),
    ((*SEALED, "--gas-kind", "none"), "--gas-kind is none"),
    ((*SEALED, "--group", "tetras"), "did you mean"),
    ((*SEALED, "--kit", "spoon"), "--kit"),
    ((*SEALED, "--later-temp", "22C"), "--later-temp"),
    ((*SEALED, "--wter", "2L"), "nearest: --water"),
    ((*SEALED, "--tank-alk", "6dKH"), "nearest: --tank-alkalinity"),
    ((*SEALED, "--lot", "A"), "--lot"),
    ((), "advisor bag --water 2L"),
    (("--ph", "6.4"), "--ph and --tan"),
    ((DEMO, "--lot", "rasbora"), 'did you mean "rasboras"'),
    ((DEMO, "--water", "2L"), "--water: with a case"),
    (("no-such-file.toml",), "no such file"),
    (("cases/constructed/carp-bleeding-in-spring.toml",), "Too little for a forecast"),
)


@pytest.mark.parametrize(("words", "said"), SLIPS)
def test_a_slip_is_one_clear_sentence_and_status_2(
    words: tuple[str, ...], said: str, capsys: Caps
) -> None:
    done = run(capsys, "bag", *words)
    assert done.status == 2
    assert not done.out
    assert said in " ".join(done.err.split())
    assert "Traceback" not in done.err


LIMITS = (
    ("--gas", "0", *SEALED[:2], *SEALED[4:]),
    ("--gas", "none", *SEALED[:2], *SEALED[4:]),
    ("--water", "2L", "--gas", "4L", "--fish", "0", "--hours", "30"),
    (*SEALED, "--alkalinity", "0 ppm"),
    (*SEALED, "--alkalinity", "0 ppm", "--tank-alkalinity", "0 ppm", "--tank-ph", "6"),
    (*SEALED, "--hours", "0"),
    (*SEALED, "--tan", "0 as N", "--ph", "7"),
    (*SEALED, "--mass", "40g", "--hours", "90"),
    (*SEALED, "--salinity", "35ppt", "--tank-salinity", "35ppt"),
    (*SEALED, "--gas-kind", "air", "--mass", "8g"),
)


@pytest.mark.parametrize("words", LIMITS, ids=lambda w: " ".join(w[-4:]))
def test_the_ends_of_what_is_possible_give_a_correct_limit(
    words: tuple[str, ...], capsys: Caps
) -> None:
    done = run(capsys, "bag", *words, "--no-plot", "-v")
    assert done.status == 0, done.err
    assert not re.search(r"\b(nan|inf)\b", done.out)


def test_no_gas_runs_out_of_oxygen_and_no_fish_needs_none(capsys: Caps) -> None:
    without = run(capsys, "bag", *LIMITS[0], "--temp", "24C", "--no-plot").out
    assert without.startswith("Its oxygen is about used up")
    none = run(capsys, "bag", *LIMITS[2], "--no-plot").out
    assert none.startswith("No fish in it")


# --- screens -----------------------------------------------------------------


@pytest.mark.parametrize("columns", [60, 80, 100])
def test_the_screen_fits_and_piped_has_no_colour(columns: int) -> None:
    done = run_apart("bag", DEMO, columns=columns)
    assert done.status == 0, done.err
    assert "\x1b" not in done.out
    assert max(len(line) for line in done.out.splitlines()) <= columns


def test_help_teaches_by_example_and_names_every_flag() -> None:
    done = run_apart("bag", "--help")
    assert done.status == 0
    example = "advisor bag --water 2L --gas 4L --fish 40 --mass 0.4g --hours 30 --temp 24C"
    assert example in joined(done.out)
    assert "--tank-alkalinity" in done.out and "advisor-bag-1" in done.out


def test_the_shortest_example_of_the_help_works_as_printed() -> None:
    done = run_apart(*PLAIN[:-1])
    assert done.status == 0 and "WAYS TO OPEN IT" in done.out
    assert "NH3-N [mg/L]" in done.out  # the plot


@pytest.mark.parametrize("columns", [40, 52, 60])
def test_nothing_of_a_bag_is_wider_than_the_screen(
    columns: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    bag = "--water 2L --gas 4L --fish 40 --mass 0.4g --hours 30 --temp 19C --tank-temp 25C"
    ran = run(capsys, "bag", *bag.split(), "--tank-ph", "7.8")
    assert ran.status == 0 and "open [min]" in ran.out
    assert [line for line in ran.out.splitlines() if len(line) > columns] == []
