"""Compact plots on the terminal: plain characters, no colour, 60 columns are enough.

Series are told apart by their marks. Where the screen's encoding has no frame
characters, plain ASCII takes their place. plotext is loaded when one is drawn.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from advisor.advice.over_time import Watch, WatchedLine
from advisor.advice.results import CauseResult
from advisor.advice.weighing import shown, sums
from advisor.wording.layout import hanging, styled
from advisor.wording.names import with_unit
from advisor.wording.numbers import fixed, short, signed
from advisor.wording.text import plain

if TYPE_CHECKING:
    from rich.console import Console

    from advisor.bag import OpeningResult, SealedForecast

#: What is drawn of a bag -> its name and unit.
BAG = {
    "ph": "pH",
    "nh3_n_mg_l": "NH3-N [mg/L]",
    "co2_mg_l": "CO2 [mg/L]",
    "do_mg_l": "oxygen [mg/L]",
}
MARKS = "*ox+#@"
WIDEST = 78
NARROWEST = 50
#: From so many columns on two charts stand beside each other.
SIDE_BY_SIDE = 60
_ROWS = 8
_ASCII = str.maketrans("┌┐└┘├┤┬┴┼─│µ", "+++++++++-|u", "°")
_FIRST_MINUTES = 60.0


def plot_bag(
    forecast: SealedForecast,
    openings: Sequence[OpeningResult],
    console: Console,
    limit_mg_l: float | None = None,
) -> None:
    """The sealed bag over its hours and, beside it, the first hour of each way of opening.

    limit_mg_l : un-ionised ammonia [mg/L as N] drawn as a line
    """
    half = _chart_width(console)
    for name, label in BAG.items():
        sealed = forecast.paths[name].value
        opened = [(o.minutes, o.paths[name].value) for o in openings]
        limit = limit_mg_l if name == "nh3_n_mg_l" else None
        bounds = _bounds([sealed, *(values for _, values in opened)], limit, from_zero=name != "ph")
        left = _chart(
            [(forecast.hours, sealed)], half, f"{label}, sealed [h]", bounds, limit, console
        )
        right: list[str] = []
        if opened:
            cut = [_first(minutes, values) for minutes, values in opened]
            right = _chart(cut, half, f"{label}, open [min]", bounds, limit, console)
        _beside(left, right, half, console)
    _key([o.label for o in openings], console)
    if limit_mg_l is not None:
        console.print(
            styled(f"- - - limit of un-ionised ammonia, {short(limit_mg_l, 3)} mg/L as N")
        )


def _first(
    minutes: Sequence[float], values: Sequence[float]
) -> tuple[Sequence[float], Sequence[float]]:
    kept = sum(minute <= _FIRST_MINUTES for minute in minutes)
    return minutes[:kept], values[:kept]


def plot_readings(series: Watch, console: Console) -> None:
    """Readings and fish alive over the looks; what was read only once is left to the tables."""
    width = _chart_width(console)
    lines = [line for line in series.readings if len(line.points) > 1]
    charts = [
        _line_chart([line], with_unit(line.label, line.unit), width, console) for line in lines
    ]
    alive = [line for line in series.survivors if len(line.points) > 1]
    if alive:
        charts.append(_line_chart(alive, "fish alive", width, console))
    for place in range(0, len(charts), 2):
        right = charts[place + 1] if place + 1 < len(charts) else []
        _beside(charts[place], right, width, console)
    if charts:
        console.print(styled("across: hours after receipt"))
    if len(alive) > 1:
        _key([line.label for line in alive], console)


def _line_chart(
    lines: Sequence[WatchedLine], title: str, width: int, console: Console
) -> list[str]:
    data = [([p.hours for p in line.points], [p.value for p in line.points]) for line in lines]
    alive = lines[0].unit == "fish"
    bounds = _bounds([values for _, values in data], None, from_zero=alive)
    return _chart(data, width, title, bounds, None, console)


def plot_balance(causes: Sequence[CauseResult], console: Console) -> None:
    """Bars of evidence for (#) and against (=) each cause, in decibans of judgement."""
    chosen = shown(causes)
    if console.width < NARROWEST:
        for cause in chosen:
            parts = [*sums(cause), cause.decibans]
            said = "for {}, against {}, stands at {}".format(*map(signed, parts))
            hanging("- ", styled(f"{cause.name}: {said}"), console)
        hanging("", styled("decibans (judgement); stands at: starting odds included"), console)
        return
    width = _width(console)
    name = min(28, width // 3)
    both = [sums(cause) for cause in chosen]
    most = max([1.0, *(max(abs(number) for number in pair) for pair in both)])
    side = (width - name - 14) // 2
    head = f"{'against':>{side}} | {'for':<{side}}"
    console.print(styled(f"{'':{name}} {head} stands at"))
    for cause, (supports, against) in zip(chosen, both, strict=True):
        left = "=" * round(-against / most * side)
        right = "#" * round(supports / most * side)
        label = plain(cause.name)
        label = label if len(label) <= name else label[: name - 3] + "..."
        bar = f"{left:>{side}} | {right:<{side}}"
        console.print(styled(f"{label:{name}} {bar} {signed(cause.decibans)}"))
    console.print(
        styled(f"full bar: {fixed(most)} decibans (judgement); stands at: starting odds included")
    )


Bounds = tuple[float, float]


def _bounds(series: Sequence[Sequence[float]], limit: float | None, *, from_zero: bool) -> Bounds:
    values = [value for one in series for value in one] + ([] if limit is None else [limit * 1.1])
    low, high = (0.0 if from_zero else min(values)), max(values)
    return (low, high) if high > low else (low - 0.5, high + 0.5)


def _chart(
    series: Sequence[tuple[Sequence[float], Sequence[float]]],
    width: int,
    title: str,
    bounds: Bounds,
    limit: float | None,
    console: Console,
) -> list[str]:
    """The lines of one small chart."""
    import plotext

    draw: Any = plotext
    draw.clear_figure()
    draw.theme("clear")
    draw.plot_size(width, _ROWS)
    draw.limit_size(False, False)
    if limit is not None:
        ends = [min(x[0] for x, _ in series), max(x[-1] for x, _ in series)]
        draw.scatter(_between(ends[0], ends[1], width // 2), [limit] * (width // 2), marker="-")
    for place, (x, y) in enumerate(series):
        draw.plot(list(x), list(y), marker=MARKS[place % len(MARKS)])
    draw.ylim(*bounds)
    draw.yticks(*_ticks(bounds))
    draw.xfrequency(3)
    name = plain(title)[: width - 2].center(width)
    text = f"{name}\n{draw.uncolorize(draw.build())}"
    if not _has_frames(console):
        text = text.translate(_ASCII)
    return [line.rstrip() for line in text.splitlines()]


def _between(first: float, last: float, count: int) -> list[float]:
    return [first + (last - first) * (place + 0.5) / count for place in range(count)]


def _ticks(bounds: Bounds) -> tuple[list[float], list[str]]:
    low, high = bounds
    places = [low, (low + high) / 2, high]
    return places, [short(place, 3).rjust(5) for place in places]


def _has_frames(console: Console) -> bool:
    try:
        "┌┤".encode(console.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def _beside(left: Sequence[str], right: Sequence[str], width: int, console: Console) -> None:
    """Two charts side by side, on a narrow screen one under the other."""
    if 2 * width > console.width:
        for line in (*left, *right):
            console.print(styled(line), soft_wrap=True)
        return
    for place in range(max(len(left), len(right))):
        first = left[place] if place < len(left) else ""
        second = right[place] if place < len(right) else ""
        console.print(styled(f"{first:{width}}{second}".rstrip()), soft_wrap=True)


def _key(labels: Sequence[str], console: Console) -> None:
    for place, label in enumerate(labels):
        mark = MARKS[place % len(MARKS)]
        console.print(styled(f"{mark * 3} {label}"))


def _chart_width(console: Console) -> int:
    """Half of the screen, or all of one on which two halves could not be read."""
    whole = min(console.width, WIDEST)
    return whole // 2 if whole >= SIDE_BY_SIDE else whole


def _width(console: Console) -> int:
    return max(NARROWEST, min(console.width, WIDEST))
