"""The balance of evidence for and against each cause, as bars. All weights are judgement."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from advisor.advice.results import CauseResult
from advisor.advice.weighing import shown, sums
from advisor.papers.blocks import Picture
from advisor.papers.pictures.style import (
    BLACK,
    BLUE,
    VERMILION,
    Room,
    drawing,
    new_figure,
    tidy,
    to_svg,
)
from advisor.wording.numbers import signed


def balance_picture(causes: Sequence[CauseResult], key: str = "balance") -> Picture:
    """Bars to the right for a cause, to the left against it, and a mark where it stands."""
    chosen = shown(causes)
    title = "Balance of evidence (judgement)"
    said = said_of(chosen)
    places = [float(-place) for place in range(len(chosen))]
    both = [sums(cause) for cause in chosen]
    with drawing(key):
        figure, ((axes,),) = new_figure(
            1.0 + 0.5 * len(chosen), room=Room(left=1.45, top=0.06, bottom=0.72)
        )
        axes.barh(
            places, [pair[0] for pair in both], height=0.55, color=BLUE, label="for",
            edgecolor=BLACK, linewidth=0.6,
        )  # fmt: skip
        axes.barh(
            places, [pair[1] for pair in both], height=0.55, color="white", hatch="////",
            edgecolor=VERMILION, linewidth=0.8, label="against",
        )  # fmt: skip
        axes.plot(
            [cause.decibans for cause in chosen], places, linestyle="", marker="D", markersize=6,
            color=BLACK, markerfacecolor="white", label="stands at (starting odds included)",
        )  # fmt: skip
        axes.axvline(0, color=BLACK, linewidth=0.8)
        axes.set_yticks(places, [_name(cause) for cause in chosen])
        axes.set_xlabel("weight of evidence [decibans]")
        tidy(axes)
        axes.grid(False, axis="y")
        figure.legend(loc="lower center", ncols=3, columnspacing=1.2, handlelength=1.8)
        svg = to_svg(figure, key, title, said)
    return Picture(svg, title, said)


def _name(cause: CauseResult) -> str:
    return "\n".join(textwrap.wrap(cause.name, 22)[:2])


def said_of(causes: Sequence[CauseResult]) -> str:
    """The picture in sentences."""
    parts = []
    for cause in causes:
        supports, against = sums(cause)
        parts.append(
            f"{cause.name}: for {signed(supports)}, against {signed(against)}, "
            f"starting odds {signed(cause.prior)}, stands at {signed(cause.decibans)}"
        )
    return f"{'; '.join(parts)} decibans."
