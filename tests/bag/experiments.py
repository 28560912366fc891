"""Predicted band against observed, for every published bag of tests/reference.

    python -m tests.bag.experiments

Two files, scored apart. The rows of ``transport.toml`` were known when the
numbers of ``advisor/bag/fish_defaults.py`` were chosen (the ammonia per oxygen, the
exchange on the way and what shortage of oxygen does were chosen with them in
sight). Those of ``transport_later.toml`` were found afterwards; no number was
changed to them. Rows whose ``guessed`` is not empty show plausibility only.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from advisor.bag import Band, SealedBag, forecast_sealed

FOLDER = Path(__file__).parents[1] / "reference"


def _read(name: str) -> dict[str, list[dict[str, Any]]]:
    return tomllib.loads((FOLDER / name).read_text("utf-8"))


REFERENCE = _read("transport.toml")
#: Known when constants were chosen, and found after.
EXPERIMENTS = REFERENCE["experiment"]
LATER = _read("transport_later.toml")["experiment"]

#: Oxygen use of a kind of fish against the default, from [[rate]] goldfish-20c: 120 mg/kg/h
#: against 400 (3/0.5)^-0.2 2.06^-0.4 = 209.
KINDS = {"sluggish cyprinid": 0.57}


#: Critical oxygen of largemouth bass at 20 °C (Fishes 2023, 8:565, abstract read).
KILLS_DO_MG_L = 1.12


@dataclass(frozen=True)
class Comparison:
    """One observed figure beside its forecast; low and high of a bound are open (inf)."""

    experiment: str
    quantity: str
    kind: str
    low: float
    high: float
    forecast: Band
    guessed: bool

    @property
    def agrees(self) -> bool:
        """Whether the forecast band and what was observed overlap."""
        return self.low <= self.forecast.high and self.high >= self.forecast.low

    @property
    def centre(self) -> float:
        """Middle of what was observed; only for figures with two ends."""
        return 0.5 * (self.low + self.high)

    @property
    def has_value(self) -> bool:
        """Whether something was read, not only bounded."""
        return self.kind in ("reading", "average", "range")


def rule(name: str) -> dict[str, Any]:
    """One published rule of thumb."""
    return next(entry for entry in REFERENCE["rule"] if entry["id"] == name)


def bag_of(experiment: dict[str, Any], *, kind_known: bool = True) -> SealedBag:
    """The bag as the source describes it."""
    given = {name: _amount(value) for name, value in experiment["bag"].items()}
    given["temperature"] = given.pop("temperature_c")
    kind = experiment.get("kind_of_fish")
    if kind and kind_known:
        given["oxygen_use_factor"] = KINDS[kind]
    return SealedBag(**given)


def compare(experiment: dict[str, Any], *, kind_known: bool = True) -> Iterator[Comparison]:
    """Every observed figure of one experiment beside its forecast."""
    forecast = forecast_sealed(bag_of(experiment, kind_known=kind_known))
    for seen in experiment["observed"]:
        low, high = seen.get("low", seen.get("value")), seen.get("high", seen.get("value"))
        if seen["kind"] == "below":
            low = float("-inf")
        if seen["kind"] == "above":
            high = float("inf")
        yield Comparison(
            experiment["id"], seen["quantity"], seen["kind"], low, high,
            forecast.end[seen["quantity"]], bool(experiment.get("guessed")),
        )  # fmt: skip


def _amount(value: Any) -> Any:
    return Band(*value) if isinstance(value, list) else value


def _observed(c: Comparison) -> str:
    if c.kind == "below":
        return f"< {c.high:g}"
    if c.kind == "above":
        return f"> {c.low:g}"
    return f"{c.low:g}" if c.low == c.high else f"{c.low:g}-{c.high:g}"


def main() -> int:
    """Print both tables and their coverage."""
    for title, experiments in (
        ("KNOWN WHEN CONSTANTS WERE CHOSEN", EXPERIMENTS),
        ("FOUND AFTERWARDS", LATER),
    ):
        rows = [c for e in experiments for c in compare(e)]
        print(f"{title}\n")
        table(rows)
        print()
        for line in coverage(rows):
            print(line)
        print(f"centre suffocated though none died: {suffocated(experiments) or 'none'}\n")
    return 0


def table(rows: list[Comparison]) -> None:
    """One line a figure."""
    print(f"{'bag':24}{'quantity':10}{'observed':>12} {'kind':8}{'forecast':>9}  5-95 % band")
    for c in rows:
        band = f"{c.forecast.low:.2f} to {c.forecast.high:.2f}"
        mark = "yes" if c.agrees else "NO"
        guess = " (bag partly guessed)" if c.guessed else ""
        print(
            f"{c.experiment:24}{c.quantity:10}{_observed(c):>12} {c.kind:8}"
            f"{c.forecast.value:9.2f}  {band:18}{mark:4}{guess}"
        )


def suffocated(experiments: list[dict[str, Any]]) -> list[str]:
    """Bags in which no fish died, forecast at their centre under critical oxygen at the end."""
    return [
        e["id"]
        for e in experiments
        if e.get("no_deaths") and forecast_sealed(bag_of(e), 0).end["do_mg_l"].value < KILLS_DO_MG_L
    ]


def coverage(rows: list[Comparison]) -> Iterator[str]:
    """What share of the figures the forecasts met."""

    def share(name: str, of: list[Comparison], met: list[bool]) -> str:
        return f"{name}: {sum(met)} of {len(of)}"

    valued = [c for c in rows if c.has_value]
    bounds = [c for c in rows if not c.has_value]
    tan = [c for c in valued if c.quantity == "tan_mg_l"]
    ph = [c for c in valued if c.quantity == "ph"]
    yield share("values inside the band", valued, [c.agrees for c in valued])
    yield share("bounds the band allows", bounds, [c.agrees for c in bounds])
    yield share(
        "TAN, central value within a factor 2",
        tan, [0.5 <= c.forecast.value / c.centre <= 2.0 for c in tan],
    )  # fmt: skip
    yield share(
        "final pH, central value within 0.5",
        ph, [abs(c.forecast.value - c.centre) <= 0.5 for c in ph],
    )  # fmt: skip


if __name__ == "__main__":
    raise SystemExit(main())
