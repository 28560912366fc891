"""Readings and survivors over the rechecks, one small panel each, on a common time axis."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from advisor.advice.over_time import Point, Watch, WatchedLine
from advisor.papers.blocks import Picture, Table
from advisor.papers.pictures.style import GREY, LOOKS, Room, drawing, new_figure, tidy, to_svg
from advisor.wording.names import with_unit
from advisor.wording.numbers import exact, fixed, short
from advisor.wording.times import after_receipt

if TYPE_CHECKING:
    from matplotlib.axes import Axes

MOST_PANELS = 8
MOST_ROWS = 12
#: Up to this many hours the time axis is even; a longer watch is drawn by its logarithm.
EVEN_HOURS = 12.0
_TICKS = (0.0, 1.0, 6.0, 24.0, 48.0, 168.0, 336.0)


def watch_picture(
    watch: Watch, limits: dict[str, float] | None = None, key: str = "watch"
) -> Picture | None:
    """Readings with their bands, and fish alive; None when nothing was read or counted twice.

    limits : name of a line (such as "tank_nitrite_mg_l") -> value drawn as a limit
    """
    lines = [line for line in watch.readings if len(line.points) > 1][:MOST_PANELS]
    alive = [line for line in watch.survivors if len(line.points) > 1][: len(LOOKS)]
    panels = len(lines) + bool(alive)
    if not panels:
        return None
    title = "Readings and survivors over time"
    said = said_of(lines, alive)
    times = [p.hours for line in (*lines, *alive) for p in line.points]
    with drawing(key):
        columns = 1 if panels <= 3 else 2
        rows = -(-panels // columns)
        key_lines = -(-len(alive) // 2)
        room = Room(down=0.34, bottom=0.42 + 0.17 * key_lines)
        height = 0.45 + 1.15 * rows + 0.17 * key_lines
        figure, grid = new_figure(height, rows, columns, room, sharex=True)
        axes = list(grid.flat)
        for panel, line in zip(axes, lines, strict=False):
            _reading(panel, line, (limits or {}).get(line.name))
        if alive:
            _alive(axes[panels - 1], alive)
            figure.legend(loc="lower center", ncols=2, borderaxespad=0.2)
        for panel in axes[panels:]:
            panel.set_visible(False)
        for panel in axes[max(0, panels - columns) : panels]:
            _time_axis(panel, min(times), max(times))
        svg = to_svg(figure, key, title, said)
    return Picture(svg, title, said, watch_table([*lines, *alive]))


def _reading(axes: Axes, line: WatchedLine, limit: float | None) -> None:
    colour, _, marker = LOOKS[0]
    hours = [point.hours for point in line.points]
    values = [point.value for point in line.points]
    if len(line.points) > 40:  # a probe's log: its band as an area
        low, high = ([getattr(p, end) for p in line.points] for end in ("low", "high"))
        axes.fill_between(hours, low, high, color=colour, alpha=0.2, linewidth=0)
        axes.plot(hours, values, color=colour)
    else:
        reach = [[p.value - p.low for p in line.points], [p.high - p.value for p in line.points]]
        axes.errorbar(
            hours, values, yerr=reach, color=colour, marker=marker, capsize=2.5, elinewidth=0.9
        )
    if limit is not None:
        axes.set_ylim(top=max(axes.get_ylim()[1], limit * 1.25))
        axes.axhline(limit, color=GREY, linestyle=(0, (1.5, 1.5)), linewidth=1.2)
        axes.text(
            0.04, limit, f"limit {short(limit, 3)}", va="bottom", ha="left", color=GREY,
            transform=axes.get_yaxis_transform(),
        )  # fmt: skip
    axes.set_title(with_unit(line.label, line.unit))
    tidy(axes)


def _alive(axes: Axes, alive: list[WatchedLine]) -> None:
    for place, line in enumerate(alive):
        colour, dashes, marker = LOOKS[place]
        axes.step(
            [p.hours for p in line.points], [p.value for p in line.points], where="post",
            color=colour, linestyle=dashes, marker=marker, label=line.label,
        )  # fmt: skip
    axes.set_ylim(0, 1.12 * max(1.0, *(p.value for line in alive for p in line.points)))
    axes.set_title("fish alive [number]")
    tidy(axes)


def _time_axis(axes: Axes, first: float, last: float) -> None:
    axes.set_xlabel("after receipt [h]")
    axes.tick_params(labelbottom=True)
    if last - first <= EVEN_HOURS:
        return
    axes.set_xscale("symlog", linthresh=1.0, linscale=0.7)
    ticks = [tick for tick in _TICKS if first <= tick <= last]
    axes.set_xticks(ticks, [exact(tick) for tick in ticks])
    axes.minorticks_off()
    axes.set_xlim(-0.1 if first >= 0 else first * 1.2, last * 1.2)


def said_of(lines: list[WatchedLine], alive: list[WatchedLine]) -> str:
    """The picture in sentences."""
    parts: list[Any] = []
    for line in lines:
        first, last = line.points[0], line.points[-1]
        unit = f" {line.unit}" if line.unit else ""
        parts.append(
            f"{line.label} from {short(first.value, 3)} ({after_receipt(first.hours)}) "
            f"to {short(last.value, 3)}{unit} ({after_receipt(last.hours)})"
        )
    parts += [
        f"{line.label} from {fixed(line.points[0].value)} to {fixed(line.points[-1].value)}"
        for line in alive
    ]
    return f"{'; '.join(parts)}."


def watch_table(lines: list[WatchedLine]) -> Table:
    """The values drawn, by time; of a long log only some."""
    times = sorted({point.hours for line in lines for point in line.points})
    if len(times) > MOST_ROWS:
        step = (len(times) - 1) / (MOST_ROWS - 1)
        times = [times[round(place * step)] for place in range(MOST_ROWS)]
    rows = []
    for hours in times:
        here = [[p for p in line.points if p.hours == hours] for line in lines]
        rows.append((after_receipt(hours), *(_cell(found) for found in here)))
    heads = (with_unit(line.label, line.unit) for line in lines)
    numbers = frozenset(range(1, len(lines) + 1))
    return Table("The same in numbers", ("after receipt", *heads), tuple(rows), numbers)


def _cell(points: list[Point]) -> str:
    return short(points[-1].value, 3) if points else ""
