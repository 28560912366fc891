"""Plots on the terminal."""

from __future__ import annotations

import io

import pytest
from rich.console import Console

from advisor.advice.assess import assess
from advisor.advice.facts.forecast import measured_in_bag, sealed_bag, sealed_forecast
from advisor.advice.facts.sheet import fact_sheet
from advisor.advice.over_time import watch_of
from advisor.advice.reasoner import Reasoner
from advisor.advice.results import Assessment
from advisor.bag import OPENING_METHODS, compare_openings
from advisor.bag.inputs import TankWater
from advisor.case import Case
from advisor.papers.pictures.balance_bars import shown, sums
from advisor.screens.plots import plot_bag, plot_balance, plot_readings

TANK = TankWater(volume_l=180, temperature_c=25.0, alkalinity_mg_l_caco3=100.0, ph=7.8)


def _screen(width: int, encoding: str = "utf-8") -> tuple[Console, io.TextIOWrapper]:
    out = io.TextIOWrapper(io.BytesIO(), encoding=encoding, errors="replace")
    return Console(file=out, width=width, markup=False, highlight=False, emoji=False), out


def _lines(out: io.TextIOWrapper) -> list[str]:
    out.flush()
    return out.buffer.getvalue().decode(out.encoding).splitlines()  # type: ignore[attr-defined]


@pytest.fixture(scope="module")
def drawn(delivery: Case, assessed: Assessment, reasoner: Reasoner):  # type: ignore[no-untyped-def]
    lot = delivery.lot[0]
    sheet = fact_sheet(delivery, lot, reasoner.base)
    bag = sealed_bag(delivery, lot, sheet.kind, sheet.records)
    assert bag is not None
    forecast = sealed_forecast(bag, measured_in_bag(delivery, lot, sheet.records))
    openings = compare_openings(forecast, TANK, OPENING_METHODS[:3], samples=20)

    def draw(name: str, console: Console) -> None:
        if name == "bag":
            plot_bag(forecast, openings, console, limit_mg_l=0.0411)
        elif name == "readings":
            plot_readings(watch_of(delivery), console)
        else:
            plot_balance(assessed.lots[1].causes, console)

    return draw


NAMES = ("bag", "readings", "balance")


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("width", [60, 80, 100])
def test_plots_keep_to_the_width(drawn, name: str, width: int) -> None:  # type: ignore[no-untyped-def]
    console, out = _screen(width)
    drawn(name, console)
    lines = _lines(out)
    assert lines and max(map(len, lines)) <= width


@pytest.mark.parametrize("name", NAMES)
def test_plots_are_plain_ascii_where_the_screen_has_no_more(drawn, name: str) -> None:  # type: ignore[no-untyped-def]
    console, out = _screen(60, "ascii")
    drawn(name, console)
    text = "\n".join(_lines(out))
    assert text.isascii() and "?" not in text and "\x1b" not in text


def test_the_bag_names_units_limit_and_marks(drawn) -> None:  # type: ignore[no-untyped-def]
    console, out = _screen(80)
    drawn("bag", console)
    text = "\n".join(_lines(out))
    heads = ("pH, sealed [h]", "NH3-N [mg/L], open [min]", "CO2 [mg/L]", "oxygen [mg/L]")
    keys = ("0.0411 mg/L as N", "*** left open, still", "ooo open with an air stone")
    for wanted in (*heads, *keys):
        assert wanted in text, wanted


def test_bars_are_as_long_as_the_evidence(hostile: Case, reasoner: Reasoner) -> None:
    causes = assess(hostile, reasoner).lots[0].causes
    console, out = _screen(80)
    plot_balance(causes, console)
    weights = [sums(cause)[0] for cause in shown(causes)]
    bars = [line.count("#") for line in _lines(out)[1 : 1 + len(weights)]]
    assert len(set(weights)) > 2
    assert bars == [round(weight / max(weights) * max(bars)) for weight in weights]


def test_nothing_to_draw_draws_nothing() -> None:
    console, out = _screen(80)
    plot_readings(watch_of(Case()), console)
    assert _lines(out) == []
