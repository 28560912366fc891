"""A bag on the screen. The first line answers "open it how, and how fast"."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console

from advisor.advice.results import OpeningPlace
from advisor.bag.banded import Assumption
from advisor.screens.show_bag import bag_words
from advisor.screens.show_bag.after import FILTER_WORDS, AfterStocking, keeping, passing
from advisor.screens.show_bag.bag_looked_at import BagView
from advisor.wording.layout import hanging, styled
from advisor.wording.numbers import exact, fixed, short

HEAD = "bold"
QUIET = "italic"
#: The table of ways has room from so many columns on.
TABLE = 60
#: Drawn in the plot beside the way that was chosen.
_ALSO_DRAWN = ("dripped", "left_open")


def show(
    views: Sequence[BagView],
    order: Sequence[OpeningPlace],
    after: AfterStocking | None,
    console: Console,
    *,
    verbose: bool,
    plot: bool,
    others: Sequence[str] = (),
) -> None:
    """Print the first bag in full, the others in a line each, then the tank afterwards.

    others : lots that could not be looked at, a sentence each
    """
    _several(views, order, others, console)
    first = views[0]
    _top(first, console, named=len(views) > 1)
    _now(first, console)
    _against_model(first, console)
    _ways(first, console, verbose=verbose)
    if plot and first.forecast is not None:
        _plot(first, console)
    _floating(first, console)
    _tank(after, console)
    _notices(first, console)
    if verbose:
        _assumed(first, after, console)


def _say(text: str, console: Console, style: str = "", lead: str = "") -> None:
    if text:
        hanging(lead, styled(text, style), console)


def _heading(text: str, console: Console) -> None:
    console.print()
    _say(text.upper(), console, HEAD)


def _several(
    views: Sequence[BagView],
    order: Sequence[OpeningPlace],
    others: Sequence[str],
    console: Console,
) -> None:
    if len(views) + len(others) < 2:
        return
    because = {place.lot: f" {place.because}." for place in order}
    head = "Open in this order, one bag at a time; the others stay shut."
    _say(head if order else "No bag is told to be shut still; every lot:", console, HEAD)
    for at, view in enumerate(views, 1):
        name = view.asked.name
        _say(f"{name}:{because.get(name, '')} {bag_words.headline(view)}", console, lead=f" {at}. ")
    for text in others:
        _say(text, console, lead="  - ")
    console.print()


def _top(view: BagView, console: Console, *, named: bool) -> None:
    _say(bag_words.headline(view), console, HEAD, f"{view.asked.name}: " if named else "")
    if view.asked.emergency and view.asked.move is None:
        _say(f"By its water alone: {bag_words.by_its_water(view)}", console)
    _say(bag_words.pace(view), console)
    _say(bag_words.why(view), console)
    _say(f"{view.asked.label}.", console, QUIET)


def _now(view: BagView, console: Console) -> None:
    forecast = view.forecast
    if forecast is None:
        return
    read = {distance.quantity for distance in forecast.distances}
    _heading("The bag now, with 5 to 95 % bands", console)
    for name in bag_words.HOLDS:
        label, value, band = bag_words.holds(name, forecast.end[name])
        mark = " read" if name in read else ""
        row = f"{label:19} {value:>7}" if console.width >= TABLE else f"{label}: {value}"
        _say(f"{row} {band}{mark}", console, lead="  ")
    _say(bag_words.oxygen(forecast), console, lead="  ")


def _against_model(view: BagView, console: Console) -> None:
    told = view.forecast.distances if view.forecast else ()
    if view.asked.later is not None:  # a floated bag is no longer at the journey's temperature
        told = tuple(each for each in told if each.quantity != "temperature_c")
    if not told:
        return
    _heading("Readings against the model", console)
    for distance in told:
        _say(distance.text, console, lead="  - ")
    _say("The readings count; the forecast above starts from them.", console, QUIET, "  ")


def _ways(view: BagView, console: Console, *, verbose: bool) -> None:
    _heading("Ways to open it", console)
    if console.width >= TABLE:
        _say(_row("", "NH3-N", "dose", "pH", "°C", "min to"), console, lead="  ")
        _say(_row("", "peak", "mg h/L", "step", "step", "limit"), console, lead="  ")
    costs = {cost.name: cost for cost in view.choice.costs} if view.choice else {}
    for result in view.openings:
        strains = costs[result.name].strains if result.name in costs else {}
        over = {name for name, strain in strains.items() if strain > 1.0}
        passed = result.minutes_to_nh3_limit(view.gill_limit)
        never = "-" if passed.passed == "not" else "never?"
        write = _row if console.width >= TABLE else _told
        row = write(
            bag_words.way(view, result.name),
            _marked(short(result.peak_nh3_n_mg_l.value), "nh3" in over),
            short(result.nh3_dose_mg_h_l.value),
            _marked(short(result.steepest_ph_step.value), "ph" in over),
            _marked(
                short(result.steepest_temperature_step_c.value),
                "temperature" in over,
            ),
            never if passed.minutes is None else fixed(passed.minutes),
        )
        chosen = view.chosen == result.name
        _say(row, console, HEAD if chosen else "", "> " if chosen else "  ")
        if verbose:
            _bands(view, result.name, console)
    _legend(view, console)


def _told(name: str, peak: str, dose: str, ph: str, warm: str, minutes: str) -> str:
    """A row of the table in words, for a screen that has no room for its columns."""
    reached = "not reached" if minutes == "-" else minutes
    return (
        f"{name}: NH3-N peak {peak}, dose {dose} mg h/L, pH step {ph}, °C step {warm}, "
        f"min to limit {reached}"
    )


def _row(name: str, *cells: str) -> str:
    return f"{name:17}" + "".join(f"{cell:>8}" for cell in cells)


def _marked(text: str, over: bool) -> str:
    return f"{text}!" if over else text


def _bands(view: BagView, name: str, console: Console) -> None:
    result = view.opening(name)
    assert result is not None
    parts = [
        f"{label} {short(band.low)} to {short(band.high)}"
        for label, band in (
            ("peak", result.peak_nh3_n_mg_l),
            ("dose", result.nh3_dose_mg_h_l),
            ("pH step", result.steepest_ph_step),
            ("°C step", result.steepest_temperature_step_c),
        )
    ]
    _say(f"{result.label}: {', '.join(parts)}", console, QUIET, "      ")


def _legend(view: BagView, console: Console) -> None:
    notes = []
    if view.chosen is not None:
        notes.append("> costs least" if view.asked.move is None else "> the way to take")
    notes.append("! over its limit in the rules")
    notes.append("steps are the largest in 5 min")
    times = [result.minutes_to_nh3_limit(view.gill_limit) for result in view.openings]
    if any(each.passed != "not" and each.minutes is None for each in times):
        notes.append('"never?" not likely, but not ruled out')
    _say(f"{'; '.join(notes)}.", console, QUIET, "  ")
    _say(view.openings[0].statement, console, QUIET, "  ")
    slow = "Slow change wins for invertebrates and for large steps in salt or minerals" + (
        ": that is so here." if view.slow else "; not here, as far as is known."
    )
    _say(slow, console, QUIET, "  ")
    if view.taken:
        given = ", ".join(view.taken)
        _say(f"Tank not fully known, taken as: {given}.", console, QUIET, "  ")


def _plot(view: BagView, console: Console) -> None:
    from advisor.screens.plots import plot_bag

    assert view.forecast is not None
    chosen = view.chosen or "netted"
    names = dict.fromkeys((chosen, *_ALSO_DRAWN))
    drawn = [result for result in view.openings if result.name in names]
    drawn.sort(key=lambda result: result.name != chosen)
    console.print()
    plot_bag(view.forecast, drawn, console, view.gill_limit)


def _floating(view: BagView, console: Console) -> None:
    if view.float_time is None:
        return
    band = view.float_time.minutes
    _heading("Floating time", console)
    _say(
        f"{fixed(band.value)} min ({fixed(band.low)} to {fixed(band.high)}) until bag and "
        "tank are close "
        f"enough. From {view.float_time.basis}. The thermometer decides.",
        console,
        lead="  ",
    )


def _tank(after: AfterStocking | None, console: Console) -> None:
    if after is None:
        return
    _heading("The tank in the weeks after", console)
    _say(
        f"{after.fish_count} fish ({fixed(after.fish_total_g)} g) in "
        f"{exact(after.volume_l)} L, fed 1 % of "
        "their mass a day; what lives there already is not counted.",
        console,
        lead="  ",
    )
    for state, forecast in after.forecasts.items():
        nh3 = passing(forecast.nh3_limit, "ammonia")
        nitrite = passing(forecast.nitrite_limit, "nitrite")
        keep = keeping(forecast.change_likely, forecast.change_surely)
        text = f"With {FILTER_WORDS[state]}: {nh3}; {nitrite}. {keep}"
        _say(text, console, lead="  - ")
    _say(
        f"Limits: un-ionised ammonia {short(after.nh3_limit)}, nitrite "
        f"{short(after.nitrite_limit)} mg/L "
        "as N. How much a filter carries is the widest guess of all: measure daily.",
        console,
        QUIET,
        "  ",
    )


def _notices(view: BagView, console: Console) -> None:
    notices = [*view.asked.notices, *(view.forecast.notices if view.forecast else ())]
    if notices:
        _heading("Keep in mind", console)
    for notice in notices:
        _say(notice, console, lead="  - ")


def _assumed(view: BagView, after: AfterStocking | None, console: Console) -> None:
    """Every number that was not given, with its range and source."""
    found: list[Assumption] = list(view.forecast.assumptions) if view.forecast else []
    found += view.openings[0].assumptions
    for forecast in after.forecasts.values() if after else ():
        found += forecast.assumptions
    _heading("Taken from sources, not from this bag", console)
    for each in dict.fromkeys(found):
        unit = f" {each.unit}" if each.unit else ""
        text = (
            f"{each.text}: {exact(each.value)} ({exact(each.low)} to "
            f"{exact(each.high)}){unit}. {each.source}."
        )
        _say(text, console, lead="  - ")
