"""How pictures look, and how a figure becomes an SVG that may stand in any page."""

from __future__ import annotations

import io
import re
import warnings
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from advisor.wording.numbers import fixed

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

#: Okabe and Ito (2008): blue, vermilion, bluish green, black, reddish purple, and grey for limits.
BLUE, VERMILION, GREEN, BLACK, PURPLE = "#0072B2", "#D55E00", "#007A5A", "#000000", "#A5508A"
GREY = "#555555"

#: Line looks in the order they are used: colour, dashes, marker. No two share dashes and marker.
LOOKS: tuple[tuple[str, Any, str], ...] = (
    (BLUE, "-", "o"),
    (VERMILION, (0, (5, 2)), "s"),
    (GREEN, (0, (1.5, 1.5)), "^"),
    (PURPLE, (0, (6, 2, 1.5, 2)), "D"),
    (BLACK, (0, (3, 1.5, 1, 1.5, 1, 1.5)), "x"),
    (GREY, (0, (10, 3)), "v"),
)
#: Narrow enough to be read on a phone without being shrunk [inches].
WIDTH = 4.1

_SETTINGS: Any = {
    "svg.fonttype": "none",
    "text.parse_math": False,  # a $ in a name is a $
    "font.size": 8.0,
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans"],
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.linewidth": 0.8,
    "axes.titlesize": 8.0,
    "axes.titlelocation": "left",
    "legend.frameon": False,
    "legend.fontsize": 8.0,
    "legend.handlelength": 3.2,
    "lines.linewidth": 1.6,
    "lines.markersize": 3.5,
    "hatch.linewidth": 0.7,
}
_SVG = "http://www.w3.org/2000/svg"
_XLINK = "http://www.w3.org/1999/xlink"
_CONTROL = re.compile(r"[^\t\n\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


@contextmanager
def drawing(key: str) -> Iterator[None]:
    """Settings under which a figure is made and written; ``key`` names it within a page."""
    import matplotlib

    with matplotlib.rc_context({**_SETTINGS, "svg.hashsalt": key}), warnings.catch_warnings():
        # a letter the layout font lacks is still shown by the reader's own fonts
        warnings.filterwarnings("ignore", message="Glyph .* missing")
        yield


@dataclass(frozen=True)
class Room:
    """Space around and between the axes [inches]; set by hand, which draws twice as fast."""

    left: float = 0.55
    right: float = 0.08
    top: float = 0.24
    bottom: float = 0.42
    across: float = 0.45
    down: float = 0.3


def new_figure(
    height: float, rows: int = 1, columns: int = 1, room: Room | None = None, **grid: Any
) -> tuple[Figure, Any]:
    """A figure of the common width and its axes, as a 2-d array."""
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    room = room or Room()
    figure = Figure(figsize=(WIDTH, height))
    FigureCanvasSVG(figure)
    one_wide = (WIDTH - room.left - room.right - (columns - 1) * room.across) / columns
    one_high = (height - room.top - room.bottom - (rows - 1) * room.down) / rows
    places = {
        "left": room.left / WIDTH,
        "right": 1 - room.right / WIDTH,
        "top": 1 - room.top / height,
        "bottom": room.bottom / height,
        "wspace": room.across / one_wide,
        "hspace": room.down / one_high,
    }
    ratios = {name: grid.pop(name) for name in ("height_ratios",) if name in grid}
    return figure, figure.subplots(
        rows, columns, squeeze=False, gridspec_kw={**places, **ratios}, **grid
    )


def tidy(axes: Axes) -> None:
    """A light grid behind the lines."""
    axes.grid(True, color="#dddddd", linewidth=0.6)
    axes.set_axisbelow(True)


def to_svg(figure: Figure, key: str, title: str, said: str) -> str:
    """The figure as one SVG element: same bytes for same content, ids its own, text as text."""
    raw = io.BytesIO()
    nothing = dict.fromkeys(("Date", "Creator", "Format", "Type"))
    figure.savefig(raw, format="svg", metadata=nothing)
    ET.register_namespace("", _SVG)
    ET.register_namespace("xlink", _XLINK)
    root = ET.fromstring(raw.getvalue())
    for child in [c for c in root if c.tag == f"{{{_SVG}}}metadata"]:
        root.remove(child)
    _own_ids(root, key)
    width = float(root.attrib.pop("width").removesuffix("pt"))
    root.attrib.pop("height")
    root.attrib.pop("version", None)
    root.set("style", f"width:100%;max-width:{fixed(width * 2)}px;height:auto")
    root.set("role", "img")
    root.set("aria-labelledby", f"{key}-title {key}-desc")
    for place, (tag, text) in enumerate((("title", title), ("desc", said))):
        element = ET.Element(f"{{{_SVG}}}{tag}", {"id": f"{key}-{tag}"})
        element.text = _CONTROL.sub("·", text)
        root.insert(place, element)
    return ET.tostring(root, encoding="unicode")


def _own_ids(root: ET.Element, key: str) -> None:
    """Put ``key`` before every id, so that two pictures in one page do not share any."""
    for element in root.iter():
        if element.tag == f"{{{_SVG}}}style":
            element.text = ""  # would hold for the whole page
        for name, value in element.attrib.items():
            if name == "id":
                element.set(name, f"{key}-{value}")
            elif value.startswith("#") and name.endswith("href"):
                element.set(name, f"#{key}-{value[1:]}")
            elif "url(#" in value:
                element.set(name, value.replace("url(#", f"url(#{key}-"))
