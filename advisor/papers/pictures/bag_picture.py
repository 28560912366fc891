"""The sealed bag and its opening in one picture: hours on the left, minutes on the right."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from advisor.bag.banded import Distance, Path
from advisor.papers.blocks import Picture, Table
from advisor.papers.pictures.style import (
    BLACK,
    BLUE,
    GREY,
    VERMILION,
    Room,
    drawing,
    new_figure,
    tidy,
    to_svg,
)
from advisor.wording.names import with_unit
from advisor.wording.numbers import fixed, short, with_band

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from advisor.bag import OpeningResult, SealedForecast

#: Name of a path -> (short name, unit), top to bottom.
SHOWN = {
    "ph": ("pH", ""),
    "nh3_n_mg_l": ("NH3-N", "mg/L"),
    "co2_mg_l": ("CO2", "mg/L"),
    "do_mg_l": ("oxygen", "mg/L"),
}
#: Shown below the others where it was read.
TOTAL_AMMONIA = {"tan_mg_l": ("TAN", "mg/L")}
MINUTES = 60.0
#: Inches, however many rows: a paper of one lot keeps to two pages.
HEIGHT = 4.9
MOST_TIMES = 48


def bag_picture(
    forecast: SealedForecast, opening: OpeningResult, limit_mg_l: float, key: str = "bag"
) -> Picture:
    """pH, un-ionised ammonia with its limit, CO2 and oxygen before and after opening.

    opening    : one way of opening, usually the bag left open and still
    limit_mg_l : un-ionised ammonia [mg/L as N] that begins to harm gills
    """
    title = f"The sealed bag, then opened ({opening.label})"
    said = said_of(forecast, opening, limit_mg_l)
    read = {found.quantity: found for found in forecast.distances}
    shown = SHOWN | (TOTAL_AMMONIA if read.keys() & TOTAL_AMMONIA.keys() else {})
    with drawing(key):
        figure, axes = new_figure(
            HEIGHT, len(shown), 2, Room(left=0.66, across=0.14, down=0.14), sharey="row",
            sharex="col",
        )  # fmt: skip
        for row, (name, (label, unit)) in enumerate(shown.items()):
            left, right = axes[row]
            _draw(left, *_thinned(forecast.hours, forecast.paths[name]), BLUE, "-")
            _draw(right, *_first_hour(opening, name), VERMILION, (0, (5, 2)))
            if name in read:
                _reading(left, forecast.hours[-1], read[name])
            left.set_ylabel(with_unit(label, unit))
            if name == "nh3_n_mg_l":
                _limit(left, right, limit_mg_l)
            if name != "ph":
                left.set_ylim(bottom=0)
            left.locator_params(axis="y", nbins=4, steps=[1, 2, 5, 10])
        figure.align_ylabels(axes[:, 0])
        axes[0][0].set_title("sealed (forecast)")
        axes[0][1].set_title("opened (computed)")
        axes[-1][0].set_xlabel("hours sealed [h]")
        axes[-1][1].set_xlabel("after opening [min]")
        svg = to_svg(figure, key, title, said)
    return Picture(svg, title, said, bag_table(forecast, opening))


def _draw(axes: Axes, times: tuple[float, ...], path: Path, colour: str, dashes: Any) -> None:
    axes.fill_between(times, path.low, path.high, color=colour, alpha=0.18, linewidth=0)
    axes.plot(times, path.value, color=colour, linestyle=dashes)
    axes.margins(x=0.02)
    tidy(axes)


def _reading(axes: Axes, hour: float, found: Distance) -> None:
    """A reading with its kit's error at the end of the journey; hollow where nothing explains."""
    value, low, high = found.measured
    axes.errorbar(
        [hour], [value], yerr=[[value - low], [high - value]], fmt="D", color=BLACK, capsize=3,
        elinewidth=1.2, markersize=5, zorder=5, clip_on=False,
        markerfacecolor=BLACK if found.plausible else "white",
    )  # fmt: skip


def _thinned(hours: tuple[float, ...], path: Path) -> tuple[tuple[float, ...], Path]:
    """As many times as a line this wide can show: every second of a long journey's."""
    if len(hours) <= MOST_TIMES:
        return hours, path
    kept = [*range(0, len(hours) - 1, 2), len(hours) - 1]
    return tuple(hours[at] for at in kept), Path(*(tuple(p[at] for at in kept) for p in path))


def _first_hour(opening: OpeningResult, name: str) -> tuple[tuple[float, ...], Path]:
    kept = sum(minute <= MINUTES for minute in opening.minutes)
    path = opening.paths[name]
    return opening.minutes[:kept], Path(path.value[:kept], path.low[:kept], path.high[:kept])


def _limit(left: Axes, right: Axes, limit: float) -> None:
    for axes in (left, right):
        axes.axhline(limit, color=GREY, linestyle=(0, (1.5, 1.5)), linewidth=1.2)
    left.text(
        0.03, limit, f"limit {short(limit, 3)}", va="bottom", color=GREY,
        transform=left.get_yaxis_transform(),
    )  # fmt: skip


def said_of(forecast: SealedForecast, opening: OpeningResult, limit_mg_l: float) -> str:
    """The picture in sentences."""
    end = {name: forecast.end[name] for name in SHOWN}
    parts = [
        f"{label} {with_band(end[name].value, end[name].low, end[name].high)}"
        + (f" {unit}" if unit else "")
        for name, (label, unit) in SHOWN.items()
    ]
    passed = opening.minutes_to_nh3_limit(limit_mg_l)
    if passed.passed == "not":
        after = f"stays under the limit of {short(limit_mg_l, 3)} mg/L"
    else:
        when = "" if passed.minutes is None else f" after about {fixed(passed.minutes)} min"
        after = f"{passed.passed} passes the limit of {short(limit_mg_l, 3)} mg/L{when}"
    measured = _said_of_readings(forecast)
    return (
        f"At the end of {short(forecast.hours[-1], 3)} h sealed: {', '.join(parts)}. "
        f"Once opened ({opening.label}), un-ionised ammonia (NH3-N) {after}. "
        f"Bands are 5 to 95 %; ammonia is counted as nitrogen.{measured}"
    )


def _said_of_readings(forecast: SealedForecast) -> str:
    """What was read, and which of it the band was shaped by."""
    drawn = SHOWN | TOTAL_AMMONIA
    marked = [found for found in forecast.distances if found.quantity in drawn]
    if not marked:
        return ""
    said = [
        f"{drawn[found.quantity][0]} {with_band(*found.measured)}"
        + (
            ""
            if found.plausible
            else " (hollow: no bag like this one explains it, so it was left out)"
        )
        for found in marked
    ]
    listed = ", ".join(said)
    return f" Marked: what was read, with its kit's error ({listed}); the band was shaped by it."


def bag_table(forecast: SealedForecast, opening: OpeningResult) -> Table:
    """A few times of the picture in numbers, with their bands."""
    last = len(forecast.hours) - 1
    rows = []
    for label, at in (("packed", 0), ("end of journey", last)):
        row = [f"{label}, {short(forecast.hours[at], 3)} h"]
        rows.append((*row, *(_cell(forecast.paths[name], at) for name in SHOWN)))
    for wanted in (5.0, 15.0, 60.0):
        at = min(range(len(opening.minutes)), key=lambda i: abs(opening.minutes[i] - wanted))
        row = [f"{fixed(opening.minutes[at])} min open"]
        rows.append((*row, *(_cell(opening.paths[name], at) for name in SHOWN)))
    heads = [with_unit(label, unit) for label, unit in SHOWN.values()]
    return Table(
        "The same in numbers, with 5 to 95 % bands",
        ("when", *heads),
        tuple(rows),
        frozenset({1, 2, 3, 4}),
    )


def _cell(path: Path, at: int) -> str:
    return with_band(path.value[at], path.low[at], path.high[at])
