"""Ways of opening a bag compared: what ammonia the fish meet, and how large the steps are."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING

from advisor.bag.banded import Band
from advisor.papers.blocks import Picture, Table
from advisor.papers.pictures.style import GREY, LOOKS, Room, drawing, new_figure, tidy, to_svg
from advisor.wording.numbers import short, with_band

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from advisor.bag import OpeningResult


def openings_picture(
    openings: Sequence[OpeningResult], limit_mg_l: float, key: str = "openings"
) -> Picture:
    """Un-ionised ammonia around the fish over time, one line for each way of opening.

    limit_mg_l : un-ionised ammonia [mg/L as N] that begins to harm gills
    """
    title = "Ways of opening the bag compared (computed)"
    said = said_of(openings)
    with drawing(key):
        figure, ((over_time,), (peaks,)) = new_figure(
            2.6 + 0.4 * len(openings), 2, 1, Room(left=1.45, down=0.5),
            height_ratios=[1.8, 0.4 * len(openings)],
        )  # fmt: skip
        for place, result in enumerate(openings):
            _one(over_time, peaks, place, result)
        _limit(over_time, peaks, limit_mg_l)
        peaks.set_yticks(
            [-float(place) for place in range(len(openings))],
            [_wrapped(result.label) for result in openings],
        )
        peaks.set_ylim(-len(openings) + 0.4, 0.6)
        svg = to_svg(figure, key, title, said)
    return Picture(svg, title, said, openings_table(openings))


def _one(over_time: Axes, peaks: Axes, place: int, result: OpeningResult) -> None:
    """A line over time and, in the same colour, dashes and marker, its peak with its band."""
    colour, dashes, marker = LOOKS[place % len(LOOKS)]
    over_time.plot(
        result.minutes, result.paths["nh3_n_mg_l"].value, color=colour, linestyle=dashes,
        marker=marker, markevery=(0.02 * place, 0.16),
    )  # fmt: skip
    peak, row = result.peak_nh3_n_mg_l, -float(place)
    peaks.plot([peak.low, peak.high], [row, row], color=colour, linestyle=dashes)
    peaks.plot([peak.value], [row], color=colour, marker=marker, markersize=6)


def _limit(over_time: Axes, peaks: Axes, limit: float) -> None:
    over_time.axhline(limit, color=GREY, linewidth=1.0, linestyle=(0, (1, 1)))
    peaks.axvline(limit, color=GREY, linewidth=1.0, linestyle=(0, (1, 1)))
    over_time.text(
        0.99, limit, f"limit {short(limit, 3)}", va="bottom", ha="right", color=GREY,
        transform=over_time.get_yaxis_transform(),
    )  # fmt: skip
    over_time.set_xlabel("after opening [min]")
    over_time.set_ylabel("NH3-N [mg/L]")
    over_time.set_ylim(bottom=0)
    over_time.margins(x=0.02)
    peaks.set_xlabel("highest NH3-N, with 5 to 95 % band [mg/L]")
    peaks.set_xlim(left=0)
    tidy(over_time)
    tidy(peaks)
    peaks.grid(False, axis="y")


def _wrapped(label: str) -> str:
    return "\n".join(textwrap.wrap(label, 26))


def said_of(openings: Sequence[OpeningResult]) -> str:
    """The picture in sentences."""
    ranked = sorted(openings, key=lambda result: result.nh3_dose_mg_h_l.value)
    least, most = ranked[0], ranked[-1]
    slow = next((r.slow_change_because for r in openings if r.slow_change_because), None)
    text = (
        f"Least un-ionised ammonia in the first {short(least.minutes[-1] / 60, 3)} hours: "
        f"{least.label} ({short(least.nh3_dose_mg_h_l.value)} mg/L x h as N). "
        f"Most: {most.label} ({short(most.nh3_dose_mg_h_l.value)} mg/L x h as N). {least.statement}"
    )
    return f"{text} Slow change counts here: {slow}." if slow else text


def openings_table(openings: Sequence[OpeningResult]) -> Table:
    """Peak, dose and steps of each way of opening, with bands."""
    rows = tuple(
        (
            result.label,
            _cell(result.peak_nh3_n_mg_l),
            _cell(result.nh3_dose_mg_h_l),
            _cell(result.steepest_ph_step),
            _cell(result.steepest_temperature_step_c),
        )
        for result in openings
    )
    columns = (
        "way of opening",
        "highest NH3-N [mg/L]",
        "NH3-N dose [mg/L x h]",
        "pH step in 5 min",
        "temperature step in 5 min [°C]",
    )
    caption = "Ways of opening in numbers, with 5 to 95 % bands"
    return Table(caption, columns, rows, frozenset({1, 2, 3, 4}))


def _cell(band: Band) -> str:
    return with_band(band.value, band.low, band.high)
