"""Pictures: inert, repeatable, readable without colour, and said in words."""

from __future__ import annotations

import itertools
import re
import xml.etree.ElementTree as ET
from typing import Any

import pytest

from advisor.advice.reasoner import Reasoner
from advisor.advice.results import Assessment
from advisor.case import Case
from advisor.papers.blocks import Picture, Table
from advisor.papers.pictures.balance_bars import balance_picture
from advisor.papers.pictures.style import BLACK, BLUE, GREEN, GREY, LOOKS, PURPLE, VERMILION
from advisor.papers.which_pictures import bag_pictures, watch_pictures

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def pictures(delivery: Case, assessed: Assessment, reasoner: Reasoner) -> dict[str, Picture]:
    lot = delivery.lot[0].model_copy(update={"released_at_hours": None})
    bag, openings = bag_pictures(delivery, lot, reasoner.base, "a")
    (watch,) = watch_pictures(delivery, lot, reasoner.base, "a")
    balance = balance_picture(assessed.lots[1].causes)
    found = {"bag": bag, "openings": openings, "watch": watch, "balance": balance}
    assert all(isinstance(each, Picture) for each in found.values())
    return found  # type: ignore[return-value]


NAMES = ("bag", "openings", "watch", "balance")


@pytest.mark.parametrize("name", NAMES)
def test_a_picture_says_itself_in_words(pictures: dict[str, Picture], name: str) -> None:
    picture = pictures[name]
    root = ET.fromstring(picture.svg)
    assert root.get("role") == "img"
    title, desc = root[0], root[1]
    assert (title.tag, desc.tag) == (f"{SVG}title", f"{SVG}desc")
    assert title.text == picture.title and desc.text == picture.said
    assert re.search(r"\d", picture.said)
    assert root.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"


@pytest.mark.parametrize("name", NAMES)
def test_every_axis_names_its_unit(pictures: dict[str, Picture], name: str) -> None:
    words = [el.text or "" for el in ET.fromstring(pictures[name].svg).iter(f"{SVG}text")]
    units = {
        "bag": ["pH", "NH3-N [mg/L]", "CO2 [mg/L]", "oxygen [mg/L]", "hours sealed [h]",
                "after opening [min]"],
        "openings": ["NH3-N [mg/L]", "after opening [min]",
                     "highest NH3-N, with 5 to 95 % band [mg/L]"],
        "watch": ["tank temperature [°C]", "tank pH", "tank nitrite [mg/L as N]",
                  "fish alive [number]", "after receipt [h]"],
        "balance": ["weight of evidence [decibans]"],
    }  # fmt: skip
    for label in units[name]:
        assert label in words, (label, words)


@pytest.mark.parametrize("name", NAMES)
def test_a_picture_holds_only_drawing(pictures: dict[str, Picture], name: str) -> None:
    svg = pictures[name].svg
    tags = {element.tag.removeprefix(SVG) for element in ET.fromstring(svg).iter()}
    assert tags <= {
        "svg", "title", "desc", "defs", "g", "path", "use", "text", "tspan", "clipPath", "rect",
        "style", "pattern",
    }  # fmt: skip
    assert not re.search(r"https?://(?!www\.w3\.org/)", svg)
    assert len(svg) < 90_000


def test_the_limit_and_the_numbers_of_the_bag_are_there(
    pictures: dict[str, Picture], reasoner: Reasoner
) -> None:
    limit = reasoner.base.limits["nh3_gill_damage"].value
    assert f"limit {limit:.3g}" in pictures["bag"].svg
    assert f"{limit:.3g} mg/L" in pictures["bag"].said
    table = pictures["bag"].table
    assert isinstance(table, Table) and len(table.columns) == 5
    # 6.5 was read at opening; the band of the row at its end must hold it
    assert table.rows[2][0] == "5 min open"
    assert all(part in table.rows[2][1] for part in ("(6.", "to 6."))


def test_each_way_of_opening_is_in_the_table_with_bands(pictures: dict[str, Picture]) -> None:
    from advisor.bag import OPENING_METHODS

    table = pictures["openings"].table
    assert table is not None
    assert [row[0] for row in table.rows] == [method.label for method in OPENING_METHODS]
    assert all(" to " in row[1] for row in table.rows)
    assert "No controlled trial" in pictures["openings"].said


def test_same_content_same_bytes(assessed: Assessment) -> None:
    drawn = {balance_picture(assessed.lots[0].causes).svg for _ in range(2)}
    assert len(drawn) == 1


def _luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.1."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("colour", [BLUE, VERMILION, GREEN, BLACK, PURPLE, GREY])
def test_lines_stand_out_from_paper(colour: str) -> None:
    # WCAG 2.1, 1.4.11: graphics need a contrast of 3 to 1
    assert 1.05 / (_luminance(colour) + 0.05) >= 3.0


def test_lines_differ_without_colour() -> None:
    looks = [(str(dashes), marker) for _, dashes, marker in LOOKS]
    assert len({dashes for dashes, _ in looks}) == len(looks)
    assert len({marker for _, marker in looks}) == len(looks)


# Machado, Oliveira and Fernandes (2009), IEEE Trans. Vis. Comput. Graph. 15:1291-1298,
# severity 1.0, as in their table; linear RGB. From memory.
MACHADO = {
    "protanopia": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216),
                   (-0.003882, -0.048116, 1.051998)),
    "deuteranopia": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413),
                     (-0.011820, 0.042940, 0.968881)),
}  # fmt: skip


def _seen(colour: str, matrix: Any) -> tuple[float, ...]:
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return tuple(sum(m * v for m, v in zip(row, linear, strict=True)) for row in matrix)


@pytest.mark.parametrize("kind", MACHADO)
def test_the_two_colours_that_share_a_picture_differ_for_the_colour_blind(kind: str) -> None:
    for one, other in itertools.combinations((BLUE, VERMILION, BLACK), 2):
        seen = [_seen(colour, MACHADO[kind]) for colour in (one, other)]
        apart = sum((a - b) ** 2 for a, b in zip(*seen, strict=True)) ** 0.5
        assert apart > 0.15, (one, other)


def test_hostile_names_are_text_in_pictures(hostile: Case, reasoner: Reasoner) -> None:
    (picture,) = watch_pictures(hostile, hostile.lot[0], reasoner.base, "x")
    assert isinstance(picture, Picture)
    words = [el.text or "" for el in ET.fromstring(picture.svg).iter(f"{SVG}text")]
    assert "alive, lot <b>A</b>$x_1$" in words


def test_one_look_draws_nothing_and_says_so(reasoner: Reasoner) -> None:
    (block,) = watch_pictures(Case(), None, reasoner.base, "x")
    assert not isinstance(block, Picture)


def test_a_bag_of_which_too_little_is_known_says_what_is_missing(reasoner: Reasoner) -> None:
    case = Case.model_validate({"lot": [{"id": "A", "species": "zebra danio"}]})
    (block,) = bag_pictures(case, case.lot[0], reasoner.base, "x")
    assert "needs the number of fish" in block.text  # type: ignore[union-attr]


def test_the_picture_of_the_ways_takes_a_large_step_of_salt_from_the_rules(
    delivery: Case, reasoner: Reasoner
) -> None:
    """As the screen does: just over the rules' limit slow change counts, under it it does not."""
    limit = reasoner.base.limits["salinity_step_slow"].value
    lot = delivery.lot[0].model_copy(update={"released_at_hours": None})

    def told(salt: float) -> str:
        looks = delivery.model_dump()["observation"]
        looks[0]["tank"]["salinity_g_kg"] = {"value": salt, "kit": "meter"}
        looks[0]["bag"]["salinity_g_kg"] = {"value": 0.0, "kit": "meter"}
        case = delivery.model_validate({**delivery.model_dump(), "observation": looks})
        _, openings = bag_pictures(case, lot, reasoner.base, "a")
        assert isinstance(openings, Picture)
        return openings.said

    assert "Slow change counts here: salinity" in told(limit + 0.5)
    assert "Slow change counts" not in told(limit - 0.5)
